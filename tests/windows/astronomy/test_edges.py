"""Ordinary oddities of the sky: polar days, days without a moonrise, the date line, the poles, the range."""

import subprocess
import sys
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from windows.astronomy import (
    Body,
    DayState,
    Sky,
    SkyEventKind,
    SkyRangeError,
    day_edges,
    events_by_day,
    require_covered,
)
from windows.astronomy.ephemeris import FIRST_T, LAST_T
from windows.astronomy.timescales import DAY, J2000_POSIX, posix_from_tt, tt_from_posix

RISE_SET = (SkyEventKind.RISE, SkyEventKind.SET)


def utc(*moment: int) -> float:
    return datetime(*moment, tzinfo=UTC).timestamp()


def of(events, body, *kinds):
    return [event for event in events if event.body is body and event.kind in kinds]


def filed(first: date, days: int, zone: str, latitude: float, longitude: float):
    edges = day_edges(first, days, ZoneInfo(zone))
    return events_by_day(edges, Sky(edges[0], edges[-1]).events(latitude, longitude)[0])


def test_polar_day_and_night():
    # Tromso, 69.65 N: midnight sun about 18 May to 26 July, polar night 27 November to 15 January.
    edges = day_edges(date(2026, 6, 1), 30, ZoneInfo("Europe/Oslo"))
    summer = Sky(edges[0], edges[-1])
    assert not of(summer.events(69.65, 18.96)[0], Body.SUN, *RISE_SET)
    assert summer.up_at_start(Body.SUN, 69.65, 18.96).tolist() == [True]
    assert set(summer.day_states(Body.SUN, 69.65, 18.96, edges)[0]) == {DayState.UP_ALL_DAY}
    edges = day_edges(date(2026, 12, 5), 30, ZoneInfo("Europe/Oslo"))
    winter = Sky(edges[0], edges[-1])
    events = winter.events(69.65, 18.96)[0]
    assert not of(events, Body.SUN, *RISE_SET)
    assert len(of(events, Body.SUN, SkyEventKind.CIVIL_DAWN)) == 30  # noon twilight
    assert set(winter.day_states(Body.SUN, 69.65, 18.96, edges)[0]) == {DayState.DOWN_ALL_DAY}
    assert DayState.UP_ALL_DAY in winter.day_states(Body.MOON, 69.65, 18.96, edges)[0]


def test_the_midnight_sun_begins_and_ends():
    edges = day_edges(date(2026, 5, 10), 85, ZoneInfo("Europe/Oslo"))
    (states,) = Sky(edges[0], edges[-1]).day_states(Body.SUN, 69.65, 18.96, edges)
    up = [state is DayState.UP_ALL_DAY for state in states]
    assert 65 <= sum(up) <= 71
    assert up == sorted(up[:40]) + sorted(up[40:], reverse=True)  # one unbroken stretch


def test_a_graze_shorter_than_the_scan_is_found():
    # In the last days before the midnight sun the sun is down for minutes; each set pairs with a rise.
    sky = Sky(utc(2026, 5, 1), utc(2026, 5, 31))
    latitudes = np.linspace(67.5, 72.0, 181)
    shortest = np.inf
    for rises, sets in sky.rises_and_sets(Body.SUN, latitudes, np.zeros_like(latitudes)):
        assert abs(len(rises) - len(sets)) <= 1
        if len(sets):
            later = np.searchsorted(rises, sets[-1])
            if later < len(rises):
                shortest = min(shortest, rises[later] - sets[-1])
    assert shortest < 10 * 60


def test_grazes_against_a_dense_search():
    sky = Sky(utc(2026, 5, 14), utc(2026, 5, 22))
    t = np.arange(sky.start_t, sky.end_t, 20.0)
    latitudes = np.linspace(69.0, 70.0, 21)
    longitudes = np.full(21, 19.0)
    up = sky.is_up(Body.SUN, latitudes, longitudes, t)
    for row, (rises, sets) in zip(up, sky.rises_and_sets(Body.SUN, latitudes, longitudes), strict=True):
        changes = t[1:][row[1:] != row[:-1]]
        ours = np.sort(np.concatenate((rises, sets)))
        assert len(ours) >= len(changes)
        for change in changes:
            assert np.abs(ours - (change - 10)).min() <= 10.1


def test_a_short_night_between_two_samples_is_found_wherever_they_lie():
    # At midsummer near 54.56 N the sun passes 12 degrees below the horizon for minutes; half an hour apart
    # and a quarter from the lowest point, samples lie up to 0.07 degrees above it.
    longitudes = np.linspace(-7.5, 7.5, 31)
    latitudes = np.full(31, 54.56)
    sky = Sky(utc(2026, 6, 20, 12), utc(2026, 6, 21, 12))
    t = np.arange(sky.start_t + 10 * 3600.0, sky.start_t + 14 * 3600.0, 10.0)
    dark = sky.sun_altitude(latitudes, longitudes, t) < -12.0
    minutes = dark.sum(axis=1) / 6.0
    assert (minutes > 4.0).all() and (minutes < 12.0).all()
    for row, events in zip(dark, sky.events(latitudes, longitudes), strict=True):
        (dusk,) = of(events, Body.SUN, SkyEventKind.NAUTICAL_DUSK)
        (dawn,) = of(events, Body.SUN, SkyEventKind.NAUTICAL_DAWN)
        assert dusk.t == pytest.approx(t[row.argmax()], abs=11.0)
        assert dawn.t == pytest.approx(t[len(row) - row[::-1].argmax()], abs=11.0)


def test_a_day_without_moonrise_and_one_without_moonset():
    # The published year at Fredonia (tests/published/usno_moon_fredonia_2023.csv) has 353 rises in 365 days.
    days = filed(date(2023, 1, 1), 365, "America/Phoenix", 36.95, -112.5167)
    rises = [len(of(day, Body.MOON, SkyEventKind.RISE)) for day in days]
    sets = [len(of(day, Body.MOON, SkyEventKind.SET)) for day in days]
    assert rises.count(0) == 12
    assert set(rises) == set(sets) == {0, 1}


def test_two_moonrises_in_one_local_day():
    # High in the north the moon of early autumn rises earlier from day to day.
    days = filed(date(2026, 1, 1), 365, "Europe/Oslo", 68.5, 15.0)
    rises = np.array([len(of(day, Body.MOON, SkyEventKind.RISE)) for day in days])
    assert (rises == 2).any()
    assert (rises == 0).any()
    twice = days[int(np.flatnonzero(rises == 2)[0])]
    first, second = of(twice, Body.MOON, SkyEventKind.RISE)
    assert first.t < second.t < first.t + DAY


@pytest.mark.parametrize(("day", "hours"), [(date(2026, 3, 8), 23), (date(2026, 11, 1), 25)])
def test_clock_changes_lose_no_event(day, hours):
    days = filed(day, 2, "America/Chicago", 29.2, -90.0)
    for kind in (*RISE_SET, SkyEventKind.UPPER_TRANSIT, SkyEventKind.CIVIL_DAWN, SkyEventKind.NAUTICAL_DUSK):
        assert [len(of(some, Body.SUN, kind)) for some in days] == [1, 1]
    edges = day_edges(day, 1, ZoneInfo("America/Chicago"))
    assert edges[1] - edges[0] == hours * 3600


def test_the_date_skipped_at_apia_has_no_event():
    days = filed(date(2011, 12, 29), 3, "Pacific/Apia", -13.83, -171.75)
    assert days[1] == []
    assert len(of(days[0], Body.SUN, *RISE_SET)) == len(of(days[2], Body.SUN, *RISE_SET)) == 2


def test_both_names_of_the_date_line_are_one_place():
    sky = Sky(utc(2026, 8, 15), utc(2026, 8, 25))
    east, west = sky.events([-17.0, -17.0], [180.0, -180.0])
    assert [(event.body, event.kind) for event in east] == [(event.body, event.kind) for event in west]
    assert np.allclose([event.t for event in east], [event.t for event in west], rtol=0, atol=0.01)


def test_south_of_the_equator_noon_is_north_and_june_days_are_short():
    (events,) = Sky(utc(2026, 6, 20), utc(2026, 6, 22)).events(-41.3, 174.8)
    rise = of(events, Body.SUN, SkyEventKind.RISE)[0]
    sunset = next(event for event in of(events, Body.SUN, SkyEventKind.SET) if event.t > rise.t)
    assert 0 < rise.value < 90
    assert 270 < sunset.value < 360
    assert (sunset.t - rise.t) / 3600 == pytest.approx(9.2, abs=0.1)


@pytest.mark.parametrize(("latitude", "rise_month", "set_month"), [(90.0, 3, 9), (-90.0, 9, 3)])
def test_at_the_poles_the_sun_rises_once_a_year_and_the_moon_once_a_month(latitude, rise_month, set_month):
    (events,) = Sky(utc(2026, 1, 1), utc(2027, 1, 1)).events(latitude, 0.0)
    (rise,) = of(events, Body.SUN, SkyEventKind.RISE)
    (sunset,) = of(events, Body.SUN, SkyEventKind.SET)
    assert datetime.fromtimestamp(rise.t, UTC).month == rise_month
    assert datetime.fromtimestamp(sunset.t, UTC).month == set_month
    assert len(of(events, Body.MOON, SkyEventKind.RISE)) in (13, 14)
    assert len(of(events, Body.SUN, SkyEventKind.CIVIL_DAWN)) == 1


def test_transit_altitude_is_the_colatitude_at_the_equinox():
    (events,) = Sky(utc(2026, 3, 20), utc(2026, 3, 21)).events(30.0, -90.0)
    (noon,) = of(events, Body.SUN, SkyEventKind.UPPER_TRANSIT)
    (midnight,) = of(events, Body.SUN, SkyEventKind.LOWER_TRANSIT)
    assert noon.value == pytest.approx(60.0, abs=0.2)
    assert midnight.value == pytest.approx(-60.0, abs=0.3)


class TestRange:
    def test_its_ends(self):
        assert FIRST_T == utc(1899, 7, 29)
        assert LAST_T == utc(2053, 10, 8)

    @pytest.mark.parametrize(
        ("start", "end"),
        [
            (FIRST_T - 1, FIRST_T + DAY),
            (LAST_T - DAY, LAST_T + 1),
            (utc(1850, 1, 1), utc(1850, 1, 8)),
            (utc(2060, 1, 1), utc(2060, 1, 8)),
        ],
    )
    def test_outside_is_refused_in_plain_words(self, start, end):
        with pytest.raises(SkyRangeError, match="1899-07-29 to 2053-10-07"):
            Sky(start, end)
        with pytest.raises(ValueError, match="covered"):
            require_covered(start, end)

    @pytest.mark.parametrize(("start", "end"), [(10.0, 9.0), (np.nan, 1.0), (0.0, np.inf)])
    def test_a_span_must_run_forward(self, start, end):
        with pytest.raises(ValueError, match="start before its end"):
            Sky(start, end)

    @pytest.mark.parametrize(("start", "end"), [(FIRST_T, FIRST_T + DAY), (LAST_T - DAY, LAST_T)])
    def test_first_and_last_day_have_a_sun(self, start, end):
        (events,) = Sky(start, end).events(29.2, -90.0)
        assert len(of(events, Body.SUN, *RISE_SET)) == 2

    def test_an_empty_span_has_no_events(self):
        assert Sky(utc(2026, 1, 1), utc(2026, 1, 1)).events(29.2, -90.0) == [[]]

    def test_instants_outside_the_span_are_refused(self):
        sky = Sky(0.0, DAY)
        for t in (-1.0, DAY + 1, np.nan):
            with pytest.raises(ValueError, match="outside the span"):
                sky.sun_altitude(0.0, 0.0, t)


@pytest.mark.parametrize(
    ("latitude", "longitude"),
    [(90.1, 0.0), (-91.0, 0.0), (0.0, 180.5), (0.0, -181.0), (np.nan, 0.0), (0.0, np.inf)],
)
def test_coordinates_out_of_range_are_refused(latitude, longitude):
    with pytest.raises(ValueError, match="is not between"):
        Sky(0.0, DAY).events(latitude, longitude)


def test_latitudes_and_longitudes_pair_up():
    with pytest.raises(ValueError, match="pair"):
        Sky(0.0, DAY).events([1.0, 2.0], [3.0])
    assert Sky(0.0, DAY).events([], []) == []


class TestTimescales:
    @pytest.mark.parametrize(
        ("moment", "tt_minus_t"),
        [
            # 32.184 s + the leap seconds of IERS Bulletin C: 10 in 1972, 32 in 1999, 37 since 2017.
            ((1972, 1, 1), 42.184),
            ((2000, 1, 1, 12), 64.184),
            ((2016, 12, 31), 68.184),
            ((2017, 1, 1), 69.184),
            ((2026, 8, 15), 69.184),
        ],
    )
    def test_leap_seconds(self, moment, tt_minus_t):
        t = utc(*moment)
        assert float(tt_from_posix(t)) * DAY + J2000_POSIX - t == pytest.approx(tt_minus_t, abs=1e-4)

    @pytest.mark.parametrize(
        # Delta T of the Astronomical Almanac, p. K8 (from memory).
        ("year", "delta_t"),
        [(1900, -2.7), (1920, 21.2), (1940, 24.3), (1950, 29.15), (1960, 33.15), (1970, 40.18)],
    )
    def test_mean_solar_time_before_1972(self, year, delta_t):
        t = utc(year, 1, 1)
        assert float(tt_from_posix(t)) * DAY + J2000_POSIX - t == pytest.approx(delta_t, abs=1.0)
        assert float(posix_from_tt(tt_from_posix(t))) == pytest.approx(t, abs=1e-4)

    def test_no_step_when_utc_begins(self):
        t = utc(1972, 1, 1) + np.array([-1.0, 0.0])
        assert np.diff(tt_from_posix(t)) * DAY == pytest.approx(1.0, abs=0.1)


def test_importing_the_package_loads_no_heavy_library():
    code = (
        "import sys, windows.astronomy as a; a.Sky; a.approximate_sun_events;"
        "print([m for m in ('skyfield', 'jplephem', 'astral', 'pandas') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_a_sky_does_not_load_the_librarys_downloader():
    code = (
        "import sys; from windows.astronomy import Sky; Sky(0.0, 1e5).events(1, 2);"
        "print('skyfield.api' in sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "False"
