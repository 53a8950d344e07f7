"""A table of trips taken into a log: those that are there already are passed over."""

from dataclasses import dataclass, replace
from pathlib import Path

from windows.log.importing import Background, read_trips
from windows.log.keeping import with_forecast
from windows.log.storage import SqliteStore
from windows.log.trips import Made, Trip
from windows.shoreline.shore import Shore


@dataclass(frozen=True, slots=True)
class Taken:
    """How many trips of a table were kept, were there already, and of these say something else now."""

    kept: int
    there: int
    differ: int


def import_into(place: Path, table: Path, shore: Shore | None, now: float, compute: bool = False) -> Taken:
    """Take a table's trips into the log, all that are new or none.

    Args:
        place: of the log; made where there is none.
        table: CSV.
        shore: that knows spots and clock; None where the table says all.
        now: the clock, POSIX seconds.
        compute: give trips without a forecast one from the shore, marked as later.

    Raises:
        FileProblemsError: with every problem of the table; nothing is kept.
        LogError: the log can't be written.
    """
    background = Background("", None, {}, now)
    if shore is not None:
        names = {spot.id: spot.name for spot in shore.spots}
        background = Background(shore.head.title, shore.head.zone.key, names, now)
    trips = read_trips(table, background)
    with SqliteStore(place, create=True) as store:
        there = {trip.uid: trip for trip in store.trips(removed=True)}
        new = [trip for trip in trips if trip.uid not in there]
        if compute and shore is not None:
            new = [_computed(trip, shore, now) for trip in new]
        kept = store.add_all(new)
    differ = sum(_differs(there[trip.uid], trip) for trip in trips if trip.uid in there)
    return Taken(len(kept), len(trips) - len(kept), differ)


def _computed(trip: Trip, shore: Shore, now: float) -> Trip:
    """The trip with a forecast by hindsight where it has none and the file knows its spot."""
    if trip.forecast is not None or all(spot.id != trip.spot for spot in shore.spots):
        return trip
    return with_forecast(trip, shore, now, Made.LATER)


def _differs(one: Trip, other: Trip) -> bool:
    """Whether two entries of one trip say different things, the moment of entering apart."""
    return replace(one, number=None, logged_at=0.0) != replace(other, number=None, logged_at=0.0)
