"""`sky`: sun and moon at a spot or station."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from windows.cli.answer import answer
from windows.cli.listings import Listing, which
from windows.cli.options import (
    MOST_DAYS,
    Choice,
    LocalDays,
    Span,
    file_argument,
    now_of,
    place_options,
    span_options,
    target_options,
)
from windows.cli.output import Target, screen_width
from windows.render.formats import ResultKind

if TYPE_CHECKING:
    from windows.astronomy import SkyEvent
    from windows.render.records.results import PlaceResult
    from windows.render.text.listings import SkyDay
    from windows.shoreline.shore import Shore
    from windows.shoreline.spots import Spot


PLACES = "[[spots]] or [[stations]] with a position"


class Position(NamedTuple):
    """A place by id, name, latitude and longitude, degrees north and east."""

    id: str
    name: str
    latitude: float
    longitude: float


@dataclass(frozen=True)
class SkyJob(Listing[Position]):
    """Sun and moon asked for, of the days in `span`."""

    plural = "places"

    span: Span

    def only(self, shore: "Shore") -> Position:
        """The place asked for, or the file's only spot, or its only place."""
        from harmonics.errors import UnknownNameError

        if self.choice.spot is not None:
            return _position(shore.spot(self.choice.spot))
        every = self.every(shore)
        if self.choice.is_open and len(every) == 1:
            return every[0]
        places = {item.id: item for item in (*map(_position, shore.spots), *_stations(shore))}
        known = ", ".join(places) or "none"
        if self.choice.station is None:
            raise which(shore.path, "place", "--spot or --station", places, PLACES)
        if self.choice.station not in places:
            wanted = self.choice.station
            raise UnknownNameError(
                f"{shore.path}: no place '{wanted}' with a position; those there are: {known}"
            )
        return places[self.choice.station]

    def every(self, shore: "Shore") -> Sequence[Position]:
        """All spots; all places with a position where there is no spot."""
        return [_position(spot) for spot in shore.spots] or _stations(shore)

    def part(self, shore: "Shore", place: Position) -> "PlaceResult":
        """Sun and moon at a place."""
        from windows.render.records.frames import sky_frame
        from windows.render.records.results import PlaceResult
        from windows.render.text import listings
        from windows.render.words.phrases import words_of

        days = self.span.local_days(self.now, shore.head.zone)
        events, by_day, remarks = _events(place, days)
        named = listings.Place(shore.head, place.name, None)
        words = words_of(shore.head)
        return PlaceResult(
            lambda: listings.sky(named, by_day, days.edges, words, self.width),
            lambda: sky_frame(place.id, events, shore.head.zone),
            {
                "place": place.id,
                "name": place.name,
                "latitude": place.latitude,
                "longitude": place.longitude,
            },
            remarks,
        )


def _position(spot: "Spot") -> Position:
    return Position(spot.id, spot.name, spot.latitude, spot.longitude)


def _stations(shore: "Shore") -> list[Position]:
    """Stations and currents that have a position."""
    return [
        Position(item.id, item.name, item.latitude, item.longitude)
        for item in (*shore.stations, *shore.currents)
        if item.latitude is not None and item.longitude is not None
    ]


def _events(place: Position, days: LocalDays) -> tuple[Sequence["SkyEvent"], list["SkyDay"], tuple[str, ...]]:
    """Events of the days, the same by day, and remarks; the sun alone, approximate, without an ephemeris."""
    from windows.astronomy import (
        Body,
        DayState,
        Sky,
        SkyRangeError,
        approximate_sun_events,
        events_by_day,
    )
    from windows.render.text.listings import SkyDay

    edges = days.edges
    start, end = float(edges[0]), float(edges[-1])
    states = [DayState.CROSSES] * len(days.dates)
    sun, moon = states, states
    remarks: tuple[str, ...] = ()
    try:
        covered = Sky(start, end)
        events: Sequence[SkyEvent] = covered.events(place.latitude, place.longitude)[0]
        (sun,) = covered.day_states(Body.SUN, place.latitude, place.longitude, edges)
        (moon,) = covered.day_states(Body.MOON, place.latitude, place.longitude, edges)
    except SkyRangeError as error:
        remarks = (f"ebblight: {error}; the sun alone follows, approximate",)
        events = approximate_sun_events(place.latitude, place.longitude, start, end)
    listed = events_by_day(edges, events)
    by_day = [SkyDay(*item) for item in zip(days.dates, listed, sun, moon, strict=True)]
    return events, by_day, remarks


@click.command()
@file_argument
@place_options("Id of a station or current of the file.", "Id of a spot of the file.")
@span_options(7, MOST_DAYS)
@target_options(ResultKind.LISTING)
@click.pass_context
def sky(ctx: click.Context, file: Path, choice: Choice, span: Span, target: Target) -> None:
    """Sun and moon: rise, set, twilight, transit, phases, distance, declination.

    FILE may be a folder of station files: each gets a result, all its spots in it, in the folder of -o.
    """
    answer(SkyJob(now_of(ctx), screen_width(), target.form, choice, span), file, target)
