"""What `add` does to a file: one more table at its end of its kind, tried before it is written."""

import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from windows.cli.check import CheckJob
from windows.cli.output import screen_width
from windows.cli.station_table import identifier_of


def free_id(path: Path, kind: str, given: str | None, name: str) -> str:
    """The id given, else one from the name that no table of this kind has."""
    from harmonics.files.checking import load_document

    if given is not None:
        return given
    listed = load_document(path).get(kind, [])
    taken = {str(item.get("id")) for item in listed if isinstance(item, dict)}
    wanted = identifier_of(name)
    tries = (wanted, *(f"{wanted[:60]}-{number}" for number in range(2, 1000)))
    return next((item for item in tries if item not in taken), wanted)


def only_station(path: Path) -> str | None:
    """Id of the file's only station; None where it has none or several."""
    from windows.shoreline.shore import read_shore

    stations = read_shore(path).stations
    return stations[0].id if len(stations) == 1 else None


def add_table(
    path: Path, kind: str, keys: Mapping[str, Any], tables: Mapping[str, str], now: float, following: str
) -> None:
    """Append a table to the file, comments and order kept, and say today's high and low waters.

    Args:
        path: the file.
        kind: key of its list of tables, as spots.
        keys: of the new table; None for those not given.
        tables: text of each constituent table to write beside the file, by its name.
        now: the clock, POSIX seconds.
        following: the next command to type.

    Raises:
        FileProblemsError: the file would have problems; nothing is written.
        OutputError: a table is there already, or something can't be written; nothing is left half-written.
    """
    from harmonics.errors import FileProblemsError, OutputError
    from harmonics.files.text_files import read_text
    from windows.render.files import write_whole

    text = _with_table(read_text(path, "a station file"), kind, keys)
    written: list[Path] = []
    try:
        for name, rows in tables.items():
            beside = path.parent / name
            if beside.exists():
                raise OutputError(f"{beside}: found such a file already; expected none: name another --id")
            write_whole(beside, rows.encode())
            written.append(beside)
        try:
            told = _tried(path, text, now)
        except FileProblemsError as error:
            raise FileProblemsError(f"{path} (not changed)", error.problems) from None
        write_whole(path, text.encode())
    except BaseException:
        for part in written:
            part.unlink(missing_ok=True)
        raise
    click.echo(f"wrote {path}: added [[{kind}]] {keys['id']}", err=True)
    click.echo(f"{told}\n\nNext: {following}")


def _with_table(text: str, kind: str, keys: Mapping[str, Any]) -> str:
    """The file's text with one more table of a kind."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    from harmonics.errors import EbblightError

    try:
        document = tomlkit.parse(text)
        table = tomlkit.table()
        for key, value in keys.items():
            if value is not None:
                table[key] = value
        if kind not in document:
            document[kind] = tomlkit.aot()
        document[kind].append(table)
    except (TOMLKitError, AttributeError, ValueError) as error:
        raise EbblightError(f"can't add to [[{kind}]]: {error}; `ebblight check` says more") from None
    return tomlkit.dumps(document)


def _tried(path: Path, text: str, now: float) -> str:
    """What `check` says of the text in the file's own folder, where its tables are found.

    Raises:
        FileProblemsError: every problem in it.
        OutputError: the folder can't be written to.
    """
    from harmonics.errors import OutputError

    try:
        with tempfile.NamedTemporaryFile(
            "w", encoding="utf-8", dir=path.parent, prefix=f".{path.stem[:40]}.", suffix=".part"
        ) as trial:
            trial.write(text)
            trial.flush()
            return CheckJob(now, screen_width()).brief(Path(trial.name))
    except OSError as error:
        raise OutputError(f"{path}: can't try the change: {error.strerror or error}") from None
