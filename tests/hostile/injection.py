"""Faults in the very calls that reach the disk: the k-th one in a folder fails or kills."""

import builtins
import errno
import io
import os
import signal
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

NAMED = ("unlink", "replace", "rename", "mkdir", "chmod", "scandir")
"""Calls of `os` that take a path first."""
MAKING = frozenset({"create", "write", "fsync", "replace", "rename", "mkdir"})
"""Calls that a full disk refuses."""
CHANGING = MAKING - {"write", "fsync"} | {"unlink", "chmod"}
"""Calls that a read-only disk refuses."""
OPCODES = 25
"""Steps of SQLite's machine between two places where it can be stopped."""


class HalfWritten(io.FileIO):
    """A file whose writes are counted; one that fails has written half."""

    calls: "Calls"

    def write(self, data: Any) -> int:
        with memoryview(data) as view:
            half = bytes(view[: len(view) // 2])
        self.calls.meet("write", lambda: super(HalfWritten, self).write(half))
        return super().write(data)


class Calls:
    """Counts calls on files of one folder, and does something at one of them.

    Args:
        root: the folder.
        at: number of the call, from 1; 0 for none.
        fault: what is done there, with the call's name; what it raises is the call's error.
        halves: whether a write there has written half before.
    """

    def __init__(
        self, root: Path, at: int = 0, fault: Callable[[str], None] | None = None, halves: bool = False
    ) -> None:
        self.root, self.at, self.fault, self.halves = str(root), at, fault, halves
        self.names: list[str] = []
        self.active = True

    def meet(self, name: str, half: Callable[[], object] = lambda: None) -> None:
        if not self.active:
            return
        self.names.append(name)
        if len(self.names) == self.at and self.fault is not None:
            if self.halves:
                half()
            self.active = False
            try:
                self.fault(name)
            finally:
                self.active = True

    def inside(self, path: object) -> bool:
        if isinstance(path, int):
            path = os.readlink(f"/proc/self/fd/{path}") if os.path.lexists(f"/proc/self/fd/{path}") else ""
        return isinstance(path, str | os.PathLike) and str(path).startswith(self.root)

    @contextmanager
    def watched(self) -> Iterator["Calls"]:
        """The calls are counted meanwhile."""
        with ExitStack() as patches:
            for name in NAMED:
                patches.enter_context(patch.object(os, name, self._named(name, getattr(os, name))))
            patches.enter_context(patch.object(os, "open", self._os_open(os.open)))
            patches.enter_context(patch.object(os, "fsync", self._fsync(os.fsync)))
            patches.enter_context(patch.object(os, "fdopen", self._fdopen(os.fdopen)))
            opened = self._open(builtins.open)
            patches.enter_context(patch.object(builtins, "open", opened))
            patches.enter_context(patch.object(io, "open", opened))
            patches.enter_context(patch.object(sqlite3, "connect", self._connect(sqlite3.connect)))
            yield self

    def _named(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(path: Any = ".", *args: Any, **options: Any) -> Any:
            if self.inside(path):
                self.meet(name)
            return real(path, *args, **options)

        return call

    def _os_open(self, real: Callable[..., int]) -> Callable[..., int]:
        def call(path: Any, flags: int, *args: Any, **options: Any) -> int:
            if self.inside(path):
                self.meet("create" if flags & os.O_CREAT else "open")
            return real(path, flags, *args, **options)

        return call

    def _fsync(self, real: Callable[[int], None]) -> Callable[[int], None]:
        def call(handle: int) -> None:
            if self.inside(handle):
                self.meet("fsync")
            real(handle)

        return call

    def _fdopen(self, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(handle: int, mode: str = "r", *args: Any, **options: Any) -> Any:
            if "w" not in mode or not self.inside(handle):
                return real(handle, mode, *args, **options)
            raw = HalfWritten(handle, "wb")
            raw.calls = self
            return io.BufferedWriter(raw)

        return call

    def _open(self, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(path: Any, mode: str = "r", *args: Any, **options: Any) -> Any:
            if not isinstance(path, int) and self.inside(path) and "opener" not in options:
                self.meet("create" if set(mode) & set("wxa") else "open")
            return real(path, mode, *args, **options)

        return call

    def _connect(self, real: Callable[..., sqlite3.Connection]) -> Callable[..., sqlite3.Connection]:
        def call(*args: Any, **options: Any) -> sqlite3.Connection:
            connection = real(*args, **options)
            connection.set_progress_handler(self._stopped, OPCODES)
            return connection

        return call

    def _stopped(self) -> int:
        """Whether SQLite shall break off what it does here."""
        try:
            self.meet("database")
        except OSError:
            return 1
        return 0


def failing(code: int) -> Callable[[str], None]:
    """The call fails so."""

    def fault(name: str) -> None:
        raise OSError(code, os.strerror(code))

    return fault


def killed(name: str) -> None:
    """The process is killed there, as `kill -9` does it."""
    os.kill(os.getpid(), signal.SIGKILL)


ERRORS = {
    "no space": (errno.ENOSPC, MAKING),
    "permission lost": (errno.EACCES, CHANGING | {"open", "scandir"}),
    "read-only disk": (errno.EROFS, CHANGING),
    "disk error": (errno.EIO, MAKING | {"open", "unlink", "chmod", "scandir", "database"}),
}
"""What a call may fail with, and which calls can."""
