"""How a plan stands: what becomes of it when the water comes early or late, and what of it is in the dark.

Here a landing or way is shut where its water is gone: the margin of a day out is there to be used up.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array, Flags
from windows.conditions.assembly import STEP
from windows.forecast.expected import SHIFT, eight_in_ten
from windows.forecast.session_reports import DUSK_ALTITUDE
from windows.outing.beside import AtBadTenth, Broken, IfShifted, Shut
from windows.outing.ground import LANDING, Course
from windows.outing.legs import Walker
from windows.outing.reports import Leg, LegKind
from windows.outing.scene import HOUR, Scene
from windows.shoreline.outings import Sill

SHIFTS = (-SHIFT, 0.0, SHIFT)
"""The water half an hour early, as predicted, and half an hour late."""


def if_shifted(walker: Walker, course: Course, legs: Sequence[Leg], seconds: float, cost: float) -> IfShifted:
    """The same legs by the same clock with the water coming some seconds later: one of `SHIFTS`."""
    worth = -cost
    for index, part in _fished(walker, legs):
        report = walker.scene.reports[index]
        early, late = report.early_late
        points = early if seconds < 0 else late if seconds > 0 else report.curve.total
        worth += float(_point_hours(points, part))
    broken = _broken(walker, course, round(seconds / STEP))
    return IfShifted(seconds, worth, tuple(sorted(broken, key=lambda item: item.t)))


def worth_range(walker: Walker, legs: Sequence[Leg], cost: float) -> tuple[float, float] | None:
    """Worth of the same legs that eight in ten cases of how wrong the water can be lie in.

    A case is one for all spots at once. None where their cases are not the same.
    """
    fished = tuple(_fished(walker, legs))
    gauges = {walker.scene.gauge(index) for index, _ in fished}
    if len(gauges) != 1:
        return None
    worths = [_point_hours(walker.scene.cases(index).points, part) for index, part in fished]
    low, high = eight_in_ten(np.sum(worths, axis=0) - cost, gauges != {None})
    return float(low), float(high)


def at_bad_tenth(walker: Walker, course: Course, legs: Sequence[Leg], cost: float) -> AtBadTenth | None:
    """The same legs by the same clock in the cases of a gauge's record; None where no one record has them."""
    gauges = {walker.scene.gauge(index) for index, _ in _fished(walker, legs)}
    reach = worth_range(walker, legs, cost)
    gauge = gauges.pop() if gauges else None
    if reach is None or gauge is None:
        return None
    shut: dict[int, list[Flags]] = {}
    for need in _needs(walker, course):
        flags = _open_in_cases(walker.scene, need.what, gauge)
        if flags is not None:
            found = np.asarray(~flags[:, need.first : need.last + 1].all(axis=1))
            shut.setdefault(need.place, []).append(found)
    shares = [Shut(walker.place(place), float(np.any(found, axis=0).mean())) for place, found in shut.items()]
    often = sorted((item for item in shares if item.share > 0.0), key=lambda item: -item.share)
    return AtBadTenth(reach[0], tuple(often))


def _open_in_cases(scene: Scene, what: Sill | int, gauge: str) -> Flags | None:
    return scene.sill_open_in_cases(what, gauge) if isinstance(what, Sill) else scene.cases(what).open


def _fished(walker: Walker, legs: Sequence[Leg]) -> Iterator[tuple[int, slice]]:
    """Each leg that fishes, as its spot's place among the scene's and its part of the steps."""
    scene = walker.scene
    for leg in legs:
        if leg.kind is LegKind.FISH:
            index = next(i for i in walker.indices if scene.reports[i].spot is leg.place)
            yield index, slice(scene.step(leg.start), scene.step(leg.end) + 1)


def _point_hours(points: Array, part: slice) -> Array:
    """Points times hours over a part of the steps, ends counting half."""
    inside = points[..., part]
    return np.asarray((0.5 * (inside[..., 1:] + inside[..., :-1])).sum(axis=-1) * STEP / HOUR)


class _Need(NamedTuple):
    """Water that a course wants from one point in time to another.

    Attributes:
        place: number of the place that it is wanted at, or on the way to.
        first, last: points in time.
        what: the landing's or the way's, or a spot by its place among the scene's.
        way: whether it is that of a way.
    """

    place: int
    first: int
    last: int
    what: Sill | int
    way: bool = False


def _broken(walker: Walker, course: Course, later: int) -> list[Broken]:
    """Places and ways that are shut while the course wants them: each at the first such time."""
    scene = walker.scene
    found: list[Broken] = []
    for need in _needs(walker, course):
        what = need.what
        flags = scene.sill_open(what, later) if isinstance(what, Sill) else scene.spot_open(what, later)
        shut = np.flatnonzero(~flags[need.first : need.last + 1])
        if shut.size:
            found.append(Broken(walker.place(need.place), float(scene.t[need.first + shut[0]]), need.way))
    return found


def _needs(walker: Walker, course: Course) -> Iterator[_Need]:
    ground, rules = walker.ground, walker.rules
    ramp = walker.scene.landing.sill
    if ramp is not None:
        yield _Need(LANDING, course.leave + rules.approach, course.away, ramp)
        yield _Need(LANDING, course.ashore - rules.launch, course.ashore, ramp)
    at = LANDING
    for visit in course.visits:
        yield from _on_the_way(walker, at, visit.place, visit.set_off)
        if visit.place > ground.banks:
            index = walker.indices[visit.place - 1 - ground.banks]
            yield _Need(visit.place, visit.arrived, visit.left, index)
        at = visit.place
    yield from _on_the_way(walker, at, LANDING, course.visits[-1].left)


def _on_the_way(walker: Walker, start: int, end: int, set_off: int) -> Iterator[_Need]:
    taken = walker.scene.route(walker.place(start), walker.place(end))
    if taken is not None and taken.sill is not None:
        yield _Need(end, set_off, set_off + int(walker.ground.ways[start, end]), taken.sill, way=True)


def dark_stretches(scene: Scene, leave: int, home: int) -> tuple[tuple[float, float], ...]:
    """Stretches of a day out after civil dusk or before dawn, POSIX seconds."""
    dark = scene.reports[0].curve.sun_altitude[leave : home + 1] < DUSK_ALTITUDE
    edges = np.flatnonzero(np.diff(dark.astype(np.int8), prepend=0, append=0)).reshape(-1, 2) + leave
    return tuple((float(scene.t[a]), float(scene.t[b - 1])) for a, b in edges)
