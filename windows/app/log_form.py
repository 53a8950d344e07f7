"""Where trips are kept, as a form may say it: in a log of this folder, or a new one there."""

import re
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from harmonics.errors import EbblightError, FileProblemsError, Problem
from harmonics.files.problems import shown
from windows.log.keeping import kept_trips, log_place
from windows.log.schema import APPLICATION
from windows.render.words import file_forms as words
from windows.shoreline.shore import Shore

KIND = "log"
_NAME = re.compile(r"\w[\w .-]{0,98}\.db")
_MAGIC = b"SQLite format 3\0"
_APPLICATION_AT = 68
"""Where SQLite's file format has the `application_id`, four bytes."""


def refuse_path(folder: Path, keys: Mapping[str, object]) -> None:
    """Refuse a path that leads out of the folder, through a link, or to what is no log.

    Args:
        folder: of the station file.
        keys: that change.

    Raises:
        FileProblemsError: it does.
    """
    path = keys.get("path")
    if not isinstance(path, str):
        return
    found = shown(path) if _NAME.fullmatch(path) is None else _found_at(folder / path)
    if found is not None:
        raise FileProblemsError(KIND, (Problem("log.path", found, words.LOG_EXPECTED),))


def _found_at(place: Path) -> str | None:
    """What is there that is no log; None where one is, or nothing."""
    if place.is_symlink():
        return words.A_LINK
    if not place.exists():
        return None
    with suppress(OSError), place.open("rb") as stream:
        head = stream.read(_APPLICATION_AT + 4)
        if head.startswith(_MAGIC) and head[_APPLICATION_AT:] == APPLICATION.to_bytes(4, "big"):
            return None
    return words.NO_LOG


def trips_before(shore: Shore | None) -> tuple[Path, int]:
    """Where trips have been kept so far, and how many are there."""
    place, count = log_place(shore), 0
    with suppress(EbblightError):
        count = len(kept_trips(place))
    return place, count
