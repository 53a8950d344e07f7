"""The response of the level at Dry Bar to the weather: a year learned, the other judged, both ways."""

from typing import NamedTuple

import numpy as np

from harmonics.records.cleaning import residuals_of
from harmonics.records.response import fit_response
from harmonics.records.weather import read_weather
from tests.conftest import PUBLISHED
from tests.harmonics.conftest import utc
from tests.harmonics.records_of import dry_bar, fitted

SEASON = np.ones(91 * 24)
SPLIT = "2013-01-01 05:00"
"""New Year by the gauge's clock."""


class Judged(NamedTuple):
    """How far the level stood from the tide in a year whose weather is known, standard deviations in metres.

    Attributes:
        hours: judged.
        whole, slow: all of it, and its means over a season.
        left: share of `whole` that weather leaves.
        left_of_passing: the same of what departs from the season's mean.
    """

    hours: int
    whole: float
    slow: float
    left: float
    left_of_passing: float


def judged() -> dict[str, Judged]:
    """By the year that is judged; each year is learned from nothing of the other."""
    station = fitted("dry bar", "2013-01-01 00:00")
    weather = read_weather(PUBLISHED / "apalachicola_db_hourly.csv")
    t, level = dry_bar()
    split = utc(SPLIT)
    early, late = (residuals_of(station, t[k], level[k], "gauge.csv") for k in (t < split, t >= split))
    whole = residuals_of(station, t, level, "gauge.csv")
    out = {}
    for year, learned, real in (
        ("2013", early, whole.between(split, whole.end)),
        ("2012", late, whole.between(0.0, split)),
    ):
        response = fit_response(learned, weather)
        assert response is not None
        said = response.hourly(weather, real.start, len(real.level))
        was = np.where(np.isfinite(said), real.level, np.nan)
        rest, passing = less_season(was - said), less_season(was)
        out[year] = Judged(
            int(np.isfinite(was).sum()),
            float(np.nanstd(was)),
            float(np.nanstd(was - passing)),
            float(np.nanstd(was - said) / np.nanstd(was)),
            float(np.nanstd(rest) / np.nanstd(passing)),
        )
    return out


def less_season(values: np.ndarray) -> np.ndarray:
    """Hourly values less the mean of the 91 days around."""
    known = np.isfinite(values)
    counts = np.convolve(known, SEASON, "same")
    return values - np.convolve(np.where(known, values, 0.0), SEASON, "same") / np.maximum(counts, 1.0)
