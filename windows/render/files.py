"""Files written whole or not at all: a temporary file beside the target, flushed, then put in its place."""

import os
import tempfile
from collections.abc import Collection, Mapping
from contextlib import suppress
from pathlib import Path

from harmonics.errors import OutputError

PERMISSIONS = 0o666
"""As `open` would create it, less the process's umask."""


def write_whole(path: Path, data: bytes) -> None:
    """Put data at path in one step; on failure the old file stays and nothing is left beside it.

    A link is followed: the file it points to is replaced, the link stays.

    Raises:
        OutputError: the file can't be written; the message says why.
    """
    temporary: str | None = None
    try:
        target = _target(path)
        handle, temporary = tempfile.mkstemp(
            prefix=f".{target.name[:60]}.", suffix=".part", dir=target.parent
        )
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(temporary, _mode(target))
        os.replace(temporary, target)
        temporary = None
    except OSError as error:
        raise OutputError(f"{path}: can't write the result: {error.strerror or error}") from None
    finally:
        if temporary is not None:
            with suppress(OSError):
                os.unlink(temporary)


def write_together(files: Mapping[Path, bytes], new: Collection[Path]) -> None:
    """Put several files in their places, in that order; on failure those that are new are taken away again.

    Args:
        files: bytes of each, by its path; the file that names the others comes last.
        new: those that must not be there yet.

    Raises:
        OutputError: one can't be written, or is there already; the message says why.
    """
    written: list[Path] = []
    try:
        for path, data in files.items():
            if path in new and os.path.lexists(path):
                raise OutputError(f"{path}: found such a file already; expected none: name another")
            write_whole(path, data)
            written.append(path)
    except BaseException:
        for path in written:
            if path in new:
                path.unlink(missing_ok=True)
        raise


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
