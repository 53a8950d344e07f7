"""Local days: lengths and edges at clock changes and the date line (IANA time zone database), and filing."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from windows.astronomy import Body, SkyEvent, SkyEventKind, day_edges, day_index, events_by_day

HOUR = 3600.0


def utc(*moment: int) -> float:
    return datetime(*moment, tzinfo=UTC).timestamp()


@pytest.mark.parametrize(
    ("zone", "day", "hours"),
    [
        ("America/Chicago", date(2026, 8, 15), 24),
        ("America/Chicago", date(2026, 3, 8), 23),
        ("America/Chicago", date(2026, 11, 1), 25),
        ("Australia/Lord_Howe", date(2026, 10, 4), 23.5),
        ("Australia/Lord_Howe", date(2026, 4, 5), 24.5),
        ("Pacific/Apia", date(2011, 12, 30), 0),  # the date was left out when the date line moved
        ("Pacific/Apia", date(2011, 12, 29), 24),
        ("Pacific/Apia", date(2011, 12, 31), 24),
        ("Pacific/Kwajalein", date(1993, 8, 21), 0),
        ("Pacific/Kwajalein", date(1969, 9, 30), 47),
        ("America/Sao_Paulo", date(2018, 11, 4), 23),  # 0:00 became 1:00
        ("America/Havana", date(2026, 11, 1), 25),  # 1:00 became 0:00: midnight comes twice
        ("Asia/Beirut", date(2025, 10, 25), 25),  # 24:00 became 23:00
        ("America/Toronto", date(1919, 3, 30), 23.5),  # 23:30 became 0:30
        ("America/Toronto", date(1919, 3, 31), 23.5),
        (
            "America/St_Johns",
            date(2006, 10, 28),
            25,
        ),  # 0:01 of the 29th became 23:01 of the 28th
    ],
)
def test_length_of_a_day(zone, day, hours):
    edges = day_edges(day, 1, ZoneInfo(zone))
    assert np.diff(edges) == pytest.approx([hours * HOUR])


def test_a_skipped_midnight_begins_at_the_skip():
    assert day_edges(date(2018, 11, 4), 0, ZoneInfo("America/Sao_Paulo")).tolist() == [utc(2018, 11, 4, 3)]
    assert day_edges(date(1919, 3, 31), 0, ZoneInfo("America/Toronto")).tolist() == [utc(1919, 3, 31, 4, 30)]


def test_a_midnight_that_comes_twice():
    # Clocks from 1:00 back to 0:00: the day begins at the first; from 0:01 back to 23:01: at the second.
    assert day_edges(date(2026, 11, 1), 0, ZoneInfo("America/Havana")).tolist() == [utc(2026, 11, 1, 4)]
    assert day_edges(date(2006, 10, 29), 0, ZoneInfo("America/St_Johns")).tolist() == [
        utc(2006, 10, 29, 3, 30)
    ]


def test_a_negative_number_of_days_is_refused():
    with pytest.raises(ValueError, match="-1"):
        day_edges(date(2026, 1, 1), -1, ZoneInfo("UTC"))


@given(
    st.sampled_from(sorted(available_timezones())),
    st.dates(date(1899, 7, 29), date(2053, 9, 1)),
    st.integers(1, 400),
)
def test_days_follow_each_other_and_carry_their_date(name, first, days):
    zone = ZoneInfo(name)
    edges = day_edges(first, days, zone)
    lengths = np.diff(edges)
    assert edges.shape == (days + 1,)
    assert (lengths >= 0).all()
    for i in np.flatnonzero(lengths > 0):
        middle = datetime.fromtimestamp(edges[i] + lengths[i] / 2, zone)
        assert middle.date() == first + timedelta(days=int(i))


@given(st.sampled_from(sorted(available_timezones())), st.dates(date(1975, 1, 1), date(2037, 1, 1)))
def test_edges_do_not_depend_on_the_first_day(name, first):
    zone = ZoneInfo(name)
    assert day_edges(first, 9, zone)[4:].tolist() == day_edges(first + timedelta(days=4), 5, zone).tolist()


def test_instants_are_filed_half_open():
    edges = [0.0, 10.0, 10.0, 20.0]
    instants = [-0.1, 0.0, 9.9, 10.0, 19.9, 20.0]
    assert day_index(edges, instants).tolist() == [-1, 0, 0, 2, 2, 3]  # the middle day has no hours


def test_events_outside_the_edges_are_left_out():
    events = [SkyEvent(t, Body.MOON, SkyEventKind.RISE, 90.0, "deg") for t in (-5.0, 0.0, 10.0, 20.0)]
    assert [[event.t for event in day] for day in events_by_day([0.0, 10.0, 10.0, 20.0], events)] == [
        [0.0],
        [],
        [10.0],
    ]
    assert events_by_day([0.0, 10.0], []) == [[]]
