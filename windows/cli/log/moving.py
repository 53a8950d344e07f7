"""`log export` and `log import`: the log as CSV, and back."""

from pathlib import Path

import click

from windows.cli.log.place import log_option, log_path, optional_file, shore_of
from windows.cli.options import now_of, output_option
from windows.cli.output import emit


@click.command()
@optional_file
@click.option("--removed", is_flag=True, help="Write those taken out as well.")
@output_option(folders=False)
@log_option
def export(file: Path | None, removed: bool, output: Path | None, path: Path | None) -> None:
    """The whole log as CSV, a row a trip and species; `log import` makes the same log of it."""
    from windows.log.exchange import written
    from windows.log.keeping import kept_trips

    place = log_path(path, shore_of(file))
    emit(written(kept_trips(place, removed)), output)


@click.command("import")
@click.argument("table", type=click.Path(path_type=Path))
@optional_file
@click.option("--compute", is_flag=True, help="Give trips without a forecast one from FILE, marked as later.")
@log_option
@click.pass_context
def import_(ctx: click.Context, table: Path, file: Path | None, compute: bool, path: Path | None) -> None:
    """Trips from CSV: a log's own, or a notebook's with spot, start_local and end_local at least.

    TABLE is the CSV; FILE is the station file that knows its spots and its clock. Trips that the log has
    already are passed over, and nothing is kept where anything is wrong.
    """
    from windows.log.taking_in import import_into
    from windows.render.words.log import import_words

    if compute and file is None:
        raise click.UsageError("--compute takes the forecast from a station file: name it after the table")
    shore = shore_of(file)
    place = log_path(path, shore)
    taken = import_into(place, table, shore, now_of(ctx), compute)
    emit(import_words(taken.kept, taken.there, taken.differ, str(place)) + "\n", None)
