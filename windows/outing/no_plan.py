"""Why a day has no plan: frozen, in kind; renderers put it in words."""

from dataclasses import dataclass
from enum import StrEnum, unique

from windows.forecast.reports import NoWindow
from windows.shoreline.spots import Spot


@unique
class PlanLack(StrEnum):
    """Why a day has no plan."""

    OVER = "over"
    DAY_OFF = "day off"
    NO_TIME = "no time"
    NO_WATER = "no water"
    LANDING = "landing"
    BAIT = "bait"
    LENGTH = "length"
    HOURS = "hours"
    HOURS_AND_BAIT = "hours and bait"
    FAINT = "faint"


@dataclass(frozen=True, slots=True)
class NoPlan:
    """Why nothing is planned on a day.

    Attributes:
        lack: the kind of reason.
        worth: the day's greatest worth, point-hours; None where no day out is possible at all.
        needed: from which a day is worth going.
        instead: worth with the obstacle taken away, and when one would leave and be home; None where that is
            no help.
        spot: that comes nearest to good water, with its highest expected points and their time.
        points, t: as above.
        no_window: why that spot has no window on the day; None where it has one.
    """

    lack: PlanLack
    worth: float | None
    needed: float
    instead: tuple[float, float, float] | None = None
    spot: Spot | None = None
    points: float = 0.0
    t: float | None = None
    no_window: NoWindow | None = None
