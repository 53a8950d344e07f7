"""Whole processes, started cold: how long they take and the most memory they hold."""

import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from time import perf_counter

from tests.bench.conftest import ROUNDS, Cost

REPOSITORY = Path(__file__).parents[2]
COMMAND = (sys.executable, "-m", "windows.cli")
KIBIBYTE = 1024


def environment(cache: Path) -> dict[str, str]:
    """Ours, with bytecode kept in that folder: an installed package has been compiled once and for all."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "PYTHONPYCACHEPREFIX": str(cache), "PYTHONPATH": str(REPOSITORY), "COLUMNS": "100"}


def run_cold(command: Sequence[str], cache: Path) -> Cost:
    """Cost of one process that has to succeed."""
    start = perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, cwd=REPOSITORY, env=environment(cache))
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode == 0, command
    return Cost(perf_counter() - start, usage.ru_maxrss * KIBIBYTE)


def best_cold(commands: Sequence[Sequence[str]], cache: Path, rounds: int = 2 * ROUNDS) -> list[Cost]:
    """The quickest run of each in turns, after one that fills the folder of bytecode."""
    runs: list[Callable[[], Cost]] = [
        lambda command=command: run_cold(command, cache) for command in commands
    ]
    for run in runs:
        run()
    rows = [[run() for run in runs] for _ in range(rounds)]
    return [min(column) for column in zip(*rows, strict=True)]
