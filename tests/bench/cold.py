"""Whole processes, started cold: how long they take and the most memory they hold."""

import os
import resource
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from time import perf_counter

from tests.bench.conftest import ROUNDS, Cost

REPOSITORY = Path(__file__).parents[2]
COMMAND = (sys.executable, "-m", "windows.cli")
KIBIBYTE = 1024
LEFT_OUT = {"PYTHONDONTWRITEBYTECODE", "OPENBLAS_NUM_THREADS"}
"""What a person's surroundings don't have; the command sets its threads itself."""
WEIGHED = (
    "import resource, subprocess, sys; subprocess.run(sys.argv[1:], check=True, stdout=subprocess.DEVNULL); "
    "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
)
"""A process counts the memory of the one that starts it as its own: this one is small."""


def environment(cache: Path | None) -> dict[str, str]:
    """Ours, with bytecode kept in that folder: an installed package has been compiled once and for all."""
    kept = {name: value for name, value in os.environ.items() if name not in LEFT_OUT}
    where = {} if cache is None else {"PYTHONPYCACHEPREFIX": str(cache)}
    return {**kept, **where, "PYTHONPATH": str(REPOSITORY), "COLUMNS": "100"}


def seconds_of(command: Sequence[str], cache: Path | None) -> float:
    """Seconds of one process that has to succeed."""
    start = perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, cwd=REPOSITORY, env=environment(cache), check=True)
    return perf_counter() - start


def memory_of(command: Sequence[str], cache: Path | None) -> float:
    """Bytes that a process, or the greatest of those it starts, holds at most."""
    finished = subprocess.run(
        [sys.executable, "-c", WEIGHED, *command],
        stdout=subprocess.PIPE,
        cwd=REPOSITORY,
        env=environment(cache),
        check=True,
    )
    return float(finished.stdout) * KIBIBYTE


def best_cold(commands: Sequence[Sequence[str]], cache: Path | None, rounds: int = 2 * ROUNDS) -> list[Cost]:
    """The best of each, run in turns after one run that fills the folder of bytecode; one run without one."""
    if cache is None:
        return [Cost(seconds_of(command, cache)) for command in commands]
    memory = [memory_of(command, cache) for command in commands]
    rows = [[seconds_of(command, cache) for command in commands] for _ in range(rounds)]
    return [Cost(min(column), held) for column, held in zip(zip(*rows, strict=True), memory, strict=True)]


def peak_memory() -> int:
    """Bytes this process has held at most, without what it took over from the one that started it."""
    status = Path("/proc/self/status")
    if status.exists():
        (line,) = [line for line in status.read_text().splitlines() if line.startswith("VmHWM:")]
        return int(line.split()[1]) * KIBIBYTE
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * KIBIBYTE
