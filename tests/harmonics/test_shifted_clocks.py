"""Clocks of a gauge that run early or late for some days: how long, how far, and against which stretch."""

import numpy as np
import pytest

from harmonics.fitting.analysis import fit
from harmonics.fitting.suspicions import Suspicion, shifted_clock
from harmonics.stations.datums import TIDAL_DAY
from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from tests.harmonics.conftest import published_station

HOUR, DAY = 3600.0, 86400.0
START = year_start(2021) + 31 * DAY


def told(days, *shifts, noise=0.01):
    """What is told of a record whose clock is ahead by some minutes from one day to another."""
    t = START + HOUR * np.arange(24 * days)
    true = t.copy()
    for first, last, minutes in shifts:
        true[24 * first : 24 * last] -= 60.0 * minutes
    rng = np.random.default_rng(4)
    return shifted_clock(fit(t, levels(published_station("8443970"), true) + noise * rng.normal(size=len(t))))


@pytest.mark.parametrize(
    ("first", "last", "minutes", "tolerance"),
    [(0, 20, -45.0, 60.0), (30, 42, 60.0, 120.0)],
)
def test_the_days_and_the_minutes(first, last, minutes, tolerance):
    """The days in which it changes are of both clocks, so that of few days the mean is off a little."""
    (found,) = told(70, (first, last, minutes))
    assert found.kind is Suspicion.CLOCK
    assert found.size == pytest.approx(60.0 * minutes, abs=tolerance)
    assert abs(found.start - (START + first * DAY)) <= 1.1 * TIDAL_DAY
    assert abs(found.end - (START + last * DAY)) <= 1.1 * TIDAL_DAY


@pytest.mark.parametrize(("minutes", "found"), [(-13.0, 0), (17.0, 1)])
def test_a_quarter_of_an_hour_is_the_least(minutes, found):
    assert len(told(70, (50, 70, minutes))) == found


@pytest.mark.parametrize(("days", "found"), [(3, 0), (7, 1)])
def test_five_days_are_the_shortest(days, found):
    assert len(told(70, (30, 30 + days, 60.0))) == found


def test_two_stretches_are_told_in_their_order():
    first, second = told(90, (10, 25, 40.0), (70, 90, -60.0))
    assert first.start < first.end < second.start < second.end
    assert [first.size, second.size] == pytest.approx([2400.0, -3600.0], abs=90.0)


def test_an_even_clock_is_not_suspicious():
    assert told(70) == ()
