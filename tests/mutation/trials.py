"""The tests on a changed copy of the repository: a process for each change, forked with libraries loaded."""

import importlib
import os
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import traceback
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path

import pytest

from tests.mutation.mutants import Mutant
from tests.mutation.reach import PLAIN, Reach, file_of

MEMORY = 6 << 30
NEVER_RUN = 70
WORDS = ".what-the-tests-said"
LOADED = ("-W", "ignore::pytest.PytestAssertRewriteWarning")
PATIENCE = 10.0, 6.0
"""Seconds of work, and times what the tests take on the code as it is; a change that takes more is caught."""
ASLEEP = 6.0
"""Times the seconds of work that may pass on a clock: others share the machine."""


class Verdict(StrEnum):
    """How a change ended."""

    CAUGHT = "caught"
    SLOW = "caught by time"
    SURVIVED = "survived"


class Chosen:
    """Runs these tests alone, in this order."""

    def __init__(self, tests: list[str]) -> None:
        self._places = {name: place for place, name in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """What is left of them, sorted."""
        items[:] = [item for item in items if item.nodeid in self._places]
        items.sort(key=lambda item: self._places[item.nodeid])


def copy_of(root: Path, target: Path) -> Path:
    """The files that git knows, as they stand now."""
    command = ("git", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
    listed = subprocess.run(command, cwd=root, check=True, capture_output=True, text=True)
    for name in filter(None, listed.stdout.split("\0")):
        if (root / name).is_file():
            (target / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(root / name, target / name)
    return target


def load(libraries: list[str]) -> None:
    """What the tests will import is there before the fork; inner halves of a library come with it.

    By itself and first, `_asyncio` leaves asyncio half in C and half not, and its tasks are lost.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for name in libraries:
            if name.startswith(("_", "xdist", "coverage")):
                continue
            try:
                importlib.import_module(name)
            except (ImportError, AttributeError):
                continue


@dataclass(frozen=True)
class Bench:
    """The copy that is changed, and what is known of the tests."""

    copy: Path
    reach: Reach
    wide: Reach | None
    all_near: bool = True
    """Whether a change meets every test that runs it, or only as many as the budget allows."""
    changes: list[str] = field(default_factory=list)
    """Names of those tried so far."""

    def rings(self, mutant: Mutant) -> Iterator[tuple[Reach, list[str]]]:
        """Tests that run the changed lines, those around them, the quickest of all, those of other rooms."""
        near = self.reach.near(mutant)
        yield self.reach, near if self.all_near else self.reach.in_turn(near)
        yield self.reach, self.reach.around(mutant, self._users(mutant.path))
        if not self.all_near:
            yield self.reach, self.reach.quickest()
        if self.wide:
            yield self.wide, self.wide.of_everything()
            yield self.wide, self.wide.in_turn(self.wide.near(mutant))

    def _users(self, path: str) -> list[str]:
        """Modules and tests that import this one."""
        name = path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        parent, _, last = name.rpartition(".")
        wanted = re.compile(
            rf"(from|import) {re.escape(name)}\b|from {re.escape(parent)} import [^\n]*\b{last}\b"
        )
        folders = (self.copy / path.partition("/")[0], self.copy / "tests")
        others = (other for folder in folders for other in folder.rglob("*.py"))
        found = [other for other in others if wanted.search(other.read_text(encoding="utf-8"))]
        return [str(other.relative_to(self.copy)) for other in found]

    def verdict_on(self, mutant: Mutant) -> Verdict:
        """Of the nearest tests, then of those farther away."""
        place = self.copy / mutant.path
        original, times = place.read_text(encoding="utf-8"), place.stat()
        place.write_text(mutant.code, encoding="utf-8")
        # Tests keep what they compile by a file's time in seconds: no two states may share one.
        self.changes.append(mutant.name)
        later = times.st_mtime + len(self.changes)
        os.utime(place, (later, later))
        met: set[str] = set()
        try:
            for reach, ring in self.rings(mutant):
                tests = [name for name in ring if name not in met]
                met.update(tests)
                if tests and (verdict := _tried(self.copy, tests, reach.cost(tests))) is not Verdict.SURVIVED:
                    return verdict
            return Verdict.SURVIVED
        finally:
            place.write_text(original, encoding="utf-8")
            os.utime(place, (times.st_mtime, times.st_mtime))

    def check_that_tests_pass(self, tests: list[str]) -> None:
        """On the code as it is, run as they are on a change."""
        if _tried(self.copy, tests, self.reach.cost(tests)) is not Verdict.SURVIVED:
            raise RuntimeError(f"tests fail on the code as it is:\n{(self.copy / WORDS).read_text()}")


def _tried(copy: Path, tests: list[str], cost: float) -> Verdict:
    work = PATIENCE[0] + PATIENCE[1] * cost
    child = os.fork()
    if child == 0:
        _run(copy, tests, int(work) + 1)
    return _awaited(copy, child, ASLEEP * work)


def _run(copy: Path, tests: list[str], work: int) -> None:
    """In the child: never returns."""
    status = NEVER_RUN
    try:
        os.setsid()
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_CPU, (work, work + 1))
        said = os.open(copy / WORDS, os.O_RDWR | os.O_CREAT | os.O_TRUNC)
        for stream in (1, 2):
            os.dup2(said, stream)
        os.chdir(copy)
        os.environ["PYTHONPATH"] = str(copy)
        sys.dont_write_bytecode = True
        sys.path.insert(0, str(copy))
        own = f"--basetemp={tempfile.gettempdir()}/mutation-{os.getppid()}"
        files = list(dict.fromkeys(file_of(name) for name in tests))
        for name in [
            name for name in sys.modules if name.partition(".")[0] in ("tests", "harmonics", "windows")
        ]:
            del sys.modules[name]
        status = int(pytest.main([*PLAIN, *LOADED, own, "-x", *files], plugins=[Chosen(tests)]))
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(status)


def _judged(copy: Path, status: int) -> Verdict:
    if status in (pytest.ExitCode.NO_TESTS_COLLECTED, NEVER_RUN):
        raise RuntimeError(f"no test was run:\n{(copy / WORDS).read_text()}")
    if status == -signal.SIGXCPU:
        return Verdict.SLOW
    return Verdict.SURVIVED if status == 0 else Verdict.CAUGHT


def _awaited(copy: Path, child: int, limit: float) -> Verdict:
    end = time.monotonic() + limit
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return _judged(copy, os.waitstatus_to_exitcode(status))
        time.sleep(0.02)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return Verdict.SLOW
