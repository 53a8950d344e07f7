"""High and low waters: published tables, New Year, stands, and properties of random coasts."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from harmonics.stations.events import STAND_RANGE, HighLowWaters, high_low_waters
from harmonics.stations.prediction import levels, rates
from harmonics.sums.waves import NodePractice, year_of, year_start
from tests.conftest import published_rows
from tests.examples import examples
from tests.harmonics.conftest import STATION_IDS, published_station, station_of, utc
from tests.harmonics.strategies import instants, stations

DAY = 86400.0
PUBLISHED_TURNS = {"8729840": 15, "8724580": 27, "8443970": 27, "9447130": 27, "1612340": 23}


@pytest.mark.parametrize(("station_id", "count"), PUBLISHED_TURNS.items())
def test_published_high_and_low_waters(station_id, count):
    """NOAA CO-OPS high and low waters of 15-21 August 2026 (source in each file), printed to the minute and
    the millimetre: every one within 0.6 min and 1 mm, none missing, none besides."""
    rows = published_rows(f"noaa_hilo_{station_id}_2026-08.csv")
    assert len(rows) == count
    found = high_low_waters(published_station(station_id), utc("2026-08-15 00:00"), utc("2026-08-22 00:00"))
    assert len(found.turns) == count
    published_t = np.array([utc(row["time_utc"]) for row in rows])
    assert np.abs(found.turns.t - published_t).max() <= 0.6 * 60
    assert_allclose(found.turns.height, [float(row["height_m"]) for row in rows], rtol=0, atol=1e-3)
    assert ["H" if high else "L" for high in found.turns.high] == [row["type"] for row in rows]
    assert alternates(found)


def alternates(found: HighLowWaters) -> bool:
    turns = found.turns
    rises = np.diff(turns.height) > 0
    return bool(
        np.all(turns.high[1:] != turns.high[:-1])
        and np.all(np.diff(turns.t) > 0)
        and np.all(rises == turns.high[1:])
    )


@pytest.mark.parametrize("practice", NodePractice)
@pytest.mark.parametrize("station_id", STATION_IDS)
def test_high_and_low_waters_alternate_through_many_new_years(station_id, practice):
    """Continuous practice, to which no year is special, has no turn on a New Year either."""
    station = published_station(station_id, practice)
    now = (2020, 2031) if practice is NodePractice.YEARLY else (2023, 2026)
    for first, last in ((1850, 1852), now, (2099, 2101)):
        found = high_low_waters(station, year_start(first), year_start(last))
        assert alternates(found)
        if practice is NodePractice.CONTINUOUS:
            resets = [year_start(year) for year in range(first, last + 1)]
            assert not np.isin(found.turns.t, resets).any()


ARTIFICIAL = {
    # a solar tide turns at the same clock time every day, so its turns can fall on the reset itself
    "high water on the reset": [("S2", 1.0, 0.0)],
    "low water on the reset": [("S2", 1.0, 180.0)],
    "a hair before": [("S2", 1.0, 360.0 - 1e-9)],
    "a hair after": [("S2", 1.0, 1e-9)],
    "diurnal on the reset": [("S1", 0.3, 180.0), ("S2", 0.1, 0.0)],
    "overtides on the reset": [("S1", 0.5, 180.0), ("S2", 0.5, 0.0), ("S4", 0.2, 0.0)],
    "far from it": [("S2", 1.0, 45.0)],
    "node alone": [("K2", 1.0, 0.0)],
    "perigee alone": [("L2", 1.0, 10.0)],
    "M1, whose angle steps most": [("M1", 1.0, 0.0)],
    "lunar": [("M2", 1.0, 0.0), ("N2", 0.2, 30.0), ("O1", 0.4, 200.0)],
}


@pytest.mark.parametrize("practice", NodePractice)
@pytest.mark.parametrize("name", ARTIFICIAL)
def test_artificial_coasts_alternate_through_many_new_years(name, practice):
    """No turn is lost and none doubled, from 2002 to 2012: a solar tide has the same number every day, of
    others no gap is much longer than half a period."""
    station = station_of(ARTIFICIAL[name], practice)
    start, end = year_start(2002) + 3 * 3600.0, year_start(2012) + 3 * 3600.0
    found = high_low_waters(station, start, end)
    turns = found.turns
    assert alternates(found)
    if all(row[0] in {"S1", "S2", "S4"} for row in ARTIFICIAL[name]):
        june = utc("2010-06-15 03:00")
        assert len(turns) == len(turns.between(june, june + DAY)) * (end - start) / DAY
    else:
        gaps = np.diff(turns.t)
        assert gaps.max() < 2.2 * np.median(gaps)


@pytest.mark.parametrize("practice", NodePractice)
@pytest.mark.parametrize("phase", [0.0, 180.0, 1e-9, 360.0 - 1e-9, 360.0])
@pytest.mark.parametrize(("first", "last"), [(1850, 1860), (1995, 2005), (2095, 2101)])
def test_a_solar_tide_that_turns_on_the_reset_keeps_every_turn(phase, practice, first, last):
    start, end = year_start(first) + 3 * 3600.0, year_start(last) + 3 * 3600.0
    found = high_low_waters(station_of([("S2", 1.0, phase)], practice), start, end)
    count = round((end - start) / (6 * 3600.0))
    expected = start + 3 * 3600.0 + 6 * 3600.0 * np.arange(count)
    assert_allclose(found.turns.t, expected, rtol=0, atol=0.5)
    assert_allclose(np.abs(found.turns.height), 1.0, atol=1e-6)
    assert len(found.stands) == 0
    assert alternates(found)


def test_a_reset_that_turns_the_rate_is_itself_the_turn():
    """Yearly practice turns M1's phase by tens of degrees each 1 January: wherever the rate changes sign
    across the reset and no zero lies beside it, the reset is the high or low water."""
    station = station_of([("M1", 1.0, 0.0)])
    resets = np.array([year_start(year) for year in range(1950, 2050)])
    found = high_low_waters(station, resets[0] - DAY, resets[-1] + DAY)
    before, after = rates(station, np.nextafter(resets, -np.inf)), rates(station, resets)
    turning = resets[(before >= 0) != (after >= 0)]
    assert 5 < len(turning) < 50
    others = np.setdiff1d(resets, turning)
    assert not np.isin(others, found.turns.t).any()
    listed = np.isin(turning, found.turns.t)
    dropped = np.isin(turning, found.stands)
    assert np.all(listed | dropped)
    assert listed.sum() > 3
    for reset in turning[listed]:
        index = np.flatnonzero(found.turns.t == reset)[0]
        sides = levels(station, [np.nextafter(reset, -np.inf), reset])
        high = bool(before[resets == reset][0] >= 0)
        assert found.turns.high[index] == high
        assert found.turns.height[index] == pytest.approx(sides.max() if high else sides.min(), abs=1e-9)


ALL_BUT_TIDELESS = ("semidiurnal", "mixed", "diurnal")


@given(station=stations(), start=instants, days=st.integers(1, 40))
def test_high_and_low_waters_alternate(station, start, days):
    assert alternates(high_low_waters(station, start, start + days * DAY))


@given(station=stations(), start=instants)
def test_each_turn_has_no_rate_or_is_a_reset(station, start):
    found = high_low_waters(station, start, start + 30 * DAY)
    resets = {year_start(year) for year in range(1850, 2102)}
    inside = np.array([t for t in found.turns.t if t not in resets])
    # half a second of the sharpest turn: acceleration times the time tolerance
    speed = np.array([row.speed for row in station.constants.constituents]) * np.pi / 180 / 3600
    acceleration = 2 * np.sum(station.constants.amplitude * speed**2)
    assert np.all(np.abs(rates(station, inside)) <= 0.1 * acceleration + 1e-15)


@given(station=stations(), year=st.integers(1850, 2099), day=st.integers(0, 330))
def test_between_neighbouring_turns_the_level_stays_between_their_heights(station, year, day):
    """Give or take a stand's range: the pairs left out are smaller than that."""
    start = year_start(year) + day * DAY
    turns = high_low_waters(station, start, start + 30 * DAY).turns
    for i in range(len(turns) - 1):
        between = levels(station, np.linspace(turns.t[i], turns.t[i + 1], 40))
        low, high = sorted(turns.height[i : i + 2])
        assert between.min() >= low - STAND_RANGE
        assert between.max() <= high + STAND_RANGE
        assert high - low >= STAND_RANGE


@given(station=stations(), year=st.integers(1850, 2099), day=st.integers(0, 330))
def test_no_turn_is_missed(station, year, day):
    """Every sign change of the rate on a dense grid is a turn, or belongs to a stand."""
    start = year_start(year) + day * DAY
    found = high_low_waters(station, start, start + 20 * DAY)
    grid = start + 120.0 * np.arange(20 * 720 + 1)
    rising = rates(station, grid) >= 0
    zeros = grid[:-1][rising[1:] != rising[:-1]]
    known = np.sort(np.concatenate((found.turns.t, found.stands.ravel())))
    for zero in zeros:
        if start + 240 < zero < start + 20 * DAY - 240 and not np.any(np.abs(known - zero) <= 240):
            # only extremes that the ten-minute grid steps over, millimetres at most
            around = levels(station, np.linspace(zero - 700, zero + 700, 50))
            assert np.ptp(around) < STAND_RANGE


@examples(40)
@given(
    station=stations(regimes=ALL_BUT_TIDELESS),
    start=instants,
    cuts=st.lists(st.floats(0, 1), min_size=1, max_size=5),
)
def test_a_span_may_be_cut_anywhere(station, start, cuts):
    end = start + 45 * DAY
    whole = high_low_waters(station, start, end)
    edges = [start, *sorted(start + cut * (end - start) for cut in cuts), end]
    parts = [high_low_waters(station, a, b).turns for a, b in pairwise(edges)]
    t, height, high = (
        np.concatenate([getattr(part, column) for part in parts]) for column in ("t", "height", "high")
    )
    assert_allclose(t, whole.turns.t, rtol=0, atol=0.5)
    assert_allclose(height, whole.turns.height, rtol=0, atol=1e-6)
    assert np.array_equal(high, whole.turns.high)


@pytest.mark.parametrize("practice", NodePractice)
@pytest.mark.parametrize("station_id", STATION_IDS)
def test_days_one_by_one_are_the_span_at_once(station_id, practice):
    """Through a New Year, in local days of a zone five hours behind."""
    station = published_station(station_id, practice)
    start = utc("2026-12-20 05:00")
    whole = high_low_waters(station, start, start + 24 * DAY).turns
    days = [high_low_waters(station, start + day * DAY, start + (day + 1) * DAY).turns for day in range(24)]
    assert len(whole) > 24
    assert_allclose(np.concatenate([day.t for day in days]), whole.t, rtol=0, atol=0.5)
    assert_allclose(np.concatenate([day.height for day in days]), whole.height, rtol=0, atol=1e-6)


@given(station=stations(), start=instants, days=st.integers(1, 20))
def test_only_turns_of_the_span_itself(station, start, days):
    end = start + days * DAY
    found = high_low_waters(station, start, end)
    assert np.all((found.turns.t >= start) & (found.turns.t < end))
    assert np.all(found.stands[:, 0] < end)
    assert np.all(found.stands[:, 1] >= start)
    assert np.all(found.stands[:, 0] < found.stands[:, 1])


@given(station=stations(), start=instants)
def test_kinds_follow_the_level_around(station, start):
    turns = high_low_waters(station, start, start + 20 * DAY).turns
    for t, height, high in zip(turns.t, turns.height, turns.high, strict=True):
        beside = levels(station, [t - 300, t + 300])
        if year_of(t - 300) != year_of(t + 300):
            continue  # yearly practice may step the level up or down there
        assert np.all(beside <= height + 1e-6) if high else np.all(beside >= height - 1e-6)


def test_a_diurnal_coast_at_the_equator_crossing():
    """K1 and O1 of nearly equal size nearly cancel every 13.66 days (tropic and equatorial tides): two turns
    a day at the tropic tide, few or stands at the equatorial one."""
    station = published_station("8729840")
    start = year_start(2026)
    found = high_low_waters(station, start, start + 365 * DAY)
    per_day = np.histogram(found.turns.t, start + DAY * np.arange(366))[0]
    assert np.median(per_day) == 2
    ranges = np.abs(np.diff(found.turns.height))
    assert ranges.min() >= STAND_RANGE
    assert ranges.min() < 0.03
    assert ranges.max() > 0.6


@pytest.mark.parametrize("days", [0, -3])
def test_an_empty_span_is_an_empty_answer(days):
    start = utc("2026-08-15 00:00")
    found = high_low_waters(published_station("8443970"), start, start + days * DAY)
    assert len(found.turns) == 0
    assert found.turns.t.shape == found.turns.height.shape == found.turns.high.shape == (0,)


@pytest.mark.parametrize(("start", "end"), [(np.nan, 0.0), (0.0, np.nan), (0.0, np.inf)])
def test_a_span_that_is_not_finite_is_refused(start, end):
    with pytest.raises(ValueError, match="finite"):
        high_low_waters(published_station("8443970"), start, end)


def test_turns_between_are_half_open():
    turns = high_low_waters(
        published_station("8443970"), utc("2026-08-15 00:00"), utc("2026-08-22 00:00")
    ).turns
    part = turns.between(turns.t[2], turns.t[5])
    assert_allclose(part.t, turns.t[2:5])
    assert_allclose(part.height, turns.height[2:5])
    assert np.array_equal(part.high, turns.high[2:5])
    assert len(turns.between(turns.t[5], turns.t[2])) == 0


@pytest.mark.parametrize("year", [1850, 2024, 2100])
def test_lunar_days_fill_far_and_leap_years(year):
    """A lunar day is 24 h 50.47 min, 2 x 12.4206 h: Boston turns four times in each, 1,411 or so a year."""
    start, end = year_start(year), year_start(year + 1)
    turns = high_low_waters(published_station("8443970"), start, end).turns
    assert len(turns) == pytest.approx(4 * (end - start) / (2 * 12.4206 * 3600), abs=2)
