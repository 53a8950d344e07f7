"""`tides`: high and low waters."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from windows.cli.answer import answer
from windows.cli.listings import Listing, chosen_station
from windows.cli.options import (
    MOST_DAYS,
    Choice,
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
    from harmonics.stations.types import TideStation
    from windows.render.records.results import PlaceResult
    from windows.shoreline.shore import Shore


@dataclass(frozen=True)
class TidesJob(Listing["TideStation"]):
    """High and low waters asked for, of the days in `span`."""

    span: Span

    def only(self, shore: "Shore") -> "TideStation":
        """The station asked for, or the file's only one."""
        return chosen_station(shore, self.choice)

    def every(self, shore: "Shore") -> "Sequence[TideStation]":
        """All tide stations."""
        return shore.stations

    def part(self, shore: "Shore", place: "TideStation") -> "PlaceResult":
        """High and low waters of a station."""
        from harmonics.stations.tides import high_low_waters
        from windows.render.records.frames import tides_frame
        from windows.render.records.results import PlaceResult
        from windows.render.text import listings
        from windows.render.words.phrases import words_of

        days = self.span.local_days(self.now, shore.head.zone)
        waters = high_low_waters(place, float(days.edges[0]), float(days.edges[-1]))
        named = listings.Place(shore.head, place.name, place.datum)
        words = words_of(shore.head)
        return PlaceResult(
            lambda: listings.tides(named, days.dates, days.edges, waters, words, self.width),
            lambda: tides_frame(place.id, waters.turns, shore.head.zone),
            {"station": place.id, "name": place.name, "datum": place.datum},
        )


@click.command()
@file_argument
@place_options("Id of a station of the file.", "Id of a spot, whose station is taken.")
@span_options(7, MOST_DAYS)
@target_options(ResultKind.LISTING)
@click.pass_context
def tides(ctx: click.Context, file: Path, choice: Choice, span: Span, target: Target) -> None:
    """High and low waters by local day.

    FILE may be a folder of station files: each gets a result, all its stations in it, in the folder of -o.
    """
    answer(TidesJob(now_of(ctx), screen_width(), target.form, choice, span), file, target)
