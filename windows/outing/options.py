"""Ways to spend days out that differ in where the bait comes from, each with the best courses it allows."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from harmonics.arrays import Flags
from windows.conditions.bait import KEEPS, GatheringWindow, gathering_before
from windows.outing.beside import ERRAND_COST, WITHOUT_COST, BaitSource, BaitTaken, Otherwise
from windows.outing.ground import Course, Daytime, Ground, Rules, Start, differing
from windows.outing.legs import Walker
from windows.outing.scene import Scene
from windows.outing.solving import solve_each
from windows.shoreline.outings import BaitWish
from windows.shoreline.spots import Bank

MOST = -1
"""As many moves as are allowed."""
_Taken = Callable[[Course], BaitTaken | None]
"""The bait of a course; None where it has none."""


@dataclass(frozen=True, eq=False)
class Option:
    """One way to spend some days.

    Attributes:
        walker: of its problem.
        cost: of its bait, point-hours.
        bait: by day.
        courses: by day, with at most 0, 1, .. moves.
        start: how they begin.
    """

    walker: Walker
    cost: float
    bait: list[BaitTaken | None]
    courses: list[tuple[Course | None, ...]]
    start: Start

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

    def on_the_way(course: Course) -> BaitTaken:
        return BaitTaken(BaitSource.ON_THE_WAY, scene.banks[course.visits[0].place - 1])

    def before(course: Course) -> BaitTaken | None:
        found = _gathered(scene, float(scene.t[course.leave]))
        return None if found is None else BaitTaken(BaitSource.BEFORE, *found)

    ways: list[tuple[float, Start, _Taken]] = [
        (0.0, Start(True, None), on_the_way),
        (ERRAND_COST, Start(False, bait_kept(scene)), before),
    ]
    if scene.outing.bait is BaitWish.IF_POSSIBLE:
        ways.append((WITHOUT_COST, Start(False, None), lambda course: BaitTaken(BaitSource.WITHOUT)))
    elif scene.outing.bait is BaitWish.NONE:
        ways = [(0.0, Start(False, None), lambda course: None)]
    walker = Walker(scene, indices, ground, rules)
    solved = solve_each(ground, rules, daytimes, [start for _, start, _ in ways])
    return [
        Option(
            walker,
            cost,
            [None if (best := of_day[MOST]) is None else taken(best) for of_day in courses],
            courses,
            start,
        )
        for (cost, start, taken), courses in zip(ways, solved, strict=True)
    ]


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
    walker = options[0].walker
    ground, t = walker.ground, walker.scene.t
    changed = [differing(ground, gates, option.start.bait) for option in options]
    days = [d for d, span in enumerate(daytimes) if any(c[span.first : span.last].any() for c in changed)]
    other = replace(ground, ramp_open=gates.ramp_open, way_open=gates.way_open)
    starts = [option.start for option in options]
    solved = solve_each(other, walker.rules, [daytimes[day] for day in days], starts)
    for option, here, courses in zip(options, changed, solved, strict=True):
        for day, (*_, course) in zip(days, courses, strict=True):
            if course is None or not here[daytimes[day].first : daytimes[day].last].any():
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
