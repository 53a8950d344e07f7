"""What takes long is made once for all who ask, kept while it holds, and let go of when it is much."""

import threading

import pytest

from tests.app.asking import awaited
from windows.app import undoing, work
from windows.app.refusals import Refusal, RefusedError


class Hands:
    """Work with a clock that a test moves."""

    def __init__(self):
        self.now = 100.0
        self.made = []
        self.work = work.Work(lambda: self.now)

    def result(self, key, data=b"page", fresh=60.0):
        def make(count):
            self.made.append(key)
            count(1)
            return data

        return awaited(self.work.result(key, 1, fresh, make))


@pytest.fixture
def hands():
    made = Hands()
    yield made
    made.work.close()


def test_it_is_made_once_while_it_holds(hands):
    assert hands.result("a") == hands.result("a") == b"page"
    hands.now += 60.0
    hands.result("a")
    assert hands.made == ["a"]
    hands.now += 0.1
    hands.result("a")
    assert hands.made == ["a", "a"]


def test_what_is_much_lets_go_of_what_was_asked_for_longest_ago(hands, monkeypatch):
    monkeypatch.setattr(work, "MOST_KEPT", 8)
    for key in "abacdabdc":
        assert hands.result(key) == b"page"
    assert "".join(hands.made) == "abcdbc"


def test_what_failed_is_tried_again(hands):
    def failing(count):
        raise ValueError("no")

    with pytest.raises(ValueError, match="no"):
        awaited(hands.work.result("a", 1, 60.0, failing))
    assert hands.result("a") == b"page"


def test_how_far_it_is_and_that_too_much_waits(hands, monkeypatch):
    monkeypatch.setattr(work, "PATIENCE", 0.05)
    monkeypatch.setattr(work, "MOST_WAITING", 1)
    begun, go_on = threading.Event(), threading.Event()

    def slow(count):
        count(2)
        begun.set()
        go_on.wait(20)
        return b"late"

    async def asked():
        under_way = await hands.work.result("slow", 5, 60.0, slow)
        begun.wait(20)
        again = await hands.work.result("slow", 5, 60.0, slow)
        with pytest.raises(RefusedError) as raised:
            await hands.work.result("more", 1, 60.0, slow)
        go_on.set()
        return under_way, again, raised.value.refusal

    first, second, refusal = awaited(asked())
    assert (first.total, second.done, second.total) == (5, 2, 5)
    assert refusal is Refusal.BUSY


def test_a_deed_is_undone_once_and_old_ones_are_forgotten(monkeypatch):
    monkeypatch.setattr(undoing, "MOST", 2)
    deeds = undoing.Undoings()
    first = deeds.tell("Saved.", "/here", lambda: "Undone.")
    assert deeds.done(first).can_be_undone and deeds.done(first).address == "/here"
    told = deeds.tell("Told.", "/there")
    assert not deeds.done(told).can_be_undone
    assert deeds.take(first).back() == "Undone." and deeds.take(first) is None
    later = [deeds.tell("Saved.", "/here") for _ in range(2)]
    assert deeds.done(told) is None
    assert [deeds.done(ticket).ticket for ticket in later] == later
