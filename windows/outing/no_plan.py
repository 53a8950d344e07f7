"""Why a day has no plan: frozen, in kind; renderers put it in words."""

from enum import StrEnum, unique
from typing import NamedTuple

from windows.forecast.reports import NoWindow
from windows.outing.beside import Otherwise
from windows.shoreline.spots import Spot


@unique
class PlanLack(StrEnum):
    """Why a day has no plan."""

    OVER = "over"
    DAY_OFF = "day off"
    NO_TIME = "no time"
    NO_WATER = "no water"
    MARGIN = "margin"
    LANDING = "landing"
    BAIT = "bait"
    LENGTH = "length"
    HOURS = "hours"
    HOURS_AND_BAIT = "hours and bait"
    FAINT = "faint"


class NoPlan(NamedTuple):
    """Why nothing is planned on a day.

    Attributes:
        lack: the kind of reason.
        worth: the day's greatest worth, point-hours; None where no day out is possible at all.
        needed: from which a day is worth going.
        instead: the day with the obstacle taken away; None where that is no help.
        bare: whether the margin has to go with the obstacle.
        spot: that comes nearest to good water, with its highest expected points and their time.
        points, t: as above.
        no_window: why that spot has no window on the day; None where it has one.
    """

    lack: PlanLack
    worth: float | None
    needed: float
    instead: Otherwise | None = None
    spot: Spot | None = None
    points: float = 0.0
    t: float | None = None
    no_window: NoWindow | None = None
    bare: bool = False
