"""Records an analysis refuses, and what it tells while it works."""

import numpy as np
import pytest

from harmonics.errors import EbblightError
from harmonics.fitting.analysis import fit
from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from tests.harmonics.conftest import published_station

HOUR = 3600.0
DAY = 86400.0


def test_a_record_of_three_days_is_refused():
    t = year_start(2021) + HOUR * np.arange(72)
    with pytest.raises(
        EbblightError,
        match=r"^a record of 3\.0 days is too short to analyse; at least 7 days are needed, 29 or more for "
        r"the main constituents, a year for all$",
    ):
        fit(t, np.sin(t))


def test_nothing_to_fit_is_refused():
    t = year_start(2021) + HOUR * np.arange(720)
    with pytest.raises(EbblightError, match="too short"):
        fit(t, np.full(720, np.nan))
    sparse = year_start(2021) + DAY * np.arange(0, 60, 3.1)
    with pytest.raises(
        EbblightError, match=r"^20 readings are too few for 6 constituents; at least 26 are needed$"
    ):
        fit(sparse, np.sin(sparse), names=["M2", "S2", "N2", "K1", "O1", "Q1"])


def test_lines_the_record_cannot_separate_are_named():
    # Twelve-hourly readings see S2 as a constant.
    t = year_start(2021) + 12 * HOUR * np.arange(100)
    with pytest.raises(EbblightError, match="S2"):
        fit(t, np.sin(t), names=["S2", "M2"])


def test_misuse_is_refused():
    t = year_start(2021) + HOUR * np.arange(720)
    with pytest.raises(ValueError, match="increase"):
        fit(t[::-1], np.zeros(720))
    with pytest.raises(ValueError, match="one length"):
        fit(t, np.zeros(10))


@pytest.mark.parametrize("robust", [False, True])
def test_a_constant_record_has_no_tide(robust):
    t = year_start(2021) + HOUR * np.arange(720)
    level = np.full(720, 1.5)
    with pytest.raises(EbblightError, match=r"found one level alone, 1\.500 m; expected a tide's"):
        fit(t, level, robust=robust)
    level[100:110] = np.nan
    with pytest.raises(EbblightError, match="one level alone"):
        fit(t, level, robust=robust, trend=True)
    level[5] += 0.001
    found = fit(t, level, robust=robust)
    assert all(np.isfinite(line.amplitude) for line in found.lines)


@pytest.mark.parametrize("uneven", [False, True])
def test_progress_rises_to_one(uneven):
    station = published_station("1612340")
    t = year_start(2021) + HOUR * np.arange(60 * 24) + (np.arange(60 * 24) % 2) * 60.0 * uneven
    told = []
    rng = np.random.default_rng(2)
    fit(t, levels(station, t) + 0.02 * rng.normal(size=len(t)), progress=told.append)
    assert told == sorted(told)
    assert told[0] >= 0
    assert told[-1] == 1.0
    assert len(told) > 2
