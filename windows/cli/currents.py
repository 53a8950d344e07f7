"""`currents`: slacks, floods and ebbs of a current station."""

from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click

from windows.cli.options import (
    MOST_DAYS,
    emit,
    file_argument,
    first_day,
    now_of,
    output_options,
    span_options,
    width,
)
from windows.cli.water import header_of

if TYPE_CHECKING:
    from harmonics.stations.types import AnyCurrentStation
    from windows.shoreline.shore import Shore


@click.command()
@file_argument
@click.option("--station", help="Id of a current of the file.")
@click.option("--spot", help="Id of a spot whose flow is a current; the current's own times are printed.")
@span_options(7, MOST_DAYS)
@output_options
@click.pass_context
def currents(
    ctx: click.Context,
    file: Path,
    station: str | None,
    spot: str | None,
    start: date | None,
    days: int,
    form: str,
    output: Path | None,
) -> None:
    """Slacks, floods and ebbs: times, speeds, directions."""
    from harmonics.stations.currents import current_events
    from windows.astronomy import day_edges
    from windows.render.records.frames import currents_frame
    from windows.render.records.results import Result
    from windows.render.text import listings
    from windows.render.words.phrases import Words
    from windows.shoreline.shore import read_shore

    now = now_of(ctx)
    shore = read_shore(file)
    place = _chosen(shore, station, spot)
    first = first_day(start, now, shore.zone)
    edges = day_edges(first, days, shore.zone)
    events = current_events(place, float(edges[0]), float(edges[-1]))
    dates = [first + timedelta(days=index) for index in range(days)]
    named = listings.Place(shore.title, shore.invented, place.name, None)
    words = Words(shore.zone, shore.units)
    result = Result(
        lambda: listings.currents(named, dates, edges, events, words, width()),
        lambda: currents_frame(place.id, events, shore.zone),
        lambda: header_of(shore, now, station=place.id, name=place.name),
    )
    emit(result, form, output)


def _chosen(shore: "Shore", station: str | None, spot: str | None) -> "AnyCurrentStation":
    """The current asked for, that of a spot, or the file's only one."""
    from harmonics.errors import UnknownNameError
    from windows.shoreline.spots import CurrentSource

    if station is not None and spot is not None:
        raise click.UsageError("name a station or a spot, not both")
    if station is not None:
        return shore.current(station)
    if spot is not None:
        source = shore.spot(spot).flow
        if not isinstance(source, CurrentSource):
            raise UnknownNameError(
                f"{shore.path}: the flow of spot '{spot}' is not that of a current station"
            )
        return source.station
    if len(shore.currents) == 1:
        return shore.currents[0]
    names = ", ".join(item.id for item in shore.currents) or "none"
    raise UnknownNameError(f"{shore.path}: which current? Name one with --station: {names}")
