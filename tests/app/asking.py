"""A site asked over HTTP, as a browser or somebody else would."""

import asyncio
import html
import http.client
import re
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import TypeVar
from urllib.parse import urlencode

AT = "/at/pellaway_sound.toml"
AT_WORK = 202
MOST_ASKED = 60
"""A site lets one wait for some seconds before it answers that it is at work."""

T = TypeVar("T")


def awaited(coroutine: Coroutine[object, object, T]) -> T:
    """What a coroutine comes to, in its own thread: a browser of other tests may have a loop in theirs."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, coroutine).result()


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def text(self) -> str:
        return self.body.decode("utf-8", errors="replace")

    @property
    def words(self) -> str:
        """What a person reads of a page."""
        bare = re.sub(r"<(style|script)[^>]*>.*?</\1>", " ", self.text, flags=re.DOTALL)
        return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", bare)).split())

    @property
    def room(self) -> str:
        """The link that is marked as the page shown."""
        (found,) = re.findall(r'<a href="([^"]*)" aria-current="page">', self.text)
        return found


@dataclass
class Site:
    """A running site."""

    port: int
    headers: dict[str, str] = field(default_factory=dict)

    @property
    def base(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def ask(self, method: str, path: str, body: bytes | None = None, **headers: str) -> Answer:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        try:
            sent = {key.replace("_", "-"): value for key, value in {**self.headers, **headers}.items()}
            connection.request(method, path, body, sent)
            answer = connection.getresponse()
            found = {key.lower(): value for key, value in answer.getheaders()}
            return Answer(answer.status, found, answer.read())
        finally:
            connection.close()

    def get(self, path: str, **headers: str) -> Answer:
        """A page, asked for again while the site says that it is at work, as a browser does."""
        for _ in range(MOST_ASKED):
            answer = self.ask("GET", path, **headers)
            if answer.status != AT_WORK:
                break
        return answer

    def token(self, path: str = "/new") -> str:
        """The token of the forms."""
        return self.hidden(path, "token")

    def hidden(self, path: str, name: str) -> str:
        """A hidden field of a page."""
        found = re.search(rf'name="{name}" value="([^"]*)"', self.get(path).text)
        assert found is not None, path
        return html.unescape(found[1])

    def post(self, path: str, fields: dict[str, str], *, token: str | None = None, **headers: str) -> Answer:
        """A form sent, with the site's token unless another is given."""
        given = {"token": self.token() if token is None else token, **fields}
        kind = "application/x-www-form-urlencoded"
        return self.ask("POST", path, urlencode(given).encode(), content_type=kind, **headers)

    def send(self, path: str, fields: dict[str, str], name: str, data: bytes) -> Answer:
        """A form sent with a file, with the token and the revision of its page unless others are given."""
        hidden = {key: self.hidden(path, key) for key in ("token", "revision") if key not in fields}
        mark = "a-line-of-no-file"
        parts = [
            f'--{mark}\r\nContent-Disposition: form-data; name="{key}"\r\n\r\n{value}\r\n'
            for key, value in {**hidden, **fields}.items()
        ]
        head = f'--{mark}\r\nContent-Disposition: form-data; name="file"; filename="{name}"\r\n\r\n'
        body = "".join((*parts, head)).encode() + data + f"\r\n--{mark}--\r\n".encode()
        return self.ask("POST", path, body, content_type=f"multipart/form-data; boundary={mark}")

    def posted(self, path: str, fields: dict[str, str]) -> Answer:
        """A form sent that is taken, and the page that it leads to."""
        answer = self.post(path, fields)
        assert answer.status == 303, (answer.status, answer.words)
        return self.get(answer.headers["location"])
