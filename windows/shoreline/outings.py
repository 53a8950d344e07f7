"""What a day out needs of a shore, frozen: landings, a boat, ways, and how one wants to spend the day.

Inside: SI units, seconds, degrees, metres above datum.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array, Flags
from harmonics.stations.types import TideStation
from windows.shoreline.hours import End, SunMark

DEFAULT_LAUNCH = 900.0
"""From arriving at a landing until afloat, and from coming back until ashore, by boat (common practice)."""
WALKING_SPEED = 4.0 / 3.6
"""Metres a second over sand and rock, with gear (common practice)."""
DEFAULT_LONGEST = 6 * 3600.0
"""Seconds that a day out lasts at most where the file says nothing: an afternoon (judgement)."""
DEFAULT_MARGIN = 900.0
"""Seconds that a day out stays clear of the water that opens and shuts a landing or a way (judgement)."""
DETOUR = 1.3
"""A way is this many times as long as the straight line (judgement)."""


class BaitWish(StrEnum):
    """Whether bait must be gathered before fishing."""

    NEEDED = "needed"
    IF_POSSIBLE = "if possible"
    NONE = "none"


class DayTime(NamedTuple):
    """A time of day: on the clock, or told from the sun.

    Attributes:
        text: as the user wrote it.
        end: the time.
        next_day: whether it is that of the day after.
    """

    text: str
    end: End
    next_day: bool = False


@dataclass(frozen=True, eq=False)
class Sill:
    """The water that a landing or a way wants.

    Attributes:
        station: whose level it is.
        least_level: it is open from this level on; with a boat's draft already counted. None for no least.
        greatest_level: and up to this one; None for no greatest.
        depth_at_datum: metres of water with the level at datum; None where not known.
    """

    station: TideStation
    least_level: float | None
    greatest_level: float | None = None
    depth_at_datum: float | None = None

    def open_at(self, level: Array) -> Flags:
        """Whether the water is right at each level, metres above datum."""
        low = -np.inf if self.least_level is None else self.least_level
        high = np.inf if self.greatest_level is None else self.greatest_level
        return np.asarray((level >= low) & (level <= high))


@dataclass(frozen=True, eq=False)
class Landing:
    """Where an outing starts and ends: a ramp, a dock, a car park.

    Attributes:
        id, name: as the file has them.
        latitude, longitude: degrees, north and east positive.
        sill: the water it wants; None where it wants none.
        launch: seconds from arriving until on the way, and again until off it.
    """

    id: str
    name: str
    latitude: float
    longitude: float
    sill: Sill | None
    launch: float


class Boat(NamedTuple):
    """The boat: speed in metres a second, draft in metres."""

    speed: float
    draft: float


@dataclass(frozen=True, eq=False)
class Way:
    """A way between two places of the file, the same there and back.

    Attributes:
        ends: ids of the two.
        seconds: on the way; None where distance and speed tell.
        sill: the water it wants; None where it wants none.
    """

    ends: frozenset[str]
    seconds: float | None
    sill: Sill | None


class Outing(NamedTuple):
    """How one wants to spend a day out.

    Attributes:
        start: id of the landing; None where the file does not say.
        leave_after: not gone from home before.
        home_by: home again by then.
        longest: from leaving home to being home, seconds.
        from_home: seconds from home to the landing.
        move: seconds to set up at a spot; packing up there is counted in.
        settle: seconds at a spot before fishing counts.
        margin: seconds for which a landing or way must have been open before it is used and stay open after.
        gather: seconds of gathering bait.
        bait: whether it must be gathered.
        most_moves: from spot to spot.
        move_cost: of a move, point-hours.
        keep: point-hours from which a day's plan is worth going.
    """

    start: str | None = None
    leave_after: DayTime = DayTime("12:00", End(None, 12 * 3600.0))
    home_by: DayTime = DayTime("sunset+1h", End(SunMark.SUNSET, 3600.0))
    longest: float = DEFAULT_LONGEST
    from_home: float = 0.0
    move: float = 900.0
    settle: float = 1200.0
    margin: float = DEFAULT_MARGIN
    gather: float = 1800.0
    bait: BaitWish = BaitWish.NONE
    most_moves: int = 3
    move_cost: float = 5.0
    keep: float = 50.0


class OutingPart(NamedTuple):
    """What a file says of days out."""

    landings: tuple[Landing, ...] = ()
    boat: Boat | None = None
    ways: tuple[Way, ...] = ()
    outing: Outing = Outing()
