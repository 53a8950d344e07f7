"""`week`, `best` and `compare`: forecasts of windows."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from windows.cli.answer import answer
from windows.cli.options import (
    MOST_FORECAST_DAYS,
    Decorator,
    F,
    Span,
    file_argument,
    group,
    now_of,
    observed_option,
    quarry_option,
    span_options,
    target_options,
    weather_option,
)
from windows.cli.output import Answer, Target, earlier, screen_width
from windows.render.formats import RenderOptions, ResultKind, write
from windows.render.words.options import Why

if TYPE_CHECKING:
    from windows.shoreline.hours import Hours
    from windows.shoreline.shore import Shore
    from windows.shoreline.spots import Spot

AFTERNOON = "12:00-sunset+1h"


class Asked(NamedTuple):
    """What is asked of a forecast beside its days.

    Attributes:
        spot: id of the only one wanted.
        quarry: name of the fish one is after; None for the file's own.
        hours: when people can fish; None for the file's own.
        observed: a file of readings; None for the file's own.
        weather: a file of weather; None for the file's own.
        mark: points from which a session gets a calendar entry; None for the file's.
        why: which sessions are explained at length.
        all_sessions: whether a calendar holds more than one entry a day and group of spots.
    """

    spot: str | None
    quarry: str | None
    hours: "Hours | None"
    observed: Path | None
    weather: Path | None
    mark: float | None
    why: str
    all_sessions: bool


class ForecastJob(NamedTuple):
    """A forecast asked for; `windows.cli.many.Job` is met.

    Attributes:
        kind: of the result.
        several: all spots where none is named; else the file must leave no choice.
        default_hours: of a file that names none.
        now: the clock, POSIX seconds.
        width: columns of a table.
        form: name of the format.
        span: the days.
        asked: the rest.
        before: where an earlier calendar may lie, which the new one takes the place of.
    """

    kind: ResultKind
    several: bool
    default_hours: str
    now: float
    width: int
    form: str
    span: Span
    asked: Asked
    before: Path | None = None

    def single(self, file: Path) -> Answer:
        """The forecast of a file, with a bar on the terminal where it takes long."""
        from windows.cli.progress import counted

        shore, spots = self._read(file, self.several)
        with counted("spots", len(spots), self.span.days) as progress:
            return self._written(shore, spots, progress)

    def whole(self, file: Path) -> Answer:
        """The forecast of all spots of a file, or of the one named."""
        return self._written(*self._read(file, several=True), None)

    def _read(self, file: Path, several: bool) -> "tuple[Shore, tuple[Spot, ...]]":
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        spots = shore.sought(chosen_spots(shore, self.asked.spot, several), self.asked.quarry)
        if self.asked.hours is not None:
            spots = tuple(item.fished_in(self.asked.hours) for item in spots)
        return shore, spots

    def _written(
        self, shore: "Shore", spots: "tuple[Spot, ...]", progress: Callable[[int], None] | None
    ) -> Answer:
        from windows.conditions.knowledge import outlook_of
        from windows.forecast.making import make_forecast
        from windows.render.words.doubts import doubts
        from windows.render.words.phrases import words_of
        from windows.render.words.todays import todays_water
        from windows.shoreline.hours import parse_hours

        asked = self.asked
        outlook = outlook_of(shore, [item.station for item in spots], self.now, asked.observed, asked.weather)
        first = self.span.first(self.now, shore.head.zone)
        default = parse_hours(self.default_hours)
        forecast = make_forecast(shore, spots, first, self.span.days, outlook, default, progress)
        options = RenderOptions(
            self.width,
            shore.path.name,
            asked.mark,
            Why(asked.why),
            asked.all_sessions,
            earlier(self.before),
            asked.spot is None,
        )
        remarks = doubts(shore)
        if self.form == "csv":  # the one format with no room for sentences
            remarks += tuple(todays_water(forecast, words_of(forecast.head)))
        return Answer(write(self.kind, self.form, forecast, options), remarks)


def chosen_spots(shore: "Shore", spot: str | None, several: bool) -> tuple["Spot", ...]:
    """The spot asked for; without one, all of them, or the only one where a command wants one.

    Raises:
        UnknownNameError: the file has no spot of that id, or none at all, or the choice is open.
    """
    from harmonics.errors import UnknownNameError

    if spot is not None:
        return (shore.spot(spot),)
    if not shore.spots:
        raise UnknownNameError(f"{shore.path}: the file has no [[spots]]; a forecast of windows needs one")
    if several or len(shore.spots) == 1:
        return shore.spots
    from windows.cli.listings import which

    raise which(shore.path, "spot", "--spot", (item.id for item in shore.spots), "[[spots]]")


def _hours(ctx: click.Context, param: click.Parameter, value: str | None) -> "Hours | None":
    """The hours of --hours, or a usage error that says what was expected."""
    from windows.shoreline.hours import parse_hours

    if value is None:
        return None
    try:
        return parse_hours(value)
    except ValueError as error:
        raise click.BadParameter(f"'{value}': expected {error}", ctx=ctx, param=param) from None


def _forecast_options(kind: ResultKind, days: int, hours: str) -> Decorator:
    """All options of a forecast."""
    asked = group(
        "asked",
        Asked,
        click.option("--spot", help="Id of one spot of the file."),
        quarry_option,
        click.option(
            "--hours",
            callback=_hours,
            help='When you can fish: "any", "06:00-11:30", "12:00-sunset+1h" ...  '
            f'[default: the file\'s, or "{hours}"]',
        ),
        observed_option,
        weather_option,
        click.option(
            "--mark",
            type=click.FloatRange(0, 100),
            help="Points from which a session gets a calendar entry.  [default: the file's keep mark]",
        ),
        click.option(
            "--why",
            type=click.Choice([item.value for item in Why]),
            default=Why.BEST.value,
            show_default=True,
            help="Which sessions a table explains at length.",
        ),
        click.option(
            "--all-sessions",
            is_flag=True,
            help="Calendar entries for every session, not only the best of each day.",
        ),
    )

    def add(function: F) -> F:
        function = target_options(kind)(function)
        return file_argument(span_options(days, MOST_FORECAST_DAYS)(asked(function)))

    return add


@click.command()
@_forecast_options(ResultKind.WEEK, 7, "any")
@click.pass_context
def week(ctx: click.Context, file: Path, span: Span, asked: Asked, target: Target) -> None:
    """The coming week at a spot: windows, sessions and why they rank.

    FILE may be a folder of station files: each gets a result, all its spots in it, in the folder of -o.
    """
    _answer(ctx, file, span, asked, target, ResultKind.WEEK, several=False)


@click.command()
@_forecast_options(ResultKind.BEST, 14, AFTERNOON)
@click.pass_context
def best(ctx: click.Context, file: Path, span: Span, asked: Asked, target: Target) -> None:
    """Which afternoon: sessions of all spots, or of one, in order of rank.

    FILE may be a folder of station files: each gets a result in the folder of -o.
    """
    _answer(ctx, file, span, asked, target, ResultKind.BEST, default_hours=AFTERNOON)


@click.command()
@_forecast_options(ResultKind.COMPARE, 7, "any")
@click.pass_context
def compare(ctx: click.Context, file: Path, span: Span, asked: Asked, target: Target) -> None:
    """Spots side by side, day by day, each with its best session.

    FILE may be a folder of station files: each gets a result in the folder of -o.
    """
    _answer(ctx, file, span, asked, target, ResultKind.COMPARE)


def _answer(
    ctx: click.Context,
    file: Path,
    span: Span,
    asked: Asked,
    target: Target,
    kind: ResultKind,
    *,
    several: bool = True,
    default_hours: str = "any",
) -> None:
    if asked.observed is not None and os.path.isdir(file):
        raise click.UsageError("--observed has readings of one station: name one file, not a folder")
    job = ForecastJob(kind, several, default_hours, now_of(ctx), screen_width(), target.form, span, asked)
    if not os.path.isdir(file):
        job = job._replace(before=target.calendar)
    answer(job, file, target)
