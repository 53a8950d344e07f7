"""`week`, `best` and `compare`: forecasts of windows."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from windows.cli.options import (
    MOST_PLAN_DAYS,
    chosen_spots,
    emit_bytes,
    emit_text,
    file_argument,
    first_day,
    now_of,
    observed_option,
    output_option,
    span_options,
    width,
)

if TYPE_CHECKING:
    from windows.hours import Hours
    from windows.reports import Forecast

AFTERNOON = "12:00-sunset+1h"

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


@click.command()
@file_argument
@_spot
@span_options(7, MOST_PLAN_DAYS)
@_hours("any")
@observed_option
@_forms
@output_option
@click.pass_context
def week(
    ctx: click.Context,
    file: Path,
    spot: str | None,
    start: date | None,
    days: int,
    hours: str | None,
    observed: Path | None,
    mark: float | None,
    form: str,
    output: Path | None,
) -> None:
    """The coming week at a spot: windows, sessions and why they rank."""
    from windows.render import terminal

    forecast = _forecast(ctx, file, spot, start, days, hours, observed, several=False)
    _emit(forecast, terminal.week, file, mark, form, output)


@click.command()
@file_argument
@_spot
@span_options(14, MOST_PLAN_DAYS)
@_hours(AFTERNOON)
@observed_option
@_forms
@output_option
@click.pass_context
def best(
    ctx: click.Context,
    file: Path,
    spot: str | None,
    start: date | None,
    days: int,
    hours: str | None,
    observed: Path | None,
    mark: float | None,
    form: str,
    output: Path | None,
) -> None:
    """Which afternoon: sessions of all spots, or of one, in order of rank."""
    from windows.render import terminal

    forecast = _forecast(ctx, file, spot, start, days, hours, observed, several=True, default=AFTERNOON)
    _emit(forecast, terminal.best, file, mark, form, output)


@click.command()
@file_argument
@_spot
@span_options(7, MOST_PLAN_DAYS)
@_hours("any")
@observed_option
@_forms
@output_option
@click.pass_context
def compare(
    ctx: click.Context,
    file: Path,
    spot: str | None,
    start: date | None,
    days: int,
    hours: str | None,
    observed: Path | None,
    mark: float | None,
    form: str,
    output: Path | None,
) -> None:
    """Spots side by side, day by day, each with its best session."""
    from windows.render import terminal

    forecast = _forecast(ctx, file, spot, start, days, hours, observed, several=True)
    _emit(forecast, terminal.compare, file, mark, form, output)


def _forecast(
    ctx: click.Context,
    file: Path,
    spot: str | None,
    start: date | None,
    days: int,
    hours: str | None,
    observed: Path | None,
    several: bool,
    default: str = "any",
) -> "Forecast":
    from windows.cli.progress import counted
    from windows.forecast import make_forecast
    from windows.hours import parse_hours
    from windows.shore import read_shore
    from windows.todays_water import departures

    wanted = _parsed_hours(hours)
    now = now_of(ctx)
    shore = read_shore(file)
    spots = chosen_spots(shore, spot, several)
    if wanted is not None:
        spots = tuple(item.fished_in(wanted) for item in spots)
    found = departures(shore, [item.station for item in spots], observed, now)
    first = first_day(start, now, shore.zone)
    with counted("spots", len(spots), days) as progress:
        return make_forecast(shore, spots, first, days, now, parse_hours(default), progress, found)


def _parsed_hours(text: str | None) -> "Hours | None":
    from windows.hours import parse_hours

    if text is None:
        return None
    try:
        return parse_hours(text)
    except ValueError as error:
        raise click.BadParameter(f"'{text}': expected {error}", param_hint="--hours") from None


def _emit(
    forecast: "Forecast",
    table: "Callable[[Forecast, int], str]",
    file: Path,
    mark: float | None,
    form: str,
    output: Path | None,
) -> None:
    from windows.render.formats import FORMATS, Wish

    result = FORMATS[form](forecast, Wish(table, width(), file.name, mark))
    if isinstance(result, bytes):
        emit_bytes(result, output)
    else:
        emit_text(result, output)
