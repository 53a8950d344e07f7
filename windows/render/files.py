"""Files written whole or not at all: a temporary file beside the target, flushed, then put in its place."""

import os
from collections.abc import Collection, Mapping
from contextlib import suppress
from pathlib import Path

from harmonics.errors import OutputError
from harmonics.files.parts import holds, part_for

PERMISSIONS = 0o666
"""As `open` would create it, less the process's umask."""


def write_whole(path: Path, data: bytes, *, clear: bool = True) -> None:
    """Put data at path in one step; on failure the old file stays and nothing is left beside it.

    A link is followed: the file it points to is replaced, the link stays.

    Args:
        path: the file.
        data: all that it shall hold.
        clear: whether parts that killed writers of this file left behind are looked for and taken away.

    Raises:
        OutputError: the file can't be written; the message says why.
    """
    try:
        target = _target(path)
        with part_for(target, clear=clear) as part:
            part.stream.write(data)
            part.put(target, _mode(target))
    except OSError as error:
        raise OutputError(f"{path}: can't write the result: {error.strerror or error}") from None


def write_together(files: Mapping[Path, bytes], new: Collection[Path]) -> None:
    """Put several files in their places, in that order; on failure those that are new are taken away again.

    Args:
        files: bytes of each, by its path; the file that names the others comes last.
        new: those that must not be there yet, but with the same bytes, as a killed writer leaves them.

    Raises:
        OutputError: one can't be written, or is there already; the message says why.
    """
    written: list[Path] = []
    try:
        for path, data in files.items():
            if path in new and holds(path, data):
                continue
            if path in new and os.path.lexists(path):
                raise OutputError(f"{path}: found such a file already; expected none: name another")
            write_whole(path, data)
            written.append(path)
    except BaseException:
        for path in written:
            if path in new:
                with suppress(OSError):
                    path.unlink(missing_ok=True)
        raise


def take_away(files: Collection[Path]) -> None:
    """Take files away that are there.

    Raises:
        OutputError: one can't be; the message says why.
    """
    for path in files:
        try:
            path.unlink(missing_ok=True)
        except OSError as error:
            raise OutputError(f"{path}: can't take it away: {error.strerror or error}") from None


def _target(path: Path) -> Path:
    """Where the bytes go: the file a link leads to, else the path; only a regular file may be replaced."""
    target = Path(os.path.realpath(path)) if path.is_symlink() else path
    found = None
    if target.is_symlink():
        found = "its link leads in a circle"
    elif target.is_dir():
        found = "it is a folder"
    elif target.exists() and not target.is_file():
        found = "it is not a regular file"
    if found is not None:
        raise OutputError(f"{path}: can't write the result: {found}")
    return target


def _mode(target: Path) -> int:
    with suppress(OSError):
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return PERMISSIONS & ~mask
