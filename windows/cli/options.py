"""Options that commands share, in groups: each group reaches its command as one value."""

import re
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, Protocol, TypeVar, cast
from zoneinfo import ZoneInfo

import click

from windows.cli.output import MOST_WORKERS, Target
from windows.render.formats import ResultKind, names_for, uses_for

if TYPE_CHECKING:
    from harmonics.arrays import Array

F = TypeVar("F", bound=Callable[..., Any])

DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
EARLIEST, LATEST = date(1000, 1, 1), date(2999, 12, 31)
MOST_DAYS = 7000
MOST_FORECAST_DAYS = 400
"""A forecast explains every session: a year and a bit is the most anyone reads."""


class Decorator(Protocol):
    """Adds options to a command's function."""

    def __call__(self, function: F, /) -> F:
        """The function with its options."""


def group(name: str, build: type[Any], *options: Decorator) -> Decorator:
    """Options whose values reach the command as one frozen value.

    Args:
        name: of the command's argument.
        build: dataclass or named tuple with a field for each option, under the option's name.
        options: in the order of help.
    """
    keys = build.__match_args__

    def add(function: F) -> F:
        @wraps(function)
        def grouped(*args: Any, **values: Any) -> Any:
            known = {key: values.pop(key) for key in keys if key in values}
            return function(*args, **values, **{name: build(**known)})

        for option in reversed(options):
            grouped = option(grouped)
        return cast(F, grouped)

    return add


def file_argument(function: F) -> F:
    """The FILE that every command takes."""
    return click.argument("file", type=click.Path(path_type=Path))(function)


class Clock(NamedTuple):
    """The time of day, passed in so that a run can be repeated."""

    now: Callable[[], float] = time.time


def now_of(ctx: click.Context) -> float:
    """The clock of this run, POSIX seconds."""
    clock = ctx.find_object(Clock) or Clock()
    return clock.now()


class LocalDays(NamedTuple):
    """Local days in a row: their dates, and their edges in POSIX seconds, one more than dates."""

    dates: tuple[date, ...]
    edges: "Array"


class DayWord(NamedTuple):
    """A day told from today.

    Attributes:
        ahead: days from today on.
        weekday: the first of these from there on, 0 is Monday; None for any.
    """

    ahead: int = 0
    weekday: int | None = None

    def seen_from(self, today: date) -> date:
        """The date it means."""
        first = today + timedelta(days=self.ahead)
        if self.weekday is None:
            return first
        return first + timedelta(days=(self.weekday - first.weekday()) % 7)


DAY_WORDS = {
    "today": DayWord(),
    "tomorrow": DayWord(ahead=1),
    **{
        name: DayWord(weekday=weekday)
        for weekday, whole in enumerate(
            ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
        )
        for name in (whole, whole[:3])
    },
}


class Span(NamedTuple):
    """--start and --days.

    Attributes:
        start: first local day; None for today.
        days: how many.
    """

    start: date | DayWord | None
    days: int

    def first(self, now: float, zone: ZoneInfo) -> date:
        """The first day; today is that of the local clock."""
        if isinstance(self.start, date):
            return self.start
        return (self.start or DayWord()).seen_from(datetime.fromtimestamp(now, zone).date())

    def local_days(self, now: float, zone: ZoneInfo) -> LocalDays:
        """The days by the local clock."""
        from windows.astronomy import day_edges

        first = self.first(now, zone)
        dates = tuple(first + timedelta(days=index) for index in range(self.days))
        return LocalDays(dates, day_edges(first, self.days, zone))


def date_of(ctx: click.Context, param: click.Parameter, value: str | None) -> date | None:
    """The date of an option, or a usage error that says what was expected."""
    if value is None:
        return None
    found: date | None = None
    with suppress(ValueError):
        found = date.fromisoformat(value) if re.fullmatch(DATE, value) else None
    if found is None or not EARLIEST <= found <= LATEST:
        raise click.BadParameter(
            f"'{value}' is not a date from {EARLIEST} to {LATEST}, as 2026-08-15", ctx=ctx, param=param
        )
    return found


def start_of(ctx: click.Context, param: click.Parameter, value: str | None) -> date | DayWord | None:
    """The first day, named by its date or told from today; else a usage error that says what was expected."""
    word = None if value is None else DAY_WORDS.get(value.strip().lower())
    if word is not None or value is None:
        return word
    with suppress(click.BadParameter):
        return date_of(ctx, param, value)
    raise click.BadParameter(
        f"'{value}' is not today, tomorrow, a weekday as fri, or a date from {EARLIEST} to {LATEST}, "
        "as 2026-08-15",
        ctx=ctx,
        param=param,
    )


def span_options(default_days: int, most_days: int) -> Decorator:
    """--start and --days, as a `Span`."""
    return group(
        "span",
        Span,
        click.option(
            "--start",
            callback=start_of,
            metavar="DAY",
            help="First local day: today, tomorrow, the next fri (today included), or YYYY-MM-DD.  "
            "[default: today]",
        ),
        click.option(
            "--days",
            type=click.IntRange(1, most_days),
            default=default_days,
            show_default=True,
            help="Local days to cover.",
        ),
    )


@dataclass(frozen=True)
class Choice:
    """--station or --spot: one place of the file, or neither."""

    station: str | None = None
    spot: str | None = None

    def __post_init__(self) -> None:
        if self.station is not None and self.spot is not None:
            raise click.UsageError("name a station or a spot, not both")

    @property
    def is_open(self) -> bool:
        """No place was named."""
        return self.station is None and self.spot is None


def place_options(station: str, spot: str | None) -> Decorator:
    """--station and --spot, as a `Choice`.

    Args:
        station, spot: help of each; None for a command without --spot.
    """
    options = [click.option("--station", help=station)]
    if spot is not None:
        options.append(click.option("--spot", help=spot))
    return group("choice", Choice, *options)


def weather_option(function: F) -> F:
    """--weather."""
    return click.option(
        "--weather",
        type=click.Path(path_type=Path),
        help="CSV of weather by standard names and units, as 'wind_speed [kn]': wind, chop, thunder, level.",
    )(function)


def observed_option(function: F) -> F:
    """--observed."""
    return click.option(
        "--observed",
        type=click.Path(path_type=Path),
        help="CSV of recent readings at the station: today's departure from prediction is carried forward.",
    )(function)


def quarry_option(function: F) -> F:
    """--quarry."""
    return click.option(
        "--quarry",
        help="The fish you are after, one of the file's [[quarry]]: its light, speeds and months hold.",
    )(function)


def format_option(kind: ResultKind) -> Decorator:
    """--format, with the formats that the kind of result can be written in; the first is the default."""
    names = names_for(kind)
    return click.option(
        "--format",
        "form",
        type=click.Choice(names),
        default=names[0],
        show_default=True,
        help=f"How to write the result: {uses_for(kind)}.",
    )


def output_option(*, folders: bool) -> Decorator:
    """--output; `folders` where the command takes them."""
    also = "; for a folder of files, the folder of their results" if folders else ""
    return click.option(
        "-o",
        "--output",
        type=click.Path(path_type=Path),
        help=f"Write to this file instead of the screen{also}.",
    )


def workers_option(function: F) -> F:
    """--workers."""
    return click.option(
        "--workers",
        type=click.IntRange(1, MOST_WORKERS),
        help="Where FILE is a folder: how many processes share its files.  "
        "[default: one a processor, fewer for few files]",
    )(function)


def target_options(kind: ResultKind, *, folders: bool = True) -> Decorator:
    """--format, --output, and --workers where the command takes folders, as a `Target`."""
    options = [format_option(kind), output_option(folders=folders), *([workers_option] if folders else [])]
    return group("target", Target, *options)
