"""Which tests run which lines, how long each takes, which libraries they load: found once, kept in a file."""

import hashlib
import json
import os
import subprocess
import sys
from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import coverage
import pytest

from tests.mutation.mutants import Mutant

OURS = ("harmonics", "windows", "tests")
BUDGET = 30.0
"""Seconds that tests may take which don't run the changed lines, or which are of other rooms."""
ELSEWHERE = ("test_processes", "test_command", "test_in_browser")
"""Files whose tests start processes or a browser: what runs there is not seen from here."""
AT_ONCE = 2
"""Files of tests whose reach is found, then kept, together."""


class Watcher:
    """Writes down for each test the lines it runs and its seconds."""

    def __init__(self, measure: coverage.Coverage) -> None:
        self._measure = measure
        self.seconds: dict[str, float] = defaultdict(float)
        self.failed: list[str] = []

    def pytest_runtest_logstart(self, nodeid: str) -> None:
        """Lines that follow are of this test."""
        self._measure.switch_context(nodeid)

    def pytest_runtest_logfinish(self) -> None:
        """Lines that follow are of none."""
        self._measure.switch_context("")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Setting up counts as the test does."""
        self.seconds[report.nodeid] += report.duration
        if report.failed:
            self.failed.append(report.nodeid)


def watch(root: Path, package: str, tests: list[str], result: Path) -> None:
    """Run these files of tests once in this process, and keep what they reach."""
    os.chdir(root)
    measure = coverage.Coverage(data_file=None, include=[f"{root}/{package}/*"])
    watcher = Watcher(measure)
    measure.start()
    status = pytest.main([*PLAIN, *tests], plugins=[watcher])
    measure.stop()
    if status != 0:
        raise SystemExit(f"{package}: the tests must pass before the code is changed: {watcher.failed[:5]}")
    files: dict[str, Any] = {file: {"tests": [], "seconds": [], "lines": {}} for file in tests}
    numbers = {}
    for name, seconds in watcher.seconds.items():
        kept = files[file_of(name)]
        numbers[name] = len(kept["tests"])
        kept["tests"].append(name)
        kept["seconds"].append(round(seconds, 4))
    data = measure.get_data()
    for path in data.measured_files():
        for line, names in data.contexts_by_lineno(path).items():
            for name in filter(None, names):
                lines = files[file_of(name)]["lines"].setdefault(str(Path(path).relative_to(root)), {})
                lines.setdefault(str(line), []).append(numbers[name])
    libraries = sorted(name for name in sys.modules if name.partition(".")[0] not in OURS)
    result.write_text(json.dumps({"files": files, "libraries": libraries}), encoding="utf-8")


def file_of(test: str) -> str:
    """The file of a test."""
    return test.partition("::")[0]


PLAIN = ["-n", "0", "-q", "-p", "no:cacheprovider", "--no-header", "--tb=line"]


def _digest(paths: list[Path]) -> str:
    return hashlib.sha256(b"".join(path.read_bytes() for path in sorted(paths))).hexdigest()


def reached(root: Path, package: str, folders: list[str], kept: Path) -> "Reach":
    """As kept for each file of tests, or found now for those that are new or were changed."""
    found: dict[str, Any] = {"code": "", "files": {}, "libraries": []}
    if kept.exists():
        found = json.loads(kept.read_text(encoding="utf-8"))
    code = _digest(list((root / package).rglob("*.py")))
    if found.get("code") != code:
        found = {"code": code, "files": {}, "libraries": found["libraries"]}
    paths = [path for folder in folders for path in _test_files(root, folder)]
    digests = {str(path.relative_to(root)): _digest([path]) for path in paths}
    known = found["files"]
    stale = [file for file, digest in digests.items() if known.get(file, {}).get("digest") != digest]
    for begin in range(0, len(stale), AT_ONCE):
        fresh = _watched(root, package, stale[begin : begin + AT_ONCE], kept.with_suffix(".fresh"))
        known |= {file: {**one, "digest": digests[file]} for file, one in fresh["files"].items()}
        found["libraries"] = sorted({*found["libraries"], *fresh["libraries"]})
        kept.write_text(json.dumps(found), encoding="utf-8")
    return Reach.of({file: known[file] for file in digests}, found["libraries"])


def _test_files(root: Path, place: str) -> list[Path]:
    """Of a folder with all inside it, or of files by a pattern."""
    found = sorted((root / place).rglob("test_*.py") if (root / place).is_dir() else root.glob(place))
    return [path for path in found if path.stem not in ELSEWHERE]


def _watched(root: Path, package: str, files: list[str], result: Path) -> dict[str, Any]:
    """Of a process of its own."""
    command = (sys.executable, "-m", "tests.mutation.reach", str(root), package, str(result), *files)
    subprocess.run(command, check=True, cwd=root, env={**os.environ, "PYTHONPATH": str(root)})
    fresh: dict[str, Any] = json.loads(result.read_text(encoding="utf-8"))
    result.unlink()
    return fresh


@dataclass(frozen=True)
class Reach:
    """What was found."""

    tests: list[str]
    seconds: list[float]
    lines: dict[str, dict[str, list[int]]]
    libraries: list[str]
    budget: float = BUDGET

    @classmethod
    def of(cls, files: dict[str, Any], libraries: list[str]) -> "Reach":
        """Of all files together."""
        tests: list[str] = []
        seconds: list[float] = []
        lines: dict[str, dict[str, list[int]]] = {}
        for one in files.values():
            for path, reached in one["lines"].items():
                ours = lines.setdefault(path, {})
                for line, numbers in reached.items():
                    ours.setdefault(line, []).extend(len(tests) + number for number in numbers)
            tests += one["tests"]
            seconds += one["seconds"]
        if not lines:
            raise SystemExit("no test runs a line of it")
        return cls(tests, seconds, lines, libraries)

    @cached_property
    def _files(self) -> dict[str, set[int]]:
        """The tests of a file."""
        found = defaultdict(set)
        for number, name in enumerate(self.tests):
            found[file_of(name)].add(number)
        return found

    def near(self, mutant: Mutant) -> list[str]:
        """Tests that run what is changed, the quickest first; else those of its function."""
        lines = self.lines.get(mutant.path, {})
        for first, last in ((mutant.first, mutant.last), mutant.room_lines):
            found = {test for line in range(first, last + 1) for test in lines.get(str(line), ())}
            if found:
                return self._in_order(found)
        return []

    def in_turn(self, tests: list[str]) -> list[str]:
        """One of each file, then a second of each: what can be afforded comes from many files."""
        turns: dict[str, int] = defaultdict(int)
        placed = []
        for place, name in enumerate(tests):
            placed.append((turns[file_of(name)], place, name))
            turns[file_of(name)] += 1
        return self.within_budget([name for _, _, name in sorted(placed)])

    def around(self, mutant: Mutant, users: list[str]) -> list[str]:
        """Other tests of the files that run anything of this module or of its users.

        First those of its name, those that import it and those of its users' names. What runs once, on
        import or for a cache, is seen by one test or none, and yet others depend on it.
        """
        paths = [mutant.path, *users]
        touched = {test for path in paths for found in self.lines.get(path, {}).values() for test in found}
        files = {file_of(self.tests[test]) for test in touched} | self._files.keys() & set(users)
        stems = {Path(path).stem for path in users}
        own = Path(mutant.path).stem
        near = set(self.near(mutant))

        def far(file: str) -> tuple[bool, bool, bool, float, str]:
            of_users = any(stem in Path(file).stem for stem in stems)
            return own not in file, file not in users, not of_users, self.cost_of(file), file

        ordered = sorted(files, key=far)
        names = (name for file in ordered for name in self._in_order(self._files[file]))
        return self.within_budget([name for name in names if name not in near])

    def quickest(self) -> list[str]:
        """As many as can be afforded of all, whatever they run: some ask what is made on import."""
        return self.within_budget(self._in_order(set(range(len(self.tests)))))

    def of_everything(self) -> list[str]:
        """Tests that stand at the top of all rooms: pages of the guide made from the code."""
        return [name for name in self.tests if Path(file_of(name)).parent.name == "tests"]

    def within_budget(self, tests: list[str]) -> list[str]:
        """The first of them that can be afforded."""
        spent, afforded = 0.0, []
        for name in tests:
            spent += self._costs[name]
            if spent > self.budget:
                break
            afforded.append(name)
        return afforded

    @cached_property
    def _costs(self) -> dict[str, float]:
        return dict(zip(self.tests, self.seconds, strict=True))

    def cost_of(self, file: str) -> float:
        """Seconds of all tests of a file."""
        return sum(self.seconds[number] for number in self._files[file])

    def cost(self, tests: list[str]) -> float:
        """Seconds of these tests on the code as it is."""
        return sum(self._costs[name] for name in tests)

    def _in_order(self, found: set[int]) -> list[str]:
        return [self.tests[test] for test in sorted(found, key=lambda test: (self.seconds[test], test))]


if __name__ == "__main__":
    watch(Path(sys.argv[1]), sys.argv[2], sys.argv[4:], Path(sys.argv[3]))
