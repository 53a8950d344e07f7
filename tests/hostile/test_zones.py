"""Local days of every time zone of the tz database, 2020 to 2035: every event falls in exactly one.

The dates themselves come from Python's own conversion of instants, which knows nothing of day edges. Many
names have the same clock in these years; each clock is tried over all of them, each name over one of them.
"""

import struct
from collections import defaultdict
from datetime import UTC, date, datetime, timedelta
from importlib import resources
from pathlib import Path
from zoneinfo import TZPATH, ZoneInfo, available_timezones

import numpy as np
import pytest

from harmonics.stations.tides import high_low_waters
from tests.harmonics.conftest import published_station
from windows.astronomy import day_edges, day_index
from windows.astronomy.days import events_by_day
from windows.astronomy.kinds import Body, SkyEvent, SkyEventKind

FIRST, LAST = date(2020, 1, 1), date(2036, 1, 1)
DAYS = (LAST - FIRST).days
DAY = 86400.0
ZONES = sorted(available_timezones())
LONGEST_CHANGE = 3 * 3600.0
"""Clocks of these years are put on or back by three hours at most (Casey, Antarctica; tz database)."""


def zone_file(name: str) -> bytes:
    """The compiled file that Python reads for a zone: the system's, else that of the package tzdata."""
    for folder in TZPATH:
        if (path := Path(folder) / name).is_file():
            return path.read_bytes()
    return resources.files("tzdata").joinpath("zoneinfo", *name.split("/")).read_bytes()


def clock(name: str) -> tuple[object, ...]:
    """All that a zone's file says of its clock from 2020 on: offset, changes, and the rule after the last.

    The layout is RFC 9636's: the second block has its times in eight bytes and is followed by the rule.
    """
    data = zone_file(name)
    assert data[:4] == b"TZif" and data[4:5] >= b"2"
    utc, std, leaps, times, types, letters = struct.unpack_from(">6l", data, 20)
    head = 44 + times * 5 + types * 6 + letters + leaps * 8 + std + utc
    utc, std, leaps, times, types, letters = struct.unpack_from(">6l", data, head + 20)
    instants = struct.unpack_from(f">{times}q", data, head + 44)
    kinds = data[head + 44 + times * 8 :][:times]
    after = head + 44 + times * 9
    offsets = [struct.unpack_from(">l", data, after + i * 6)[0] for i in range(types)]
    rule = data[after + types * 6 + letters + leaps * 12 + std + utc :]
    changes = [(t, offsets[kind]) for t, kind in zip(instants, kinds, strict=True)]
    since = datetime(FIRST.year, 1, 1, tzinfo=UTC).timestamp() - 2 * DAY
    before = [offset for t, offset in changes if t < since]
    return (
        (before or offsets)[-1 if before else 0],
        *(change for change in changes if change[0] >= since),
        rule,
    )


def by_clock() -> list[list[str]]:
    """Names of zones, those of one clock together."""
    found = defaultdict(list)
    for name in ZONES:
        found[clock(name)].append(name)
    return list(found.values())


CLOCKS = by_clock()


@pytest.fixture(scope="module")
def turns():
    """Boston's high and low waters of the years and of two days on either side."""
    start, end = (datetime(day.year, 1, 1, tzinfo=UTC).timestamp() for day in (FIRST, LAST))
    found = high_low_waters(published_station("8443970"), start - 2 * DAY, end + 2 * DAY).turns.t
    assert len(found) > 22_000
    return found


def local_date(t: float, zone: ZoneInfo) -> date:
    return datetime.fromtimestamp(t, UTC).astimezone(zone).date()


def around(edges: np.ndarray) -> np.ndarray:
    """Instants around each day that is not 24 hours long: quarters of an hour, its edges to the second."""
    odd = np.flatnonzero(np.diff(edges) != DAY)
    fine = [edges[i] + np.arange(-4 * 900.0, edges[i + 1] - edges[i] + 5 * 900.0, 900.0) for i in odd]
    exact = [edges[i + k] + np.array([-1.0, 0.0, 1.0]) for i in odd for k in (0, 1)]
    return np.unique(np.concatenate([*fine, *exact])) if len(odd) else np.empty(0)


def test_there_are_hundreds_of_zones_and_most_kinds_of_change():
    assert len(ZONES) > 400
    assert {
        "America/Chicago",
        "Australia/Lord_Howe",
        "Africa/Casablanca",
        "Asia/Beirut",
        "America/Scoresbysund",
    } <= set(ZONES)


def test_every_name_has_the_days_of_its_clock():
    for first, *others in CLOCKS:
        edges = day_edges(date(2026, 1, 1), 365, ZoneInfo(first))
        for other in others:
            assert (day_edges(date(2026, 1, 1), 365, ZoneInfo(other)) == edges).all(), other


@pytest.mark.parametrize("name", [names[0] for names in CLOCKS])
def test_every_event_falls_in_exactly_one_day_and_in_its_own(turns, name):
    zone = ZoneInfo(name)
    edges = day_edges(FIRST, DAYS, zone)
    lengths = np.diff(edges)
    assert edges.shape == (DAYS + 1,)
    assert (lengths > 0).all(), "no zone leaves out a date in these years"
    assert np.abs(lengths - DAY).max() <= LONGEST_CHANGE
    assert lengths.sum() == edges[-1] - edges[0]

    near = around(edges)
    t = np.sort(np.concatenate([turns, near]))
    index = day_index(edges, t)
    assert (np.diff(index) >= 0).all()
    assert ((index == -1) == (t < edges[0])).all()
    assert ((index == DAYS) == (t >= edges[-1])).all()
    counts = np.diff(np.searchsorted(t, edges, side="left"))
    assert (np.bincount(index[(index >= 0) & (index < DAYS)], minlength=DAYS) == counts).all()
    assert counts.sum() == ((t >= edges[0]) & (t < edges[-1])).sum()

    for instant, day in zip(near.tolist(), day_index(edges, near).tolist(), strict=True):
        assert FIRST + timedelta(days=day) == local_date(instant, zone)


@pytest.mark.parametrize("name", ["Pacific/Apia", "Pacific/Kwajalein", "Pacific/Enderbury", "America/Sitka"])
@pytest.mark.parametrize(
    "first", [date(1993, 8, 18), date(1994, 12, 28), date(2011, 12, 28), date(1867, 10, 15)]
)
def test_a_date_that_is_left_out_or_lived_twice(name, first):
    """Kwajalein left out 21 August 1993, the Phoenix Islands a day at the end of 1994, Samoa 30 December
    2011; Sitka lived one twice in 1867 (tz database)."""
    zone = ZoneInfo(name)
    edges = day_edges(first, 7, zone)
    lengths = np.diff(edges)
    lived = {local_date(t, zone) for t in np.arange(edges[0], edges[-1], 900.0).tolist()}
    for index, length in enumerate(lengths):
        assert (length == 0) == (first + timedelta(days=index) not in lived)
    assert (lengths >= 0).all()


@pytest.mark.parametrize(
    "name", ["Asia/Beirut", "America/Havana", "Africa/Casablanca", "Australia/Lord_Howe", "UTC"]
)
def test_lists_of_events_lose_none(turns, name):
    zone = ZoneInfo(name)
    edges = day_edges(FIRST, DAYS, zone)
    events = [SkyEvent(float(t), Body.MOON, SkyEventKind.RISE, None, "") for t in turns]
    days = events_by_day(edges, events)
    assert len(days) == DAYS
    inside = [event for event in events if edges[0] <= event.t < edges[-1]]
    assert [event for day in days for event in day] == inside
