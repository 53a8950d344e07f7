"""A table of ratios at the end of a run with --benchmark-enable; figures are reported and never gated."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from time import perf_counter

import pytest

ROUNDS = 5
"""Best of so many: a busy machine only ever adds time."""


@dataclass
class RatioTable:
    """Rows (what, our seconds, peer, its seconds); empty unless benchmarks are enabled."""

    enabled: bool
    rows: list[tuple[str, float, str, float]] = field(default_factory=list)

    def record(self, what: str, ours_seconds: float, peer: str, peer_seconds: float) -> None:
        """Add one comparison."""
        if self.enabled:
            self.rows.append((what, ours_seconds, peer, peer_seconds))

    def compare(
        self, what: str, ours: Callable[[], object], peers: Mapping[str, Callable[[], object]]
    ) -> None:
        """Time ours and every peer in turns, so that all meet the same machine; record the best of each."""
        if not self.enabled:
            return
        contestants = [ours, *peers.values()]
        best = [float("inf")] * len(contestants)
        for _ in range(ROUNDS):
            for index, run in enumerate(contestants):
                start = perf_counter()
                run()
                best[index] = min(best[index], perf_counter() - start)
        for peer, seconds in zip(peers, best[1:], strict=True):
            self.record(what, best[0], peer, seconds)


_TABLE = pytest.StashKey[RatioTable]()


def pytest_configure(config):
    options = config.option
    config.stash[_TABLE] = RatioTable(enabled=options.benchmark_enable or not options.benchmark_disable)


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
            f"{what:<{width}}  ours {ours * 1e3:9.2f} ms  {peer:<{peer_width}} {theirs * 1e3:9.2f} ms"
            f"  x {theirs / ours:8.1f}"
        )
