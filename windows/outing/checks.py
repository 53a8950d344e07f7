"""How a plan stands: the water at its landing, and what becomes of it when the water comes early or late."""

from collections.abc import Iterator, Sequence

import numpy as np

from harmonics.arrays import Array, Flags
from windows.conditions.assembly import STEP
from windows.forecast.expected import EIGHT_IN_TEN, SHIFT
from windows.forecast.session_reports import DUSK_ALTITUDE
from windows.outing.ground import Course
from windows.outing.legs import Walker
from windows.outing.reports import Broken, IfShifted, Leg, LegKind, RampCheck
from windows.outing.scene import HOUR, Scene

SHIFTS = (-SHIFT, 0.0, SHIFT)
"""The water half an hour early, as predicted, and half an hour late."""
A_DAY = round(86400.0 / STEP)


def ramp_check(scene: Scene, step: int) -> RampCheck | None:
    """The water at the landing at one point in time; None where it wants none."""
    sill = scene.landing.sill
    if sill is None:
        return None
    level = float(scene.level(sill.station)[step])
    shut = np.flatnonzero(~scene.ramp_open())
    before, after = shut[shut < step][-1:], shut[shut > step][:1]
    since = int(before[0]) + 1 if before.size and step - before[0] <= A_DAY else None
    until = int(after[0]) - 1 if after.size and after[0] - step <= A_DAY else None
    return RampCheck(
        t=float(scene.t[step]),
        level=level,
        spare=None if sill.least_level is None else level - sill.least_level,
        depth=None if sill.depth_at_datum is None else level + sill.depth_at_datum,
        since=None if since is None else float(scene.t[since]),
        until=None if until is None else float(scene.t[until]),
    )


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

    A case is one for all spots at once. None where spots differ in the number of their cases.
    """
    worths = [_point_hours(walker.scene.cases(index), part) for index, part in _fished(walker, legs)]
    if len({len(item) for item in worths}) != 1:
        return None
    low, high = np.quantile(np.sum(worths, axis=0) - cost, EIGHT_IN_TEN)
    return float(low), float(high)


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


def _broken(walker: Walker, course: Course, later: int) -> list[Broken]:
    """Places and ways that are shut while the course wants them: each at the first such time."""
    scene, ground, rules = walker.scene, walker.ground, walker.rules
    found: list[Broken] = []

    def look(flags: Flags, first: int, last: int, number: int) -> None:
        shut = np.flatnonzero(~flags[first : last + 1])
        if shut.size:
            found.append(Broken(walker.place(number), float(scene.t[first + shut[0]])))

    ramp = scene.ramp_open(later)
    look(ramp, course.leave + rules.approach, course.away, 0)
    look(ramp, course.ashore - rules.launch, course.ashore, 0)
    at = 0
    for visit in course.visits:
        _look_on_way(walker, at, visit.place, visit.set_off, later, found)
        if visit.place > ground.banks:
            index = walker.indices[visit.place - 1 - ground.banks]
            look(scene.spot_open(index, later), visit.arrived, visit.left, visit.place)
        at = visit.place
    _look_on_way(walker, at, 0, course.visits[-1].left, later, found)
    return found


def _look_on_way(walker: Walker, start: int, end: int, set_off: int, later: int, found: list[Broken]) -> None:
    scene = walker.scene
    taken = scene.route(walker.place(start), walker.place(end))
    if taken is None or taken.sill is None:
        return
    there = set_off + int(walker.ground.ways[start, end])
    shut = np.flatnonzero(~scene.sill_open(taken.sill, later)[set_off : there + 1])
    if shut.size:
        found.append(Broken(walker.place(end), float(scene.t[set_off + shut[0]])))


def dark_stretches(scene: Scene, leave: int, home: int) -> tuple[tuple[float, float], ...]:
    """Stretches of a day out after civil dusk or before dawn, POSIX seconds."""
    dark = scene.reports[0].curve.sun_altitude[leave : home + 1] < DUSK_ALTITUDE
    edges = np.flatnonzero(np.diff(dark.astype(np.int8), prepend=0, append=0)).reshape(-1, 2) + leave
    return tuple((float(scene.t[a]), float(scene.t[b - 1])) for a, b in edges)
