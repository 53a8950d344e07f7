"""The sun outside the ephemeris; its figures are checked against the exact sun in test_peers.py."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from windows.astronomy import Body, SkyEventKind, approximate_sun_events, day_edges, events_by_day
from windows.astronomy.timescales import DAY

ALL = {
    SkyEventKind.RISE,
    SkyEventKind.SET,
    SkyEventKind.CIVIL_DAWN,
    SkyEventKind.CIVIL_DUSK,
    SkyEventKind.NAUTICAL_DAWN,
    SkyEventKind.NAUTICAL_DUSK,
    SkyEventKind.UPPER_TRANSIT,
    SkyEventKind.LOWER_TRANSIT,
}


def utc(*moment: int) -> float:
    return datetime(*moment, tzinfo=UTC).timestamp()


@pytest.mark.parametrize("year", [1776, 1880, 2061, 2400])
def test_each_local_day_has_each_event_once(year):
    # Far enough west in its zone that lower transits keep clear of midnight.
    edges = day_edges(date(year, 1, 5), 350, ZoneInfo("America/Chicago"))
    days = events_by_day(edges, approximate_sun_events(29.2, -97.0, edges[0], edges[-1]))
    for day in days:
        assert {event.kind for event in day} == ALL
        assert len(day) == len(ALL)
        assert {event.body for event in day} == {Body.SUN}
        assert {event.unit for event in day} == {"deg"}


@examples(30)
@given(
    st.floats(-55, 55), st.floats(-180, 180), st.floats(utc(1700, 1, 1), utc(2300, 1, 1)), st.integers(1, 40)
)
def test_every_event_recurs_daily(latitude, longitude, start, days):
    # Neither lost nor told twice around 0 h UTC, wherever that falls in the local day. Below 55 degrees rise,
    # set and civil twilight never fail; from day to day they shift by a few minutes.
    events = approximate_sun_events(latitude, longitude, start, start + days * DAY)
    for kind in ALL - {SkyEventKind.NAUTICAL_DAWN, SkyEventKind.NAUTICAL_DUSK}:
        t = np.array([event.t for event in events if event.kind is kind])
        assert abs(len(t) - days) <= 1
        assert (np.abs(np.diff(t) - DAY) < 8 * 60).all()
    t = [event.t for event in events]
    assert t == sorted(t)
    assert all(start <= when < start + days * DAY for when in t)


def test_polar_days_are_ordinary():
    summer = approximate_sun_events(70.0, 19.0, utc(2100, 6, 10), utc(2100, 7, 10))
    assert {event.kind for event in summer} == {SkyEventKind.UPPER_TRANSIT, SkyEventKind.LOWER_TRANSIT}
    winter = approximate_sun_events(70.0, 19.0, utc(2100, 12, 10), utc(2101, 1, 3))
    kinds = {event.kind for event in winter}
    assert SkyEventKind.RISE not in kinds
    assert SkyEventKind.CIVIL_DAWN in kinds


@pytest.mark.parametrize("latitude", [90.0, -90.0])
def test_the_poles_have_transits_at_least(latitude):
    events = approximate_sun_events(latitude, 0.0, utc(2100, 6, 10), utc(2100, 6, 20))
    assert len([event for event in events if event.kind is SkyEventKind.UPPER_TRANSIT]) == 10


@pytest.mark.parametrize(
    ("start", "end"), [(-1e15, -1e15 + DAY), (1e15, 1e15 + DAY), (utc(9999, 1, 1), utc(9999, 1, 3))]
)
def test_years_beyond_the_calendar_are_refused(start, end):
    with pytest.raises(ValueError, match="from the year 2 to 9998"):
        approximate_sun_events(0.0, 0.0, start, end)


def test_coordinates_out_of_range_are_refused():
    with pytest.raises(ValueError, match="latitude 91 is not between"):
        approximate_sun_events(91.0, 0.0, 0.0, DAY)
