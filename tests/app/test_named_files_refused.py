"""Files of readings that are refused: in the reader's words beside their fields, with nothing left behind."""

import re
import socket
import time

import pytest

from harmonics.errors import OutputError
from harmonics.files.text_files import MAXIMUM_BYTES
from tests.app.sending import AT, CSV, GAUGE, PAST, READINGS, RECORD, WEATHER, beside, contents, taken
from windows.app import guard, undoing

NAME = "made.toml"


@pytest.fixture
def path(folder):
    return folder / NAME


@pytest.fixture
def site(serving, path):
    return serving(path)


BAD = [
    (RECORD, {}, b"time,level\n2026-01-01T00:00Z,1\n", "units", "found no unit; expected one in the header"),
    (RECORD, {"zone": "Mars/X"}, CSV, "zone", "found &#39;Mars/X&#39;; expected an IANA time zone"),
    (RECORD, {"units": "fathoms"}, CSV, "units", "found &#39;fathoms&#39;; expected &#34;feet&#34;"),
    (RECORD, {"units": "feet"}, CSV, "units", "found the unit m; expected feet"),
    (RECORD, {"level_column": "stage"}, CSV, "level_column", "no column &#39;stage&#39;"),
    (RECORD, {}, b"time_utc,level_a_m,level_b_m\n1,2,3\n", "level_column", "columns level_a_m, level_b_m"),
    (RECORD, {}, b"time_utc,wind_speed [kn]\n2026-08-10T08:00,2\n", "file", "expected one column of levels"),
    (RECORD, {}, CSV, "file", "Found 0 days of readings; expected at least 60"),
    (RECORD, {}, b"time_utc,level_m\n2026-08-10T08:00,2\nnoon,<b>\n", "file", "line 3: found &#39;noon"),
    (RECORD, {}, b"\xff\xfe\x00\x01", "file", "bytes that are not UTF-8 text"),
    (RECORD, {}, b"PK\x03\x04\0\0", "file", "a binary file"),
    (RECORD, {}, b"", "file", "Found an empty file; expected a CSV file"),
    (READINGS, {}, CSV.replace(b"2.4", b"24"), "file", "they are in another unit"),
    (READINGS, {}, CSV.replace(b"T09", b"T19"), "file", "later than now"),
    (WEATHER, {}, b"time_utc,wind_speed\n2026-08-10T08:00,2\n", "file", "expected one of m/s, kn, km/h, mph"),
    (WEATHER, {}, b"time_utc,wind_sped [kn]\n2026-08-10T08:00,2\n", "file", "&#39;wind_speed&#39;?"),
    (WEATHER, {"zone": "Mars/X"}, b"time,wind_speed [kn]\n2026-08-10T08:00,2\n", "zone", "Mars/X"),
]  # fmt: skip


@pytest.mark.parametrize(("page", "fields", "data", "key", "told"), BAD)
def test_what_is_wrong_stands_beside_its_field_and_nothing_is_left(
    site, folder, page, fields, data, key, told
):
    before = contents(folder)
    answer = site.send(page, fields, "<i>gauge</i>.csv", data)
    assert answer.status == 422, answer.words
    assert told in beside(answer, key), answer.words
    assert "<i>" not in answer.text
    assert "<b>" not in answer.text
    assert "/sent.csv" not in answer.text
    assert contents(folder) == before


def test_no_file_at_all(site, folder):
    before = contents(folder)
    for page in (RECORD, READINGS, WEATHER):
        answer = site.send(page, {}, "", b"")
        assert answer.status == 422
        assert "Found no file; expected a CSV file" in beside(answer, "file")
    assert site.get(PAST).status == 404  # of no record
    assert contents(folder) == before


def test_nothing_is_written_over_another_change(site, folder, path, sources):
    stale = site.hidden(RECORD, "revision")
    path.write_bytes(path.read_bytes() + b"# mine\n")
    before = contents(folder)
    answer = site.send(RECORD, {**GAUGE, "revision": stale}, "gauge.csv", sources["gauge.csv"])
    assert answer.status == 422
    assert "The file was changed elsewhere" in answer.words
    page = taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    path.write_bytes(path.read_bytes() + b"# again\n")
    held = contents(folder)
    ticket = re.search(r'name="ticket" value="([^"]*)"', page.text)[1]
    assert site.post("/undo", {"ticket": ticket}).status == 409
    assert contents(folder) == held
    assert before[NAME] in held[NAME] or b"# mine" in held[NAME]


def test_a_file_that_can_not_be_written_leaves_nothing(site, folder, sources, monkeypatch):
    def full(path, data, **_):
        if path.name == NAME:
            raise OutputError(f"{path}: can't write the result: No space left on device")
        path.write_bytes(data)

    before = contents(folder)
    monkeypatch.setattr("windows.render.files.write_whole", full)
    answer = site.send(RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    assert answer.status == 422
    assert "can&#39;t write the result: No space left" in answer.text
    assert contents(folder) == before


def test_what_a_killed_writer_left_goes_with_the_next_one(site, folder, sources):
    taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    (copy,) = set(contents(folder)) - {NAME}
    taken(site, RECORD, GAUGE, "later.csv", sources["later.csv"])
    (folder / copy).write_bytes(sources["gauge.csv"])
    (folder / f"mine-{copy}").write_bytes(sources["gauge.csv"])
    (folder / "pier-record-0123456789.csv").write_bytes(b"mine")
    taken(site, RECORD, {**GAUGE, "units": "metres"}, "x.csv", sources["later.csv"] + b"\n")
    assert copy not in contents(folder)
    assert {f"mine-{copy}", "pier-record-0123456789.csv"} < set(contents(folder))
    assert len(contents(folder)) == 4


def test_no_link_is_written_through_and_none_is_taken_away(site, folder, tmp_path, sources):
    taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    (copy,) = set(contents(folder)) - {NAME}
    outside = tmp_path / "outside.csv"
    (folder / copy).rename(outside)
    (folder / copy).symlink_to(outside)
    taken(site, RECORD, GAUGE, "later.csv", sources["later.csv"])
    assert (folder / copy).is_symlink()
    assert outside.read_bytes() == sources["gauge.csv"]


@pytest.mark.parametrize(
    "where",
    ["files/record", "files/weather/0", "files/record/9", "files/nothing/0", "files/record/-1", "files"],
)
def test_no_other_file_has_a_form(site, where):
    assert site.get(f"{AT}/{where}").status == 404


def test_a_form_without_the_token_writes_nothing(site, folder, sources):
    before = contents(folder)
    assert site.send(RECORD, {**GAUGE, "token": "x"}, "gauge.csv", sources["gauge.csv"]).status == 403
    assert contents(folder) == before


def test_only_such_forms_take_more_than_a_table(site):
    large = b"x" * (guard.MOST_BYTES + 1)
    assert site.send(f"{AT}/shore/stations/new", {}, "x.csv", large).status == 413
    answer = site.send(RECORD, {}, "x.csv", large)
    assert answer.status == 422
    assert "expected a header and a row for each reading" in beside(answer, "file")
    most = {"content_length": str(guard.MOST_SENT + 1)}
    assert guard.MOST_SENT > MAXIMUM_BYTES
    kind = "multipart/form-data; boundary=x"
    assert site.ask("POST", RECORD, b"x", content_type=kind, **most).status == 413
    kind = "application/x-www-form-urlencoded"
    assert site.ask("POST", RECORD, large, content_type=kind).status == 413


def test_few_deeds_that_hold_a_file_are_remembered():
    undoings = undoing.Undoings()
    tickets = [undoings.tell("", "/", str, holds_file=True) for _ in range(undoing.MOST_WITH_FILES + 2)]
    plain = undoings.tell("", "/", str)
    known = [ticket for ticket in (*tickets, plain) if undoings.done(ticket) is not None]
    assert known == [*tickets[2:], plain]


def test_a_sender_who_goes_away_is_no_fault_of_the_pages(site, folder, capfd):
    head = f"POST {RECORD} HTTP/1.1\r\nHost: 127.0.0.1:{site.port}\r\nContent-Length: 100000\r\n"
    with socket.create_connection(("127.0.0.1", site.port), timeout=20) as connection:
        connection.sendall(f"{head}Content-Type: multipart/form-data; boundary=x\r\n\r\n--x\r\n".encode())
        time.sleep(0.2)
    assert site.get(RECORD).status == 200
    assert "Traceback" not in capfd.readouterr().err
    assert set(contents(folder)) == {NAME}


def test_a_file_with_problems_is_put_right_first(site, folder, path, sources):
    path.write_bytes(path.read_bytes().replace(b"slack_lag = 0", b"slack_lag = 999"))
    before = contents(folder)
    answer = site.send(RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    assert answer.status == 422
    assert "spots[0].slack_lag: found 999" in answer.words
    assert contents(folder) == before
