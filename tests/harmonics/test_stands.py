"""Stands, the pairs of extremes too close to list, and coasts with hardly any tide."""

import numpy as np
import pytest
from hypothesis import given
from numpy.testing import assert_allclose

from harmonics.stations.events import STAND_RANGE, high_low_waters
from harmonics.stations.prediction import levels, rates
from harmonics.sums.waves import NodePractice, year_start
from tests.harmonics.conftest import published_station, station_of, utc
from tests.harmonics.strategies import instants, stations

DAY = 86400.0


@pytest.mark.parametrize("station_id", ["8729840", "1612340"])
def test_stands_the_agency_left_out(station_id):
    """In these two weeks the sum has one pair of extremes a few millimetres apart that the published table
    does not list; it is kept as a stand."""
    station = published_station(station_id)
    found = high_low_waters(station, utc("2026-08-15 00:00"), utc("2026-08-22 00:00"))
    assert found.stands.shape == (1, 2)
    first, second = found.stands[0]
    assert abs(np.subtract(*levels(station, [first, second]))) < STAND_RANGE
    assert_allclose(rates(station, [first, second]), 0, atol=1e-9)
    assert not np.isin(found.stands, found.turns.t).any()


@pytest.mark.parametrize("station_id", ["8729840", "1612340"])
def test_a_stand_belongs_to_every_span_it_touches(station_id):
    station = published_station(station_id)
    week = utc("2026-08-15 00:00"), utc("2026-08-22 00:00")
    ((first, second),) = high_low_waters(station, *week).stands
    middle = 0.5 * (first + second)

    def stands(start, end):
        return len(high_low_waters(station, start, end).stands)

    assert stands(middle, week[1]) == stands(week[0], middle) == 1
    assert stands(second, week[1]) == stands(week[0], first + 1.0) == 1
    assert stands(second + 1.0, week[1]) == stands(week[0], first) == 0


@pytest.mark.parametrize(
    "rows",
    [
        [("M2", 0.006, 0.0), ("S2", 0.006, 0.0)],
        [("M2", 0.004, 0.0), ("S2", 0.004, 0.0), ("K1", 0.002, 0.0)],
        [("K1", 0.005, 0.0), ("O1", 0.005, 0.0)],
    ],
)
def test_days_through_a_week_of_stands_are_the_span_at_once(rows):
    """Millimetres of tide: turns at springs, a week of nothing but stands at neaps."""
    station = station_of(rows)
    start = utc("2026-03-01 05:00")
    whole = high_low_waters(station, start, start + 60 * DAY)
    days = [high_low_waters(station, start + day * DAY, start + (day + 1) * DAY).turns for day in range(60)]
    assert_allclose(np.concatenate([day.t for day in days]), whole.turns.t, rtol=0, atol=0.5)
    assert np.all(whole.turns.high[1:] != whole.turns.high[:-1])
    assert np.diff(whole.turns.t).max() > 4 * DAY
    assert len(whole.stands) >= 10


@pytest.mark.parametrize("practice", NodePractice)
@pytest.mark.parametrize(
    "rows",
    [
        [],
        [("M2", 0.0, 0.0)],
        [("M2", 0.004, 0.0)],
        [("M2", 0.003, 3.0), ("K1", 0.001, 0.0)],
        [("K1", 0.003, 0.0), ("O1", 0.0015, 90.0)],
        [("SA", 0.003, 0.0)],
    ],
)
def test_a_tideless_coast_has_neither_high_nor_low_water(rows, practice):
    """On no day of the year, and not in the year as a whole."""
    station = station_of(rows, practice)
    assert len(high_low_waters(station, year_start(2001), year_start(2002)).turns) == 0
    for day in range(0, 365, 7):
        start = year_start(2001) + day * DAY
        assert len(high_low_waters(station, start, start + DAY).turns) == 0


@given(station=stations(regimes=("tideless",)), start=instants)
def test_random_tideless_coasts_have_none_either(station, start):
    assert len(high_low_waters(station, start, start + 7 * DAY).turns) == 0


def test_pairs_around_the_stand_range():
    """A small overtide puts a dip at each high water, 8 mm or 12 mm deep: left out, or kept."""

    def crests(overtide):
        station = station_of([("S2", 0.5, 0.0), ("S4", overtide, 180.0)])
        noon = utc("2026-06-15 00:00")
        return station, high_low_waters(station, noon - 3 * 3600.0, noon + 3 * 3600.0)

    # 0.5 cos x - a cos 2x dips below its crests by 2 a - 0.5 + 0.03125/a
    for overtide, dip in ((0.158, 0.0138), (0.15, 0.0083)):
        station, found = crests(overtide)
        crest = 0.03125 / overtide + overtide
        assert crest - (0.5 - overtide) == pytest.approx(dip, abs=5e-5)
        if dip > STAND_RANGE:
            assert list(found.turns.high) == [True, False, True]
            assert_allclose(found.turns.height, [crest, 0.5 - overtide, crest], atol=1e-6)
            assert len(found.stands) == 0
        else:
            assert list(found.turns.high) == [True]
            assert found.turns.height[0] == pytest.approx(crest, abs=1e-6)
            assert found.stands.shape == (1, 2)
            assert abs(np.subtract(*levels(station, found.stands[0]))) == pytest.approx(dip, abs=1e-4)
