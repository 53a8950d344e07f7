"""What every request must pass before a page sees it, and what every answer carries.

Pages of other sites open in the same browser can send requests here. They are told by their Host (a name of
theirs made to point at this machine), their Origin and the browser's own Sec-Fetch-Site; what writes needs
the token of a form as well (`forms_in.posted`).
"""

import re
from collections.abc import Iterable
from http import HTTPStatus

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from harmonics.files.text_files import MAXIMUM_BYTES
from windows.app.refusals import Refusal

MOST_BYTES = 5 * 2**20
"""Of a request's body: the largest table that is read, 4 MiB, and a form around it."""
MOST_SENT = MAXIMUM_BYTES + 2**20
"""The same where a file of readings is sent, which its reader takes up to 64 MiB of."""
MOST_THROWN_AWAY = 2**30
"""Of a body that is too large: more than anybody sends by mistake, and a second's work."""
LONGEST_ADDRESS = 4096
"""Bytes of a path and its query: no link here is a tenth as long."""
_LENGTH = re.compile("[0-9]{1,20}")
HEADERS: tuple[tuple[bytes, bytes], ...] = (
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)
POLICY = b"default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
"""Of answers that name none: files to keep, and refusals."""


class Guard:
    """ASGI middleware: refuses what does not come from these pages, bounds bodies, adds headers."""

    def __init__(self, app: ASGIApp, port: int) -> None:
        self.app = app
        self.hosts = tuple(f"{name}:{port}" for name in ("127.0.0.1", "localhost"))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or pass it on."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        sender = _WithHeaders(send)
        refusal = self._refusal(scope)
        if refusal is None:
            bounded = _Bounded(receive, _most(scope))
            try:
                await self.app(scope, bounded, sender)
                return
            except _TooLargeError:
                refusal = Refusal.TOO_LARGE
        if not sender.begun:
            await _refuse(refusal, sender, receive)

    def _refusal(self, scope: Scope) -> Refusal | None:
        """Why a request is refused unread; None where it is not."""
        headers = _Headers(scope["headers"])
        host, origin = headers.only("host"), headers.only("origin")
        if host not in self.hosts:
            return Refusal.HOST
        if origin is not None and origin not in tuple(f"http://{name}" for name in self.hosts):
            return Refusal.ORIGIN
        if headers.only("sec-fetch-site") not in {None, "same-origin", "none"}:
            return Refusal.ORIGIN
        length = headers.only("content-length")
        if length is not None and not (_LENGTH.fullmatch(length) and int(length) <= _most(scope)):
            return Refusal.TOO_LARGE
        if len(scope["raw_path"]) + len(scope["query_string"]) > LONGEST_ADDRESS:
            return Refusal.ADDRESS
        return None


def _most(scope: Scope) -> int:
    """Bytes that a request's body may have: more only with a file of readings, which goes to disk."""
    sends_file = _SENT_TO.fullmatch(scope["raw_path"]) is not None and scope["method"] == "POST"
    kind = _Headers(scope["headers"]).only("content-type") or ""
    return MOST_SENT if sends_file and kind.startswith("multipart/form-data") else MOST_BYTES


_SENT_TO = re.compile(rb"/at/[^/]+/files/[^/].*")


class _Headers:
    """Headers of a request."""

    def __init__(self, pairs: Iterable[tuple[bytes, bytes]]) -> None:
        self._pairs = tuple(pairs)

    def only(self, name: str) -> str | None:
        """The one of that name; None where there is none, and what nothing equals where there are several."""
        found = [value.decode("latin-1") for key, value in self._pairs if key == name.encode()]
        return ", ".join(found) if found else None


class _TooLargeError(Exception):
    """A body that went on past what is read."""


class _Bounded:
    """Takes a body up to its greatest length."""

    def __init__(self, receive: Receive, most: int) -> None:
        self._receive = receive
        self._most = most
        self._taken = 0

    async def __call__(self) -> Message:
        """The next part.

        Raises:
            _TooLargeError: it is too much.
        """
        message = await self._receive()
        self._taken += len(message.get("body", b""))
        if self._taken > self._most:
            raise _TooLargeError
        return message


class _WithHeaders:
    """Adds to an answer what each carries, where it has none of its own."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self.begun = False

    async def __call__(self, message: Message) -> None:
        """Send it on."""
        if message["type"] == "http.response.start":
            self.begun = True
            there = {key.lower() for key, _ in message["headers"]}
            ours = (*HEADERS, (b"content-security-policy", POLICY))
            message["headers"] = [*message["headers"], *(item for item in ours if item[0] not in there)]
        await self._send(message)


async def _refuse(refusal: Refusal, send: _WithHeaders, receive: Receive) -> None:
    """Say why. Browsers read an answer only once they have sent all, so what is too much is let run out."""
    status: HTTPStatus = refusal.status
    text = f"{refusal.sentence}\n".encode()
    headers = [
        (b"content-type", b"text/plain; charset=utf-8"),
        (b"content-length", str(len(text)).encode()),
        (b"connection", b"close"),
    ]
    await send({"type": "http.response.start", "status": int(status), "headers": headers})
    await send({"type": "http.response.body", "body": text, "more_body": True})
    left = MOST_THROWN_AWAY if refusal is Refusal.TOO_LARGE else 0
    while left > 0:
        message = await receive()
        left = left - len(message.get("body", b"")) if message.get("more_body", False) else 0
    await send({"type": "http.response.body", "body": b""})
