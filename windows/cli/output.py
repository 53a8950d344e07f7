"""What a command makes of a file, and where that goes: the screen or a file."""

import shutil
import sys
from pathlib import Path
from typing import NamedTuple, Protocol

import click

MOST_WORKERS = 61
"""As many processes as Windows lets one wait for."""
DEFAULT_FORM = "table"


class Target(NamedTuple):
    """The options that say how and where a result is written.

    Attributes:
        output: the file, or the folder for results of a folder; None for the screen.
        workers: processes that share a folder's files; None for as many as help.
        form: name of the format.
    """

    output: Path | None
    workers: int | None = None
    form: str = DEFAULT_FORM

    @property
    def calendar(self) -> Path | None:
        """The calendar that is written, and may be there already; None for another format or the screen."""
        return self.output if self.form == "ics" else None


class Answer(NamedTuple):
    """What a job makes of a file.

    Attributes:
        data: the result.
        remarks: sentences beside it, for standard error.
    """

    data: str | bytes
    remarks: tuple[str, ...] = ()


class Job(Protocol):
    """What is asked of each file; plain values that can be sent to another process."""

    @property
    def form(self) -> str:
        """Name of the format."""

    def single(self, file: Path) -> Answer:
        """The result for the place of the file that is asked for."""

    def whole(self, file: Path) -> Answer:
        """The result for all that the file holds."""


def screen_width() -> int:
    """Columns of the terminal, or those of a page where there is none."""
    from windows.render.text.layout import FALLBACK_WIDTH

    return shutil.get_terminal_size((FALLBACK_WIDTH, 24)).columns


def earlier(path: Path | None) -> str:
    """The calendar that is there already; nothing where none can be read."""
    from harmonics.errors import EbblightError
    from harmonics.files.text_files import read_text

    try:
        return "" if path is None or not path.is_file() else read_text(path, "a calendar")
    except (EbblightError, OSError):
        return ""


def emit(data: str | bytes, output: Path | None) -> None:
    """Write a result whole to a file, or to standard output; bytes never to a terminal.

    Raises:
        OutputError: it can't be written; what was in the file before stays.
        click.UsageError: bytes for a terminal.
    """
    from harmonics.errors import OutputError
    from windows.render.files import write_whole

    if output is not None:
        write_whole(output, data if isinstance(data, bytes) else data.encode("utf-8", errors="replace"))
        click.echo(f"wrote {output}", err=True)
        return
    try:
        if isinstance(data, str):
            click.echo(data, nl=False)
        else:
            _emit_bytes(data)
    except BrokenPipeError:
        raise
    except OSError as error:
        raise OutputError(f"standard output: can't write the result: {error.strerror or error}") from None


def _emit_bytes(data: bytes) -> None:
    stream = sys.stdout.buffer
    if stream.isatty():
        raise click.UsageError("a picture needs a file: name one with -o")
    stream.write(data)
    stream.flush()
