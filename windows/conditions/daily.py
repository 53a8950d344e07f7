"""What each local day gives: the sun's marks, and the stretches in which a person can fish."""

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np

from harmonics.arrays import Array
from windows.astronomy import Body, SkyEvent, SkyEventKind
from windows.conditions.intervals import Intervals
from windows.shoreline.hours import Hours, SunMark, SunTimes, clock, range_of

NOON = 12 * 3600.0
LONGEST_HALF_DAY = 18 * 3600.0
"""A rise or set belongs to the day's sun when it lies this near the sun's transit."""

_MORNING = {SunMark.DAWN: SkyEventKind.CIVIL_DAWN, SunMark.SUNRISE: SkyEventKind.RISE}
_EVENING = {SunMark.SUNSET: SkyEventKind.SET, SunMark.DUSK: SkyEventKind.CIVIL_DUSK}


def sun_marks(
    events: Sequence[SkyEvent], first: date, edges: Array, zone: ZoneInfo
) -> list[dict[SunMark, float]]:
    """Dawn, sunrise, sunset and dusk of each local day; a mark that does not happen is absent.

    Morning marks are the last before the sun's transit, evening marks the first after it: where the sun
    sets after midnight, that sunset ends the day before.

    Args:
        events: of the place, sorted, reaching a day beyond both edges.
        first: date of the first day.
        edges: POSIX seconds of the days' edges, shape (days + 1,).
        zone: of the clock.
    """
    times = {
        kind: np.array([event.t for event in events if event.body is Body.SUN and event.kind is kind])
        for kind in (*_MORNING.values(), *_EVENING.values(), SkyEventKind.UPPER_TRANSIT)
    }
    marks: list[dict[SunMark, float]] = []
    for day, (start, end) in enumerate(pairwise(edges)):
        transits = times[SkyEventKind.UPPER_TRANSIT]
        inside = transits[(transits >= start) & (transits < end)]
        noon = float(inside[0]) if inside.size else clock(first + timedelta(days=day), NOON, zone)
        found: dict[SunMark, float] = {}
        for mark, kind in _MORNING.items():
            near = times[kind][(times[kind] < noon) & (times[kind] > noon - LONGEST_HALF_DAY)]
            if near.size:
                found[mark] = float(near[-1])
        for mark, kind in _EVENING.items():
            near = times[kind][(times[kind] >= noon) & (times[kind] < noon + LONGEST_HALF_DAY)]
            if near.size:
                found[mark] = float(near[0])
        marks.append(found)
    return marks


def season(months: Sequence[int], first: date, edges: Array) -> Intervals | None:
    """Stretches of local days whose month is one of those; None where every day's is."""
    days = [first + timedelta(days=index) for index in range(len(edges) - 1)]
    if all(day.month in months for day in days):
        return None
    pairs = [
        (float(edges[index]), float(edges[index + 1]))
        for index, day in enumerate(days)
        if day.month in months and edges[index + 1] > edges[index]
    ]
    return Intervals.merged(pairs)


def fishing_hours(
    hours: Hours, weekdays: Sequence[int], first: date, edges: Array, zone: ZoneInfo, marks: list[SunTimes]
) -> Intervals | None:
    """Stretches in which a person can fish over the given local days; None for any time.

    A range belongs to the day it starts in, so a weekday's range may run into the next day. A date that the
    calendar skips has none.
    """
    if hours.any and len(set(weekdays)) == 7:
        return None
    pairs: list[tuple[float, float]] = []
    for index in range(len(edges) - 1):
        day = first + timedelta(days=index)
        if day.weekday() not in weekdays or edges[index + 1] <= edges[index]:
            continue
        if hours.any:
            pairs.append((float(edges[index]), float(edges[index + 1])))
            continue
        following = marks[min(index + 1, len(marks) - 1)]
        found = range_of(hours, day, zone, marks[index], following)
        if found is not None:
            pairs.append(found)
    return Intervals.merged(pairs)
