"""A course in whole steps told as legs by the clock, with the water of each."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from windows.conditions.assembly import STEP
from windows.forecast.preparations import lead_slips, readings
from windows.outing.beside import GateUse
from windows.outing.gate_uses import gate_use
from windows.outing.ground import Course, Ground, Rules, Visit
from windows.outing.reports import Leg, LegKind, LegWind, Spent
from windows.outing.scene import Scene, steps_of
from windows.shoreline.routes import Place, Route

Spendings = list[tuple[Spent, int]]


@dataclass(frozen=True, eq=False)
class Walker:
    """Tells the courses of one planning problem as legs.

    Attributes:
        scene: the shore.
        indices: of the problem's spots among the scene's reports.
        ground, rules: the problem.
    """

    scene: Scene
    indices: tuple[int, ...]
    ground: Ground
    rules: Rules

    def place(self, number: int) -> Place:
        """The place of that number."""
        first = 1 + self.ground.banks
        return self.scene.places[number if number < first else first + self.indices[number - first]]

    def legs(self, course: Course) -> tuple[Leg, ...]:
        """The whole day, each leg starting where the one before ends."""
        out = [self._leaving(course)]
        at, since = 0, course.away
        stops = 0
        for visit in course.visits:
            spent: Spendings = [
                (Spent.WAIT, visit.set_off - since),
                (Spent.WAY, visit.arrived - visit.set_off),
            ]
            if visit.place <= self.ground.banks:
                out.append(self._travel(at, visit.place, since, spent, 0.0))
                since = visit.arrived + self.rules.gather
                out.append(self._gathering(visit, since))
            else:
                cost = -self.rules.move_cost if stops else 0.0
                stops += 1
                for leg in self._stay(at, visit, since, spent, cost):
                    out.append(leg)
                    since = self.scene.step(leg.end)
            at = visit.place
        last = course.visits[-1]
        down = course.ashore - self.rules.launch
        way = int(self.ground.ways[at, 0])
        spent = [
            (Spent.WAIT, last.left - since),
            (Spent.WAY, way),
            (Spent.WAIT, down - last.left - way),
        ]
        out.append(self._travel(at, 0, since, spent, 0.0))
        return (*out, *self._homecoming(course, down))

    def _t(self, step: int) -> float:
        return float(self.scene.t[0] + STEP * step)

    def _water(self, step: int) -> tuple[float | None, float | None]:
        """Level and depth at the landing; None where it wants no water, or the depth is not known."""
        sill = self.scene.landing.sill
        if sill is None:
            return None, None
        level = float(self.scene.level(sill.station)[step])
        return level, None if sill.depth_at_datum is None else level + sill.depth_at_datum

    def _leaving(self, course: Course) -> Leg:
        level, depth = self._water(course.away)
        return Leg(
            LegKind.LEAVE,
            self.scene.landing,
            self._t(course.leave),
            self._t(course.away),
            spent=_seconds([(Spent.HOME_WAY, self.rules.approach), (Spent.LAUNCH, self.rules.launch)]),
            level=level,
            depth=depth,
            gate=self._landing_used(course.leave + self.rules.approach, course.away),
        )

    def _landing_used(self, first: int, last: int) -> GateUse | None:
        return gate_use(self.scene, self.scene.landing.sill, first, last)

    def _homecoming(self, course: Course, down: int) -> tuple[Leg, Leg]:
        launch, approach = self.rules.launch, self.rules.approach
        level, depth = self._water(down)
        ashore, home = self._t(course.ashore), self._t(course.home)
        landing = Leg(
            LegKind.LAND,
            self.scene.landing,
            self._t(down),
            ashore,
            spent=_seconds([(Spent.LAUNCH, launch)]),
            level=level,
            depth=depth,
            gate=self._landing_used(down, course.ashore),
        )
        return landing, Leg(LegKind.HOME, None, ashore, home, spent=_seconds([(Spent.HOME_WAY, approach)]))

    def _travel(self, start: int, end: int, since: int, spent: Spendings, worth: float) -> Leg:
        there = since + sum(steps for _, steps in spent)
        route = self._route(start, end)
        return Leg(
            LegKind.TRAVEL,
            self.place(end),
            self._t(since),
            self._t(there),
            worth,
            _seconds(spent),
            route=route,
            wind=None if route is None else self._wind(since, there),
            gate=None if route is None else self._way_used(route, since, spent),
        )

    def _way_used(self, route: Route, since: int, spent: Spendings) -> GateUse | None:
        """The water of a way while it is passed, after what is waited before."""
        place = [what for what, _ in spent].index(Spent.WAY)
        set_off = since + sum(steps for _, steps in spent[:place])
        return gate_use(self.scene, route.sill, set_off, set_off + spent[place][1])

    def _wind(self, first: int, last: int) -> LegWind | None:
        """The strongest of a way; None where the weather is not known."""
        weather = self.scene.outlook.weather
        if weather is None:
            return None
        from harmonics.records.quantities import Quantity

        t = self._t(first) + STEP * np.arange(last - first + 1)
        speed, gust, whence = (
            weather.at(item, t) for item in (Quantity.WIND_SPEED, Quantity.GUST, Quantity.WIND_FROM)
        )
        if not np.isfinite(speed).any():
            return None
        worst = int(np.nanargmax(speed))
        gusts = float(np.nanmax(gust)) if np.isfinite(gust).any() else None
        turned = float(whence[worst]) if np.isfinite(whence[worst]) else None
        return LegWind(float(speed[worst]), gusts, turned)

    def _route(self, start: int, end: int) -> Route | None:
        return None if start == end else self.scene.route(self.place(start), self.place(end))

    def _gathering(self, visit: Visit, end: int) -> Leg:
        bank = self.scene.banks[visit.place - 1]
        level = float(self.scene.level(bank.station)[visit.arrived])
        return Leg(LegKind.GATHER, bank, self._t(visit.arrived), self._t(end), level=level)

    def _stay(self, at: int, visit: Visit, since: int, spent: Spendings, cost: float) -> Iterator[Leg]:
        """The way to a spot and what is fished there, with the waiting between."""
        row = visit.place - 1 - self.ground.banks
        begun = visit.arrived + self.rules.set_up
        move = min(steps_of(self.scene.outing.move), self.rules.set_up)
        spent = [*spent, (Spent.SET_UP, move), (Spent.SETTLE, self.rules.set_up - move)]
        fished = np.flatnonzero(np.diff(self.ground.worth[row, begun : visit.left] > 0, prepend=0, append=0))
        for first, last in (fished.reshape(-1, 2) + begun).tolist():
            waited = first - since - sum(steps for _, steps in spent)
            yield self._travel(at, visit.place, since, [*spent, (Spent.WAIT, waited)], cost)
            yield self._fishing(row, first, last)
            at, since, spent, cost = visit.place, last, [], 0.0
        if not fished.size:
            yield self._travel(at, visit.place, since, spent, cost)

    def _fishing(self, row: int, first: int, last: int) -> Leg:
        report = self.scene.reports[self.indices[row]]
        spot, flow, curve = report.spot, report.flow, report.curve
        best = first + int(self.scene.expected[self.indices[row]][first : last + 1].argmax())
        water = tuple(readings(spot, flow, curve.steps(np.array([first, best, last])), 3)[0])
        start, end = self._t(first), self._t(last)
        chance = self.scene.chance(self.indices[row], slice(first, last + 1))
        return Leg(
            LegKind.FISH,
            spot,
            start,
            end,
            float(self.ground.worth[row, first:last].sum()),
            level=water[1].level,
            depth=water[1].depth,
            speed=water[1].going if flow.has_speed else None,
            readings=water,
            chance=chance,
            lead_slips=lead_slips(spot, flow, curve, start, end),
        )


def _seconds(spent: Spendings) -> tuple[tuple[Spent, float], ...]:
    return tuple((what, steps * STEP) for what, steps in spent if steps > 0)
