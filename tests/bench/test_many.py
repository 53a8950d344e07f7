"""A whole coast's year: high and low waters of thousands of stations, and folders of files, by processes.

Run with --benchmark-enable; EBBLIGHT_BENCH_STATIONS=8000 in the environment asks for the long run. Here only
results are asserted, never a time.
"""

import json
import os
import subprocess
import sys

import numpy as np
import pytest

from tests.bench.coast import synthetic_station, year_of_turns, years_of_turns
from tests.bench.cold import COMMAND, REPOSITORY, best_cold
from tests.bench.conftest import Cost
from tests.bench.growth import record_growth
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, written

STATIONS = int(os.environ.get("EBBLIGHT_BENCH_STATIONS", "400"))
FEW = 25
"""Stations where nothing is timed: more than one process takes at a time."""
PROCESSES = 2


def test_synthetic_stations_have_what_is_said():
    sizes = {len(synthetic_station(seed).constants.constituents) for seed in range(300)}
    assert (min(sizes), max(sizes)) == (37, 60)


def test_processes_find_what_one_finds():
    alone, _ = years_of_turns(FEW, 1)
    together, _ = years_of_turns(FEW, PROCESSES)
    assert len(alone) == len(together) == FEW
    for one, other in zip(alone, together, strict=True):
        assert np.array_equal(one.t, other.t) and np.array_equal(one.height, other.height)
        assert np.all(one.high[1:] != one.high[:-1])
        assert len(one) > 600


def a_year(count, processes):
    """Report of a run of its own, whose memory holds nothing else."""
    command = [sys.executable, "-m", "tests.bench.coast", str(count), str(processes)]
    return json.loads(subprocess.run(command, capture_output=True, check=True, cwd=REPOSITORY).stdout)


def test_a_year_of_many_stations(ratio_table):
    count = STATIONS if ratio_table.enabled else FEW
    two, one = a_year(count, PROCESSES), a_year(count, 1)
    assert two["stations"] == one["stations"] == count
    assert two["turns"] == one["turns"] > 600 * count
    assert two["digest"] == one["digest"]
    what = f"a year of high and low waters, {count:,} stations, {PROCESSES} processes"
    costs = [Cost(run["seconds"], run["memory"]) for run in (two, one)]
    ratio_table.record(what, costs[0], "one process", costs[1])


def test_growth_with_stations(ratio_table):
    def task(count):
        return sum(map(len, year_of_turns(range(count))))

    assert task(2) > 1200
    record_growth(ratio_table, "a year of high and low waters by stations", task, (2, 20, 200), rounds=2)


@pytest.mark.parametrize("command", ["week", "tides"])
def test_a_folder_of_files(command, tmp_path, ratio_table, bytecode):
    """Whole runs of the command, two processes beside one."""
    for count in (10, 100) if ratio_table.enabled else (2,):
        folder = tmp_path / str(count)
        folder.mkdir()
        for index in range(count):
            written(folder, head(), SIMPLE_STATION, SIMPLE_SPOT, name=f"coast{index:03d}.toml")
        run = (
            *COMMAND,
            command,
            str(folder),
            "-o",
            str(folder / "out"),
            "--start",
            "2026-08-10",
            "--days",
            "30",
        )
        two, one = best_cold(
            [(*run, "--workers", workers) for workers in "21"], bytecode, 2 if ratio_table.enabled else 1
        )
        assert len(list((folder / "out").iterdir())) == count
        what = f"ebblight {command} of a month, {count} files, 2 processes"
        ratio_table.record(what, two, "one process", one)
