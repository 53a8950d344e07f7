"""Pages that say why there is nothing else to show: in which room, and what bounds them."""

import errno
import re
import shutil
import tempfile

import pytest

from tests.app.asking import AT, awaited
from tests.app.sending import GAUGE, RECORD, taken
from tests.app.test_trips import sent_table
from windows.app import guard
from windows.app.folder import MOST_READ

LOG = f"{AT}/log"
HOURS = {"spot": "railway-groyne", "start": "2026-08-09 17:30", "end": "20:10"}


@pytest.fixture
def no_log(data_home):
    """Something else stands where trips are kept."""
    place = data_home / "ebblight" / "trips.db"
    place.parent.mkdir(parents=True)
    place.write_text("no database", encoding="utf-8")
    return place


@pytest.mark.parametrize(
    ("path", "status"), [("", 422), ("/1", 404), (".csv", 422), ("/report", 422), ("/learn", 422)]
)
def test_a_log_that_is_none_is_told_in_its_own_room(site, no_log, path, status):
    answer = site.get(f"{LOG}{path}")
    assert (answer.status, answer.room) == (status, LOG)
    assert str(no_log) in answer.words


@pytest.mark.parametrize(("path", "status"), [("/new", 422), ("/1", 404)])
@pytest.mark.parametrize("fields", [{"nothing": "yes"}, {}])
def test_a_trip_that_such_a_log_can_t_take_is_told_there_too(site, no_log, path, status, fields):
    answer = site.post(f"{LOG}{path}", {**HOURS, **fields})
    assert (answer.status, answer.room) == (status, LOG)
    assert str(no_log) in answer.words or "expected fish" in answer.words
    assert no_log.read_text(encoding="utf-8") == "no database"


def test_trips_that_a_full_disk_can_t_take_are_told_in_the_room_of_the_log(site, monkeypatch):
    def full(*_args, **_more):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(tempfile, "TemporaryDirectory", full)
    answer = sent_table(site, b"start,end\n")
    assert (answer.status, answer.room) == (422, LOG)
    assert "trips.csv: No space left on device" in answer.words


def test_more_files_than_are_kept_read_are_all_shown(serving, coast):
    first = coast / "pellaway_sound.toml"
    for number in range(MOST_READ + 2):
        shutil.copyfile(first, coast / f"copy{number}.toml")
    site = serving(coast)
    for _ in range(2):
        for number in range(MOST_READ + 2):
            answer = site.get(f"/at/copy{number}.toml/shore")
            assert (answer.status, answer.room) == (200, f"/at/copy{number}.toml/shore")


def test_a_catch_that_is_not_said_is_told_as_missing(site):
    answer = site.post(f"{LOG}/new", HOURS)
    assert answer.status == 422
    assert answer.room == LOG
    told = "Found nothing; expected fish kept, released or sought, or that there was none."
    assert told in answer.words


def test_a_record_with_a_gap_tells_how_long_it_is(serving, folder, sources):
    lines = sources["gauge.csv"].decode().splitlines(keepends=True)
    site = serving(folder)
    page = taken(site, RECORD, GAUGE, "gauge.csv", "".join(lines[:500] + lines[530:]).encode())
    told = re.search(r"No value in (\d+\.\d)% of its hours; the longest gap is of (\d+) hours", page.words)
    assert told is not None, page.words
    assert (float(told[1]), int(told[2])) == (pytest.approx(100 * 30 / 2640, abs=0.06), 30)


def test_what_is_too_large_is_let_run_out_for_so_long_and_no_longer(monkeypatch):
    monkeypatch.setattr(guard, "MOST_THROWN_AWAY", 10_000)
    sent, taken_in = [], []

    async def receive():
        taken_in.append(1000)
        assert len(taken_in) < 1000, "without an end"
        return {"type": "http.request", "body": b"x" * 1000, "more_body": True}

    async def send(message):
        sent.append(message)

    headers = [(b"host", b"127.0.0.1:1"), (b"content-length", b"99999999999")]
    scope = {
        "type": "http",
        "method": "POST",
        "raw_path": b"/at/a/log",
        "query_string": b"",
        "headers": headers,
    }
    awaited(guard.Guard(None, 1)(scope, receive, send))
    assert sum(taken_in) == 10_000
    assert [message["type"] for message in sent] == ["http.response.start"] + ["http.response.body"] * 2
    assert (sent[0]["status"], sent[-1].get("more_body", False)) == (413, False)


@pytest.mark.parametrize("number", ["9" * 18, "9" * 19, "9" * 4000])
def test_a_trip_whose_number_is_too_large_for_any_is_not_there(site, number):
    site.posted(f"{LOG}/new", {**HOURS, "nothing": "yes"})
    for answer in (site.get(f"{LOG}/{number}"), site.post(f"{LOG}/{number}", {"deed": "remove"})):
        assert answer.status in {404, 422}
        assert "trip" in answer.words and "Traceback" not in answer.text
