"""Progress of long work on standard error, where a person watches; silent elsewhere."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

LONG_RECORD = 100_000
"""Readings from which an analysis takes longer than a second or two."""
WORTH_SHOWING = 300
"""Spot-days from which a forecast takes longer than a second or two."""


@contextmanager
def counted(what: str, total: int, weight: int) -> Iterator[Callable[[int], None]]:
    """A callback for the number done; a bar appears when the work is long and a terminal watches.

    Args:
        what: what is counted, plural.
        total: how many.
        weight: how much each is.
    """
    if total * weight < WORTH_SHOWING or not sys.stderr.isatty():
        yield lambda done: None
        return
    with _bar(what, total) as update:
        yield update


@contextmanager
def shared(what: str, readings: int) -> Iterator[Callable[[float], None]]:
    """A callback for the share done, 0 to 1; a bar appears when the work is long and a terminal watches.

    Args:
        what: what is worked on.
        readings: how many readings it has.
    """
    if readings < LONG_RECORD or not sys.stderr.isatty():
        yield lambda share: None
        return
    with _bar(what, 100) as update:
        yield lambda share: update(round(100 * share))


@contextmanager
def _bar(what: str, total: int) -> Iterator[Callable[[int], None]]:
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TimeRemainingColumn

    columns = (what, BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(what, total=total)
        yield lambda done: progress.update(task, completed=done)
