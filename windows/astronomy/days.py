"""Local days: their edges, and what falls in which."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array, Ints
from windows.astronomy.kinds import SkyEvent

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
SECOND = timedelta(seconds=1)


def day_edges(first: date, days: int, zone: ZoneInfo) -> Array:
    """Edges of local days, POSIX seconds, (days + 1,): day i is the half-open edges[i]..edges[i + 1].

    Days of 23, 23.5 or 25 hours are ordinary, and a date skipped at the date line has none. Where clocks skip
    midnight, the day begins at the skip. Where midnight comes twice, it begins when its date last follows the
    date before: at the first if 1:00 went back to 0:00, at the second if 0:01 went back to 23:01.
    """
    if days < 0:
        raise ValueError(f"a number of days cannot be negative, found {days}")
    return np.array([_day_start(first + timedelta(days=i), zone) for i in range(days + 1)], np.float64)


def day_index(edges: ArrayLike, t: ArrayLike) -> Ints:
    """Day of each instant, same shape as t: -1 before the first edge, days (edges - 1) from the last on."""
    return np.asarray(np.searchsorted(np.asarray(edges, np.float64), t, side="right") - 1, np.int64)


def events_by_day(edges: ArrayLike, events: Sequence[SkyEvent]) -> list[list[SkyEvent]]:
    """Events of each day, in the order given; those outside the edges are left out."""
    days = np.asarray(edges).size - 1
    out: list[list[SkyEvent]] = [[] for _ in range(days)]
    for event, day in zip(events, day_index(edges, [event.t for event in events]).tolist(), strict=True):
        if 0 <= day < days:
            out[day].append(event)
    return out


def _day_start(day: date, zone: ZoneInfo) -> float:
    midnight = datetime.combine(day, time(), tzinfo=zone)
    first, second = _posix(midnight), _posix(midnight.replace(fold=1))
    if first == second:
        return first
    if first > second:  # skipped: `first` reads the old offset, `second` the new one
        return _date_begins(day, zone, second - 1, first)
    return second if _local(second - 1, zone).date() < day else first


def _date_begins(day: date, zone: ZoneInfo, before: int, after: int) -> float:
    """First whole second on which the local date is `day` or later, by halving before < x <= after."""
    while after - before > 1:
        middle = (before + after) // 2
        if _local(middle, zone).date() >= day:
            after = middle
        else:
            before = middle
    return after


def _posix(local: datetime) -> int:
    """Whole seconds: exact at midnight, and free of the platform's limits on time stamps."""
    return (local - EPOCH) // SECOND


def _local(t: int, zone: ZoneInfo) -> datetime:
    return (EPOCH + t * SECOND).astimezone(zone)
