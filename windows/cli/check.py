"""`check`: what a file means, and every problem in it."""

from datetime import UTC, datetime
from pathlib import Path

import click

from windows.cli.options import emit_text, file_argument, now_of, width


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
    emit_text(summary(shore, year, width()), output)
