"""What `add` does to a file: one more table after the last of its kind, tried before it is written."""

import shlex
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from windows.cli.check import CheckJob
from windows.cli.output import screen_width


def id_for(path: Path, kind: str, given: str | None, name: str) -> str:
    """The id given, else one from the name that is free in the file."""
    from harmonics.files.checking import load_document
    from windows.shoreline.ids import free_id

    return free_id(load_document(path), kind, name) if given is None else given


def only_station(path: Path) -> str | None:
    """Id of the file's only station; None where it has none or several."""
    from windows.shoreline.shore import read_shore

    stations = read_shore(path).stations
    return stations[0].id if len(stations) == 1 else None


def levels_of(path: Path, station: str | None) -> str:
    """What levels of the file at a station are counted in and from, as "feet above MLLW"."""
    from windows.shoreline.shore import read_shore

    shore = read_shore(path)
    datums = [item.datum for item in shore.stations if item.id == station]
    return f"{shore.head.units.value} above {datums[0] if datums else 'datum'}"


def add_table(
    path: Path, kind: str, keys: Mapping[str, Any], tables: Mapping[str, str], now: float, following: str
) -> None:
    """Put a table into the file, every other byte kept, and say today's high and low waters.

    Args:
        path: the file.
        kind: key of its list of tables, as spots, or of a table that stands once, as boat.
        keys: of the new table; None for those not given.
        tables: text of each constituent table to write beside the file, by its name.
        now: the clock, POSIX seconds.
        following: the next command to type; the file comes after its name.

    Raises:
        FileProblemsError: the file would have problems; nothing is written.
        OutputError: a table is there already, or something can't be written; nothing is left half-written.
    """
    from harmonics.files.parts import alone_in
    from harmonics.files.text_files import read_marked_text
    from windows.render.files import write_together
    from windows.shoreline.additions import added
    from windows.shoreline.trials import tried

    with alone_in(path.parent):
        edit = added(str(path), read_marked_text(path, "a station file"), kind, keys)
        tried(path, edit.text, tables)
        beside = {path.parent / name: rows.encode() for name, rows in tables.items()}
        write_together({**beside, path: edit.text.encode()}, new=tuple(beside))
    click.echo(f"wrote {path}: added {_told(kind, keys)}", err=True)
    told = CheckJob(now, screen_width()).brief(path)
    click.echo(f"{told}\n\nNext: {command(following, path)}")


def _told(kind: str, keys: Mapping[str, Any]) -> str:
    """A new table in the message: its header, and its id or the ends of a way where it has any."""
    from windows.shoreline.file_schema import SINGLE

    if kind in SINGLE:
        return f"[{kind}]"
    return f"[[{kind}]] {keys.get('id') or ' to '.join((keys['from'], keys['to']))}"


def command(words: str, path: Path) -> str:
    """A command to type on a file, quoted as a shell wants it."""
    program, name, *options = words.split()
    return shlex.join([program, name, str(path), *options])
