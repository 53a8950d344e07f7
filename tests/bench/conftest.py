"""A table of ratios at the end of a run with --benchmark-enable; figures are reported and never gated."""

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
    """What a run took: seconds, and the most memory it held at once in bytes where that is known."""

    seconds: float
    memory: float | None = None

    def __str__(self) -> str:
        memory = "" if self.memory is None else f"{self.memory / MEBIBYTE:.1f} MiB"
        return f"{self.seconds * 1e3:9.2f} ms {memory:>12}"


def cost_of(runs: list[Callable[[], object]], rounds: int = ROUNDS) -> list[Cost]:
    """Cost of each: timed in turns, so that all meet the same machine; memory from one more run of each."""
    best = [float("inf")] * len(runs)
    for _ in range(rounds):
        for index, run in enumerate(runs):
            best[index] = min(best[index], _best_of_a_round(run))
    return [Cost(seconds, _peak(run)) for seconds, run in zip(best, runs, strict=True)]


def _best_of_a_round(run: Callable[[], object]) -> float:
    """Seconds of the quickest run of a round."""
    best, first = float("inf"), perf_counter()
    while True:
        start = perf_counter()
        run()
        end = perf_counter()
        best = min(best, end - start)
        if end - first > LEAST_ROUND:
            return best


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

    def record(
        self,
        what: str,
        ours_seconds: float,
        peer: str,
        peer_seconds: float,
        ours_memory: float | None = None,
        peer_memory: float | None = None,
    ) -> None:
        """Add one comparison; memory in bytes."""
        if self.enabled:
            ours, theirs = Cost(ours_seconds, ours_memory), Cost(peer_seconds, peer_memory)
            self.rows.append((what, ours, peer, theirs))

    def compare(
        self, what: str, ours: Callable[[], object], peers: Mapping[str, Callable[[], object]]
    ) -> None:
        """Run ours and every peer in turns; record the best of each."""
        if not self.enabled:
            return
        own, *others = cost_of([ours, *peers.values()])
        for peer, cost in zip(peers, others, strict=True):
            self.record(what, own.seconds, peer, cost.seconds, own.memory, cost.memory)


_TABLE = pytest.StashKey[RatioTable]()


def pytest_configure(config):
    options = config.option
    config.stash[_TABLE] = RatioTable(enabled=options.benchmark_enable or not options.benchmark_disable)


@pytest.fixture(scope="session")
def bytecode(tmp_path_factory):
    """A folder of compiled modules that all cold processes share: an installed package is compiled once."""
    return tmp_path_factory.mktemp("bytecode")


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
