"""Options that commands share, and where results go."""

import os
import re
import shutil
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar
from zoneinfo import ZoneInfo

import click

if TYPE_CHECKING:
    from windows.cli.many import Job
    from windows.render.records.results import Result
    from windows.shoreline.shore import Shore
    from windows.shoreline.spots import Spot

F = TypeVar("F", bound=Callable[..., Any])

DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
EARLIEST, LATEST = date(1000, 1, 1), date(2999, 12, 31)
MOST_DAYS = 7000
MOST_PLAN_DAYS = 400
"""A forecast explains every session: a year and a bit is the most anyone reads."""
MOST_WORKERS = 61
"""As many processes as Windows lets one wait for."""


def _day(ctx: click.Context, param: click.Parameter, value: str | None) -> date | None:
    """The date of --start, or a usage error that says what was expected."""
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


def file_argument(function: F) -> F:
    """The FILE that every command takes."""
    return click.argument("file", type=click.Path(path_type=Path))(function)


def span_options(default_days: int, most_days: int) -> Callable[[F], F]:
    """--start and --days."""

    def add(function: F) -> F:
        days = click.option(
            "--days",
            type=click.IntRange(1, most_days),
            default=default_days,
            show_default=True,
            help="Local days to cover.",
        )
        start = click.option(
            "--start",
            callback=_day,
            metavar="DATE",
            help="First local day, YYYY-MM-DD.  [default: today]",
        )
        return start(days(function))

    return add


def output_options(function: F) -> F:
    """--format and --output."""
    return form_option(output_option(function))


def observed_option(function: F) -> F:
    """--observed."""
    return click.option(
        "--observed",
        type=click.Path(path_type=Path),
        help="CSV of recent readings at the station: today's departure from prediction is carried forward.",
    )(function)


def form_option(function: F) -> F:
    """--format."""
    return click.option(
        "--format",
        "form",
        type=click.Choice(["table", "csv", "json"]),
        default="table",
        show_default=True,
        help="How to write the result.",
    )(function)


def workers_option(function: F) -> F:
    """--workers."""
    return click.option(
        "--workers",
        type=click.IntRange(1, MOST_WORKERS),
        help="Where FILE is a folder: how many processes share its files.  "
        "[default: one a processor, fewer for few files]",
    )(function)


def output_option(function: F) -> F:
    """--output."""
    return click.option(
        "-o", "--output", type=click.Path(path_type=Path), help="Write to this file instead of the screen."
    )(function)


@dataclass(frozen=True)
class Clock:
    """The time of day, passed in so that a run can be repeated."""

    now: Callable[[], float] = time.time


def now_of(ctx: click.Context) -> float:
    """The clock of this run, POSIX seconds."""
    clock = ctx.find_object(Clock) or Clock()
    return clock.now()


def first_day(start: date | None, now: float, zone: ZoneInfo) -> date:
    """The day asked for, or today by the shore's clock."""
    return start or datetime.fromtimestamp(now, zone).date()


def width() -> int:
    """Columns of the terminal, or those of a page where there is none."""
    from windows.render.text.layout import FALLBACK_WIDTH

    return shutil.get_terminal_size((FALLBACK_WIDTH, 24)).columns


def answer(job: "Job", file: Path, output: Path | None, workers: int | None) -> None:
    """Do the job on a file, or on every file of a folder with a result file each.

    Raises:
        click.UsageError: a folder without a folder for its results, or --workers for a single file.
        EbblightError: the input is wrong, or the result can't be written.
    """
    if not os.path.isdir(file):
        if workers is not None:
            raise click.UsageError(f"--workers is for a folder of files, which '{file}' is not")
        result = job.single(file)
        if isinstance(result, bytes):
            emit_bytes(result, output)
        else:
            emit_text(result, output)
        return
    from windows.cli.many import write_results

    if output is None:
        raise click.UsageError(f"'{file}' is a folder: name a folder for the results with -o")
    write_results(job, file, output, workers, _processors())


def _processors() -> int:
    """Those this process may use, where the system tells."""
    allowed = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(allowed, MOST_WORKERS)


def emit(result: "Result", form: str, output: Path | None) -> None:
    """Write the result in the form asked for, to the screen or whole to a file.

    Raises:
        OutputError: the file can't be written; what was there before stays.
    """
    emit_text(as_text(result, form), output)


def as_text(result: "Result", form: str) -> str:
    """The result in the form asked for."""
    return _FORMS[form](result)


def emit_text(text: str, output: Path | None) -> None:
    """Write text to the screen, or whole to a file; errors as for `emit`."""
    from harmonics.errors import OutputError
    from windows.render.files import write_whole

    if output is not None:
        write_whole(output, text.encode("utf-8", errors="replace"))
        click.echo(f"wrote {output}", err=True)
        return
    try:
        click.echo(text, nl=False)
    except BrokenPipeError:
        raise
    except OSError as error:
        raise OutputError(f"standard output: can't write the result: {error.strerror or error}") from None


def emit_bytes(data: bytes, output: Path | None) -> None:
    """Write bytes whole to a file, or to a standard output that is not a screen.

    Raises:
        OutputError: the file can't be written.
    """
    from harmonics.errors import OutputError
    from windows.render.files import write_whole

    if output is not None:
        write_whole(output, data)
        click.echo(f"wrote {output}", err=True)
        return
    stream = sys.stdout.buffer
    if stream.isatty():
        raise click.UsageError("a picture needs a file: name one with -o")
    try:
        stream.write(data)
        stream.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise OutputError(f"standard output: can't write the result: {error.strerror or error}") from None


def _text(result: "Result") -> str:
    return result.text()


def _csv(result: "Result") -> str:
    from windows.render.records.tables import to_csv

    return to_csv(result.frame())


def _json(result: "Result") -> str:
    from windows.render.records.tables import to_json

    return to_json(result.frame(), result.header())


_FORMS: dict[str, Callable[["Result"], str]] = {
    "table": _text,
    "csv": _csv,
    "json": _json,
}


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
    names = ", ".join(item.id for item in shore.spots)
    raise UnknownNameError(f"{shore.path}: which spot? Name one with --spot: {names}")
