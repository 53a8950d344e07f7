"""`log export` and `log import`: the log as CSV, and back."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from windows.cli.log.place import log_option, log_path, optional_file, shore_of
from windows.cli.options import now_of, output_option
from windows.cli.output import emit

if TYPE_CHECKING:
    from windows.log.trips import Trip
    from windows.shoreline.shore import Shore


@click.command()
@optional_file
@click.option("--removed", is_flag=True, help="Write those taken out as well.")
@output_option(folders=False)
@log_option
def export(file: Path | None, removed: bool, output: Path | None, path: Path | None) -> None:
    """The whole log as CSV, a row a trip and species; `log import` makes the same log of it."""
    from windows.log.exchange import written
    from windows.log.keeping import kept_trips

    place = log_path(path, shore_of(file))
    emit(written(kept_trips(place, removed)), output)


@click.command("import")
@click.argument("table", type=click.Path(path_type=Path))
@optional_file
@click.option("--compute", is_flag=True, help="Give trips without a forecast one from FILE, marked as later.")
@log_option
@click.pass_context
def import_(ctx: click.Context, table: Path, file: Path | None, compute: bool, path: Path | None) -> None:
    """Trips from CSV: a log's own, or a notebook's with spot, start_local and end_local at least.

    TABLE is the CSV; FILE is the station file that knows its spots and its clock. Trips that the log has
    already are passed over, and nothing is kept where anything is wrong.
    """
    from windows.log.importing import Background, read_trips
    from windows.log.storage import SqliteStore
    from windows.render.words.log import import_words

    if compute and file is None:
        raise click.UsageError("--compute takes the forecast from a station file: name it after the table")
    now = now_of(ctx)
    shore = shore_of(file)
    background = Background("", None, {}, now)
    if shore is not None:
        names = {spot.id: spot.name for spot in shore.spots}
        background = Background(shore.head.title, shore.head.zone.key, names, now)
    trips = read_trips(table, background)
    place = log_path(path, shore)
    with SqliteStore(place, create=True) as store:
        there = {trip.uid: trip for trip in store.trips(removed=True)}
        new = [trip for trip in trips if trip.uid not in there]
        if compute and shore is not None:
            new = [_computed(trip, shore, now) for trip in new]
        kept = store.add_all(new)
    differ = sum(_differs(there[trip.uid], trip) for trip in trips if trip.uid in there)
    emit(import_words(len(kept), len(trips) - len(kept), differ, str(place)) + "\n", None)


def _computed(trip: "Trip", shore: "Shore", now: float) -> "Trip":
    """The trip with a forecast by hindsight where it has none and the file knows its spot."""
    from windows.conditions.knowledge import records_of
    from windows.log.freezing import freeze
    from windows.log.trips import Made

    if trip.forecast is not None or all(spot.id != trip.spot for spot in shore.spots):
        return trip
    spot = shore.spot(trip.spot)
    records = records_of(shore, [spot.station])
    made = freeze(spot, shore.head.zone, trip.start, trip.end, now, Made.LATER, records)
    return replace(trip, forecast=made)


def _differs(one: "Trip", other: "Trip") -> bool:
    """Whether two entries of one trip say different things, the moment of entering apart."""
    return replace(one, number=None, logged_at=0.0) != replace(other, number=None, logged_at=0.0)
