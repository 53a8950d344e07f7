"""Days out of a shore: conditions sampled, the best course of each day found, and what stands beside it."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import numpy as np

from harmonics.errors import EbblightError, FileProblemsError, Problem, UnknownNameError
from windows.conditions.assembly import STEP
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.forecast.reports import DayReport, Forecast
from windows.outing.beside import Otherwise, SingleStop
from windows.outing.checks import SHIFTS, at_bad_tenth, dark_stretches, if_shifted, worth_range
from windows.outing.ground import Course, Daytime, Rules, differing
from windows.outing.lacks import LackFinder
from windows.outing.legs import Walker
from windows.outing.options import Option, best_of, options_of, with_gates
from windows.outing.reports import DayOut, FlowGroup, LegKind, Plan, PlanList, PlannedWater, Plans
from windows.outing.scene import Scene, steps_of
from windows.shoreline.hours import instant
from windows.shoreline.outing_file import never_home
from windows.shoreline.outings import DayTime, Landing, Outing
from windows.shoreline.routes import Place, Route, RouteSource
from windows.shoreline.shore import Shore
from windows.shoreline.spots import Spot

LOOK_AHEAD = 14
"""Days looked at for the next good one where fewer are asked for."""
LEAST_LOOK = 7
"""A landing that has no water in so many days is a mistake in the file."""
LITTLE = 1e-6
"""Point-hours: less than this is no difference."""
BEYOND = 1
"""A day out may end on the day after."""


def make_plans(
    shore: Shore,
    spots: Sequence[Spot],
    first: date,
    days: int,
    outlook: Outlook,
    outing: Outing | None = None,
    mix: bool = False,
    progress: Callable[[int], None] | None = None,
) -> Plans:
    """The best day out of each local day.

    Args:
        shore: the file the spots come from.
        spots: at least one of its spots.
        first: first local day.
        days: number of local days, at least 1.
        outlook: the clock, and what is known beyond astronomy.
        outing: what one wants; the file's where None.
        mix: True puts spots with a speed and spots known by their fall alone in one plan.
        progress: called with the number of spots done.

    Raises:
        EbblightError: the file has no landing, the landing has no water, one would leave on another day or
            be home before that, or the span reaches beyond the ephemeris of sun and moon.
    """
    wanted = shore.outing if outing is None else outing
    landing = _landing(shore, wanted)
    if wanted.leave_after.next_day:
        raise EbblightError(
            f"{shore.path}: leave after '{wanted.leave_after.text}'; expected a time of the day one leaves on"
        )
    if never_home(wanted.leave_after, wanted.home_by):
        raise EbblightError(
            f"{shore.path}: home by '{wanted.home_by.text}' comes before leaving after "
            f"'{wanted.leave_after.text}'; '02:00 next day' is the day after"
        )
    looked = max(days, LOOK_AHEAD)
    forecast = make_forecast(shore, spots, first, looked + BEYOND, outlook, progress=progress)
    scene = Scene(forecast.spots, landing, shore.banks, shore.ways, shore.boat, wanted, outlook)
    _check_landing(shore, scene, forecast)
    times = _daytimes(forecast, wanted, outlook)
    lists: list[PlanList] = []
    for group, indices in _groups(forecast, mix):
        every = _Planner(scene, forecast, indices, times, wanted).days(days)
        asked = _ranked(every[:days])
        members = tuple(forecast.spots[index].spot for index in indices)
        lists.append(PlanList(group, members, asked, tuple(every[days:])))
    level = None if landing.sill is None else scene.level(landing.sill.station)
    water = PlannedWater(scene.t, np.stack(scene.expected), scene.ramp_open(), level)
    gated = any(sill is not None for sill in (landing.sill, *(way.sill for way in shore.ways)))
    return Plans(forecast, days, landing, shore.boat, wanted, tuple(lists), water, gated)


def _landing(shore: Shore, outing: Outing) -> Landing:
    if not shore.landings:
        raise UnknownNameError(
            f"{shore.path}: the file has no [[landings]]; a plan needs one to start from: "
            "id, name, latitude and longitude of a ramp, a dock or a car park"
        )
    return shore.landing(outing.start or shore.landings[0].id)


def _check_landing(shore: Shore, scene: Scene, forecast: Forecast) -> None:
    """Refuse a landing that no water reaches over the days looked at."""
    sill = scene.landing.sill
    if sill is None:
        return
    inside = slice(
        *np.searchsorted(scene.t, [forecast.spots[0].days[0].start, forecast.spots[0].days[-1].end])
    )
    if scene.ramp_open()[inside].any():
        return
    level, unit = scene.level(sill.station)[inside], shore.head.units
    low, high = float(level.min()) / unit.metres, float(level.max()) / unit.metres
    limits = [
        f"{word} {value / unit.metres:.2f} {unit.symbol}"
        for word, value in (("at least", sill.least_level), ("at most", sill.greatest_level))
        if value is not None
    ]
    where = f"landings[{[item.id for item in shore.landings].index(scene.landing.id)}]"
    found = (
        f"no water that it can be used at over {forecast.days} days from {forecast.first}: "
        f"levels from {low:.2f} to {high:.2f} {unit.symbol}"
    )
    expected = f"a landing that is open then; this one wants {' and '.join(limits)}"
    raise FileProblemsError(str(shore.path), (Problem(where, found, expected),))


def _groups(forecast: Forecast, mix: bool) -> list[tuple[FlowGroup, tuple[int, ...]]]:
    """Spots whose points compare, by their place in the forecast."""
    if mix:
        return [(FlowGroup.MIXED, tuple(range(len(forecast.spots))))]
    found: list[tuple[FlowGroup, tuple[int, ...]]] = []
    for group, has_speed in ((FlowGroup.SPEED, True), (FlowGroup.FALL, False)):
        indices = tuple(i for i, item in enumerate(forecast.spots) if item.flow.has_speed is has_speed)
        if indices:
            found.append((group, indices))
    return found


def _daytimes(forecast: Forecast, outing: Outing, outlook: Outlook) -> list[tuple[float, float]]:
    """When one may be out on each local day, POSIX seconds; the second may come before the first."""
    days = forecast.spots[0].days
    out: list[tuple[float, float]] = []
    for index, day in enumerate(days[:-BEYOND]):
        leave = _time(outing.leave_after, days, index, forecast)
        home = _time(outing.home_by, days, index, forecast)
        out.append((max(leave, outlook.now) if day.start <= outlook.now < day.end else leave, home))
    return out


def _time(time: DayTime, days: Sequence[DayReport], index: int, forecast: Forecast) -> float:
    day = days[index + int(time.next_day)]
    return instant(time.end, day.day, forecast.head.zone, day.sun)


def _ranked(days: Sequence[DayOut]) -> tuple[DayOut, ...]:
    """The days with each plan's place: the greater worth first, then the earlier."""
    plans = sorted((d.plan for d in days if d.plan is not None), key=lambda plan: (-plan.worth, plan.leave))
    rank = {plan.day: place for place, plan in enumerate(plans, start=1)}
    return tuple(
        item if item.plan is None else replace(item, plan=replace(item.plan, rank=rank[item.day]))
        for item in days
    )


class _Planner:
    """Plans the days of one group of spots."""

    def __init__(
        self,
        scene: Scene,
        forecast: Forecast,
        indices: tuple[int, ...],
        times: list[tuple[float, float]],
        outing: Outing,
    ) -> None:
        self.scene, self.forecast, self.indices = scene, forecast, indices
        self.times, self.outing = times, outing
        self.ground = scene.ground(indices, scene.margin)
        bare = scene.ground(indices, 0) if scene.margin else self.ground
        self.bare = bare if differing(self.ground, bare, bait=True).any() else None
        self.rules = rules_of(outing, scene.landing)
        edges = [day.end for day in forecast.spots[0].days]
        self.daytimes = [daytime(scene, *pair, end) for pair, end in zip(times, edges, strict=False)]
        self.lacks = LackFinder(scene, indices, self.ground, self.rules, self.daytimes, self.bare)

    def days(self, asked: int) -> list[DayOut]:
        """Every day looked at, with the reason where one that was asked for has no plan; not ranked yet."""
        options = options_of(self.scene, self.indices, self.ground, self.rules, self.daytimes)
        bare: list[Otherwise | None] = [None] * len(self.times)
        if self.bare is not None:
            bare[:asked] = with_gates(options, self.bare, self.daytimes[:asked])
        out: list[DayOut] = []
        for day, (leave, home) in enumerate(self.times):
            date_ = self.forecast.first + timedelta(days=day)
            best = best_of(options, day)
            worth_it = best.worth(day) >= self.outing.keep
            plan = self._made(day, date_, best, options, bare[day]) if worth_it else None
            out.append(DayOut(date_, leave, home, plan, None))
        without = [day for day, item in enumerate(out[:asked]) if item.plan is None]
        worths = [best_of(options, day).worth(day) for day in without]
        lacks = self.lacks.of(without, worths, [bare[day] for day in without])
        for day, none in zip(without, lacks, strict=True):
            out[day] = replace(out[day], none=none)
        return out

    def _made(
        self, day: int, date_: date, option: Option, options: list[Option], bare: Otherwise | None
    ) -> Plan:
        course = option.courses[day][-1]
        assert course is not None
        walker, rules = option.walker, option.walker.rules
        legs = walker.legs(course)
        if option.cost:
            legs = (legs[0]._replace(worth=-option.cost), *legs[1:])
        cost, worth = option.cost + rules.move_cost * course.moves, course.worth - option.cost
        return Plan(
            day=date_,
            rank=0,
            legs=legs,
            worth=worth,
            range=worth_range(walker, legs, cost),
            moves=course.moves,
            cost=cost,
            bait=option.bait[day],
            single=self._single(day, options),
            by_moves=tuple(
                best_of(options, day, moves).worth(day, moves) for moves in range(course.moves + 1)
            ),
            shifted=tuple(if_shifted(walker, course, legs, seconds, cost) for seconds in SHIFTS),
            bad_tenth=at_bad_tenth(walker, course, legs, cost),
            launching=legs[0].gate,
            landing=next(leg.gate for leg in legs if leg.kind is LegKind.LAND),
            without_margin=bare if bare is not None and bare.worth > worth + LITTLE else None,
            assumed=self._assumed(walker, course),
            dark=dark_stretches(self.scene, course.leave, course.home),
        )

    def _single(self, day: int, options: list[Option]) -> SingleStop:
        option = best_of(options, day, 0)
        course = option.courses[day][0]
        assert course is not None
        legs = option.walker.legs(course)
        fished = [leg for leg in legs if leg.kind is LegKind.FISH]
        spot = option.walker.place(course.visits[-1].place)
        assert isinstance(spot, Spot)
        start, end = (fished[0].start, fished[-1].end) if fished else (legs[-1].start, legs[-1].start)
        return SingleStop(spot, legs[0].start, start, end, legs[-1].end, option.worth(day, 0))

    def _assumed(self, walker: Walker, course: Course) -> tuple[tuple[Place, Place, Route], ...]:
        numbers = [0, *(visit.place for visit in course.visits), 0]
        found: dict[frozenset[int], tuple[Place, Place, Route]] = {}
        for a, b in pairwise(numbers):
            one, other = walker.place(a), walker.place(b)
            taken = self.scene.route(one, other)
            if taken is not None and taken.source is not RouteSource.GIVEN:
                found.setdefault(frozenset((a, b)), (one, other, taken))
        return tuple(found.values())


def rules_of(outing: Outing, landing: Landing) -> Rules:
    """What a day out is bound by, in whole steps."""
    return Rules(
        approach=steps_of(outing.from_home),
        launch=steps_of(landing.launch),
        set_up=steps_of(outing.move + outing.settle),
        gather=max(1, steps_of(outing.gather)),
        move_cost=outing.move_cost,
        most_moves=outing.most_moves,
        longest=int(outing.longest // STEP),
    )


def daytime(scene: Scene, leave: float, home: float, midnight: float) -> Daytime:
    """The steps between two times; one leaves before the day's midnight."""
    return Daytime(scene.step(leave + STEP - 1e-3), scene.step(home), scene.step(midnight - 1e-3))
