"""How long a connection may take, which makes room for others, and what the guard lets through."""

import asyncio

import h11
import pytest
import uvicorn
from uvicorn.server import ServerState

from tests.app.asking import awaited
from windows.app import connections
from windows.app.connections import BoundedProtocol
from windows.app.guard import Guard
from windows.app.refusals import Refusal

WHOLE = b"GET / HTTP/1.1\r\nHost: 127.0.0.1:1\r\n\r\n"
HOST = (b"host", b"127.0.0.1:1")
MIB = 2**20


class Timer:
    """A call at a time, unless it is cancelled."""

    def __init__(self, at: float) -> None:
        self.at, self.cancelled = at, False

    def when(self) -> float:
        return self.at

    def cancel(self) -> None:
        self.cancelled = True


class Task:
    """Something that is never done."""

    def add_done_callback(self, _call) -> None:
        """Nothing calls back."""


class Loop:
    """A loop that does nothing by itself, with a clock that a test moves."""

    def __init__(self) -> None:
        self.now = 0.0
        self.timers: list[Timer] = []

    def call_later(self, seconds, _call, *_args):
        self.timers.append(Timer(self.now + seconds))
        return self.timers[-1]

    def create_task(self, coroutine, **_more):
        coroutine.close()
        return Task()


class Line(asyncio.Transport):
    """A line to a client."""

    aborted = False

    def get_extra_info(self, name, default=None):
        return default

    def is_closing(self):
        return self.aborted

    def abort(self):
        self.aborted = True

    def resume_reading(self):
        pass

    def pause_reading(self):
        pass

    def close(self):
        pass


class Clients:
    """Connections of one server."""

    def __init__(self) -> None:
        self.loop, self.state = Loop(), ServerState()
        self.config = uvicorn.Config(reading, ws="none", lifespan="off", log_config=None)

    def new(self) -> BoundedProtocol:
        made = BoundedProtocol(self.config, self.state, {}, self.loop)
        made.connection_made(Line())
        return made

    def answered(self, client: BoundedProtocol) -> None:
        """The answer is out."""
        client.conn.send(h11.Response(status_code=200, headers=[("content-length", "0")]))
        client.conn.send(h11.EndOfMessage())
        client.cycle.response_complete = True
        client.on_response_complete()


@pytest.fixture
def clients():
    return Clients()


def test_a_request_has_ten_seconds_and_its_answer_two_minutes(clients):
    client = clients.new()
    assert client.deadline == 10.0
    clients.loop.now = 4.0
    client.data_received(WHOLE[:20])
    assert (client.deadline, client.waits_for_client) == (10.0, True)
    client.data_received(WHOLE[20:])
    assert (client.deadline, client.waits_for_client) == (124.0, False)
    clients.loop.now = 50.0
    clients.answered(client)
    assert (client.deadline, client.waits_for_client) == (60.0, True)


def test_a_form_has_its_ten_seconds_until_it_is_here_whole(clients):
    client = clients.new()
    clients.loop.now = 3.0
    client.data_received(b"POST / HTTP/1.1\r\nHost: 127.0.0.1:1\r\nContent-Length: 4\r\n\r\nab")
    assert (client.deadline, client.waits_for_client) == (10.0, True)
    clients.loop.now = 5.0
    client.data_received(b"cd")
    assert (client.deadline, client.waits_for_client) == (125.0, False)


def test_more_that_is_sent_meanwhile_wins_no_time(clients):
    client = clients.new()
    client.data_received(WHOLE)
    clients.loop.now = 30.0
    client.data_received(WHOLE)
    assert client.deadline == 120.0
    clients.answered(client)
    assert (client.deadline, client.waits_for_client) == (150.0, False)
    clients.answered(client)
    assert (client.deadline, client.waits_for_client) == (40.0, True)


def test_what_went_has_no_time_left_and_only_one_call_was_ever_due(clients):
    client = clients.new()
    client.data_received(WHOLE)
    assert [timer.cancelled for timer in clients.loop.timers] == [True, False]
    client.connection_lost(None)
    assert (client.deadline, client in clients.state.connections) == (0.0, False)
    assert all(timer.cancelled for timer in clients.loop.timers)


def test_what_took_too_long_is_cut_off(clients):
    client = clients.new()
    client.end()
    assert client.transport.aborted and client not in clients.state.connections
    assert client.deadline == 0.0


def test_of_more_than_eight_hundred_the_one_that_waited_longest_makes_room(clients):
    times = [float((7 * number + 3) % 800) for number in range(800)]
    made = []
    for clients.loop.now in times:
        made.append(clients.new())
    assert not any(client.transport.aborted for client in made)
    clients.loop.now = 800.0
    last = clients.new()
    gone = [number for number, client in enumerate(made) if client.transport.aborted]
    assert gone == [times.index(0.0)]
    assert not last.transport.aborted and len(clients.state.connections) == 800


def test_who_waits_for_an_answer_is_spared_and_who_comes_then_is_not_let_in(clients, monkeypatch):
    monkeypatch.setattr(connections, "MOST_CONNECTIONS", 2)
    answering, silent = clients.new(), clients.new()
    answering.data_received(WHOLE)
    clients.loop.now = 1.0
    asked = clients.new()
    assert (answering.transport.aborted, silent.transport.aborted) == (False, True)
    asked.data_received(WHOLE)
    clients.state.connections.discard(silent)
    late = clients.new()
    assert late.transport.aborted
    assert not answering.transport.aborted and not asked.transport.aborted


def guarded(app, headers=(), pieces=(b"",), **scope):
    """What a guard before an app sends, and how often it took of what came."""
    sent, taken = [], []

    async def receive():
        taken.append(1)
        at = len(taken) - 1
        return {"type": "http.request", "body": pieces[at], "more_body": at + 1 < len(pieces)}

    async def send(message):
        sent.append(message)

    given = {"type": "http", "method": "POST", "raw_path": b"/at/a/log", "query_string": b"", **scope}
    awaited(Guard(app, 1)({**given, "headers": [HOST, *headers]}, receive, send))
    return sent, len(taken)


async def reading(scope, receive, send):
    """Reads all that comes, then answers."""
    while (await receive()).get("more_body"):
        pass
    headers = [(b"Content-Security-Policy", b"own"), (b"x-frame-options", b"SAMEORIGIN")]
    await send({"type": "http.response.start", "status": 200, "headers": headers})
    await send({"type": "http.response.body", "body": b""})


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ([], 200),
        ([(b"sec-fetch-site", b"none")], 200),
        ([(b"sec-fetch-site", b"same-origin")], 200),
        ([(b"sec-fetch-site", b"")], 403),
        ([(b"sec-fetch-site", b"none"), (b"sec-fetch-site", b"none")], 403),
        ([(b"origin", b"http://localhost:1")], 200),
        ([(b"origin", b"")], 403),
        ([(b"origin", b"http://127.0.0.1:1"), (b"origin", b"http://127.0.0.1:1")], 403),
        ([(b"content-length", b"5242880")], 200),
        ([(b"content-length", b"0"), (b"content-length", b"0")], 413),
        ([HOST], 421),
    ],
)
def test_who_is_let_through(headers, status):
    sent, _ = guarded(reading, headers)
    assert sent[0]["status"] == status


def test_an_answer_keeps_headers_of_its_own_and_gets_those_it_lacks():
    sent, _ = guarded(reading)
    names = [key.lower() for key, _ in sent[0]["headers"]]
    assert len(set(names)) == len(names) == 7
    assert dict(sent[0]["headers"])[b"Content-Security-Policy"] == b"own"
    assert dict(sent[0]["headers"])[b"x-frame-options"] == b"SAMEORIGIN"


def test_a_file_to_keep_has_the_narrowest_policy(standing):
    found = standing.get("/at/pellaway_sound.toml/week?days=1&keep=csv").headers["content-security-policy"]
    assert found == "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"


@pytest.mark.parametrize(("last", "status"), [(0, 200), (1, 413)])
def test_a_body_without_a_length_is_counted_as_it_comes(last, status):
    sent, _ = guarded(reading, pieces=(*(b"x" * MIB for _ in range(5)), b"x" * last, b""))
    assert sent[0]["status"] == status


def test_of_an_answer_that_has_begun_no_other_is_sent():
    async def hasty(scope, receive, send):
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await reading(scope, receive, send)

    sent, _ = guarded(hasty, pieces=(b"x" * (6 * MIB), b""))
    assert [message["type"] for message in sent] == ["http.response.start"]


@pytest.mark.parametrize(
    ("headers", "scope", "refusal", "status"),
    [
        ([HOST], {}, Refusal.HOST, 421),
        ([(b"origin", b"null")], {}, Refusal.ORIGIN, 403),
        ([], {"query_string": b"q" * 5000}, Refusal.ADDRESS, 414),
        ([(b"content-length", b"99999999")], {}, Refusal.TOO_LARGE, 413),
    ],
)
def test_a_refusal_is_a_line_of_text_that_ends_the_connection(headers, scope, refusal, status):
    sent, taken = guarded(reading, headers, **scope)
    assert sent[0]["status"] == status
    text = b"".join(message.get("body", b"") for message in sent)
    assert text == f"{refusal.sentence}\n".encode()
    found = dict(sent[0]["headers"])
    assert found[b"content-type"] == b"text/plain; charset=utf-8"
    assert (found[b"content-length"], found[b"connection"]) == (str(len(text)).encode(), b"close")
    assert [message.get("more_body", False) for message in sent[1:]] == [True, False]
    assert taken == (1 if refusal is Refusal.TOO_LARGE else 0)


@pytest.mark.parametrize(
    ("method", "path", "kind", "taken"),
    [
        ("POST", b"/at/a.toml/files/record/0", b"multipart/form-data; boundary=x", True),
        ("GET", b"/at/a.toml/files/record/0", b"multipart/form-data; boundary=x", False),
        ("POST", b"/x/at/a.toml/files/record/0", b"multipart/form-data; boundary=x", False),
        ("POST", b"/at/a/b/files/record/0", b"multipart/form-data; boundary=x", False),
        ("POST", b"/at/a.toml/files/weather", b"text/plain", False),
    ],
)
def test_only_where_readings_are_sent_may_it_be_more(method, path, kind, taken):
    length = [(b"content-type", kind), (b"content-length", str(65 * MIB).encode())]
    sent, _ = guarded(reading, length, method=method, raw_path=path)
    assert (sent[0]["status"] == 200) == taken
    assert guarded(reading, method=method, raw_path=path)[0][0]["status"] == 200


def test_what_is_no_request_is_passed_on_as_it_is():
    async def app(scope, receive, send):
        passed.append((scope["type"], send))

    async def send(message):
        passed.append(message)

    passed = []
    awaited(Guard(app, 1)({"type": "lifespan"}, None, send))
    assert passed == [("lifespan", send)]
