"""Ways to spend days out that differ in where the bait comes from, each with the best courses it allows."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from harmonics.arrays import Flags
from windows.conditions.bait import KEEPS, GatheringWindow, gathering_before
from windows.outing.beside import ERRAND_COST, WITHOUT_COST, BaitSource, BaitTaken, Otherwise
from windows.outing.ground import Course, Daytime, Ground, Rules, differing
from windows.outing.legs import Walker
from windows.outing.scene import Scene
from windows.outing.solving import solve
from windows.shoreline.outings import BaitWish
from windows.shoreline.spots import Bank

MOST = -1
"""As many moves as are allowed."""


@dataclass(frozen=True, eq=False)
class Option:
    """One way to spend some days.

    Attributes:
        walker: of its problem.
        cost: of its bait, point-hours.
        bait: by day.
        courses: by day, with at most 0, 1, .. moves.
    """

    walker: Walker
    cost: float
    bait: list[BaitTaken | None]
    courses: list[tuple[Course | None, ...]]

    def worth(self, day: int, moves: int = MOST) -> float:
        """Point-hours of a day's best course; minus infinity where there is none."""
        course = self.courses[day][moves]
        return -np.inf if course is None else course.worth - self.cost


def best_of(options: Sequence[Option], day: int, moves: int = MOST) -> Option:
    """The option that gives a day most; of those that give as much the first."""
    return max(options, key=lambda option: option.worth(day, moves))


def options_of(
    scene: Scene, indices: tuple[int, ...], ground: Ground, rules: Rules, daytimes: Sequence[Daytime]
) -> list[Option]:
    """Ways to get bait or to do without, each with what it costs."""

    def option(
        ground: Ground, bait: bool, cost: float, taken: Callable[[Course], BaitTaken | None]
    ) -> Option:
        bound = replace(rules, bait=bait)
        courses = solve(ground, bound, daytimes)
        found = [None if (best := of_day[MOST]) is None else taken(best) for of_day in courses]
        return Option(Walker(scene, indices, ground, bound), cost, found, courses)

    def on_the_way(course: Course) -> BaitTaken:
        return BaitTaken(BaitSource.ON_THE_WAY, scene.banks[course.visits[0].place - 1])

    def before(course: Course) -> BaitTaken | None:
        found = _gathered(scene, float(scene.t[course.leave]))
        return None if found is None else BaitTaken(BaitSource.BEFORE, *found)

    wish = scene.outing.bait
    if wish is BaitWish.NONE:
        return [option(ground, False, 0.0, lambda course: None)]
    errand = replace(ground, leave_open=bait_kept(scene))
    found = [option(ground, True, 0.0, on_the_way), option(errand, False, ERRAND_COST, before)]
    if wish is BaitWish.IF_POSSIBLE:
        without = BaitTaken(BaitSource.WITHOUT)
        found.append(option(ground, False, WITHOUT_COST, lambda course: without))
    return found


def with_gates(
    options: Sequence[Option], gates: Ground, daytimes: Sequence[Daytime]
) -> list[Otherwise | None]:
    """The best of each day with the landing and the ways as open as on another ground.

    Args:
        options: solved.
        gates: has the other gates.
        daytimes: that they were solved for.

    Returns:
        By day; None where those gates change nothing, or no day out is possible.
    """
    found: list[Otherwise | None] = [None] * len(daytimes)
    for option in options:
        ground, rules, t = option.walker.ground, option.walker.rules, option.walker.scene.t
        changed = differing(ground, gates, rules.bait)
        days = [day for day, span in enumerate(daytimes) if changed[span.first : span.last].any()]
        other = replace(ground, ramp_open=gates.ramp_open, way_open=gates.way_open)
        solved = solve(other, rules, [daytimes[day] for day in days])
        for day, (*_, course) in zip(days, solved, strict=True):
            if course is None:
                continue
            told = Otherwise(course.worth - option.cost, float(t[course.leave]), float(t[course.home]))
            found[day] = max(filter(None, (found[day], told)), key=lambda item: item.worth)
    return found


def bait_kept(scene: Scene) -> Flags:
    """Points in time at which bait gathered before is fresh; from now on, only what is yet to come."""
    t, now, gather = scene.t, scene.outlook.now, scene.outing.gather
    kept = np.zeros(len(t), dtype=bool)
    for window in (window for windows in scene.gathering for window in windows):
        fresh = (t >= window.end) & (t <= window.end + KEEPS)
        if window.end - window.start >= gather:
            kept |= fresh & (t < now)
        if window.end - max(window.start, now) >= gather:
            kept |= fresh & (t >= now)
    return kept


def _gathered(scene: Scene, leave: float) -> tuple[Bank, GatheringWindow] | None:
    """The last stretch before leaving in which bait could be gathered, and where."""
    begun = scene.outlook.now if leave >= scene.outlook.now else -np.inf
    found: list[tuple[Bank, GatheringWindow]] = []
    for bank, windows in zip(scene.banks, scene.gathering, strict=True):
        fit = tuple(w for w in windows if w.end - max(w.start, begun) >= scene.outing.gather)
        window = gathering_before(fit, leave)
        if window is not None:
            found.append((bank, window))
    return max(found, key=lambda pair: pair[1].end, default=None)
