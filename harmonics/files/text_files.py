"""Text files read whole, with an error that says what is wrong when they can't be."""

import codecs
import os
import stat
from contextlib import suppress
from pathlib import Path

from harmonics.errors import FileProblemsError, Problem

MAXIMUM_BYTES = 64 * 2**20
"""A year of 6-minute readings is 3 MB, ten years 30 MB; what is larger is not a file of this kind."""


BYTE_ORDER_MARK = "\ufeff"


def read_text(path: Path, expected: str, maximum_bytes: int = MAXIMUM_BYTES) -> str:
    """The file's text, UTF-8, with or without a byte order mark, which is left out.

    Args:
        path: a regular file (a pipe or a device would never end); checked again once it is open, in case
            another was put in its place.
        expected: what kind of file should be there, in words.
        maximum_bytes: a larger file is refused unread.

    Raises:
        FileProblemsError: the file is missing, not a regular file, unreadable, too large or not text.
    """
    return read_marked_text(path, expected, maximum_bytes).removeprefix(BYTE_ORDER_MARK)


def read_marked_text(path: Path, expected: str, maximum_bytes: int = MAXIMUM_BYTES) -> str:
    """As `read_text`, its mark kept, so that its bytes can be written as they were."""
    raw = _read_bytes(path, expected, maximum_bytes)
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        where = f"bytes that are not UTF-8 text (at byte {error.start:,})"
        raise _one_problem(path, where, expected) from None
    return _without_zeros(path, text, expected)


def read_any_text(path: Path, expected: str, maximum_bytes: int = MAXIMUM_BYTES) -> tuple[str, bool]:
    """As `read_text`, also where the text is UTF-16 with its mark, or else Windows-1252.

    Returns the text, and True for Windows-1252, in which any bytes can be read and so a doubt stays.
    """
    raw = _read_bytes(path, expected, maximum_bytes)
    marked = raw[:2] in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
    for encoding in ("utf-16",) if marked else ("utf-8-sig", "cp1252"):
        with suppress(UnicodeDecodeError):
            return _without_zeros(path, raw.decode(encoding), expected), encoding == "cp1252"
    raise _one_problem(path, "bytes that are no text", expected)


def _read_bytes(path: Path, expected: str, maximum_bytes: int) -> bytes:
    try:
        _refuse(path, path.stat(), expected, maximum_bytes)
        with open(path, "rb", opener=_without_waiting) as stream:
            _refuse(path, os.fstat(stream.fileno()), expected, maximum_bytes)
            raw = stream.read(maximum_bytes + 1) or b""
        if len(raw) > maximum_bytes:
            raise _too_large(path, len(raw), expected, maximum_bytes)
    except FileNotFoundError:
        raise _one_problem(path, "no such file", expected) from None
    except IsADirectoryError:
        raise _one_problem(path, "a folder", expected) from None
    except PermissionError:
        raise _one_problem(path, "a file that may not be read", expected) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _one_problem(path, f"a file that can't be read ({reason})", expected) from None
    return raw


def _without_zeros(path: Path, text: str, expected: str) -> str:
    if "\0" in text:
        raise _one_problem(path, "a binary file", expected)
    return text


def _without_waiting(path: str, flags: int) -> int:
    """Opens a file for reading; a named pipe would keep its opener until somebody writes."""
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def _refuse(path: Path, status: os.stat_result, expected: str, maximum_bytes: int) -> None:
    if not stat.S_ISREG(status.st_mode):
        kind = "a folder" if stat.S_ISDIR(status.st_mode) else "something that is not a regular file"
        raise _one_problem(path, kind, expected)
    if status.st_size > maximum_bytes:
        raise _too_large(path, status.st_size, expected, maximum_bytes)


def _too_large(path: Path, size: int, expected: str, maximum_bytes: int) -> FileProblemsError:
    return _one_problem(path, f"{size:,} bytes", f"{expected} of at most {maximum_bytes:,} bytes")


def _one_problem(path: Path, found: str, expected: str) -> FileProblemsError:
    return FileProblemsError(str(path), (Problem("file", found, expected),))
