"""`levels`: levels at even steps."""

import os
import re
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
    observed_option,
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

SHORTEST_STEP, LONGEST_STEP = 60.0, 86400.0
MOST_ROWS = 20_000_000
"""Levels of 7,000 days at every minute are 10 million rows; a second's step would not fit in memory."""


@dataclass(frozen=True)
class LevelsJob(Listing["TideStation"]):
    """Levels asked for.

    Attributes:
        span: the days.
        step: seconds.
        observed: a file of readings; None for the file's own.
    """

    span: Span
    step: float
    observed: Path | None

    def only(self, shore: "Shore") -> "TideStation":
        """The station asked for, or the file's only one."""
        return chosen_station(shore, self.choice)

    def every(self, shore: "Shore") -> "Sequence[TideStation]":
        """All tide stations."""
        return shore.stations

    def part(self, shore: "Shore", place: "TideStation") -> "PlaceResult":
        """Levels of a station, with today's departure beside them where it is known."""
        import numpy as np

        from harmonics.records.observed import departure_words
        from harmonics.stations.tides import even_levels
        from harmonics.stations.types import primary_of
        from windows.conditions.todays_water import departures
        from windows.render.records.frames import levels_frame
        from windows.render.records.results import PlaceResult
        from windows.render.text import listings
        from windows.render.words.phrases import words_of

        edges = self.span.local_days(self.now, shore.head.zone).edges
        count = int(np.ceil((edges[-1] - edges[0]) / self.step))
        if count > MOST_ROWS:
            raise click.UsageError(
                f"{count:,} rows are more than {MOST_ROWS:,}: take fewer days or a longer step"
            )
        t = edges[0] + self.step * np.arange(count, dtype=float)
        height = even_levels(place, float(edges[0]), self.step, count)
        found = departures(shore, [place], self.observed, self.now).get(primary_of(place).id)
        away = None if found is None else found.at(t)
        named = listings.Place(shore.head, place.name, place.datum)
        words = words_of(shore.head)
        return PlaceResult(
            lambda: listings.levels(named, edges, listings.Levels(t, height, away), words, self.width),
            lambda: levels_frame(place.id, t, height, shore.head.zone, away),
            {"station": place.id, "name": place.name, "datum": place.datum},
            () if found is None else tuple(departure_words(found, self.now, shore.head.units)),
        )


def _step(ctx: click.Context, param: click.Parameter, value: str) -> float:
    """Seconds of --step, or a usage error."""
    match = re.fullmatch(r"(\d{1,5})\s*(min|h)", value.strip().lower())
    seconds = 0.0 if match is None else int(match[1]) * (60.0 if match[2] == "min" else 3600.0)
    if not SHORTEST_STEP <= seconds <= LONGEST_STEP:
        raise click.BadParameter(
            f"'{value}' is not a step from 1min to 24h, such as 6min or 1h", ctx=ctx, param=param
        )
    return seconds


@click.command()
@file_argument
@place_options("Id of a station of the file.", "Id of a spot, whose station is taken.")
@span_options(1, MOST_DAYS)
@observed_option
@click.option("--step", callback=_step, default="60min", show_default=True, help="As 6min, 60min or 1h.")
@target_options(ResultKind.LISTING)
@click.pass_context
def levels(
    ctx: click.Context,
    file: Path,
    choice: Choice,
    span: Span,
    observed: Path | None,
    step: float,
    target: Target,
) -> None:
    """Levels at even steps from the first local midnight on.

    FILE may be a folder of station files: each gets a result, all its stations in it, in the folder of -o.
    """
    if observed is not None and os.path.isdir(file):
        raise click.UsageError("--observed has readings of one station: name one file, not a folder")
    job = LevelsJob(now_of(ctx), screen_width(), target.form, choice, span, step, observed)
    answer(job, file, target)
