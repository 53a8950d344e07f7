"""A whole coast's year: high and low waters of thousands of stations, and folders of files, by processes.

Run with --benchmark-enable; EBBLIGHT_BENCH_STATIONS=8000 in the environment asks for the long run. Here only
results are asserted, never a time.
"""

import os
import resource
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from time import perf_counter

import numpy as np
import pytest

from harmonics.constituents import find
from harmonics.events import Turns, high_low_waters
from harmonics.stations import Station
from harmonics.waves import HarmonicConstants, year_start
from tests.bench.cold import COMMAND, best_cold
from tests.bench.conftest import MEBIBYTE, Cost
from tests.bench.growth import record_growth
from tests.bench.test_levels import NAMES, turns_by_dense_samples
from tests.cli.runs import SIMPLE_SPOT, SIMPLE_STATION, head, written

STATIONS = int(os.environ.get("EBBLIGHT_BENCH_STATIONS", "400"))
FEW = 6
"""Stations where nothing is timed."""
AT_ONCE = 20
"""Stations that a process takes at a time."""
MORE_NAMES = (
    "EPS2 ETA2 MKS2 N4 MTM MSQM 2MO5 3L2 3N2 SGM MA2 MB2 T3 R3 MP1 SO1 2MS6 2MN6 M5 M10 M12 PHI1 THETA1"
).split()
"""Beyond the 37 of the US tables: long, diurnal and shallow-water lines of global sets."""
START, END = year_start(2026), year_start(2027)
KIBIBYTE = 1024


def synthetic_station(seed: int) -> Station:
    """37 to 60 constituents in an order of its own, so that no two stations share what is made for a set."""
    draw = np.random.default_rng(seed)
    names = [*NAMES, *draw.permutation(MORE_NAMES)[: draw.integers(0, len(MORE_NAMES) + 1)].tolist()]
    amplitude = (
        draw.uniform(0.2, 1.5) * draw.uniform(0.5, 1.0, len(names)) / np.arange(1, len(names) + 1) ** 1.3
    )
    rows = tuple(find(name) for name in names)
    constants = HarmonicConstants(rows, amplitude, draw.uniform(0, 360, len(names)))
    return Station(str(seed), "S", 29.2, -90.0, "MLLW", 0.5, constants)


def year_of_turns(seeds: range) -> tuple[list[Turns], int, int]:
    """The year of each station; the process and the most memory it held, bytes."""
    found = [high_low_waters(synthetic_station(seed), START, END).turns for seed in seeds]
    return found, os.getpid(), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * KIBIBYTE


def parts(count: int) -> list[range]:
    return [range(first, min(first + AT_ONCE, count)) for first in range(0, count, AT_ONCE)]


def by_processes(count: int, workers: int) -> tuple[list[Turns], Cost]:
    """Years of so many stations; time with the processes' start, memory of this process and all others."""
    peaks: dict[int, int] = {}
    found: list[Turns] = []
    start = perf_counter()
    with ProcessPoolExecutor(workers, get_context("spawn")) as pool:
        for turns, process, peak in pool.map(year_of_turns, parts(count)):
            found += turns
            peaks[process] = max(peak, peaks.get(process, 0))
    seconds = perf_counter() - start
    own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * KIBIBYTE
    return found, Cost(seconds, own + sum(peaks.values()))


def test_synthetic_stations_have_what_is_said():
    sizes = {len(synthetic_station(seed).constants.constituents) for seed in range(300)}
    assert (min(sizes), max(sizes)) == (37, 60)


def test_a_year_of_many_stations(ratio_table):
    count = STATIONS if ratio_table.enabled else FEW
    start = perf_counter()
    alone = [turns for part in parts(count) for turns in year_of_turns(part)[0]]
    single = perf_counter() - start
    workers = max(2, os.cpu_count() or 1)
    found, cost = by_processes(count, workers)
    assert len(found) == count
    for one, other in zip(alone, found, strict=True):
        assert np.array_equal(one.t, other.t) and np.array_equal(one.height, other.height)
        assert np.all(other.high[1:] != other.high[:-1])
        assert len(other) > 600
    ratio_table.record(
        f"a year of high and low waters, {count:,} stations, {workers} processes",
        cost.seconds,
        "one process",
        single,
        cost.memory,
    )


def test_growth_with_stations(ratio_table):
    def task(count):
        return sum(len(turns) for part in parts(count) for turns in year_of_turns(part)[0])

    assert task(2) > 1200
    record_growth(ratio_table, "a year of high and low waters by stations", task, (2, 20, 200), rounds=2)


def test_a_station_of_the_coast_beside_dense_samples(ratio_table):
    ratio_table.compare(
        "a station's year of 37 to 60 constituents, made and searched",
        lambda: year_of_turns(range(1)),
        {"cosine loop each minute, 37": turns_by_dense_samples},
    )
    ((turns,), _, peak) = year_of_turns(range(1))
    assert len(turns) > 600 and peak > MEBIBYTE


@pytest.mark.parametrize("command", ["week", "tides"])
def test_a_folder_of_files(command, tmp_path, ratio_table):
    """Whole runs of the command: two processes beside one, on 10 and on 100 files."""
    if not ratio_table.enabled:
        return
    for count in (10, 100):
        folder = tmp_path / str(count)
        folder.mkdir()
        for index in range(count):
            written(folder, head(), SIMPLE_STATION, SIMPLE_SPOT, name=f"coast{index:03d}.toml")
        asked = (
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
            [(*asked, "--workers", workers) for workers in "21"], tmp_path / "cache", rounds=2
        )
        what = f"ebblight {command} of a month, {count} files, 2 processes"
        ratio_table.record(what, two.seconds, "one process", one.seconds, None, one.memory)
