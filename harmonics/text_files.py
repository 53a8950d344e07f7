"""Text files read whole, with an error that says what is wrong when they can't be."""

import stat
from pathlib import Path

from harmonics.errors import FileProblemsError, Problem

MAXIMUM_BYTES = 64 * 2**20
"""A year of 6-minute readings is 3 MB, ten years 30 MB; what is larger is not a file of this kind."""


def read_text(path: Path, expected: str, maximum_bytes: int = MAXIMUM_BYTES) -> str:
    """The file's text, UTF-8, with or without a byte order mark.

    Args:
        path: a regular file (a pipe or a device would never end).
        expected: what kind of file should be there, in words.
        maximum_bytes: a larger file is refused unread.

    Raises:
        FileProblemsError: the file is missing, not a regular file, unreadable, too large or not text.
    """
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            kind = "a folder" if stat.S_ISDIR(status.st_mode) else "something that is not a regular file"
            raise _one_problem(path, kind, expected)
        if status.st_size > maximum_bytes:
            raise _one_problem(
                path, f"{status.st_size:,} bytes", f"{expected} of at most {maximum_bytes:,} bytes"
            )
        raw = path.read_bytes()
    except FileNotFoundError:
        raise _one_problem(path, "no such file", expected) from None
    except PermissionError:
        raise _one_problem(path, "a file that may not be read", expected) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _one_problem(path, f"a file that can't be read ({reason})", expected) from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        where = f"bytes that are not UTF-8 text (at byte {error.start:,})"
        raise _one_problem(path, where, expected) from None
    if "\0" in text:
        raise _one_problem(path, "a binary file", expected)
    return text


def _one_problem(path: Path, found: str, expected: str) -> FileProblemsError:
    return FileProblemsError(str(path), (Problem("file", found, expected),))
