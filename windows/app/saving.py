"""A station file written by the pages: tried first, never over another change, and with a way back."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from harmonics.errors import EbblightError
from windows.app.folder import Opened, revision_of
from windows.render.files import write_whole
from windows.render.words import pages as words

tried = None

if TYPE_CHECKING:
    from windows.app.pages import Pages


class ChangedMeanwhileError(EbblightError):
    """The file on disk is not the one that the form was made from."""

    def __init__(self) -> None:
        super().__init__(words.CHANGED_MEANWHILE)


def save_text(
    pages: "Pages", opened: Opened, revision: str, text: str, tables: Mapping[str, str] | None = None
) -> Callable[[], str]:
    """Write the file's new text, and tables beside it; what comes back takes that back.

    Args:
        pages: the site.
        opened: the file.
        revision: of the bytes that the change was made from.
        text: new.
        tables: text of new files beside it, by name.

    Raises:
        ChangedMeanwhileError: the file holds other bytes by now; nothing is written.
        FileProblemsError: the new text has problems; nothing is written.
        OutputError: it can't be written; nothing is left half-written.
    """
    path = opened.path
    with pages.folder.writing:
        former = _same(path, revision)
        tried(path, text, tables or {})
        written = _written(path, former, text.encode(), tables or {})

    def back() -> str:
        with pages.folder.writing:
            _same(path, revision_of(text.encode()))
            write_whole(path, former)
            for item in written:
                item.unlink(missing_ok=True)
        return words.UNDONE

    return back


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


def _written(path: Path, former: bytes, text: bytes, tables: Mapping[str, str]) -> list[Path]:
    """Tables first, the file that names them last, so that a kill between leaves the old file whole."""
    written: list[Path] = []
    try:
        for name, rows in tables.items():
            beside = path.parent / name
            if beside.exists():
                raise EbblightError(words.table_there(name))
            write_whole(beside, rows.encode())
            written.append(beside)
        write_whole(path, text)
    except BaseException:
        for item in written:
            item.unlink(missing_ok=True)
        raise
    return written
