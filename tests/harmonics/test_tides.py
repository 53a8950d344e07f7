"""One door for stations with constants of their own and for those that follow one."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from harmonics.catalogue.constituents import find
from harmonics.stations import prediction, secondary, tides
from harmonics.stations.events import high_low_waters
from harmonics.stations.types import HeightDifference, SecondaryStation
from harmonics.stations.warps import resets_between
from harmonics.sums.waves import NodePractice, year_start
from tests.harmonics.conftest import published_station, station_of

START = year_start(2026) + 100 * 86400.0
REFERENCE = published_station("8443970")
FOLLOWER = SecondaryStation(
    "f", "F", None, None, REFERENCE, HeightDifference(1200.0, 1.5, 0.1), HeightDifference(900.0, 1.5, 0.1)
)
T = START + 1800.0 * np.arange(60)


def test_a_station_with_constants():
    assert_allclose(tides.levels(REFERENCE, T), prediction.levels(REFERENCE, T))
    assert_allclose(tides.rates(REFERENCE, T), prediction.rates(REFERENCE, T))
    assert_allclose(tides.even_levels(REFERENCE, START, 1800.0, 60), prediction.levels(REFERENCE, T))
    assert_allclose(tides.even_rates(REFERENCE, START, 1800.0, 60), prediction.rates(REFERENCE, T))
    found = tides.high_low_waters(REFERENCE, T[0], T[-1]).turns
    assert_allclose(found.t, high_low_waters(REFERENCE, T[0], T[-1]).turns.t)


def test_a_station_that_follows():
    assert_allclose(tides.levels(FOLLOWER, T), secondary.secondary_levels(FOLLOWER, T))
    assert_allclose(tides.rates(FOLLOWER, T), secondary.secondary_rates(FOLLOWER, T))
    assert_allclose(tides.even_levels(FOLLOWER, START, 1800.0, 60), tides.levels(FOLLOWER, T), atol=1e-9)
    assert_allclose(tides.even_rates(FOLLOWER, START, 1800.0, 60), tides.rates(FOLLOWER, T), atol=1e-12)
    found = tides.high_low_waters(FOLLOWER, T[0], T[-1]).turns
    of_reference = high_low_waters(REFERENCE, T[0] - 3600.0, T[-1]).turns
    assert_allclose(found.height, 1.5 * of_reference.height[: len(found.t)] + 0.1, atol=1e-6)


def test_the_peak_rate_of_one_wave_is_its_speed_times_its_amplitude():
    """S2 has no node factor: 30 degrees an hour."""
    station = station_of([("S2", 0.5, 10.0)])
    rate = np.radians(find("S2").speed) / 3600.0 * 0.5
    assert tides.peak_rate(station, 2026) == pytest.approx(rate)
    both = station_of([("S2", 0.5, 10.0), ("S1", 0.4, 10.0)])
    other = np.radians(find("S1").speed) / 3600.0 * 0.4
    assert tides.peak_rate(both, 2026) == pytest.approx(np.hypot(rate, other))


def test_the_peak_rate_of_a_follower_grows_with_its_range():
    assert tides.peak_rate(FOLLOWER, 2026) == pytest.approx(1.5 * tides.peak_rate(REFERENCE, 2026))
    assert tides.peak_rate(REFERENCE, 2026) != tides.peak_rate(REFERENCE, 2030)


def test_a_follower_of_still_water_has_no_peak_rate():
    still = SecondaryStation("f", "F", None, None, station_of([]), HeightDifference(), HeightDifference())
    assert tides.peak_rate(still, 2026) == 0.0


def test_times_of_any_shape_at_any_station():
    square = T[:12].reshape(3, 4)
    drifting = published_station("8443970", NodePractice.CONTINUOUS)
    for station in (REFERENCE, FOLLOWER, drifting):
        for read in (tides.levels, tides.rates):
            assert_allclose(read(station, square), read(station, T[:12]).reshape(3, 4), atol=1e-9)
            assert read(station, float(T[0])).shape == ()


@pytest.mark.parametrize("practice", NodePractice)
def test_resets_between_times(practice):
    new_year = year_start(2026)
    t = new_year + 3600.0 * np.array([-30.0, -1.0, 0.0, 5.0])
    yearly = practice is NodePractice.YEARLY
    assert resets_between(practice, t).tolist() == [False, yearly, False]
    assert resets_between(practice, t[:1]).tolist() == resets_between(practice, t[:0]).tolist() == []


@pytest.mark.parametrize(("before", "after"), [(5.0, 25.0), (-20.0, 100.0), (-5.0, 45.0)])
def test_a_follower_of_water_that_seldom_turns(before, after):
    """The half-yearly line turns four times a year: for weeks no turn is near, and the last one is passed."""
    reference = station_of([("SSA", 0.2, 0.0)])
    turn = float(high_low_waters(reference, START, START + 100 * 86400.0).turns.t[0])
    same = HeightDifference(0.0, 0.5, 0.1)
    follower = SecondaryStation("f", "F", None, None, reference, same, same)
    t = turn + 86400.0 * np.linspace(before, after, 50)
    assert_allclose(tides.levels(follower, t), 0.5 * tides.levels(reference, t) + 0.1, atol=1e-6)
    assert_allclose(tides.rates(follower, t), 0.5 * tides.rates(reference, t), atol=1e-12)
