"""`sky`: sun and moon at a spot or station."""

from collections.abc import Sequence
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
    from harmonics.arrays import Array
    from windows.astronomy import SkyEvent
    from windows.render.text.listings import SkyDay
    from windows.shoreline.shore import Shore


@click.command()
@file_argument
@click.option("--spot", help="Id of a spot of the file.")
@click.option("--station", help="Id of a station or current of the file.")
@span_options(7, MOST_DAYS)
@output_options
@click.pass_context
def sky(
    ctx: click.Context,
    file: Path,
    spot: str | None,
    station: str | None,
    start: date | None,
    days: int,
    form: str,
    output: Path | None,
) -> None:
    """Sun and moon: rise, set, twilight, transit, phases, distance, declination."""
    from windows.astronomy import day_edges
    from windows.render.records.frames import sky_frame
    from windows.render.records.results import Result
    from windows.render.text import listings
    from windows.render.words.phrases import Words
    from windows.shoreline.shore import read_shore

    now = now_of(ctx)
    shore = read_shore(file)
    place, name, latitude, longitude = _place(shore, spot, station)
    first = first_day(start, now, shore.zone)
    edges = day_edges(first, days, shore.zone)
    events, by_day = _events(latitude, longitude, first, edges)
    named = listings.Place(shore.title, shore.invented, name, None)
    words = Words(shore.zone, shore.units)
    result = Result(
        lambda: listings.sky(named, by_day, edges, words, width()),
        lambda: sky_frame(place, events, shore.zone),
        lambda: header_of(shore, now, place=place, name=name, latitude=latitude, longitude=longitude),
    )
    emit(result, form, output)


def _place(shore: "Shore", spot: str | None, station: str | None) -> tuple[str, str, float, float]:
    """Id, name and position of the place asked for, or of the file's only spot or only place."""
    from harmonics.errors import UnknownNameError

    if spot is not None and station is not None:
        raise click.UsageError("name a spot or a station, not both")
    if spot is not None:
        item = shore.spot(spot)
        return item.id, item.name, item.latitude, item.longitude
    places = {
        item.id: (item.name, item.latitude, item.longitude)
        for item in (*shore.spots, *shore.stations, *shore.currents)
        if item.latitude is not None and item.longitude is not None
    }
    only = [item.id for item in shore.spots] or list(places)
    wanted = station or (only[0] if len(only) == 1 else None)
    known = ", ".join(places) or "none"
    if wanted is None:
        raise UnknownNameError(f"{shore.path}: which place? Name one with --spot or --station: {known}")
    if wanted not in places:
        raise UnknownNameError(f"{shore.path}: no place '{wanted}' with a position; those there are: {known}")
    name, latitude, longitude = places[wanted]
    assert latitude is not None and longitude is not None
    return wanted, name, latitude, longitude


def _events(
    latitude: float, longitude: float, first: date, edges: "Array"
) -> tuple[Sequence["SkyEvent"], list["SkyDay"]]:
    """Events of the span, and the same by day; the sun alone, approximate, where there is no ephemeris."""
    from windows.astronomy import (
        Body,
        DayState,
        Sky,
        SkyRangeError,
        approximate_sun_events,
        events_by_day,
    )
    from windows.render.text.listings import SkyDay

    start, end = float(edges[0]), float(edges[-1])
    states = [DayState.CROSSES] * (len(edges) - 1)
    sun, moon = states, states
    try:
        heavens = Sky(start, end)
        events: Sequence[SkyEvent] = heavens.events(latitude, longitude)[0]
        (sun,) = heavens.day_states(Body.SUN, latitude, longitude, edges)
        (moon,) = heavens.day_states(Body.MOON, latitude, longitude, edges)
    except SkyRangeError as error:
        click.echo(f"ebblight: {error}; the sun alone follows, approximate", err=True)
        events = approximate_sun_events(latitude, longitude, start, end)
    listed = events_by_day(edges, events)
    days = [first + timedelta(days=index) for index in range(len(listed))]
    return events, [SkyDay(*item) for item in zip(days, listed, sun, moon, strict=True)]
