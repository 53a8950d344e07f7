"""`currents`: slacks, floods and ebbs of a current station."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from windows.cli.answer import answer
from windows.cli.listings import Listing, which
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
    from harmonics.stations.types import AnyCurrentStation
    from windows.render.records.results import PlaceResult
    from windows.shoreline.shore import Shore


@dataclass(frozen=True)
class CurrentsJob(Listing["AnyCurrentStation"]):
    """Slacks, floods and ebbs asked for, of the days in `span`."""

    span: Span

    def only(self, shore: "Shore") -> "AnyCurrentStation":
        """The current asked for, that of a spot, or the file's only one."""
        if self.choice.station is not None:
            return shore.current(self.choice.station)
        if self.choice.spot is not None:
            return _current_of(shore, self.choice.spot)
        if len(shore.currents) == 1:
            return shore.currents[0]
        raise which(shore.path, "current", "--station", (item.id for item in shore.currents), "[[currents]]")

    def every(self, shore: "Shore") -> "Sequence[AnyCurrentStation]":
        """All current stations."""
        return shore.currents

    def part(self, shore: "Shore", place: "AnyCurrentStation") -> "PlaceResult":
        """Slacks, floods and ebbs of a current station."""
        from harmonics.stations.currents import current_events
        from windows.render.records.frames import currents_frame
        from windows.render.records.results import PlaceResult
        from windows.render.text import listings
        from windows.render.words.phrases import words_of

        days = self.span.local_days(self.now, shore.head.zone)
        events = current_events(place, float(days.edges[0]), float(days.edges[-1]))
        named = listings.Place(shore.head, place.name, None)
        words = words_of(shore.head)
        return PlaceResult(
            lambda: listings.currents(named, days.dates, days.edges, events, words, self.width),
            lambda: currents_frame(place.id, events, shore.head.zone),
            {"station": place.id, "name": place.name},
        )


def _current_of(shore: "Shore", spot: str) -> "AnyCurrentStation":
    """The current station that a spot's flow is taken from."""
    from harmonics.errors import UnknownNameError
    from windows.shoreline.spots import CurrentSource

    source = shore.spot(spot).flow
    if not isinstance(source, CurrentSource):
        raise UnknownNameError(f"{shore.path}: the flow of spot '{spot}' is not that of a current station")
    return source.station


@click.command()
@file_argument
@place_options(
    "Id of a current of the file.",
    "Id of a spot whose flow is a current; the current's own times are printed.",
)
@span_options(7, MOST_DAYS)
@target_options(ResultKind.LISTING)
@click.pass_context
def currents(ctx: click.Context, file: Path, choice: Choice, span: Span, target: Target) -> None:
    """Slacks, floods and ebbs: times, speeds, directions.

    FILE may be a folder of station files: each gets a result, all its currents in it, in the folder of -o.
    """
    answer(CurrentsJob(now_of(ctx), screen_width(), target.form, choice, span), file, target)
