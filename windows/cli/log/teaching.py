"""`log learn`: what the trips teach about a file's spots."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from windows.cli.log.place import log_option, log_path
from windows.cli.options import file_argument, target_options
from windows.cli.output import Target, emit, screen_width
from windows.render.formats import RenderOptions, ResultKind, write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from windows.log.lessons import Lesson


@click.command()
@file_argument
@click.option("--spot", help="Of this spot alone, by its id.")
@click.option(
    "--write", "into_file", is_flag=True, help="Write what should change into FILE, whose comments stay."
)
@target_options(ResultKind.LESSONS, folders=False)
@log_option
def learn(file: Path, spot: str | None, into_file: bool, target: Target, path: Path | None) -> None:
    """What the trips teach about a file's spots: when the current turns, how strong it runs, what fishes.

    Each number with its 95 % interval, and lines for the file where it should say something else.
    """
    from dataclasses import replace

    from windows.log.keeping import kept_trips
    from windows.log.learning import learn as learned
    from windows.render.records.log_frames import lessons_frame, lessons_header
    from windows.render.records.results import Result
    from windows.render.text.log import lessons_text, paste_lines
    from windows.shoreline.shore import read_shore

    shore = read_shore(file)
    place = log_path(path, shore)
    if spot is not None:
        shore = replace(shore, spots=(shore.spot(spot),))
    lessons = learned(shore, kept_trips(place))
    changes = [lesson for lesson in lessons if lesson.value is not None]
    if into_file and changes:
        _write(file, changes)
    width = screen_width()
    result = Result(
        lambda: lessons_text(lessons, shore, width, str(file) if into_file else None),
        lambda: lessons_frame(lessons),
        lambda: lessons_header(str(place), paste_lines(changes)),
    )
    emit(write(ResultKind.LESSONS, target.form, result, RenderOptions(width)), target.output)


def _write(file: Path, changes: "Sequence[Lesson]") -> None:
    """Put the changes into the file, whole or not at all.

    Raises:
        FileEditError: its text can't be changed safely.
        OutputError: it can't be written.
    """
    from harmonics.files.parts import alone_in
    from harmonics.files.text_files import read_text
    from windows.log.file_edits import with_lessons
    from windows.render.files import write_whole

    with alone_in(file.parent):
        text = read_text(file, "a TOML file of stations and spots")
        write_whole(file, with_lessons(text, str(file), changes).encode("utf-8"))
