"""The local pages asked in process: hostile forms, uploads and addresses, and what every answer must hold.

Nothing but a planned status; a refusal has words; no markup that was sent comes back as markup; nothing that
turns or hides text stands in what a page says. What must hold of the files is in `kept`.
"""

import html
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from html.parser import HTMLParser
from pathlib import Path
from random import Random
from typing import Any
from unittest.mock import patch
from urllib.parse import unquote

import anyio.to_thread

from tests.app import asking
from tests.cli.runs import NOW
from tests.hostile.grounds import Ground, ground, laid
from tests.hostile.kept import at_home
from tests.hostile.sent_forms import SIGN, Fields
from windows.app.folder import Folder
from windows.app.site import site_of

PORT = 8617
HOST = f"127.0.0.1:{PORT}"
PLANNED = frozenset({200, 202, 204, 303, 307, 400, 403, 404, 405, 409, 413, 414, 421, 422})
STEERING = re.compile("[\u202a-\u202e\u2066\u2067\u200b\ufeff\u0000-\u0008\u000b\u000e-\u001f\u007f]")
"""Characters that turn the text around them, or that nobody sees."""
_FIELD = re.compile(
    r'<input(?P<input>[^>]*)>|<textarea[^>]* name="(?P<area>[^"]*)"[^>]*>(?P<text>.*?)</textarea>'
    r'|<select[^>]* name="(?P<select>[^"]*)"[^>]*>(?P<options>.*?)</select>',
    re.DOTALL,
)
_IN_FIELD = re.compile(r"<(textarea|select|style|script|title)\b.*?</\1>", re.DOTALL)
_TOLD = re.compile(r'class="(?:hazard|lead)"[^>]*>\s*[^<\s]')


class Answer(asking.Answer):
    """What came back, which must be UTF-8, and what its form would send."""

    @property
    def is_page(self) -> bool:
        return self.headers.get("content-type", "").startswith("text/html")

    @property
    def text(self) -> str:
        return self.body.decode("utf-8")

    def hidden(self, name: str) -> str:
        """The value of a hidden field; empty where there is none."""
        found = re.search(rf'name="{name}" value="([^"]*)"', self.text)
        return "" if found is None else html.unescape(found[1])

    def fields(self, page: str) -> Fields:
        """What the form of that page would send as it stands, if there is one."""
        found = re.search(r'<form class="filled".*?</form>', self.text, re.DOTALL)
        return [] if found is None else [pair for match in _FIELD.finditer(found[0]) for pair in _pair(match)]


def _pair(match: re.Match[str]) -> Fields:
    if match["input"] is not None:
        known = dict(re.findall(r'([\w-]+)="([^"]*)"', match["input"]))
        if known.get("type") == "file" or (
            known.get("type") == "checkbox" and " checked" not in match["input"]
        ):
            return []
        return [(html.unescape(known["name"]), html.unescape(known.get("value", "")))]
    if match["area"] is not None:
        return [(html.unescape(match["area"]), html.unescape(match["text"]))]
    chosen = re.search(r'<option value="([^"]*)" selected>', match["options"])
    return [(html.unescape(match["select"]), html.unescape(chosen[1]) if chosen else "")]


class Signed(HTMLParser):
    """Finds tags and attributes that were sent, and ways that lead elsewhere."""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert SIGN not in tag, f"a tag that was sent: {self.get_starttag_text()}"
        for name, value in attrs:
            assert SIGN not in name, f"an attribute that was sent: {self.get_starttag_text()}"
            if name in {"href", "src", "action"}:
                assert re.match(r"/(?!/)|#|https?://", value or ""), f"{name}={value!r}"


class Site:
    """The pages of a case's folder, asked without a server between."""

    def __init__(self, found: Ground, folder: Path, coast: Path) -> None:
        self.ground, self.folder, self.coast = found, folder, coast
        self.at = f"/at/{found.name}"
        self.app = site_of(Folder(coast, found.name), lambda: NOW, PORT)

    def ask(
        self,
        method: str,
        target: str,
        body: bytes = b"",
        headers: Sequence[tuple[str, str]] = (),
        pieces: int = 1,
        ends: bool = True,
    ) -> Answer:
        """One request; a forecast that is under way is waited for.

        Args:
            method: of HTTP.
            target: path and query as they are sent.
            body, headers: as they are sent.
            pieces: in which the body comes.
            ends: whether it comes whole; else the asker is gone before.
        """
        sent = [("host", HOST)] * all(key != "host" for key, _ in headers)
        scope = _scope(method, target, [*sent, *headers])
        for _ in range(600):
            answer = asking.awaited(_asked(self.app, scope, body, pieces, ends))
            if answer is None or answer.status != 202:
                break
        assert answer is not None or not ends, "no answer"
        found = answer or Answer(204, {}, b"")
        checked_answer(method, found)
        return found

    def get(self, target: str) -> Answer:
        return self.ask("GET", target)

    def post(self, target: str, sent: tuple[str, bytes], random: Random) -> Answer:
        """A form sent; now and then in pieces, or broken off."""
        kind, data = sent
        headers = [("content-type", kind), ("content-length", str(len(data)))]
        if random.random() < 0.01:
            headers.pop(random.randrange(2))
        pieces, ends = random.choice((1, 1, 1, 2, 7)), random.random() > 0.005
        return self.ask("POST", target, data, headers, pieces, ends)

    def end(self) -> None:
        self.app.state.pages.work.close()


def _scope(method: str, target: str, headers: list[tuple[str, str]]) -> dict[str, Any]:
    """What the server makes of a request line and its headers."""
    path, _, query = target.partition("?")
    return {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": method,
        "scheme": "http",
        "server": ("127.0.0.1", PORT),
        "client": ("127.0.0.1", 50000),
        "root_path": "",
        "path": unquote(path),
        "raw_path": path.encode("ascii"),
        "query_string": query.encode("ascii"),
        "headers": [(key.encode("latin-1"), value.encode("latin-1", "replace")) for key, value in headers],
    }


async def _asked(app: Any, scope: dict[str, Any], body: bytes, pieces: int, ends: bool) -> Answer | None:
    size = max(1, -(-len(body) // pieces))
    parts = [body[start : start + size] for start in range(0, len(body), size)] or [b""]
    messages = [{"type": "http.request", "body": part, "more_body": True} for part in parts]
    if ends:
        messages[-1]["more_body"] = False
    left, got = iter(messages), []

    async def receive() -> dict[str, Any]:
        return next(left, {"type": "http.disconnect"})

    async def send(message: dict[str, Any]) -> None:
        got.append(message)

    await app({**scope, "state": {}}, receive, send)
    if not got:
        return None
    headers = {key.decode("latin-1"): value.decode("latin-1") for key, value in got[0]["headers"]}
    return Answer(got[0]["status"], headers, b"".join(item.get("body", b"") for item in got[1:]))


def checked_answer(method: str, answer: Answer) -> None:
    """What every answer holds."""
    assert answer.status in PLANNED, f"status {answer.status}"
    assert "default-src 'none'" in answer.headers.get("content-security-policy", "default-src 'none'")
    if answer.status in {303, 307}:
        begins = "/(?!/)" if answer.status == 303 else f"http://(127.0.0.1|localhost):{PORT}/"
        assert re.fullmatch(f"{begins}[!-~]*", answer.headers["location"]), answer.headers["location"]
    for name, value in answer.headers.items():
        assert value.isprintable(), f"{name}: {value!r}"
    if answer.is_page:
        checked_page(answer.text)
    if answer.status >= 400 and method != "HEAD":
        told = _TOLD.search(answer.text) if answer.is_page else answer.text.strip()
        assert told, f"a refusal ({answer.status}) without words"
        assert "Traceback" not in answer.text


def checked_page(text: str) -> None:
    """No markup of others, and nothing that turns or hides what a person reads."""
    if SIGN in text:
        Signed().feed(text)
    if not text.isascii() or "\x7f" in text or "\0" in text or "\x1b" in text:
        bare = re.sub("<[^>]*>", " ", _IN_FIELD.sub(" ", text))
        found = STEERING.search(html.unescape(bare))
        assert found is None, (
            f"{found[0]!r} in what a page says: {bare[max(0, found.start() - 40) : found.end() + 20]!r}"
        )


async def _at_once(call: Callable[..., Any], *arguments: Any, **_: Any) -> Any:
    """In place of another thread: a case costs no waiting, and its order is the same each time."""
    return call(*arguments)


@contextmanager
def served(random: Random, folder: Path) -> Iterator[Site]:
    """The pages of some folder, within the case's own."""
    inner = folder / "a" / "b" / "c"
    found = ground(random)
    site = Site(found, inner, laid(found, inner, random))
    with at_home(inner), patch.object(anyio.to_thread, "run_sync", _at_once):
        try:
            yield site
        finally:
            site.end()
