"""`week`, `best` and `compare`: forecasts of windows."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from windows.cli.options import (
    MOST_PLAN_DAYS,
    answer,
    chosen_spots,
    file_argument,
    first_day,
    now_of,
    observed_option,
    output_option,
    span_options,
    width,
    workers_option,
)

if TYPE_CHECKING:
    from windows.shoreline.hours import Hours
    from windows.shoreline.shore import Shore
    from windows.shoreline.spots import Spot

AFTERNOON = "12:00-sunset+1h"


@dataclass(frozen=True)
class Plan:
    """A forecast asked for: what `windows.cli.many.Job` wants.

    Attributes:
        command: "week", "best" or "compare".
        several: all spots where none is named; else the file must leave no choice.
        default: hours of a file that names none.
        now: the clock, POSIX seconds.
        columns: width of a table.
        spot, start, days, hours, observed, mark, form: as the options say.
    """

    command: str
    several: bool
    default: str
    now: float
    columns: int
    spot: str | None
    start: date | None
    days: int
    hours: "Hours | None"
    observed: Path | None
    mark: float | None
    form: str

    def single(self, file: Path) -> str | bytes:
        """The forecast of a file, with a bar on the terminal where it takes long."""
        from windows.cli.progress import counted

        shore, spots = self._read(file, self.several)
        with counted("spots", len(spots), self.days) as progress:
            return self._written(shore, spots, progress)

    def whole(self, file: Path) -> str | bytes:
        """The forecast of all spots of a file, or of the one named."""
        return self._written(*self._read(file, several=True), None)

    def _read(self, file: Path, several: bool) -> "tuple[Shore, tuple[Spot, ...]]":
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        spots = chosen_spots(shore, self.spot, several)
        if self.hours is not None:
            spots = tuple(item.fished_in(self.hours) for item in spots)
        return shore, spots

    def _written(
        self, shore: "Shore", spots: "tuple[Spot, ...]", progress: Callable[[int], None] | None
    ) -> str | bytes:
        from windows.conditions.todays_water import departures
        from windows.forecast.making import make_forecast
        from windows.render.formats import FORMATS, Wish
        from windows.render.text import terminal
        from windows.render.words.phrases import words_of
        from windows.render.words.todays import todays_water
        from windows.shoreline.hours import parse_hours

        found = departures(shore, [item.station for item in spots], self.observed, self.now)
        first = first_day(self.start, self.now, shore.zone)
        default = parse_hours(self.default)
        forecast = make_forecast(shore, spots, first, self.days, self.now, default, progress, found)
        if self.form == "csv":  # the one format with no room for sentences
            for sentence in todays_water(forecast, words_of(forecast)):
                click.echo(sentence, err=True)
        table = {"week": terminal.week, "best": terminal.best, "compare": terminal.compare}[self.command]
        return FORMATS[self.form](forecast, Wish(table, self.columns, shore.path.name, self.mark))


_spot = click.option("--spot", help="Id of one spot of the file.")


def _forms(function: Any) -> Any:
    """--format and --mark of a forecast."""
    mark = click.option(
        "--mark",
        type=click.FloatRange(0, 100),
        help="Points from which a session gets a calendar entry.  [default: the file's keep mark]",
    )
    return click.option(
        "--format",
        "form",
        type=click.Choice(["table", "csv", "json", "page", "svg", "png", "ics", "text"]),
        default="table",
        show_default=True,
        help="How to write the result: page for a phone, ics for a calendar, text for a message ...",
    )(mark(function))


def _hours(default: str) -> Callable[[Any], Any]:
    shown = f'"{default}"'
    return click.option(
        "--hours",
        help='When you can fish: "any", "06:00-11:30", "12:00-sunset+1h" ...  '
        f"[default: the file's, or {shown}]",
    )


def _plan_options(days: int, hours: str) -> Callable[[Any], Any]:
    """All options of a forecast, in the order of its help."""

    def add(function: Any) -> Any:
        for option in (
            workers_option,
            output_option,
            _forms,
            observed_option,
            _hours(hours),
            span_options(days, MOST_PLAN_DAYS),
            _spot,
            file_argument,
        ):
            function = option(function)
        return function

    return add


@click.command()
@_plan_options(7, "any")
@click.pass_context
def week(ctx: click.Context, /, **asked: Any) -> None:
    """The coming week at a spot: windows, sessions and why they rank.

    FILE may be a folder of station files: each gets a result, all its spots in it, in the folder of -o.
    """
    _answer(ctx, "week", several=False, default="any", **asked)


@click.command()
@_plan_options(14, AFTERNOON)
@click.pass_context
def best(ctx: click.Context, /, **asked: Any) -> None:
    """Which afternoon: sessions of all spots, or of one, in order of rank.

    FILE may be a folder of station files: each gets a result in the folder of -o.
    """
    _answer(ctx, "best", several=True, default=AFTERNOON, **asked)


@click.command()
@_plan_options(7, "any")
@click.pass_context
def compare(ctx: click.Context, /, **asked: Any) -> None:
    """Spots side by side, day by day, each with its best session.

    FILE may be a folder of station files: each gets a result in the folder of -o.
    """
    _answer(ctx, "compare", several=True, default="any", **asked)


def _answer(
    ctx: click.Context,
    command: str,
    *,
    several: bool,
    default: str,
    file: Path,
    hours: str | None,
    output: Path | None,
    workers: int | None,
    **asked: Any,
) -> None:
    plan = Plan(command, several, default, now_of(ctx), width(), hours=_parsed_hours(hours), **asked)
    if plan.observed is not None and os.path.isdir(file):
        raise click.UsageError("--observed has readings of one station: name one file, not a folder")
    answer(plan, file, output, workers)


def _parsed_hours(text: str | None) -> "Hours | None":
    from windows.shoreline.hours import parse_hours

    if text is None:
        return None
    try:
        return parse_hours(text)
    except ValueError as error:
        raise click.BadParameter(f"'{text}': expected {error}", param_hint="--hours") from None
