"""Local days: the sun's marks, hours to fish, and forecasts of long, short, bright, dark and skipped days."""

from datetime import date, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.stations.prediction import levels
from tests.windows.conftest import KNOT, at, edges, local_date, one_spot, sessions_of, windows_of
from windows.astronomy import Body, SkyEvent, SkyEventKind, day_edges
from windows.conditions.daily import fishing_hours, sun_marks
from windows.forecast.light import LightLabel
from windows.forecast.reports import Lack, Note
from windows.shoreline.gates import SunDown
from windows.shoreline.hours import ANY_HOURS, SunMark, parse_hours

UTC = ZoneInfo("UTC")
SEMIDIURNAL = [("M2", 1.2, 100.0), ("S2", 0.3, 140.0)]
EVERY_DAY = range(7)


def sun(kind: SkyEventKind, text: str, zone="UTC") -> SkyEvent:
    return SkyEvent(at(text, zone), Body.SUN, kind, None, "")


def marks_of(events, first=date(2026, 6, 20), days=1, zone=UTC):
    return sun_marks(events, first, day_edges(first, days, zone), zone)


def test_marks_are_those_around_noon():
    events = [
        sun(SkyEventKind.CIVIL_DAWN, "2026-06-20 03:10"),
        sun(SkyEventKind.RISE, "2026-06-20 04:00"),
        sun(SkyEventKind.UPPER_TRANSIT, "2026-06-20 12:02"),
        sun(SkyEventKind.SET, "2026-06-20 20:00"),
        sun(SkyEventKind.CIVIL_DUSK, "2026-06-20 20:50"),
        sun(SkyEventKind.CIVIL_DAWN, "2026-06-21 03:11"),
    ]
    (marks,) = marks_of(events)
    assert marks == {
        SunMark.DAWN: at("2026-06-20 03:10"),
        SunMark.SUNRISE: at("2026-06-20 04:00"),
        SunMark.SUNSET: at("2026-06-20 20:00"),
        SunMark.DUSK: at("2026-06-20 20:50"),
    }


def test_a_sunset_after_midnight_ends_the_day_before():
    events = [
        sun(SkyEventKind.SET, "2026-06-20 00:31"),
        sun(SkyEventKind.RISE, "2026-06-20 02:40"),
        sun(SkyEventKind.UPPER_TRANSIT, "2026-06-20 13:36"),
        sun(SkyEventKind.SET, "2026-06-21 00:33"),
        sun(SkyEventKind.RISE, "2026-06-21 02:39"),
        sun(SkyEventKind.UPPER_TRANSIT, "2026-06-21 13:36"),
    ]
    first, second = marks_of(events, days=2)
    assert first == {SunMark.SUNRISE: at("2026-06-20 02:40"), SunMark.SUNSET: at("2026-06-21 00:33")}
    assert second == {SunMark.SUNRISE: at("2026-06-21 02:39")}


def test_of_two_risings_and_settings_those_next_to_noon_count():
    # The sun grazes the horizon: it shows twice within the hours of one noon.
    events = [
        sun(SkyEventKind.RISE, "2026-01-20 10:30"),
        sun(SkyEventKind.SET, "2026-01-20 10:40"),
        sun(SkyEventKind.RISE, "2026-01-20 11:50"),
        sun(SkyEventKind.UPPER_TRANSIT, "2026-01-20 12:10"),
        sun(SkyEventKind.SET, "2026-01-20 12:30"),
        sun(SkyEventKind.RISE, "2026-01-20 13:20"),
        sun(SkyEventKind.SET, "2026-01-20 13:40"),
    ]
    (marks,) = marks_of(events, first=date(2026, 1, 20))
    assert marks == {SunMark.SUNRISE: at("2026-01-20 11:50"), SunMark.SUNSET: at("2026-01-20 12:30")}


def test_hours_of_weekdays_run_over_midnight_and_merge():
    first = date(2026, 8, 14)  # a Friday
    edges = day_edges(first, 4, UTC)
    empty = [{}] * 4
    nights = fishing_hours(parse_hours("20:00-02:00"), (4, 5), first, edges, UTC, empty)
    assert nights.starts.tolist() == [at("2026-08-14 20:00"), at("2026-08-15 20:00")]
    assert nights.ends.tolist() == [at("2026-08-15 02:00"), at("2026-08-16 02:00")]
    weekend = fishing_hours(ANY_HOURS, (5, 6), first, edges, UTC, empty)
    assert (weekend.starts.tolist(), weekend.ends.tolist()) == ([edges[1]], [edges[3]])
    assert fishing_hours(ANY_HOURS, EVERY_DAY, first, edges, UTC, empty) is None


def test_a_skipped_friday_has_no_hours():
    """Samoa went from Thursday 29 to Saturday 31 December 2011 (IANA time zone database)."""
    zone = ZoneInfo("Pacific/Apia")
    first = date(2011, 12, 29)
    edges = day_edges(first, 3, zone)
    fridays = fishing_hours(parse_hours("12:00-14:00"), (4,), first, edges, zone, [{}] * 3)
    assert fridays.starts.size == 0


def test_the_skipped_date_says_so_and_its_neighbours_stand_together(forecast):
    text = one_spot(SEMIDIURNAL, 'light = "any"', zone="Pacific/Apia", latitude=-13.83, longitude=-171.77)
    made = forecast(text, date(2011, 12, 28), days=5)
    days = {item.day: item for item in made.spots[0].days}
    skipped = days[date(2011, 12, 30)]
    assert skipped.start == skipped.end
    assert skipped.no_window.lack is Lack.SKIPPED
    assert (skipped.no_window.strongest, skipped.no_window.best_points) == (0.0, 0.0)
    assert skipped.no_window.best_t is None
    assert not skipped.turns
    assert days[date(2011, 12, 29)].end == days[date(2011, 12, 31)].start
    found = windows_of(made)
    assert all(later.start - earlier.start < 14 * 3600 for earlier, later in pairwise(found))


@pytest.mark.parametrize(
    "first, days", [(date(2011, 12, 25), 5), (date(2011, 12, 31), 3), (date(2012, 1, 1), 3)]
)
def test_spans_beside_the_skipped_date_are_whole(forecast, first, days):
    text = one_spot(SEMIDIURNAL, 'light = "any"', zone="Pacific/Apia", latitude=-13.83, longitude=-171.77)
    made = forecast(text, first, days=days)
    starts = [made.spots[0].days[0].start, *(w.start for w in windows_of(made)), made.spots[0].days[-1].end]
    assert len(starts) > 2 * days - 1
    assert np.diff(starts).max() < 13.2 * 3600  # an ebb every half lunar day, none lost


@pytest.mark.parametrize(
    "zone, day, hours, place",
    [
        ("America/Chicago", date(2026, 3, 8), 23, (29.2, -90.0)),
        ("America/Chicago", date(2026, 11, 1), 25, (29.2, -90.0)),
        ("Australia/Lord_Howe", date(2026, 4, 5), 24.5, (-31.55, 159.08)),
        ("Australia/Lord_Howe", date(2026, 10, 4), 23.5, (-31.55, 159.08)),
    ],
)
def test_days_on_which_clocks_change_hold_their_windows(forecast, zone, day, hours, place):
    text = one_spot(SEMIDIURNAL, 'light = "any"', zone=zone, latitude=place[0], longitude=place[1])
    made = forecast(text, day - timedelta(days=1), days=3)
    changed = made.spots[0].days[1]
    assert (changed.end - changed.start) / 3600 == hours
    same = forecast(text, day, days=1)
    assert windows_of(same) == [item.session.window for item in changed.sessions]
    starts = [window.start for window in windows_of(made)]
    # Two ebbs a lunar day of 24 h 50 min: nothing is lost or doubled at the change.
    assert all(12.0 < gap / 3600 < 13.2 for gap in np.diff(starts))


@pytest.mark.parametrize(
    "zone, longitude", [("Pacific/Kiritimati", -157.4), ("Pacific/Honolulu", -157.4), ("Pacific/Fiji", 179.9),
                        ("Pacific/Pago_Pago", -179.9)],
)  # fmt: skip
def test_both_sides_of_the_date_line_see_the_same_water(forecast, zone, longitude):
    keys = 'light = "any"\npoints = { flow = 100, light = 0, moon = 0 }'
    made = forecast(
        one_spot(SEMIDIURNAL, keys, zone=zone, latitude=2.0, longitude=longitude), date(2026, 8, 10)
    )
    in_utc = forecast(
        one_spot(SEMIDIURNAL, keys, latitude=2.0, longitude=longitude), date(2026, 8, 8), days=12
    )
    first, last = made.spots[0].days[0].start, made.spots[0].days[-1].end
    here = {(item.window, item.start) for item in sessions_of(made)}
    there = {item.window for item in sessions_of(in_utc)}
    assert {window for window, start in here} <= there
    assert {w for w in there if first <= w.start < w.end <= last} <= {window for window, _ in here}
    assert all(first <= start < last for _, start in here)
    for day in made.spots[0].days:
        assert first <= day.start < day.end <= last


def test_southern_summer_evenings_are_light(forecast):
    north = forecast(one_spot(SEMIDIURNAL, latitude=47.0), date(2026, 12, 20), days=1)
    south = forecast(one_spot(SEMIDIURNAL, latitude=-47.0), date(2026, 12, 20), days=1)
    length = [
        day.sun[SunMark.SUNSET] - day.sun[SunMark.SUNRISE]
        for day in (north.spots[0].days[0], south.spots[0].days[0])
    ]
    assert length[0] < 9 * 3600 < 15 * 3600 < length[1]


def test_a_summer_evening_at_60_north_ranks(forecast):
    """Low light lasts for hours there: sunset past ten, no darkness."""
    made = forecast(
        one_spot(SEMIDIURNAL, 'hours = "18:00-24:00"', zone="Europe/Helsinki", latitude=60.0, longitude=22.0),
        date(2026, 6, 15),
        days=14,
    )
    evenings = [item for item in made.ranking if LightLabel.LOW in item.session.light]
    assert len(evenings) >= 5
    best = made.ranking[0]
    assert best.session.light[-1] is LightLabel.LOW
    assert best.session.points.light > 33
    assert best.sun[SunMark.SUNSET] > at(f"{best.day} 22:30", "Europe/Helsinki")
    assert Note.AFTER_DARK not in best.notes


def test_polar_day_and_polar_night(forecast):
    place = {"zone": "Arctic/Longyearbyen", "latitude": 78.2, "longitude": 15.6}
    for first, label, light in (
        (date(2026, 6, 20), LightLabel.DAY, 0.15),
        (date(2026, 12, 20), LightLabel.DARK, 0.3),
    ):
        made = forecast(one_spot(SEMIDIURNAL, **place), first, days=7)
        assert len(made.ranking) >= 7
        for day in made.spots[0].days:
            assert SunMark.SUNRISE not in day.sun
            assert SunMark.SUNSET not in day.sun
        assert {item.session.light for item in made.ranking} == {(label,)}
        curve = made.spots[0].curve
        assert 35 * light == pytest.approx(curve.shares[1].min(), abs=0.01)
    dark = forecast(one_spot(SEMIDIURNAL, "daylight_only = true", **place), date(2026, 12, 20), days=3)
    assert not dark.ranking
    assert {day.no_window.gate for day in dark.spots[0].days} == {SunDown}
    fallback = forecast(
        one_spot(SEMIDIURNAL, 'light = "any"\nhours = "18:00-sunset"', **place), date(2026, 6, 20)
    )
    for window in windows_of(fallback):
        start = at(f"{local_date(window.start, fallback.head.zone)} 18:00", "Arctic/Longyearbyen")
        assert start <= window.start < window.end <= start + 3 * 3600 + 600


def test_a_window_over_midnight_may_give_both_days_a_session(forecast):
    keys = 'light = "night"\nslack_lag = 0'
    made = forecast(one_spot([("K1", 0.5, 0.0), ("O1", 0.5, 0.0)], keys), date(2026, 1, 1), days=60)
    across = [
        (day, item)
        for day in made.spots[0].days
        for item in day.sessions
        if item.session.window.start < day.end < item.session.window.end
        or item.session.window.start < day.start < item.session.window.end
    ]
    assert len(across) >= 10
    for day, item in across:
        assert item.day == day.day
        assert day.start <= item.session.start < day.end
        straddles = item.session.start < day.end < item.session.end
        assert (Note.OVERNIGHT in item.notes) == straddles
    once = [session.start for session in sessions_of(made)]
    assert len(once) == len(set(once)) > len(windows_of(made))


def test_daylight_only_and_greatest_speed_close_a_real_day(forecast):
    made = forecast(one_spot(SEMIDIURNAL, 'light = "any"\ndaylight_only = true'), date(2026, 3, 20))
    for day in made.spots[0].days:
        for item in day.sessions:
            assert item.session.window.start >= day.sun[SunMark.SUNRISE] - 600
            assert item.session.window.end <= day.sun[SunMark.SUNSET] + 600
    limit = 'light = "any"\ngreatest_speed = 0.5\nflow = { strong_ebb = 1.0 }\nslack_lag = 0'
    fast = forecast(one_spot(SEMIDIURNAL, limit), date(2026, 3, 20))
    assert fast.ranking
    curve = fast.spots[0].curve
    for window in windows_of(fast):
        inside = (curve.t >= window.start) & (curve.t < window.end)
        assert curve.outgoing[inside].max() <= 0.5 * KNOT
    reasons = {text for window in windows_of(fast) for text in edges(window)}
    assert "the current passes the spot's greatest speed" in reasons
    assert "the current eases to the spot's greatest speed" in reasons


@pytest.mark.parametrize("water", ["outgoing", "incoming"])
def test_a_session_says_that_the_water_rises_at_its_end_only_where_it_does(forecast, water):
    made = forecast(
        one_spot([("M2", 1.0, 0.0)], f'slack_lag = 0\nlight = "any"\nwater = "{water}"'), date(2026, 1, 5)
    )
    assert made.ranking
    for item in made.ranking:
        end = item.session.end
        first, then = levels(item.spot.station, [end, end + 300.0])
        assert (Note.RISING in item.notes) == (then > first)
