"""`log list`: the trips of the log."""

from pathlib import Path

import click

from windows.cli.log.place import (
    Which,
    log_option,
    log_path,
    optional_file,
    shore_of,
    units_of,
    which_options,
)
from windows.cli.options import target_options
from windows.cli.output import Target, emit, screen_width
from windows.render.formats import RenderOptions, ResultKind, write

LAST = 20


@click.command("list")
@optional_file
@which_options
@click.option(
    "--last",
    type=click.IntRange(1),
    help=f"The last so many alone.  [default: {LAST} in a table, else all]",
)
@click.option("--removed", is_flag=True, help="Show those taken out as well.")
@target_options(ResultKind.TRIPS, folders=False)
@log_option
def list_(
    file: Path | None, which: Which, last: int | None, removed: bool, target: Target, path: Path | None
) -> None:
    """The trips of the log, the latest at the end."""
    from windows.log.keeping import kept_trips
    from windows.log.trips import same_species
    from windows.render.records.log_frames import trips_frame, trips_header
    from windows.render.records.results import Result
    from windows.render.text.log import trips_text

    shore = shore_of(file)
    place = log_path(path, shore)
    wanted = which.of(kept_trips(place, removed))
    if which.species is not None:
        species = which.species
        wanted = tuple(t for t in wanted if any(same_species(c.species, species) for c in t.catches))
    most = last or (LAST if target.form == "table" else len(wanted))
    shown = wanted[-most:] if most else ()
    width, total = screen_width(), len(wanted)
    result = Result(
        lambda: trips_text(shown, total, str(place), units_of(shore), width),
        lambda: trips_frame(shown),
        lambda: trips_header(str(place), total),
    )
    emit(write(ResultKind.TRIPS, target.form, result, RenderOptions(width)), target.output)
