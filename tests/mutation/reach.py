"""Which tests run which lines, how long each takes, which libraries they load: found once, kept in a file."""

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
BUDGET = 20.0
"""Seconds that tests may take which don't run the changed lines, or which are of other rooms."""


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
    """Run these tests once in this process, and keep what they reach."""
    os.chdir(root)
    measure = coverage.Coverage(data_file=None, include=[f"{root}/{package}/*"])
    watcher = Watcher(measure)
    measure.start()
    status = pytest.main([*PLAIN, *tests], plugins=[watcher])
    measure.stop()
    if status != 0:
        raise SystemExit(f"{package}: the tests must pass before the code is changed: {watcher.failed[:5]}")
    data = measure.get_data()
    if not data.measured_files():
        raise SystemExit(f"{package}: no test runs a line of it")
    names = sorted(watcher.seconds)
    numbers = {name: number for number, name in enumerate(names)}
    lines = {
        str(Path(path).relative_to(root)): {
            line: sorted(numbers[test] for test in found if test in numbers)
            for line, found in data.contexts_by_lineno(path).items()
        }
        for path in data.measured_files()
    }
    libraries = sorted(name for name in sys.modules if name.partition(".")[0] not in OURS)
    kept = {"tests": names, "seconds": [watcher.seconds[name] for name in names]}
    result.write_text(json.dumps({**kept, "lines": lines, "libraries": libraries}), encoding="utf-8")


PLAIN = ["-n", "0", "-q", "-p", "no:cacheprovider", "--no-header", "--tb=line"]


@dataclass(frozen=True)
class Reach:
    """What was found."""

    tests: list[str]
    seconds: list[float]
    lines: dict[str, dict[str, list[int]]]
    libraries: list[str]

    @classmethod
    def of(cls, root: Path, package: str, tests: list[str], kept: Path) -> "Reach":
        """As kept, or found now by a process of its own."""
        if not kept.exists():
            command = (sys.executable, "-m", "tests.mutation.reach", str(root), package, str(kept), *tests)
            subprocess.run(command, check=True, cwd=root, env={**os.environ, "PYTHONPATH": str(root)})
        found: dict[str, Any] = json.loads(kept.read_text(encoding="utf-8"))
        return cls(**found)

    @cached_property
    def _files(self) -> dict[str, set[int]]:
        """The tests of a file."""
        found = defaultdict(set)
        for number, name in enumerate(self.tests):
            found[name.partition("::")[0]].add(number)
        return found

    def near(self, mutant: Mutant) -> list[str]:
        """Tests that run what is changed, the quickest first; else those of its function."""
        lines = self.lines.get(mutant.path, {})
        for first, last in ((mutant.first, mutant.last), mutant.room_lines):
            found = {test for line in range(first, last + 1) for test in lines.get(str(line), ())}
            if found:
                return self._in_order(found)
        return []

    def around(self, mutant: Mutant, users: list[str]) -> list[str]:
        """Other tests of the files that run anything of this module or of its users, those of its name first.

        What runs once, on import or for a cache, is seen by one test or none, and yet others depend on it.
        """
        paths = [mutant.path, *users]
        touched = {test for path in paths for found in self.lines.get(path, {}).values() for test in found}
        files = {self.tests[test].partition("::")[0] for test in touched}
        stem = Path(mutant.path).stem
        near = set(self.near(mutant))
        ordered = sorted(files, key=lambda file: (stem not in file, self.cost_of(file), file))
        names = (name for file in ordered for name in self._in_order(self._files[file]))
        return self.within_budget([name for name in names if name not in near])

    def within_budget(self, tests: list[str]) -> list[str]:
        """The first of them that can be afforded."""
        spent, afforded = 0.0, []
        for name in tests:
            spent += self._costs[name]
            if spent > BUDGET:
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
