"""HTTP connections bounded in number and in time: a slow or idle client is closed, never waited for.

uvicorn itself waits for ever for a request that is begun and not ended.
"""

import asyncio

from uvicorn.protocols.http.h11_impl import H11Protocol

MOST_CONNECTIONS = 800
"""Each costs some ten kilobytes and one of the 1,024 files that a process usually may hold open. In a flood
of thousands a second the oldest is then a third of a second old: whoever has something to ask has asked."""
REQUEST_SECONDS = 10.0
"""For a request to arrive whole, uploads too: from this machine they take a moment."""
ANSWER_SECONDS = 120.0
"""For an answer to be made and taken."""


class BoundedProtocol(H11Protocol):
    """A connection that ends where its time does.

    Where there are too many, that which has waited longest for its client makes room, so that a flood of
    silent connections keeps nobody out.
    """

    _timer: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Begin the time of the first request, and make room for it."""
        assert isinstance(transport, asyncio.Transport)
        super().connection_made(transport)
        self._wait(REQUEST_SECONDS)
        if len(self.connections) > MOST_CONNECTIONS:
            self._make_room()

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget the time."""
        self._stop()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Take what came; the time of the answer begins only with a request that is here whole."""
        waited = self.waits_for_client
        super().data_received(data)
        if waited and not self.waits_for_client:
            self._wait(ANSWER_SECONDS)

    def on_response_complete(self) -> None:
        """Begin the time of the next request."""
        self._wait(REQUEST_SECONDS)
        super().on_response_complete()
        if not self.waits_for_client:
            self._wait(ANSWER_SECONDS)

    @property
    def waits_for_client(self) -> bool:
        """Whether the next move is the client's: no request, or one that is not here whole."""
        return self.cycle is None or self.cycle.response_complete or self.cycle.more_body

    @property
    def deadline(self) -> float:
        """When it will be closed, by the loop's clock."""
        return 0.0 if self._timer is None else self._timer.when()

    def end(self) -> None:
        """Close it at once."""
        self._stop()
        self.connections.discard(self)
        self.transport.abort()

    def _make_room(self) -> None:
        others = (item for item in self.connections if isinstance(item, BoundedProtocol) and item is not self)
        silent = [item for item in others if item.waits_for_client]
        min(silent, key=lambda item: item.deadline, default=self).end()

    def _wait(self, seconds: float) -> None:
        self._stop()
        self._timer = self.loop.call_later(seconds, self.end)

    def _stop(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None
