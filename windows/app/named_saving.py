"""Files of readings taken: read by what the form says of them, then written with the key that names them."""

import os
import tempfile
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from harmonics.errors import EbblightError, FileProblemsError, OutputError
from harmonics.files.text_files import read_marked_text
from windows.app.fields import Field, fields_of, value_of
from windows.app.folder import Folder, Opened
from windows.app.named_reading import held
from windows.app.saving import save_text
from windows.render.words import named_files as words
from windows.shoreline.named_files import Named, NamedFile
from windows.shoreline.trials import tried

READINGS = "a CSV file of times and readings"
Problems = Mapping[str, tuple[str, ...]]
"""What is wrong, by field; under an empty key what belongs to none."""


class WrongFileError(EbblightError):
    """What was sent can't be taken.

    Attributes:
        problems: why.
    """

    def __init__(self, problems: Problems) -> None:
        self.problems = problems
        super().__init__("\n".join(line for lines in problems.values() for line in lines))


@dataclass(frozen=True)
class Sent:
    """What a form says.

    Attributes:
        texts: of its fields.
        data: of the file that came with it; empty without.
        source: what that is called there; empty without.
    """

    texts: Mapping[str, str]
    data: bytes
    source: str


def fields_beside(item: NamedFile) -> tuple[Field, ...]:
    """The keys that go with a file, as fields of its form."""
    model = item.model()
    return () if model is None else fields_of(model)


def stopped(folder: Folder, opened: Opened, item: NamedFile) -> Callable[[], str]:
    """Name the file no more; what comes back takes that back.

    Raises:
        EbblightError: as for `save_text`.
    """
    edit = item.taken_out(opened.name, opened.text or "")
    names = [item.keys(opened.document).get("file")]
    if item.kind is Named.RECORD:
        names.append(NamedFile(Named.PAST_WEATHER, item.station).keys(opened.document).get("file"))
    return save_text(folder, opened, opened.revision, edit.text, replaced=_beside(names))


def saved(
    folder: Folder, opened: Opened, item: NamedFile, said: Sent, now: float
) -> tuple[tuple[str, ...], Callable[[], str]]:
    """Write a file that was sent, and the key that names it; without one, what the form says of the old one.

    Returns:
        What it holds, a sentence each, and what takes it back.

    Raises:
        WrongFileError: it can't be taken.
        FileProblemsError: with every problem of the file, or of the station file with it.
        EbblightError: as for `save_text`; nothing is written.
    """
    document = opened.document
    known = item.keys(document)
    former = known.get("file")
    if not said.data and (not former or said.source):
        raise WrongFileError({"file": (words.none_sent(bool(said.source)),)})
    name = item.copy_name(opened.path, document, said.data) if said.data else str(former)
    given = {
        field.key: value_of(field.kind, said.texts[field.key])
        for field in fields_beside(item)
        if field.key in said.texts
    }
    keys = {key: value for key, value in {**known, "file": name, **given}.items() if value is not None}
    text = item.put(opened.name, opened.text or "", document, keys).text
    lines, rows = _read(opened, item, text, said.data, now)
    there = name == former and (opened.path.parent / name).is_file()
    copy = {} if rows is None or there else {name: rows}
    replaced = {*_beside([former]), *item.copies(opened.path, document)} - {name}
    return lines, save_text(folder, opened, opened.revision, text, copy, replaced)


def _read(
    opened: Opened, item: NamedFile, text: str, data: bytes, now: float
) -> tuple[tuple[str, ...], str | None]:
    """What the file holds, and its text where it was sent; errors as for `saved`."""
    if not data:
        return _lines(opened, item, text, now, None), None
    try:
        with tempfile.TemporaryDirectory() as passing:
            place = Path(passing) / "sent.csv"
            place.write_bytes(data)
            return _lines(opened, item, text, now, place), read_marked_text(place, READINGS)
    except OSError as error:
        raise OutputError(f"{opened.name}: can't try what was sent: {error.strerror or error}") from None


def _lines(opened: Opened, item: NamedFile, text: str, now: float, place: Path | None) -> tuple[str, ...]:
    """What the file holds, read as the station file's new text would have it; errors as for `saved`."""
    shore = tried(opened.path, text)
    try:
        return held(shore, item, now, place)
    except FileProblemsError as error:
        if place is not None and error.path != str(place):
            other = Path(error.path).name
            raise WrongFileError({"": tuple(f"{other}: {problem}" for problem in error.problems)}) from None
        raise
    except EbblightError as error:
        raise WrongFileError({"file": told(error, opened, place)}) from None


def told(error: EbblightError, opened: Opened, place: Path | None = None) -> tuple[str, ...]:
    """What an error says, a line each; files by their names, the one at `place` without any."""
    text = str(error) if place is None else str(error).replace(f"{place}: ", "")
    lines = text.replace(f"{opened.path.parent}{os.sep}", "").splitlines()
    return tuple(f"{line[:1].upper()}{line[1:]}" if place is not None else line for line in lines)


def _beside(names: Collection[Any]) -> tuple[str, ...]:
    """Those that are names of files right beside the station file."""
    return tuple(name for name in names if isinstance(name, str) and Path(name).name == name)
