"""A station file written by the pages: tried first, never over another change, and with a way back."""

import zlib
from collections.abc import Callable, Collection, Mapping
from contextlib import suppress
from pathlib import Path

from harmonics.errors import EbblightError, FileProblemsError, OutputError
from harmonics.files.parts import alone_in
from windows.app.folder import Folder, Opened, revision_of
from windows.render.files import take_away, write_together
from windows.render.words import pages as words
from windows.shoreline.named_files import is_copy
from windows.shoreline.trials import tried


class ChangedMeanwhileError(EbblightError):
    """The file on disk is not the one that the form was made from."""

    def __init__(self) -> None:
        super().__init__(words.CHANGED_MEANWHILE)


def save_text(
    folder: Folder,
    opened: Opened,
    revision: str,
    text: str,
    tables: Mapping[str, str] | None = None,
    replaced: Collection[str] = (),
) -> Callable[[], str]:
    """Write the file's new text, and tables beside it; what comes back takes that back.

    A file that has problems may be changed while it gets no new ones.

    Args:
        folder: that holds it.
        opened: the file.
        revision: of the bytes that the change was made from.
        text: new.
        tables: text of new files beside it, by name.
        replaced: names of files that the former text needed. Of these, copies that the pages made go once no
            station file names them; what comes back brings them back.

    Raises:
        ChangedMeanwhileError: the file holds other bytes by now; nothing is written.
        FileProblemsError: the new text has problems; nothing is written.
        OutputError: it can't be written; nothing is left half-written.
    """
    path, data = opened.path, text.encode()
    beside = {path.parent / name: rows.encode() for name, rows in (tables or {}).items()}
    with folder.writing, alone_in(path.parent):
        former = _same(path, revision)
        _try(opened, text, tables or {})
        _same(path, revision)
        write_together({**beside, path: data}, new=tuple(beside))
        gone = _put_away(folder, [path.parent / name for name in replaced])

    def back() -> str:
        with folder.writing, alone_in(path.parent):
            _same(path, revision_of(data))
            again = {place: zlib.decompress(kept) for place, kept in gone.items()}
            write_together({**again, path: former}, new=tuple(again))
            take_away([place for place in beside if not folder.speaks_of(place.name)])
        return words.UNDONE

    return back


def _put_away(folder: Folder, places: Collection[Path]) -> dict[Path, bytes]:
    """Take copies away that no station file names; their bytes, packed. What can't be taken away stays."""
    gone: dict[Path, bytes] = {}
    for place in places:
        with suppress(OSError, OutputError):
            if is_copy(place) and not folder.speaks_of(place.name):
                kept = zlib.compress(place.read_bytes(), 1)
                take_away([place])
                gone[place] = kept
    return gone


def _try(opened: Opened, text: str, tables: Mapping[str, str]) -> None:
    """Read the text where it will stand; errors as for `save_text`."""
    try:
        tried(opened.path, text, tables)
    except FileProblemsError as error:
        known = {str(problem) for problem in opened.problems}
        new = tuple(problem for problem in error.problems if str(problem) not in known)
        if new or opened.shore is not None:
            raise FileProblemsError(error.path, new or error.problems) from None


def _same(path: Path, revision: str) -> bytes:
    """The file's bytes.

    Raises:
        ChangedMeanwhileError: they are not those of the revision.
    """
    try:
        found = path.read_bytes()
    except OSError:
        raise ChangedMeanwhileError from None
    if revision_of(found) != revision:
        raise ChangedMeanwhileError
    return found
