"""What takes long: made once for all who ask, a few at a time, and kept while it holds."""

import asyncio
from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, field
from typing import TypeAlias

from windows.app.refusals import Refusal, RefusedError

WORKERS = 2
"""Sums release Python's lock only in part: more would wait for each other and hold more memory."""
PATIENCE = 2.5
"""Seconds that a page is waited for once it is being made, before progress is shown instead."""
LONGEST_WAIT = 12.0
"""Seconds that it is waited for in all, its turn with it."""
LOOK = 0.1
"""Seconds between looks at work that waits for its turn."""
MOST_WAITING = 150
MOST_KEPT = 16 * 2**20
"""Bytes of finished pages that are kept: a few of fifty spots, or a hundred of one."""

Make: TypeAlias = Callable[[Callable[[int], None]], bytes]


@dataclass
class Task:
    """Something that is being made.

    Attributes:
        total: how many parts it has.
        asked: when it was asked for, by the clock of people.
        done: how many are made.
        begun: whether its turn has come.
        future: the result.
    """

    total: int
    asked: float
    done: int = 0
    begun: bool = False
    future: "Future[bytes]" = field(default_factory=Future)


@dataclass(frozen=True)
class Underway:
    """Something that takes longer: how many of its parts are made."""

    done: int
    total: int


class Work:
    """Tasks by what they make.

    Args:
        clock: of people, POSIX seconds.
    """

    def __init__(self, clock: Callable[[], float]) -> None:
        self._clock = clock
        self._pool = ThreadPoolExecutor(WORKERS, thread_name_prefix="work")
        self._tasks: OrderedDict[Hashable, Task] = OrderedDict()

    async def result(self, key: Hashable, total: int, fresh: float, make: Make) -> "bytes | Underway":
        """What `make` makes: at once where it is kept, else when it is done, or how far it is.

        Args:
            key: what it is; the same key is the same thing.
            total: how many parts it has, which `make` counts to its argument.
            fresh: seconds for which a finished one holds.
            make: run in another thread.

        Raises:
            RefusedError: too much is waiting.
            Exception: what `make` raises.
        """
        task = self._task(key, total, fresh, make)
        finished = _told_when_done(task.future)
        made, waited = 0.0, 0.0
        while not task.future.done() and made < PATIENCE and waited < LONGEST_WAIT:
            with suppress(TimeoutError):
                await asyncio.wait_for(finished.wait(), LOOK)
            waited += LOOK
            made += LOOK if task.begun else 0.0
        if not task.future.done():
            return Underway(task.done, task.total)
        if task.future.exception() is not None:
            self._tasks.pop(key, None)
        return task.future.result()

    def _task(self, key: Hashable, total: int, fresh: float, make: Make) -> Task:
        known = self._tasks.get(key)
        if known is not None and not (known.future.done() and self._clock() - known.asked > fresh):
            self._tasks.move_to_end(key)
            return known
        if sum(not task.future.done() for task in self._tasks.values()) >= MOST_WAITING:
            raise RefusedError(Refusal.BUSY)
        self._forget()
        task = self._tasks[key] = Task(total, self._clock())
        self._tasks.move_to_end(key)
        self._pool.submit(_run, task, make)
        return task

    def _forget(self) -> None:
        """Let go of the oldest finished results beyond what is kept."""
        kept = 0
        for key, task in reversed(list(self._tasks.items())):
            if not task.future.done():
                continue
            failed = task.future.exception() is not None
            kept += 0 if failed else len(task.future.result())
            if failed or kept > MOST_KEPT:
                del self._tasks[key]

    def close(self) -> None:
        """Begin nothing more."""
        self._pool.shutdown(wait=False, cancel_futures=True)


def _told_when_done(future: "Future[bytes]") -> asyncio.Event:
    """An event of this loop that is set once the future is done, whichever thread does it."""
    event, loop = asyncio.Event(), asyncio.get_running_loop()

    def tell(_: "Future[bytes]") -> None:
        with suppress(RuntimeError):  # the loop may have ended meanwhile
            loop.call_soon_threadsafe(event.set)

    future.add_done_callback(tell)
    return event


def _run(task: Task, make: Make) -> None:
    def count(done: int) -> None:
        task.done = done

    task.begun = True
    try:
        task.future.set_result(make(count))
    except BaseException as error:
        task.future.set_exception(error)
