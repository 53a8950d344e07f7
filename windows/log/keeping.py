"""What happens to a trip as it is kept or changed: its forecast frozen, its fish judged; where logs lie."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from windows.conditions.knowledge import records_of
from windows.log.entry import edited
from windows.log.freezing import freeze
from windows.log.rules import Judgement, judge
from windows.log.storage import SqliteStore
from windows.log.told import Told
from windows.log.trips import Made, Trip
from windows.shoreline.quarry import named_quarry
from windows.shoreline.shore import Shore

NAME = "trips.db"
NOTHING_TOLD = Told()


def log_place(shore: Shore | None) -> Path:
    """The log's file: as the station file says, else in the person's folder for data."""
    if shore is not None and shore.log is not None:
        return shore.log
    from platformdirs import user_data_path

    return user_data_path("ebblight", appauthor=False) / NAME


def kept_trips(path: Path, removed: bool = False) -> tuple[Trip, ...]:
    """The trips of a log, with those taken out where asked; none where it has not begun.

    Raises:
        LogError: it can't be read.
    """
    if not path.exists():
        return ()
    with SqliteStore(path) as store:
        return store.trips(removed)


def with_forecast(trip: Trip, shore: Shore, now: float, made: Made) -> Trip:
    """The trip with the forecast that the file gives its hours now, for the fish it was after.

    Raises:
        UnknownNameError: the file has no such spot.
        EbblightError: the trip lies beyond the ephemeris of sun and moon.
    """
    spot, fish = shore.spot(trip.spot), named_quarry(trip.quarry, shore.quarry)
    if fish is not None and fish.name != spot.preferences.quarry:
        spot = fish.sought_at(spot)
    records = records_of(shore, [spot.station])
    return replace(trip, forecast=freeze(spot, shore.head.zone, trip.start, trip.end, now, made, records))


def changed(trip: Trip, told: Told, shore: Shore, now: float, compute: bool = False) -> Trip:
    """The trip with what was told in place of what it said.

    A plan's forecast stays as it was frozen; another whose hours or spot change gets a new one, marked as
    computed later, and so does one without where asked.

    Raises:
        EntryError: every problem in what was told.
        EbblightError: as for `with_forecast`.
    """
    new = edited(trip, told, shore, now) if told != NOTHING_TOLD else trip
    moved = (new.spot, new.start, new.end) != (trip.spot, trip.start, trip.end)
    made = new.forecast
    if (moved and made is not None and made.made is not Made.PLANNED) or (compute and made is None):
        new = with_forecast(new, shore, now, Made.LATER)
    return new


def taken_out(trip: Trip, now: float) -> Trip:
    """The trip marked as taken out; `brought_back` undoes it."""
    return replace(trip, removed_at=float(round(now)))


def brought_back(trip: Trip) -> Trip:
    """The trip in the log again."""
    return replace(trip, removed_at=None)


def alike(trip: Trip, store: SqliteStore) -> tuple[int, ...]:
    """Numbers of the log's other trips to the same spot at the very same hours."""
    hours = (trip.spot, trip.start, trip.end)
    return tuple(
        other.number
        for other in store.trips()
        if other.number is not None and other.number != trip.number
        if (other.spot, other.start, other.end) == hours
    )


def judged(trip: Trip, shore: Shore, store: SqliteStore, now: float) -> tuple[Judgement, ...]:
    """What the file's rules say of a trip's fish, seen from today; nothing of a trip without any."""
    if not any(catch.fish for catch in trip.catches):
        return ()
    today = datetime.fromtimestamp(now, UTC).astimezone(shore.head.zone).date()
    return judge(trip, shore.rules, store.trips(), today)
