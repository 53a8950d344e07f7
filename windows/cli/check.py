"""`check`: what a file means, and every problem in it."""

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from windows.cli.options import emit_text, file_argument, now_of, width

if TYPE_CHECKING:
    from windows.shoreline.shore import Shore


@click.command()
@file_argument
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="Write to this file instead of the screen."
)
@click.pass_context
def check(ctx: click.Context, file: Path, output: Path | None) -> None:
    """What a file means: stations, kind of tide, ranges, spots; or every problem in it."""
    from windows.render.text.summary import summary
    from windows.shoreline.shore import read_shore

    shore = read_shore(file)
    year = datetime.fromtimestamp(now_of(ctx), UTC).year
    refuse_swapped_turns(shore, year)
    emit_text(summary(shore, year, width()), output)


def refuse_swapped_turns(shore: "Shore", year: int) -> None:
    """Refuse secondary stations whose differences put one turn after the next, tried over a year.

    Raises:
        FileProblemsError: naming each such station.
    """
    from harmonics.errors import FileProblemsError, Problem
    from harmonics.stations.currents import current_difference_problem
    from harmonics.stations.secondary import difference_problem
    from harmonics.stations.types import SecondaryCurrentStation, SecondaryStation
    from harmonics.sums.waves import year_start

    span = year_start(year), year_start(year + 1)
    found: dict[str, str | None] = {}
    for station in shore.stations:
        if isinstance(station, SecondaryStation):
            found[f"stations '{station.id}'"] = difference_problem(station, *span)
    for current in shore.currents:
        if isinstance(current, SecondaryCurrentStation):
            found[f"currents '{current.id}'"] = current_difference_problem(current, *span)
    problems = tuple(
        Problem(where, text, "differences that keep high and low waters, slacks and maxima in order")
        for where, text in found.items()
        if text is not None
    )
    if problems:
        raise FileProblemsError(str(shore.path), problems)
