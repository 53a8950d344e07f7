"""Progress of long work on standard error, where a person watches; silent elsewhere."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

WORTH_SHOWING = 1500
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
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TimeRemainingColumn

    columns = (what, BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(what, total=total)
        yield lambda done: progress.update(task, completed=done)
