"""How a task grows with its size: beside as many times the smallest."""

from collections.abc import Callable, Sequence

from tests.bench.conftest import RatioTable, cost_of


def record_growth(
    table: RatioTable, what: str, task: Callable[[int], object], sizes: Sequence[int], rounds: int = 3
) -> None:
    """Record each size beside the cost of the smallest, multiplied: a ratio of 1 or more is linear or better.

    Args:
        table: where rows go; nothing is run unless it is enabled.
        what: the task and what its size counts.
        task: does it at a size.
        sizes: rising.
        rounds: the best of so many is taken.
    """
    if not table.enabled:
        return
    costs = cost_of([lambda size=size: task(size) for size in sizes], rounds)
    for size, cost in zip(sizes[1:], costs[1:], strict=True):
        times = size / sizes[0]
        table.record(f"{what}: {size:,}", cost, f"{times:.0f} x that of {sizes[0]:,}", costs[0].times(times))
