"""High and low waters of a year at any number of synthetic stations, in this process or in several.

As a program, `python -m tests.bench.coast STATIONS PROCESSES` says in JSON what it found and what it took.
"""

import hashlib
import json
import os
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from time import perf_counter

import numpy as np

from harmonics.catalogue.constituents import find
from harmonics.stations.events import Turns, high_low_waters
from harmonics.stations.types import Station
from harmonics.sums.waves import HarmonicConstants, year_start
from tests.bench.cold import peak_memory

AT_ONCE = 20
"""Stations that a process takes at a time."""
TABLE_NAMES = (
    "M2 S2 N2 K1 M4 O1 M6 MK3 S4 MN4 NU2 S6 MU2 2N2 OO1 LAM2 S1 M1 J1 MM SSA SA MSF MF RHO Q1 T2 R2 2Q1 P1 "
    "2SM2 M3 L2 2MK3 K2 M8 MS4"
).split()
"""The 37 of the US tables, in their order."""
MORE_NAMES = (
    "EPS2 ETA2 MKS2 N4 MTM MSQM 2MO5 3L2 3N2 SGM MA2 MB2 T3 R3 MP1 SO1 2MS6 2MN6 M5 M10 M12 PHI1 THETA1"
).split()
"""Beyond them: long, diurnal and shallow-water lines of global sets."""
START, END = year_start(2026), year_start(2027)


def synthetic_station(seed: int) -> Station:
    """37 to 60 constituents in an order of its own, so that hardly two stations share what a set needs."""
    draw = np.random.default_rng(seed)
    names = [*TABLE_NAMES, *draw.permutation(MORE_NAMES)[: draw.integers(0, len(MORE_NAMES) + 1)].tolist()]
    falling = np.arange(1, len(names) + 1) ** -1.3
    amplitude = draw.uniform(0.2, 1.5) * draw.uniform(0.5, 1.0, len(names)) * falling
    rows = tuple(find(name) for name in names)
    constants = HarmonicConstants(rows, amplitude, draw.uniform(0, 360, len(names)))
    return Station(str(seed), "S", 29.2, -90.0, "MLLW", 0.5, constants)


def year_of_turns(seeds: range) -> list[Turns]:
    """The year of each of these stations."""
    return [high_low_waters(synthetic_station(seed), START, END).turns for seed in seeds]


def _part(seeds: range) -> tuple[list[Turns], int, int]:
    """As `year_of_turns`, with the process and the most memory it has held."""
    return year_of_turns(seeds), os.getpid(), peak_memory()


def years_of_turns(count: int, processes: int) -> tuple[list[Turns], int]:
    """The years of so many stations; the most memory that all other processes held, bytes."""
    parts = [range(first, min(first + AT_ONCE, count)) for first in range(0, count, AT_ONCE)]
    if processes == 1:
        return [turns for part in parts for turns in year_of_turns(part)], 0
    found: list[Turns] = []
    peaks: dict[int, int] = {}
    with ProcessPoolExecutor(processes, get_context("spawn")) as pool:
        for turns, process, peak in pool.map(_part, parts):
            found += turns
            peaks[process] = max(peak, peaks.get(process, 0))
    return found, sum(peaks.values())


def main() -> None:
    """Say what the stations and processes named took; seconds count from before the processes start."""
    count, processes = map(int, sys.argv[1:])
    start = perf_counter()
    found, others = years_of_turns(count, processes)
    seconds = perf_counter() - start
    digest = hashlib.sha256()
    for turns in found:
        for column in (turns.t, turns.height, turns.high):
            digest.update(column.tobytes())
    report = {
        "stations": len(found),
        "turns": sum(map(len, found)),
        "digest": digest.hexdigest(),
        "seconds": seconds,
        "memory": peak_memory() + others,
    }
    sys.stdout.write(json.dumps(report))


if __name__ == "__main__":
    main()
