"""`log report`: whether hours with more points caught more."""

from pathlib import Path

import click

from windows.cli.log.place import (
    Which,
    log_option,
    log_path,
    optional_file,
    shore_of,
    which_options,
)
from windows.cli.options import target_options
from windows.cli.output import Target, emit, screen_width
from windows.render.formats import RenderOptions, ResultKind, write

PERMUTATIONS = 4999
MOST_PERMUTATIONS = 1_000_000


@click.command()
@optional_file
@which_options
@click.option("--with-later", is_flag=True, help="Count trips whose forecast was computed later.")
@click.option(
    "--permutations",
    type=click.IntRange(0, MOST_PERMUTATIONS),
    default=PERMUTATIONS,
    show_default=True,
    help="Shufflings of the points inside spot and month; 0 for rates alone, without a verdict.",
)
@target_options(ResultKind.LOG_REPORT, folders=False)
@log_option
def report(
    file: Path | None,
    which: Which,
    with_later: bool,
    permutations: int,
    target: Target,
    path: Path | None,
) -> None:
    """Whether hours with more points caught more, honestly counted.

    Fish an angler-hour by bands of points, the catch ratio inside spot and month, and how often chance alone
    does as well. No verdict from fewer than 30 trips.
    """
    from windows.log.keeping import kept_trips
    from windows.log.report import make_report
    from windows.render.chart.catches import catches_svg
    from windows.render.records.log_frames import bands_frame, report_header
    from windows.render.records.results import Result
    from windows.render.text.log import report_text

    place = log_path(path, shore_of(file))
    told = make_report(which.of(kept_trips(place)), which.species, permutations, with_later)
    width = screen_width()
    result = Result(
        lambda: report_text(told, width, which.sliced),
        lambda: bands_frame(told),
        lambda: report_header(told, str(place)),
        lambda: catches_svg(told),
    )
    emit(write(ResultKind.LOG_REPORT, target.form, result, RenderOptions(width)), target.output)
