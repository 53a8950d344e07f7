"""Why days have no plan: the obstacle whose absence would make a day worth going, found by trying."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from windows.conditions.assembly import STEP
from windows.forecast.reports import Lack, SpotReport
from windows.outing.beside import Otherwise
from windows.outing.ground import Daytime, Ground, Rules
from windows.outing.no_plan import NoPlan, PlanLack
from windows.outing.scene import Scene
from windows.outing.solving import solve
from windows.shoreline.outings import BaitWish

LATE = 6 * 3600.0
"""How long after midnight one might still be out if one's hours allowed it."""
_OBSTACLES = (
    PlanLack.LANDING,
    PlanLack.BAIT,
    PlanLack.LENGTH,
    PlanLack.HOURS,
    PlanLack.HOURS_AND_BAIT,
)
"""In the order in which they are tried."""
_OF_BAIT = (PlanLack.BAIT, PlanLack.HOURS_AND_BAIT)


@dataclass(frozen=True, eq=False)
class LackFinder:
    """Finds the reasons for one group of spots.

    Attributes:
        scene: the shore.
        indices: of the spots among the scene's.
        ground, rules, daytimes: the planning problem.
        bare: the ground were no margin kept; None where that is the same.
    """

    scene: Scene
    indices: tuple[int, ...]
    ground: Ground
    rules: Rules
    daytimes: Sequence[Daytime]
    bare: Ground | None = None

    def of(
        self, days: Sequence[int], worths: Sequence[float], otherwise: Sequence[Otherwise | None]
    ) -> list[NoPlan]:
        """The reasons for some days.

        Args:
            days: their indices.
            worths: the greatest worth there is on each, minus infinity where no day out is possible.
            otherwise: the best of each were no margin kept; None where that changes nothing.
        """
        found = [self._first_look(*known) for known in zip(days, worths, otherwise, strict=True)]
        bait = self.scene.outing.bait is BaitWish.NEEDED
        obstacles = _OBSTACLES if bait else [item for item in _OBSTACLES if item not in _OF_BAIT]
        for ground, obstacle in product(filter(None, (self.ground, self.bare)), obstacles):
            bare = ground is self.bare
            left = [place for place, none in enumerate(found) if none.lack is PlanLack.NO_WATER]
            if bare and obstacle is PlanLack.LANDING:
                continue
            helped = self._without(obstacle, ground, [days[place] for place in left], bait)
            for place, none in zip(left, helped, strict=True):
                if none is not None:
                    found[place] = found[place]._replace(lack=obstacle, instead=none, bare=bare)
        return [
            none._replace(lack=PlanLack.FAINT) if none.lack is PlanLack.NO_WATER and none.worth else none
            for none in found
        ]

    def _first_look(self, day: int, worth: float, bare: Otherwise | None) -> NoPlan:
        """What is plain to see of a day; NO_WATER where it is not."""
        report, points, t = self._nearest_water(day)
        span = self.daytimes[day]
        lack = PlanLack.NO_WATER
        if self._is_today(day) and self.scene.step(self.scene.outlook.now) >= span.last:
            lack = PlanLack.OVER
        elif self._is_off(day):
            lack = PlanLack.DAY_OFF
        elif span.last <= span.first:
            lack = PlanLack.NO_TIME
        elif bare is not None and bare.worth >= self.scene.outing.keep:
            lack = PlanLack.MARGIN
        return NoPlan(
            lack=lack,
            worth=worth if np.isfinite(worth) else None,
            needed=self.scene.outing.keep,
            instead=bare if lack is PlanLack.MARGIN else None,
            spot=report.spot,
            points=points,
            t=t,
            no_window=report.days[day].no_window,
        )

    def _without(
        self, obstacle: PlanLack, ground: Ground, days: Sequence[int], bait: bool
    ) -> list[Otherwise | None]:
        """Worth, leaving and coming home of each day with an obstacle away; None where it is no help."""
        rules = self.rules._replace(bait=bait and obstacle not in _OF_BAIT)
        spans = [self.daytimes[day] for day in days]
        if obstacle is PlanLack.LANDING:
            ground = self.scene.ground(self.indices, 0, free_ramp=True) if days else ground
        elif obstacle is PlanLack.LENGTH:
            rules = rules._replace(longest=None)
        elif obstacle in (PlanLack.HOURS, PlanLack.HOURS_AND_BAIT):
            spans = [self._whole(day) for day in days]
        courses = [found[-1] for found in solve(ground, rules, spans)]
        return [
            Otherwise(course.worth, float(self.scene.t[course.leave]), float(self.scene.t[course.home]))
            if course is not None and course.worth >= self.scene.outing.keep
            else None
            for course in courses
        ]

    def _whole(self, day: int) -> Daytime:
        """From midnight, or now, until well after the next."""
        report = self.scene.reports[0].days[day]
        first = self.scene.outlook.now if self._is_today(day) else report.start
        last, latest = self.scene.step(report.end + LATE), self.scene.step(report.end - 1e-3)
        return Daytime(self.scene.step(first + STEP - 1e-3), last, latest)

    def _is_today(self, day: int) -> bool:
        report = self.scene.reports[0].days[day]
        return report.start <= self.scene.outlook.now < report.end

    def _is_off(self, day: int) -> bool:
        """Whether the day is none of a person's at any of the spots."""
        found = (self.scene.reports[index].days[day].no_window for index in self.indices)
        return all(item is not None and item.lack is Lack.DAY_OFF for item in found)

    def _nearest_water(self, day: int) -> tuple[SpotReport, float, float | None]:
        """The spot with the day's highest expected points, those points and their time."""
        best: tuple[SpotReport, float, float | None] | None = None
        for index in self.indices:
            report = self.scene.reports[index]
            part = slice(*np.searchsorted(self.scene.t, [report.days[day].start, report.days[day].end]))
            points = self.scene.expected[index][part]
            most = float(points.max(initial=0.0))
            if best is None or most > best[1]:
                t = float(self.scene.t[part][int(points.argmax())]) if most > 0 else None
                best = report, most, t
        assert best is not None
        return best
