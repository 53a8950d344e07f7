"""Days out as finished plans: frozen, in SI units and POSIX seconds, everything a renderer needs."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum, unique
from typing import NamedTuple

from harmonics.arrays import Array, Flags
from windows.forecast.reports import Forecast, Reading
from windows.outing.beside import AtBadTenth, BaitTaken, GateUse, IfShifted, Otherwise, SingleStop
from windows.outing.no_plan import NoPlan
from windows.shoreline.outings import Boat, Landing, Outing
from windows.shoreline.routes import Place, Route
from windows.shoreline.spots import Spot


@unique
class LegKind(StrEnum):
    """What a part of a day out is."""

    LEAVE = "leave"
    GATHER = "gather"
    TRAVEL = "travel"
    FISH = "fish"
    LAND = "land"
    HOME = "home"


@unique
class Spent(StrEnum):
    """What the time of a leg goes to, besides gathering and fishing."""

    HOME_WAY = "home_way"
    LAUNCH = "launch"
    WAY = "way"
    WAIT = "wait"
    SET_UP = "set_up"
    SETTLE = "settle"


class LegWind(NamedTuple):
    """The strongest wind of a way.

    Attributes:
        speed: m/s.
        gust: m/s; None where not known.
        whence: degrees true that it comes from; None where not known.
    """

    speed: float
    gust: float | None
    whence: float | None


class Leg(NamedTuple):
    """A part of a day out; each starts where the one before ends.

    Attributes:
        kind: what it is.
        place: where, or where to; None at home.
        start, end: POSIX seconds.
        worth: point-hours; a move's cost counts against the leg that makes it.
        spent: seconds by what they go to, in order.
        level: metres above datum: at the spot's best moment, off the ramp, on it, when gathering begins; None
            on the way, at home, and at a landing that wants no water.
        depth: metres of water there; None where not known.
        speed: m/s past the spot at its best moment; None where no speed is known.
        readings: the water at start, best moment and end of fishing.
        chance: how often, 0 to 1, the gauge's record has such water there; None where nobody knows it.
        lead_slips: when the heaviest lead carried may no longer hold; None where it does, or none is known.
        route: the way taken; None where there is none.
        wind: on a way, as far as the weather is known.
        gate: the water of the landing or way while it is used; None where it wants none.
    """

    kind: LegKind
    place: Place | None
    start: float
    end: float
    worth: float = 0.0
    spent: tuple[tuple[Spent, float], ...] = ()
    level: float | None = None
    depth: float | None = None
    speed: float | None = None
    readings: tuple[Reading, ...] = ()
    chance: float | None = None
    lead_slips: float | None = None
    route: Route | None = None
    wind: LegWind | None = None
    gate: GateUse | None = None


@dataclass(frozen=True, eq=False)
class Plan:
    """The best day out of one local day.

    Attributes:
        day: the local day one leaves on.
        rank: its place among the plans of its list, 1 the best.
        legs: in order of time, each starting where the one before ends.
        worth: point-hours, all costs paid.
        moves: from spot to spot.
        range: of worth that eight cases in ten lie in; None where the spots' cases don't match.
        cost: point-hours that moves, earlier gathering or going without bait cost.
        bait: None where it is not wanted.
        single: the day's best single stop.
        by_moves: greatest worth with at most 0, 1, .. moves, up to those of the plan.
        shifted: with the water early, as predicted and late, and so without what else may go wrong.
        bad_tenth: at the bad tenth of the water of one gauge's record; None without.
        launching, landing: the water at the landing; None where it wants none.
        without_margin: the best day out without the margin, where it is worth more; None elsewhere.
        assumed: ways whose time comes from a distance or an assumption.
        dark: stretches of it in the dark, POSIX seconds.
    """

    day: date
    rank: int
    legs: tuple[Leg, ...]
    worth: float
    range: tuple[float, float] | None
    moves: int
    cost: float
    bait: BaitTaken | None
    single: SingleStop
    by_moves: tuple[float, ...]
    shifted: tuple[IfShifted, ...]
    bad_tenth: AtBadTenth | None
    launching: GateUse | None
    landing: GateUse | None
    without_margin: Otherwise | None
    assumed: tuple[tuple[Place, Place, Route], ...]
    dark: tuple[tuple[float, float], ...]

    @property
    def leave(self) -> float:
        """When one leaves home, POSIX seconds."""
        return self.legs[0].start

    @property
    def home(self) -> float:
        """When one is home again, POSIX seconds."""
        return self.legs[-1].end

    @property
    def stops(self) -> tuple[Leg, ...]:
        """The legs that fish."""
        return tuple(leg for leg in self.legs if leg.kind is LegKind.FISH)


@dataclass(frozen=True, eq=False)
class DayOut:
    """One local day: its plan, or why there is none.

    Attributes:
        day: the date.
        may_leave, home_by: when one may be out, POSIX seconds.
        plan, none: one of the two; a later day, looked at for a plan alone, may have neither.
    """

    day: date
    may_leave: float
    home_by: float
    plan: Plan | None
    none: NoPlan | None


@unique
class FlowGroup(StrEnum):
    """Spots whose points compare with each other."""

    SPEED = "speed"
    FALL = "fall"
    MIXED = "mixed"


@dataclass(frozen=True, eq=False)
class PlanList:
    """Days out over spots whose points compare.

    Attributes:
        group: what they have in common.
        spots: those spots.
        days: the days asked for, in order.
        later: days after them that were looked at for the next good one.
    """

    group: FlowGroup
    spots: tuple[Spot, ...]
    days: tuple[DayOut, ...]
    later: tuple[DayOut, ...]

    @property
    def ranking(self) -> tuple[Plan, ...]:
        """Plans of the days asked for, best first."""
        return tuple(sorted(_plans(self.days), key=lambda plan: plan.rank))

    def next_best(self, plan: Plan) -> Plan | None:
        """The best plan of another day, of those asked for and those after."""
        others = [other for other in _plans((*self.days, *self.later)) if other.day != plan.day]
        return max(others, key=lambda other: (other.worth, -other.leave), default=None)

    def nearest(self, day: date) -> Plan | None:
        """The plan of the day nearest to one; of two as near the later."""
        every = _plans((*self.days, *self.later))
        return min(every, key=lambda plan: (abs(plan.day - day), plan.day < day), default=None)


def _plans(days: tuple[DayOut, ...]) -> list[Plan]:
    return [item.plan for item in days if item.plan is not None]


@dataclass(frozen=True, eq=False)
class PlannedWater:
    """What plans were made on, at the forecast's steps.

    Attributes:
        t: POSIX seconds, shape (n,).
        expected: points expected of each of the forecast's spots, shape (spots, n).
        open: where the landing can be used, shape (n,).
        level: there, metres above datum, shape (n,); None where it wants no water.
    """

    t: Array
    expected: Array
    open: Flags
    level: Array | None


@dataclass(frozen=True, eq=False)
class Plans:
    """Days out of a shore.

    Attributes:
        forecast: of its spots, over the days and those looked at after them.
        days: days asked for.
        landing: where one starts.
        boat: None on foot.
        outing: what one wants.
        lists: one for each group of spots that compare.
        water: what the plans were made on.
        gated: whether the water opens and shuts the landing or a way.
    """

    forecast: Forecast
    days: int
    landing: Landing
    boat: Boat | None
    outing: Outing
    lists: tuple[PlanList, ...]
    water: PlannedWater
    gated: bool

    @property
    def best(self) -> tuple[Plan, ...]:
        """The best plan of each list that has one."""
        return tuple(item.ranking[0] for item in self.lists if item.ranking)
