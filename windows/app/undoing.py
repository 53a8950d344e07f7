"""What was just done, told once on the next page, and taken back where that can be."""

import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass

MOST = 200
"""Deeds that are remembered; nobody goes further back by a button."""
MOST_WITH_FILES = 8
"""Of these, such as hold a whole file to bring back."""


@dataclass(frozen=True)
class Done:
    """Something done.

    Attributes:
        sentence: that tells it.
        address: of the page it was done on.
        back: takes it back; None where it can't be.
        ticket: its name.
        holds_file: whether the way back keeps a file in memory.
    """

    sentence: str
    address: str
    back: Callable[[], str] | None
    ticket: str
    holds_file: bool = False

    @property
    def can_be_undone(self) -> bool:
        """Whether there is a way back."""
        return self.back is not None


class Undoings:
    """Deeds by their tickets, of this run of the pages."""

    def __init__(self) -> None:
        self._done: OrderedDict[str, Done] = OrderedDict()
        self._lock = threading.Lock()

    def tell(
        self,
        sentence: str,
        address: str,
        back: Callable[[], str] | None = None,
        *,
        holds_file: bool = False,
    ) -> str:
        """Remember a deed; its ticket comes back.

        Args:
            sentence: that tells it.
            address: of the page it was done on.
            back: takes it back and returns the sentence that tells so.
            holds_file: whether `back` keeps a file in memory.
        """
        ticket = secrets.token_urlsafe(12)
        with self._lock:
            self._done[ticket] = Done(sentence, address, back, ticket, holds_file)
            with_files = [name for name, done in self._done.items() if done.holds_file]
            for name in with_files[:-MOST_WITH_FILES]:
                del self._done[name]
            while len(self._done) > MOST:
                self._done.popitem(last=False)
        return ticket

    def done(self, ticket: str) -> Done | None:
        """The deed of a ticket, while it is remembered."""
        with self._lock:
            return self._done.get(ticket)

    def take(self, ticket: str) -> Done | None:
        """The same, and it can be undone no more."""
        with self._lock:
            return self._done.pop(ticket, None)
