"""Long runs: how often a verdict is chance, how often lessons hold the truth, writers killed by the thousand.

python -m tests.windows.log.long_run verdicts --logs 500
"""

import argparse
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random
from typing import Any

import numpy as np

from tests.windows.log.lesson_books import coverage, shore_of
from tests.windows.log.made_trips import FULL
from tests.windows.log.notebooks import World, notebook
from windows.log.counts import counts_of
from windows.log.storage import SqliteStore
from windows.log.verdict import Verdict, permutation_test, verdict_of

NOTHING = {
    "points mean nothing": (60, World(ratio=1.0)),
    "nothing, and good places score well": (60, World(ratio=1.0, drawn=15.0)),
    "nothing, two kinds of points": (60, World(ratio=1.0, two_groups=True)),
}
SOMETHING = {
    "ratio 2.0, catch grows with points": (90, World(ratio=2.0)),
    "ratio 2.0, two kinds, one spot in one season": (
        90,
        World(ratio=2.0, two_groups=True, spots=1, months=3, places=0.0, efforts=0.0),
    ),
    "ratio 2.0, two kinds, 18 spots x months": (90, World(ratio=2.0, two_groups=True, efforts=0.0)),
    "ratio 2.0, the same with 17 trips more": (107, World(ratio=2.0, two_groups=True, efforts=0.0)),
    "ratio 1.5, catch grows with points": (270, World(ratio=1.5)),
    "29 trips, ratio 8": (29, World(ratio=8.0, spots=1, months=1)),
}


def verdicts(world: World, trips: int, logs: int, permutations: int, seed: int = 60) -> Counter[Verdict]:
    """Verdicts on so many logs of one world."""
    rng = np.random.default_rng(seed)
    found: Counter[Verdict] = Counter()
    for _ in range(logs):
        counts = counts_of(notebook(world, trips, rng))
        found[verdict_of(counts, permutation_test(counts, permutations))] += 1
    return found


REPOSITORY = Path(__file__).parents[3]
WRITER = """
import sys
from dataclasses import replace
from pathlib import Path
from tests.windows.log.lesson_books import coverage, shore_of
from tests.windows.log.made_trips import FULL
from windows.log.storage import SqliteStore
path, first, count = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
with SqliteStore(path, create=True) as store:
    for number in range(first, first + count):
        store.add(replace(FULL, uid=f"{number:032x}"))
        sys.stdout.write(f"{number}\\n")
        sys.stdout.flush()
"""
"""Keeps one trip after another and says the number of each once it is kept."""


def started(path: Path, first: int, count: int, **options: Any) -> "subprocess.Popen[bytes]":
    """A writer of its own."""
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY)}
    command = [sys.executable, "-c", WRITER, str(path), str(first), str(count)]
    return subprocess.Popen(command, cwd=REPOSITORY, env=environment, **options)


@dataclass(frozen=True)
class Killed:
    """What killed writers left.

    Attributes:
        told: trips that a writer said it had kept.
        lost: of these, how many are not there.
        torn: trips that are there, but not whole.
        sound: SQLite's own check finds nothing.
    """

    told: int
    lost: int
    torn: int
    sound: bool


def killed_writers(path: Path, kills: int, seed: int) -> Killed:
    """Kill so many writers of one log, each some trips in; look at the log after each."""
    random, told = Random(seed), set()
    for kill in range(kills):
        with started(path, kill * 100_000, 100_000, stdout=subprocess.PIPE) as writer:
            assert writer.stdout is not None
            lines = [writer.stdout.readline() for _ in range(random.randint(1, 6))]
            time.sleep(random.uniform(0.0, 0.004))
            writer.send_signal(signal.SIGKILL)
            lines += writer.stdout.readlines()
        told |= {int(line) for line in lines if line.endswith(b"\n")}
    whole = replace(FULL, uid="")
    with SqliteStore(path) as store:
        trips = store.trips()
        sound = store._connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    there = {int(trip.uid, 16) for trip in trips}
    torn = sum(replace(trip.without_number(), uid="") != whole for trip in trips)
    return Killed(len(told), len(told - there), torn, sound)


def main() -> None:
    """Print what was found, a line each."""
    parser = argparse.ArgumentParser()
    parser.add_argument("what", choices=["verdicts", "lessons", "kills"])
    parser.add_argument("--logs", type=int, default=500)
    parser.add_argument("--permutations", type=int, default=999)
    parser.add_argument("--kills", type=int, default=1000)
    asked = parser.parse_args()
    if asked.what == "kills":
        with tempfile.TemporaryDirectory() as folder:
            sys.stdout.write(f"{killed_writers(Path(folder) / 'trips.db', asked.kills, seed=1)}\n")
        return
    if asked.what == "lessons":
        with tempfile.TemporaryDirectory() as folder:
            shore = shore_of(Path(folder))
            for notes in (6, 8, 10, 15, 20, 40):
                sys.stdout.write(f"{notes} notes: {coverage(shore, asked.logs, notes, seed=notes)}\n")
        return
    for name, (trips, world) in {**NOTHING, **SOMETHING}.items():
        found = verdicts(world, trips, asked.logs, asked.permutations)
        told = ", ".join(f"{kind.value} {count / asked.logs:.1%}" for kind, count in found.items())
        sys.stdout.write(f"{name}: {trips} trips, {told}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
