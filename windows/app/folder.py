"""The folder whose station files are shown: found by name in its own listing, read once for each state."""

import hashlib
import os
import re
import threading
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

from harmonics.errors import EbblightError, OutputError, Problem
from harmonics.files.checking import parsed_document
from harmonics.files.parts import clear_parts, state_of
from harmonics.files.text_files import BYTE_ORDER_MARK, read_marked_text
from windows.app.refusals import Refusal, RefusedError
from windows.shoreline.shore import Shore, read_shore

SUFFIX = ".toml"
MOST_FILES = 500
"""A list that nobody reads to its end; the rest of a folder is not shown."""
MOST_READ = 8
"""Files whose state is remembered."""


@dataclass(frozen=True)
class Opened:
    """A station file in one state.

    Attributes:
        name: in its folder.
        path: where it is.
        text: what it holds; None where it can't be read.
        revision: of its bytes; other bytes have another.
        state: of it and of the files it names; it changes with any of them.
        shore: what it means; None where it has problems.
        problems: all that are wrong in it.
    """

    name: str
    path: Path
    text: str | None
    revision: str
    shore: Shore | None
    problems: tuple[Problem, ...] = ()
    state: object = None

    @cached_property
    def document(self) -> dict[str, Any]:
        """The file as it stands, by key; empty where it is not TOML."""
        try:
            return parsed_document((self.text or "").removeprefix(BYTE_ORDER_MARK), self.name)
        except EbblightError:
            return {}


class Folder:
    """Station files of one folder.

    Args:
        root: the folder.
        first: name of the file that the pages open with; None for the list.
    """

    def __init__(self, root: Path, first: str | None = None) -> None:
        self.root = root
        self.first = first
        self.writing = threading.Lock()
        self._reading = threading.Lock()
        self._known: dict[str, Opened] = {}
        clear_parts(root, self._every())

    def names(self) -> tuple[str, ...]:
        """Names of the station files, in order; those of hidden files and links out of the folder are not."""
        return self.listed()[0]

    def listed(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The same names, and those that no address can hold: their bytes are no text."""
        every = self._every()
        found = tuple(name for name in every if _is_text(name))
        return found[:MOST_FILES], tuple(name for name in every if not _is_text(name))

    def _every(self) -> list[str]:
        try:
            with os.scandir(self.root) as entries:
                return sorted(entry.name for entry in entries if self._shown(entry))
        except OSError:
            return []

    def _shown(self, entry: "os.DirEntry[str]") -> bool:
        if not entry.name.endswith(SUFFIX) or entry.name.startswith(".") or not entry.is_file():
            return False
        return not entry.is_symlink() or Path(os.path.realpath(entry.path)).parent == self.root.resolve()

    def path(self, name: str) -> Path:
        """Where the file of that name is.

        Raises:
            RefusedError: the folder lists none of that name.
        """
        if name not in self.names():
            raise RefusedError(Refusal.NOTHING)
        return self.root / name

    def speaks_of(self, name: str) -> bool:
        """Whether a station file of the folder names a file so.

        Raises:
            OutputError: one can't be read, so that nobody knows.
        """
        wanted = re.compile(rb"(?<![\w.-])" + re.escape(name.encode()))
        try:
            return any(wanted.search((self.root / item).read_bytes()) for item in self._every())
        except OSError as error:
            raise OutputError(f"{self.root}: can't see who names {name}: {error.strerror or error}") from None

    def opened(self, name: str) -> Opened:
        """The file as it is now; errors as for `path`."""
        path = self.path(name)
        with self._reading:
            return self._opened(name, path)

    def _opened(self, name: str, path: Path) -> Opened:
        state = tuple(state_of(item) for item in (path, *self._parts(name)))
        known = self._known.get(name)
        if known is not None and known.state == state:
            return known
        found = _read(name, path)
        if len(self._known) >= MOST_READ:
            self._known.pop(next(iter(self._known)), None)
        state = (state[0], *(state_of(item) for item in _parts(found)))
        found = replace(found, state=state)
        self._known[name] = found
        return found

    def _parts(self, name: str) -> tuple[Path, ...]:
        known = self._known.get(name)
        return () if known is None else _parts(known)


def revision_of(data: bytes) -> str:
    """The name of a state of a file's bytes."""
    return hashlib.sha256(data).hexdigest()[:32]


def _is_text(name: str) -> bool:
    """Whether the bytes of a name are UTF-8; what is not stands in the name as halves of letters."""
    try:
        name.encode()
    except UnicodeEncodeError:
        return False
    return True


def _read(name: str, path: Path) -> Opened:
    """The file read; what is wrong in it is part of the result."""
    text: str | None = None
    revision = ""
    try:
        revision = revision_of(path.read_bytes())
        text = read_marked_text(path, "a station file")
        return Opened(name, path, text, revision, read_shore(path))
    except EbblightError as error:
        problems = getattr(error, "problems", None) or (Problem("file", str(error), "a station file"),)
        return Opened(name, path, text, revision, None, tuple(problems))
    except OSError as error:
        return Opened(name, path, None, "", None, (Problem("file", str(error.strerror), "a file"),))


def _parts(opened: Opened) -> tuple[Path, ...]:
    """The files that a station file names, whose state is part of its own."""
    if opened.text is None:
        return ()
    import tomllib

    try:
        document = tomllib.loads(opened.text)
    except (ValueError, RecursionError):
        return ()
    named = {
        text for text in _texts(document) if 0 < len(text) < 1000 and "\n" not in text and "\0" not in text
    }
    return tuple(sorted(opened.path.parent / text for text in named))


def _texts(value: object) -> Iterator[str]:
    """All texts of a document, which may be as deep as its reader takes it."""
    left = [value]
    while left:
        found = left.pop()
        if isinstance(found, str):
            yield found
        elif isinstance(found, dict):
            left.extend(found.values())
        elif isinstance(found, list):
            left.extend(found)
