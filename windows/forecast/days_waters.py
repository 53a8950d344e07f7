"""High and low waters of one local day at every station, to hold beside a printed table."""

from dataclasses import dataclass
from datetime import date, datetime

from harmonics.stations.events import Turns
from harmonics.stations.types import TideStation
from windows.astronomy import day_edges
from windows.shoreline.shore import Shore


@dataclass(frozen=True, eq=False)
class DaysWaters:
    """A day's turns.

    Attributes:
        day: by the file's clock.
        start: of the day, POSIX seconds.
        turns: each station with its own, in the file's order.
    """

    day: date
    start: float
    turns: tuple[tuple[TideStation, Turns], ...]


def waters_of_today(shore: Shore, now: float) -> DaysWaters:
    """Those of the local day that `now` (POSIX seconds) lies in."""
    from harmonics.stations.tides import high_low_waters

    day = datetime.fromtimestamp(now, shore.head.zone).date()
    start, end = map(float, day_edges(day, 1, shore.head.zone))
    turns = tuple((station, high_low_waters(station, start, end).turns) for station in shore.stations)
    return DaysWaters(day, start, turns)
