"""Work that is under way, deeds that are remembered, and the server: their bounds and their ends."""

import asyncio
import logging
import socket
import threading
from types import SimpleNamespace

import pytest
import uvicorn

from harmonics.errors import EbblightError
from tests.app.asking import awaited
from windows.app import pages, serving, shoreline, undoing, work
from windows.app.connections import BoundedProtocol
from windows.app.refusals import Refusal, RefusedError
from windows.app.site import folder_of

MEBIBYTE = 1_048_576


def test_how_much_is_kept_and_waited_for():
    assert (work.WORKERS, work.MOST_WAITING, work.MOST_KEPT) == (2, 150, 16 * MEBIBYTE)
    assert (work.PATIENCE, work.LONGEST_WAIT, work.LOOK) == (2.5, 12.0, 0.1)
    assert (undoing.MOST, undoing.MOST_WITH_FILES) == (200, 8)
    assert (pages.FORM_PARTS, pages.LARGEST_FIELD) == (400, 4 * MEBIBYTE + 1024)
    assert shoreline.LARGEST_PLACE == 100_000


class _EndError(BaseException):
    """No usual error."""


class Bench:
    """Work whose parts are made when a test says so, and that counts the looks at it."""

    def __init__(self, monkeypatch):
        self.work = work.Work(lambda: 0.0)
        self.begun, self.looks = [], 0
        monkeypatch.setattr(
            self.work._pool, "submit", lambda _run, task, make: self.begun.append((task, make))
        )
        monkeypatch.setattr(asyncio, "wait_for", self.looked)

    async def looked(self, wanted, seconds):
        assert seconds == 0.1
        wanted.close()
        self.looks += 1
        raise TimeoutError

    def asked(self, key, total=3):
        return awaited(self.work.result(key, total, 60.0, lambda _count: b"page"))


@pytest.fixture
def bench(monkeypatch):
    made = Bench(monkeypatch)
    yield made
    made.work.close()


def test_what_waits_for_its_turn_is_waited_for_twelve_seconds(bench):
    assert bench.asked("a") == work.Underway(0, 3)
    assert bench.looks == pytest.approx(120, abs=1)


def test_what_is_being_made_is_waited_for_two_and_a_half_seconds(bench):
    bench.asked("a")
    (task, _make), bench.looks = bench.begun[0], 0
    task.begun, task.done = True, 2
    assert bench.asked("a", 9) == work.Underway(2, 3)
    assert bench.looks == pytest.approx(25, abs=1)


def test_work_that_is_done_is_looked_at_no_more(bench):
    bench.asked("a")
    work._run(*bench.begun[0])
    bench.looks = 0
    assert bench.asked("a") == b"page"
    assert (bench.looks, bench.begun[0][0].begun, len(bench.begun)) == (0, True, 1)


def test_so_much_may_wait_and_no_more(bench, monkeypatch):
    monkeypatch.setattr(work, "LONGEST_WAIT", 0.0)
    monkeypatch.setattr(work, "MOST_WAITING", 9)
    for number in range(9):
        bench.asked(number)
    with pytest.raises(RefusedError) as raised:
        bench.asked("more")
    assert raised.value.refusal is Refusal.BUSY
    assert bench.asked(7) == work.Underway(0, 3)
    work._run(*bench.begun[0])
    assert bench.asked("more") == work.Underway(0, 3)


def test_what_is_still_being_made_is_kept_whatever_is_let_go(bench, monkeypatch):
    monkeypatch.setattr(work, "LONGEST_WAIT", 0.0)
    monkeypatch.setattr(work, "MOST_KEPT", 8)
    for key in "abcd":
        bench.asked(key)
    for number in (1, 2, 3):
        work._run(*bench.begun[number])
    bench.asked("e")
    assert [bench.asked(key) for key in "acd"] == [work.Underway(0, 3), b"page", b"page"]
    assert bench.asked("b") == work.Underway(0, 3)
    assert len(bench.begun) == 6


def test_what_fails_is_told_to_whoever_asked_and_forgotten(bench):
    bench.asked("a")
    task, _make = bench.begun[0]

    def fails(_count):
        raise _EndError

    work._run(task, fails)
    with pytest.raises(_EndError):
        bench.asked("a")
    bench.asked("a")
    assert len(bench.begun) == 2


def test_what_waits_when_the_pages_end_is_not_begun():
    ending, go_on, made = work.Work(lambda: 0.0), threading.Event(), []

    def slow(_count):
        go_on.wait(20)
        made.append(1)
        return b""

    for key in "abcd":
        ending._task(key, 1, 60.0, slow)
    ending.close()
    assert made == []
    go_on.set()
    ending._pool.shutdown(wait=True)
    assert len(made) == 2


def test_deeds_have_names_of_their_own_and_say_what_was_done():
    deeds = undoing.Undoings()
    tickets = [deeds.tell(f"Saved {number}.", f"/{number}") for number in range(202)]
    assert len(set(tickets)) == 202
    known = [deeds.done(ticket) for ticket in tickets]
    assert known[:2] == [None, None] and None not in known[2:]
    last = known[-1]
    assert (last.sentence, last.address, last.ticket) == ("Saved 201.", "/201", tickets[-1])
    assert (last.back, last.can_be_undone, last.holds_file) == (None, False, False)
    assert deeds.done("") is None and deeds.take("") is None
    assert deeds.done(tickets[-1]) is last
    assert deeds.take(tickets[-1]) is last
    assert deeds.done(tickets[-1]) is None


def test_eight_deeds_that_hold_a_file_are_remembered():
    deeds = undoing.Undoings()
    tickets = [deeds.tell("Saved.", "/", str, holds_file=True) for _ in range(10)]
    assert [deeds.done(ticket) is None for ticket in tickets] == [True] * 2 + [False] * 8


class Sockets:
    """Ports some of which are taken, as `socket` would have them."""

    AF_INET, SOCK_STREAM, SOL_SOCKET, SO_REUSEADDR = (
        *(socket.AF_INET, socket.SOCK_STREAM),
        *(socket.SOL_SOCKET, socket.SO_REUSEADDR),
    )

    def __init__(self, taken):
        self.taken, self.tried, self.open, self.waiting = taken, [], 0, None
        self.set = []

    def socket(self, *kind):
        assert kind == (socket.AF_INET, socket.SOCK_STREAM)
        self.open += 1
        return self

    def setsockopt(self, *option):
        self.set.append(option)

    def bind(self, place):
        assert len(self.set) == len(self.tried) + 1
        self.tried.append(place)
        if place[1] in self.taken:
            raise OSError

    def listen(self, waiting):
        self.waiting = waiting

    def close(self):
        self.open -= 1


@pytest.mark.parametrize(
    ("port", "taken", "tried"),
    [
        (None, (), range(8617, 8618)),
        (None, (8617, 8618), range(8617, 8620)),
        (None, range(8617, 8636), range(8617, 8637)),
        (9000, (8617,), range(9000, 9001)),
        (0, (8617,), range(1)),
    ],
)
def test_the_first_port_that_is_free_is_listened_on(monkeypatch, port, taken, tried):
    ports = Sockets(taken)
    monkeypatch.setattr(serving, "socket", ports)
    assert serving.listening(port) is ports
    assert ports.tried == [("127.0.0.1", number) for number in tried]
    assert (ports.open, ports.waiting) == (1, 256)
    assert set(ports.set) == {(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)}


@pytest.mark.parametrize(("port", "told", "tried"), [(None, "8617", 20), (9000, "9000", 1), (0, "0", 1)])
def test_where_none_is_free_the_one_that_was_wanted_is_told(monkeypatch, port, told, tried):
    ports = Sockets(range(10_000))
    monkeypatch.setattr(serving, "socket", ports)
    with pytest.raises(EbblightError, match=f"^port {told} is taken by another program"):
        serving.listening(port)
    assert (len(ports.tried), ports.open, ports.waiting) == (tried, 0, None)


def test_the_server_tells_nothing_of_itself_and_ends_soon(monkeypatch, coast):
    begun = []

    def run(server, sockets):
        begun.append((server.config, sockets))
        raise KeyboardInterrupt

    monkeypatch.setattr(uvicorn.Server, "run", run)
    place = SimpleNamespace(getsockname=lambda: ("127.0.0.1", 8620))
    former = list(logging.getLogger("python_multipart").handlers)
    serving.serve(folder_of(coast), lambda: 7.0, place)
    ((config, sockets),) = begun
    assert sockets == [place]
    assert (config.server_header, config.date_header, config.access_log) == (False, False, False)
    assert (config.backlog, config.timeout_graceful_shutdown, config.log_level) == (256, 2, "warning")
    assert (config.http, config.ws, config.loop, config.lifespan) == (
        BoundedProtocol,
        "none",
        "asyncio",
        "off",
    )
    assert [entry.kwargs for entry in config.app.user_middleware] == [{"port": 8620}]
    known = config.app.state.pages
    assert (known.clock(), known.folder.root) == (7.0, coast)
    with pytest.raises(RuntimeError, match="after shutdown"):
        known.work._pool.submit(int)
    (added,) = [item for item in logging.getLogger("python_multipart").handlers if item not in former]
    assert isinstance(added, logging.NullHandler)
    logging.getLogger("python_multipart").removeHandler(added)


def test_a_folder_or_a_file_of_it_is_served(coast):
    assert (folder_of(coast).root, folder_of(coast).first) == (coast, None)
    of_file = folder_of(coast / "korimako_reach.toml")
    assert (of_file.root, of_file.first) == (coast, "korimako_reach.toml")


def test_a_secret_is_of_each_run_and_long():
    first, second = (pages.Pages(None, float, None) for _ in range(2))
    assert len(first.token) >= 43 and first.token != second.token
    assert first.token not in repr(first)
