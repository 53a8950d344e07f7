"""What must hold of the files of a case of the local pages.

What was refused changed nothing; a file that `check` found good is good afterwards; nothing is written out
of the folder that is served but the log; no part is left.
"""

import os
import re
import sys
import tempfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

from harmonics.errors import FileProblemsError
from tests.cli.runs import run
from tests.hostile.grounds import BARE, DEMO, KEYS
from windows.log.exchange import written
from windows.log.storage import SqliteStore
from windows.shoreline.shore import read_possible_shore

GOOD = frozenset({BARE, KEYS, DEMO.read_bytes()})
"""Station files that `check` finds good."""
WHOLE_CHECKS = 12
"""One of so many changed files is told by `check` from end to end; the others are read as it reads them."""


class Kept:
    """What lies in a case's folder, to be compared with what lies there later."""

    def __init__(self, folder: Path, log: str) -> None:
        self.folder, self.log = folder, log
        self.files, self.trips = self._files(), self._trips()

    def _files(self) -> dict[str, bytes]:
        folder = self.folder
        found = {
            str(path.relative_to(folder)): path.read_bytes()
            for path in sorted(folder.rglob("*"))
            if path.is_file()
            and not re.search(r"\.db(-wal|-shm)?$", path.name)
            and path.parts[len(folder.parts)] != "cache"
        }
        assert not [name for name in found if name.endswith(".part")], "a part is left"
        assert not [name for name in found if name.startswith("passing/")], "a passing file is left"
        return found

    def _trips(self) -> object:
        path = self.folder / self.log
        if not path.exists():
            return ()
        with SqliteStore(path) as store:
            found = store.trips(removed=True)
        assert written(found)
        return found

    def same_after(self, what: str) -> None:
        """Nothing changed since."""
        now = Kept(self.folder, self.log)
        assert now.files == self.files, f"files changed by {what}"
        assert now.trips == self.trips, f"trips changed by {what}"

    def sound_after(self) -> "Kept":
        """What changed since is in the folder and reads; what lies there now."""
        now = Kept(self.folder, self.log)
        names = {name for name in {**now.files, **self.files} if now.files.get(name) != self.files.get(name)}
        assert all(re.fullmatch(r"coast/[^/]+\.(?:toml|csv)", name) for name in names), f"written: {names}"
        for name in [name for name in names if name.endswith(".toml") and name in now.files]:
            former = self.files.get(name)
            if former is None or self._good(name, former):
                self._checked(self.folder / name, now.files[name])
        return now

    def _checked(self, path: Path, data: bytes) -> None:
        """`check` finds no problem in it; most times only what it looks at is read."""
        if zlib.crc32(data) % WHOLE_CHECKS == 0:
            result = run("check", path)
            assert result.code == 0, f"{path.name} no longer reads: {result.err}"
        else:
            read_possible_shore(path)

    def _good(self, name: str, former: bytes) -> bool:
        """Whether a file was good in its folder before."""
        if former in GOOD:
            return True
        path = self.folder / name
        now = path.read_bytes()
        path.write_bytes(former)
        try:
            read_possible_shore(path)
        except FileProblemsError:
            return False
        finally:
            path.write_bytes(now)
        return True


WRITES = frozenset(
    "os.rename os.remove os.mkdir os.rmdir os.link os.symlink os.truncate sqlite3.connect".split()
)
"""What Python tells its audit hooks of that changes a disk, beside opening a file to write."""
IN_FOLDERS = frozenset({"os.remove", "os.rmdir", "os.mkdir"})
"""Told with the folder that the path is counted from, open."""
_watching: list[tuple[str, list[str]]] = []


def _heard(event: str, arguments: tuple[Any, ...]) -> None:
    """An audit hook: notes what is written outside of the folder that is watched."""
    if not _watching or not (event in WRITES or (event == "open" and _writing(*arguments[1:]))):
        return
    folder, found = _watching[-1]
    for path in arguments[: 2 if event == "os.rename" else 1]:
        if isinstance(path, str | bytes | os.PathLike):
            name = re.sub(r"^file:(.*?)(\?.*)?$", r"\1", os.fsdecode(path))
            above = arguments[-1] if event in IN_FOLDERS and arguments[-1] != -1 else None
            name = os.path.join(os.getcwd() if above is None else os.readlink(f"/proc/self/fd/{above}"), name)
            inside = os.path.abspath(name).startswith((folder, "/dev/null", "/proc/"))
            if not inside and "__pycache__" not in name:
                found.append(f"{event} {name}")


def _writing(mode: str | None, flags: object) -> bool:
    if isinstance(flags, int):
        return bool(flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT))
    return bool(set(mode or "") & set("wxa+"))


_hooks: list[object] = []


@contextmanager
def at_home(folder: Path) -> Iterator[None]:
    """Everything lies in the case's folder meanwhile, and nothing is written elsewhere."""
    if not _hooks:
        sys.addaudithook(_heard)
        _hooks.append(_heard)
    homes = {"XDG_DATA_HOME": str(folder / "data"), "XDG_CACHE_HOME": str(folder / "cache")}
    found: list[str] = []
    with patch.dict(os.environ, homes), patch.object(tempfile, "tempdir", str(folder / "passing")):
        _watching.append((f"{folder}/", found))
        try:
            yield
        finally:
            _watching.pop()
    assert not found, f"written elsewhere: {found[:3]}"
