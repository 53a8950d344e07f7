"""`--format page|svg|png|ics|text` of every plan: files that their readers understand, shown and in -o."""

import contextlib
import os
import pty
import re
import struct
import subprocess
import sys
from datetime import datetime
from html.parser import HTMLParser
from itertools import cycle
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner
from icalendar import Calendar

from tests.cli.runs import DEMOS, NOW, REPOSITORY, WIDTH, document, done, refused, rows, run
from tests.coasts import SIMPLE_STATION, head, spot, written
from windows.cli import main
from windows.cli.options import Clock
from windows.render.words import cautions

PLANS = ("week", "best", "compare")
TEXTS = ("page", "svg", "ics", "text")
FORMS = (*TEXTS, "png")
WEEK = ("--start", "2026-08-10", "--days", "7")
SHORT = ("--start", "2026-08-12", "--days", "1")
"""A day with sessions: a picture takes half a second a spot and week."""
SHORE_SPOT = spot("ledge", "pier", 50.11, -5.21, 'slack_lag = 15\ntravel = "25min"\nrigging = "10min"')
WALL = spot("wall", "pier", 50.12, -5.2, "slack_lag = 0")
SVG = "{http://www.w3.org/2000/svg}"
LOADS = ("src", "href", "action", "data", "poster", "srcset", "background", "xlink:href", "formaction")


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    return written(tmp_path_factory.mktemp("one"), head("Europe/London"), SIMPLE_STATION, SHORE_SPOT)


@pytest.fixture(scope="module")
def two(tmp_path_factory):
    return written(tmp_path_factory.mktemp("two"), head("Europe/London"), SIMPLE_STATION, SHORE_SPOT, WALL)


def days_of(form: str) -> tuple[str, ...]:
    return SHORT if form == "png" else WEEK


def as_bytes(*arguments: object) -> bytes:
    """Standard output of a run that has to succeed, as it was written."""
    result = CliRunner().invoke(
        main,
        [str(argument) for argument in arguments],
        obj=Clock(lambda: NOW),
        env={"COLUMNS": WIDTH},
        catch_exceptions=False,
    )
    assert result.exit_code == 0, result.stderr
    return result.stdout_bytes


class Tags(HTMLParser):
    """The tags of a page, its visible text, and every address it names."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.skipped = ""
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag in ("style", "script"):
            self.skipped = tag

    def handle_endtag(self, tag):
        if tag == self.skipped:
            self.skipped = ""

    def handle_data(self, data):
        if not self.skipped:
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())

    @property
    def addresses(self) -> list[str]:
        return [value or "" for _, found in self.tags for key, value in found.items() if key in LOADS]


def assert_page(data: bytes) -> None:
    text = data.decode("utf-8")
    assert text.lower().startswith("<!doctype html>")
    assert text.rstrip().endswith("</html>")
    found = Tags(text)
    assert all(address.startswith("#") for address in found.addresses)
    assert not {"link", "iframe", "object", "embed", "base", "form"} & {tag for tag, _ in found.tags}
    # Addresses that are names alone (the SVG namespace) load nothing; styles and scripts name none at all.
    assert not re.search(r"url\(|@import|fetch\(|XMLHttpRequest|WebSocket|import\(", text)
    assert not [url for url in re.findall(r"https?://[^\"'\s<)]+", text) if "www.w3.org" not in url]
    (policy,) = [
        attrs["content"] for _, attrs in found.tags if attrs.get("http-equiv") == "Content-Security-Policy"
    ]
    assert policy.startswith("default-src 'none';")
    assert cautions.SHORT in found.text
    assert all(caution in found.text for caution in cautions.FULL)


def assert_svg(data: bytes) -> None:
    root = ElementTree.fromstring(data)
    assert root.tag == f"{SVG}svg"
    names = {element.tag for element in root.iter()}
    assert f"{SVG}path" in names or f"{SVG}polyline" in names
    assert f"{SVG}text" in names
    assert not {f"{SVG}{name}" for name in ("script", "image", "foreignObject", "use")} & names
    assert not [key for element in root.iter() for key in element.attrib if key.endswith("href")]
    assert "Not for navigation" in " ".join(root.itertext())


def assert_ics(data: bytes) -> None:
    calendar = Calendar.from_ical(data)
    assert not calendar.errors
    events = calendar.walk("VEVENT")
    assert events
    for event in events:
        assert event.decoded("dtstart") < event.decoded("dtend")
        assert cautions.SHORT in str(event["description"])
        assert len(event.walk("VALARM")) == 1
    assert len({str(event["uid"]) for event in events}) == len(events)


def assert_png(data: bytes) -> None:
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", data[16:24])
    assert width >= 300 and height >= 300
    assert data[-8:-4] == b"IEND"


def assert_text(data: bytes) -> None:
    text = data.decode("utf-8")
    assert 100 < len(text) < 500
    assert text.rstrip().endswith(cautions.SHORT)


CHECKS = {
    "page": assert_page,
    "svg": assert_svg,
    "png": assert_png,
    "ics": assert_ics,
    "text": assert_text,
}


@pytest.mark.parametrize("command", PLANS)
@pytest.mark.parametrize("form", FORMS)
def test_every_plan_writes_every_format(two, tmp_path, command, form):
    asked = (command, two, *days_of(form), "--format", form)
    if command == "week":
        asked = (*asked, "--spot", "ledge")
    shown = as_bytes(*asked)
    CHECKS[form](shown)
    out = tmp_path / f"out.{form}"
    result = run(*asked, "-o", out)
    assert (result.code, result.out) == (0, "")
    assert result.err == f"wrote {out}\n"
    written_bytes = out.read_bytes()
    assert written_bytes.replace(b"\r\n", b"\n") == shown.replace(b"\r\n", b"\n")
    CHECKS[form](written_bytes)
    assert os.listdir(tmp_path) == [out.name]


@pytest.mark.parametrize(("form", "demo"), list(zip(FORMS, cycle(DEMOS), strict=False)), ids=str)
def test_demo_coasts_say_that_they_are_invented(demo, form):
    shown = as_bytes("best", demo, *days_of(form), "--format", form)
    CHECKS[form](shown)
    if form == "ics":
        events = Calendar.from_ical(shown).walk("VEVENT")
        assert all(str(event["summary"]).startswith(cautions.INVENTED) for event in events)
        assert all(str(event["description"]).startswith(cautions.INVENTED) for event in events)
    elif form != "png":
        assert cautions.INVENTED in shown.decode("utf-8")


@pytest.mark.parametrize("form", FORMS)
def test_a_week_without_a_window(shore, form):
    asked = ("week", shore, *days_of(form), "--hours", "03:00-03:05", "--format", form)
    assert document(*asked[:-2])["rows"] == []
    shown = as_bytes(*asked)
    if form == "ics":
        assert not Calendar.from_ical(shown).walk("VEVENT")
    else:
        CHECKS[form](shown)
    if form in ("page", "text"):
        assert "No window" in shown.decode("utf-8")
    if form == "page":
        assert "nearest chance" in Tags(shown.decode("utf-8")).text


@pytest.mark.parametrize("form", FORMS)
def test_wrong_input_leaves_the_old_file(shore, tmp_path, form):
    out = tmp_path / "out"
    out.write_text("old", encoding="utf-8")
    refused(1, "week", shore, "--spot", "nowhere", "--format", form, "-o", out)
    refused(1, "week", tmp_path / "none.toml", "--format", form, "-o", out)
    asked = ("week", shore, *days_of(form), "--format", form)
    assert "No such file" in refused(1, *asked, "-o", tmp_path / "none" / "x")
    assert "folder" in refused(1, *asked, "-o", tmp_path)
    assert out.read_text(encoding="utf-8") == "old"
    assert os.listdir(tmp_path) == ["out"]


@pytest.mark.parametrize("command", ["tides", "levels", "currents", "sky", "datums", "fit"])
def test_water_and_sky_have_no_page(shore, command):
    assert "--format" in refused(2, command, shore, "--format", "page")


class TestPictureToStandardOutput:
    def command(self, shore) -> list[str]:
        asked = ("week", shore, "--start", "2045-08-10", "--days", "1", "--format", "png")
        return [sys.executable, "-m", "windows.cli", *map(str, asked)]

    def test_a_pipe_takes_it(self, shore):
        finished = subprocess.run(
            self.command(shore), capture_output=True, check=False, cwd=REPOSITORY, timeout=120
        )
        assert finished.returncode == 0, finished.stderr
        assert_png(finished.stdout)

    def test_a_screen_does_not(self, shore):
        leader, follower = pty.openpty()
        try:
            finished = subprocess.run(
                self.command(shore),
                stdout=follower,
                stderr=subprocess.PIPE,
                check=False,
                cwd=REPOSITORY,
                timeout=120,
            )
        finally:
            os.close(follower)
        with contextlib.closing(os.fdopen(leader, "rb", buffering=0)) as stream:
            shown = b""
            with contextlib.suppress(OSError):  # a terminal whose other end is closed says so
                shown = stream.read(100) or b""
        assert shown == b""
        assert finished.returncode == 2
        assert b"name one with -o" in finished.stderr


class TestPage:
    def test_it_names_its_file_without_folders(self, shore):
        text = as_bytes("week", shore, *WEEK, "--format", "page").decode("utf-8")
        assert "shore.toml" in text
        assert str(shore.parent) not in text

    def test_the_best_session_is_the_csv_s_first(self, shore):
        text = Tags(as_bytes("week", shore, *WEEK, "--format", "page").decode("utf-8")).text
        first = rows("week", shore, *WEEK)[0]
        day = datetime.fromisoformat(first["session_start_local"])
        stretch = f"{first['session_start_local'][11:16]}-{first['session_end_local'][11:16]}"
        assert f"Best: {day:%a} {day.day} {day:%b} {stretch} {float(first['points']):.0f}" in text
        assert f"{float(first['points']):.0f} of 100 points" in text

    def test_it_stays_small(self, shore):
        assert len(as_bytes("week", shore, *WEEK, "--format", "page")) < 250_000

    def test_best_tells_the_hours_it_was_limited_to(self, shore):
        for hours, asked in (
            ("12:00-sunset+1h", ("best", shore, *WEEK)),
            ("05:00-11:00", ("best", shore, *WEEK, "--hours", "05:00-11:00")),
        ):
            assert f"fished {hours}" in " ".join(done(*asked).split())
            page = Tags(as_bytes(*asked, "--format", "page").decode("utf-8")).text
            assert f"Shut outside {hours}." in page
        assert "Shut outside" not in as_bytes("week", shore, *WEEK, "--format", "page").decode("utf-8")

    def test_names_from_the_file_stay_text(self, tmp_path):
        hostile = SHORE_SPOT.replace('"Spot ledge"', "'<script>alert(1)</script>'")
        path = written(tmp_path, head("Europe/London"), SIMPLE_STATION, hostile)
        for form in ("page", "svg"):
            text = as_bytes("week", path, *WEEK, "--format", form).decode("utf-8")
            assert "<script>alert(1)" not in text
            assert "&lt;script&gt;alert(1)" in text
        CHECKS["svg"](as_bytes("week", path, *WEEK, "--format", "svg"))


class TestMessage:
    def test_the_best_sessions_in_order_of_time(self, two):
        text = as_bytes("best", two, *WEEK, "--format", "text").decode("utf-8")
        table = rows("best", two, *WEEK)
        (best,) = [line for line in text.splitlines() if line.endswith(", best")]
        first = table[0]
        assert f"{first['session_start_local'][11:16]}-{first['session_end_local'][11:16]}" in best
        assert first["spot_name"] in best
        lines = [line for line in text.splitlines() if " points" in line]
        left = re.search(r"and (\d+) of lower rank", text)
        assert len(lines) + (int(left[1]) if left else 0) == len(table)
        days = [int(line.split()[1]) for line in lines]
        assert days == sorted(days)

    def test_long_spans_and_names_stay_below_the_limit(self, tmp_path):
        spots = [spot(f"s{i}", "pier", 50.1, -5.2).replace(f"Spot s{i}", "Æ" * 150) for i in range(5)]
        path = written(tmp_path, head("Europe/London"), SIMPLE_STATION, *spots)
        assert_text(as_bytes("compare", path, "--start", "2026-08-10", "--days", "60", "--format", "text"))


def test_the_help_names_every_format():
    for command in PLANS:
        text = " ".join(done(command, "--help").split())
        assert "[table|csv|json|page|svg|png|ics|text]" in text
        assert "--mark" in text


def test_the_picture_names_what_it_lacks(shore, monkeypatch):
    # As where the extra is not installed.
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    message = refused(1, "week", shore, *WEEK, "--format", "png", "-o", Path(os.devnull))
    assert "resvg_py" in message and "ebblight[picture]" in message
