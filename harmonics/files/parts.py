"""Files in the making: hidden beside the file that they become, and locked while their writer lives.

A part that nobody holds locked was left by a writer that was killed: the next writer of that file takes it
away. Where the system or the disk knows no such locks, nothing is taken away.
"""

import errno
import os
import re
import stat
import sys
import tempfile
import time
from collections.abc import Collection, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import BinaryIO, NamedTuple

from harmonics.errors import OutputError

SUFFIX = ".part"
LONGEST = 60
"""Letters of the file's name in that of its part, which must not get too long for the disk."""
PATIENCE = 10.0
"""Seconds that a change of a folder's files waits for another: far longer than any takes."""
_NAME = re.compile(r"\.(.+)\.[a-z0-9_]{8}\.part", re.DOTALL)
_PAUSE = 0.02
_TRIES = 3

if sys.platform == "win32":
    _REPLACES_OPEN = False

    def _locked(handle: int, *, wait: bool = False) -> bool:
        """No lock is to be had there; errors as below."""
        raise OSError(errno.ENOTSUP, os.strerror(errno.ENOTSUP))
else:
    import fcntl

    _REPLACES_OPEN = True

    def _locked(handle: int, *, wait: bool = False) -> bool:
        """Whether the lock is had; the system gives it back when its holder ends, however that is.

        Raises:
            OSError: the disk knows no such locks.
        """
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
        except BlockingIOError:
            return False
        return True


class Part(NamedTuple):
    """A file in the making.

    Attributes:
        path: where it is meanwhile.
        stream: to write to.
    """

    path: Path
    stream: BinaryIO

    def put(self, target: Path, mode: int) -> None:
        """Flush it to the disk and put it in the target's place in one step."""
        self.stream.flush()
        os.fsync(self.stream.fileno())
        if not _REPLACES_OPEN:
            self.stream.close()
        os.chmod(self.path, mode)
        os.replace(self.path, target)


@contextmanager
def part_for(target: Path, *, clear: bool = True) -> Iterator[Part]:
    """A new part of that file, taken away at the end unless it was put; stale ones are cleared away first.

    Raises:
        OSError: it can't be made.
    """
    if clear:
        clear_parts(target.parent, (target.name,))
    handle, path = _made(target)
    stream = os.fdopen(handle, "wb")
    try:
        yield Part(path, stream)
    finally:
        with suppress(OSError):
            os.unlink(path)
        with suppress(OSError):  # what matters was flushed before; what could not be is tried once more here
            stream.close()


def clear_parts(folder: Path, names: Collection[str] | None = None) -> None:
    """Take away parts of files of those names, or of all, whose writers are gone; never a living one's."""
    shortened = None if names is None else {name[:LONGEST] for name in names}
    with suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            match = _NAME.fullmatch(entry.name)
            if match is not None and (shortened is None or match[1] in shortened):
                with suppress(OSError):
                    _clear(entry.path)


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """No other program that asks for the same changes files of the folder meanwhile.

    Where folders can't be locked, nothing is waited for.

    Raises:
        OutputError: another is at it for longer than any change takes.
    """
    with ExitStack() as ending:
        with suppress(OSError):
            handle = os.open(folder, os.O_RDONLY)
            ending.callback(os.close, handle)
            end = time.monotonic() + PATIENCE
            while not _locked(handle):
                if time.monotonic() > end:
                    raise OutputError(f"{folder}: another program has been changing files there for too long")
                time.sleep(_PAUSE)
        yield


def holds(path: Path, data: bytes) -> bool:
    """Whether a file is there with these bytes, as a writer leaves it that was killed after it."""
    try:
        return path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data
    except OSError:
        return False


def state_of(path: Path) -> tuple[int, int, int] | None:
    """What differs between two states of a file that is replaced whole; None where there is none to see."""
    try:
        found = path.stat()
    except (OSError, ValueError):
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


def _made(target: Path) -> tuple[int, Path]:
    """A part, open and locked; made again where another took it for a stale one before it was locked."""
    for _ in range(_TRIES):
        handle, name = tempfile.mkstemp(prefix=f".{target.name[:LONGEST]}.", suffix=SUFFIX, dir=target.parent)
        with suppress(OSError):
            _locked(handle, wait=True)
        if os.path.lexists(name):
            return handle, Path(name)
        os.close(handle)
    raise OSError(errno.EBUSY, "another program keeps taking away what is being written")


def _clear(path: str) -> None:
    handle = os.open(path, os.O_RDWR | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
    try:
        found = os.fstat(handle)
        if stat.S_ISREG(found.st_mode) and _locked(handle) and os.path.samestat(found, os.lstat(path)):
            os.unlink(path)
    finally:
        os.close(handle)
