"""What stands beside a plan, frozen: its bait, its landing, what else the water may do, one stop alone."""

from enum import StrEnum, unique
from typing import NamedTuple

from windows.conditions.bait import GatheringWindow
from windows.shoreline.routes import Place
from windows.shoreline.spots import Bank, Spot

ERRAND_COST = 20.0
"""Point-hours that gathering bait on an earlier outing costs: a quarter of an hour's good fishing for the
way there and back (judgement)."""
WITHOUT_COST = 40.0
"""Point-hours that going without bait costs where it is wanted: half an hour's good fishing (judgement)."""


@unique
class BaitSource(StrEnum):
    """Where a day's bait comes from."""

    ON_THE_WAY = "on the way"
    BEFORE = "before"
    WITHOUT = "without"


class BaitTaken(NamedTuple):
    """A day's bait.

    Attributes:
        source: where it comes from.
        bank: where it is gathered; None without.
        window: when that bank is bare for it, where it is gathered before the day out.
    """

    source: BaitSource
    bank: Bank | None = None
    window: GatheringWindow | None = None


class GateUse(NamedTuple):
    """The water of a landing or way while a day out uses it.

    Attributes:
        t: POSIX seconds when its use begins.
        clear: when it is needed no longer: afloat, across, or out of the water again.
        level: metres above datum when its use begins.
        spare: least that stands above the least level while it is used, metres; None where there is no least.
        depth: metres of water; None where not known.
        since, until: how long it has been and stays open, POSIX seconds; None for a day and more.
        kept_after, kept_before: seconds from its opening to its use, and from there until it shuts, where
            these are the margin that a day out keeps and no more; None elsewhere.
    """

    t: float
    clear: float
    level: float
    spare: float | None
    depth: float | None
    since: float | None
    until: float | None
    kept_after: float | None = None
    kept_before: float | None = None


class Otherwise(NamedTuple):
    """What a day would give with something changed: point-hours; leaving and being home in POSIX seconds."""

    worth: float
    leave: float
    home: float


class Broken(NamedTuple):
    """A place that a changed water shuts while the plan wants it.

    Attributes:
        place: which.
        t: the first such time, POSIX seconds.
        way: whether it is the way to it that is shut.
    """

    place: Place
    t: float
    way: bool


class IfShifted(NamedTuple):
    """The same plan with the water coming at another time.

    Attributes:
        seconds: later; less than 0 for earlier, 0 as predicted.
        worth: point-hours that are left.
        broken: what is shut then, in order of time.
    """

    seconds: float
    worth: float
    broken: tuple[Broken, ...]


class Shut(NamedTuple):
    """A place that the water shuts in some cases while the plan wants it, and their share, 0 to 1."""

    place: Place
    share: float


class AtBadTenth(NamedTuple):
    """The same plan at the bad tenth of the water that a gauge's record shows.

    Attributes:
        worth: point-hours that nine cases of ten reach.
        shut: places that are shut in some cases, those of most cases first.
    """

    worth: float
    shut: tuple[Shut, ...]


class SingleStop(NamedTuple):
    """What the day's best single stop gives.

    Attributes:
        spot: where.
        leave, home: POSIX seconds.
        start, end: of fishing, POSIX seconds.
        worth: point-hours.
    """

    spot: Spot
    leave: float
    start: float
    end: float
    home: float
    worth: float
