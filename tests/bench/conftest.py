"""A table of ratios at the end of a run with --benchmark-enable; figures are reported and never gated.

Beside the time stand the most memory held and the page faults of one run: on a virtual machine a fault can
cost more than the arithmetic on its page.
"""

import os
import resource
import tracemalloc
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from time import perf_counter
from typing import NamedTuple

import pytest

ROUNDS = 5
"""Best of so many: a busy machine only ever adds time."""
LEAST_ROUND = 0.02
"""A quick run is repeated for so many seconds a round: its first one pays for what the last peer left."""
MEBIBYTE = 2**20


class Cost(NamedTuple):
    """What a run took: seconds; the most bytes it held at once and its page faults, where they are known."""

    seconds: float
    memory: float | None = None
    faults: float | None = None

    def times(self, count: float) -> "Cost":
        """As many times as much."""
        return Cost(*(None if value is None else count * value for value in self))

    def __str__(self) -> str:
        memory = "" if self.memory is None else f"{self.memory / MEBIBYTE:.1f} MiB"
        faults = "" if self.faults is None else f"{self.faults:,.0f} faults"
        return f"{self.seconds * 1e3:9.2f} ms {memory:>11} {faults:>14}"


def cost_of(runs: list[Callable[[], object]], rounds: int = ROUNDS) -> list[Cost]:
    """Cost of each: timed in turns, so that all meet the same machine; memory from one more run of each."""
    best = [Cost(float("inf"))] * len(runs)
    for _ in range(rounds):
        for index, run in enumerate(runs):
            best[index] = min(best[index], _best_of_a_round(run))
    return [cost._replace(memory=_peak(run)) for cost, run in zip(best, runs, strict=True)]


def _best_of_a_round(run: Callable[[], object]) -> Cost:
    """Seconds of the quickest run of a round, and the faults of a run, their mean over the round."""
    best, first, runs = float("inf"), perf_counter(), 0
    faults = faults_so_far()
    while True:
        start = perf_counter()
        run()
        end = perf_counter()
        best, runs = min(best, end - start), runs + 1
        if end - first > LEAST_ROUND:
            return Cost(best, None, (faults_so_far() - faults) / runs)


def faults_so_far() -> int:
    """Pages that this process has been given by the system without reading a disk."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_minflt


def _peak(run: Callable[[], object]) -> float:
    """Bytes that Python and numpy held at most beyond what was there before."""
    tracemalloc.start()
    try:
        run()
        return float(tracemalloc.get_traced_memory()[1])
    finally:
        tracemalloc.stop()


@dataclass
class RatioTable:
    """Rows (what, our cost, peer, its cost); empty unless benchmarks are enabled."""

    enabled: bool
    rows: list[tuple[str, Cost, str, Cost]] = field(default_factory=list)

    def record(self, what: str, ours: Cost, peer: str, theirs: Cost) -> None:
        """Add one comparison."""
        if self.enabled:
            self.rows.append((what, ours, peer, theirs))

    def compare(
        self, what: str, ours: Callable[[], object], peers: Mapping[str, Callable[[], object]]
    ) -> None:
        """Run ours and every peer in turns; record the best of each."""
        if not self.enabled:
            return
        own, *others = cost_of([ours, *peers.values()])
        self.rows += [(what, own, peer, cost) for peer, cost in zip(peers, others, strict=True)]


_TABLE = pytest.StashKey[RatioTable]()


def pytest_configure(config):
    options = config.option
    config.stash[_TABLE] = RatioTable(enabled=options.benchmark_enable or not options.benchmark_disable)


@pytest.fixture(scope="session")
def bytecode(tmp_path_factory, ratio_table):
    """A folder of compiled modules that all cold processes share: an installed package is compiled once.

    It lies beside the folders of the processes that run tests, so that these share it too. Where nothing is
    timed there is none.
    """
    if not ratio_table.enabled:
        return None
    folder = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        folder = folder.parent
    return folder / "bytecode"


@pytest.fixture(scope="session")
def ratio_table(pytestconfig):
    return pytestconfig.stash[_TABLE]


def pytest_terminal_summary(terminalreporter, config):
    rows = config.stash[_TABLE].rows
    if not rows:
        return
    terminalreporter.section("ratios")
    width = max(len(what) for what, *_ in rows)
    peer_width = max(len(peer) for _, _, peer, _ in rows)
    for what, ours, peer, theirs in rows:
        terminalreporter.write_line(
            f"{what:<{width}}  ours {ours}  {peer:<{peer_width}} {theirs}"
            f"  x {theirs.seconds / ours.seconds:8.2f}"
        )
