"""Every page of a file says what the command says, and every way on a page leads somewhere."""

import csv
import html
import io
import re
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import date, timedelta

import pytest

from tests.app.asking import AT
from tests.cli.runs import rows

WEEK = f"{AT}/week?start=2026-08-10"


def column(text: str, name: str) -> list[str]:
    return [row[name] for row in csv.DictReader(io.StringIO(text))]


def test_the_first_page_leads_to_the_file_that_was_opened(site):
    answer = site.get("/")
    assert (answer.status, answer.headers["location"]) == (303, f"{AT}/week")


def test_a_folder_leads_to_its_list_and_an_empty_one_to_the_first_file(serving, coast, tmp_path):
    several = serving(coast)
    assert several.get("/").headers["location"] == "/files"
    listed = several.get("/files")
    for path in coast.glob("*.toml"):
        assert path.name in listed.words
    empty = tmp_path / "empty"
    empty.mkdir()
    assert serving(empty).get("/").headers["location"] == "/new"


def test_the_pages_say_what_the_command_says(site, coast):
    path = coast / "pellaway_sound.toml"
    options = ("--start", "2026-08-10", "--days", "5")
    of_page = site.get(f"{AT}/best?start=2026-08-10&days=5&keep=csv").text
    assert column(of_page, "points") == [row["points"] for row in rows("best", path, *options)]
    of_page = site.get(f"{AT}/plan?start=2026-08-10&days=5&keep=csv").text
    assert column(of_page, "start_utc") == [row["start_utc"] for row in rows("plan", path, *options)] != []


def test_what_is_asked_for_is_shown(site):
    text = site.get(f"{WEEK}&days=3&spot=marsh-drain&hours=12:00-18:00").words
    assert "Marsh drain, Mon 10 Aug 2026, 3 days, 12:00-18:00" in text
    assert "Mon 10 Aug to Wed 12 Aug 2026" in text


@pytest.mark.parametrize(
    ("query", "told"),
    [
        ("start=soon", "First day: found 'soon'; expected a date as 2026-08-15."),
        ("days=0", "Days: found '0'; expected a whole number from 1 to 31."),
        ("days=1e9", "expected a whole number from 1 to 31."),
        ("hours=late", "Hours: found 'late'; expected"),
        ("spot=nowhere", "The file has no spot 'nowhere'"),
        ("fish=cod", "The file has no [[quarry]] 'cod'"),
        ("hours=%3Cscript%3E", "Hours: found '<script>'"),
    ],
)
def test_what_can_not_be_read_is_told_and_passed_over(site, query, told):
    answer = site.get(f"{AT}/week?{query}")
    assert answer.status == 200
    assert told in answer.words
    assert "found '<" not in answer.text


def test_now_takes_a_level_that_was_read_off(site):
    plain = site.get(f"{AT}/now").words
    assert "the water stood" not in plain and "A level you read off" in plain
    told = site.get(f"{AT}/now?reading=1,9")
    assert told.status == 200
    assert "Level read off: 1,9" in told.words and "the water stood" in told.words


@pytest.mark.parametrize("text", ["high", "%3Cb%3E", "2.4@yesterdayish"])
def test_a_level_that_is_none_is_told_and_passed_over(site, text):
    answer = site.get(f"{AT}/now?reading={text}")
    assert answer.status == 200
    assert "Level: found '" in answer.words and "the water stood" not in answer.words
    assert "found '<" not in answer.text


@pytest.mark.parametrize("start", ["0001-01-01", "9999-12-31", "1800-05-05"])
def test_days_beyond_the_tables_of_the_sky_are_told(site, start):
    answer = site.get(f"{AT}/week?start={start}")
    assert answer.status == 422
    assert "sun and moon" in answer.words or "calendar" in answer.words


@pytest.mark.parametrize(
    ("typed", "code"),
    [("%00", "\\x00"), ("%E2%80%AE", "\\u202e"), ("%1B[31m", "\\x1b"), ("%EF%BB%BF", "\\ufeff")],
)
def test_a_level_that_turns_or_hides_the_text_is_shown_by_its_codes(standing, typed, code):
    shown = standing.get(f"{AT}/now?reading=x{typed}y").text
    (summary,) = re.findall(r"<summary>(Level read off: [^<]*)</summary>", shown)
    assert html.unescape(summary).startswith(f"Level read off: x{code}")
    assert summary.isprintable()


def test_every_way_leads_somewhere(site):
    """All addresses of this site that its pages name, followed two pages deep."""
    seen: dict[str, int] = {}
    found = ["/", "/files", "/guide", f"{AT}/shore", f"{AT}/log", WEEK, f"{AT}/now"]
    for depth in range(3):
        following: list[str] = []
        for path in found:
            if path in seen or ("/at/" in path and AT not in path) or ("keep=" in path and depth > 1):
                continue
            answer = site.ask("GET", path)
            seen[path] = answer.status
            if depth < 2 and "html" in answer.headers.get("content-type", ""):
                following += [html.unescape(way) for way in re.findall(r'href="(/[^"#]*)', answer.text)]
        found = list(dict.fromkeys(following))
    assert len(seen) > 50
    broken = {path: status for path, status in seen.items() if status not in {200, 202, 303}}
    assert {path: status for path, status in broken.items() if not path.endswith("/undo")} == {}


def test_files_to_keep(site):
    for form, kind, begins in (
        ("ics", "text/calendar", b"BEGIN:VCALENDAR"),
        ("png", "image/png", b"\x89PNG"),
        ("text", "text/plain", b""),
        ("page", "text/html", b"<!DOCTYPE html>"),
    ):
        answer = site.get(f"{WEEK}&keep={form}")
        assert answer.status == 200
        assert answer.headers["content-type"].startswith(kind)
        assert answer.headers["content-disposition"].startswith('attachment; filename="pellaway_sound_')
        assert answer.body.startswith(begins)
    assert 'action="/' not in site.get(f"{WEEK}&keep=page").text


def test_a_file_with_problems_says_them_and_its_form_opens(site, coast):
    path = coast / "pellaway_sound.toml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("slack_lag = 25", "slack_lag = 999"), encoding="utf-8"
    )
    for room in ("week", "now", "plan", "log"):
        answer = site.get(f"{AT}/{room}")
        assert answer.status == 422
        assert "spots[0].slack_lag: found 999" in answer.words
    form = site.get(f"{AT}/shore/spots/0").words
    assert "Found 999; expected minutes from -360 to 360 after high or low water." in form


def test_a_change_on_disk_is_seen_at_once(site, coast):
    path = coast / "pellaway_sound.toml"
    assert "Railway groyne" in site.get(WEEK).words
    path.write_text(
        path.read_text(encoding="utf-8").replace("Railway groyne", "Long groyne"), encoding="utf-8"
    )
    assert "Long groyne" in site.get(WEEK).words
    table = coast / "gannet_bar.csv"
    before = site.get(f"{WEEK}&keep=csv").text
    lines = table.read_text(encoding="utf-8").splitlines()
    table.write_text("\n".join(line for line in lines if not line.startswith("O1")) + "\n", encoding="utf-8")
    assert site.get(f"{WEEK}&keep=csv").text != before


def test_a_file_without_spots_leads_to_the_form_of_one(site, coast):
    text = (coast / "pellaway_sound.toml").read_text(encoding="utf-8").partition("[[spots]]")[0]
    (coast / "pellaway_sound.toml").write_text(text, encoding="utf-8")
    answer = site.get(f"{AT}/week")
    assert answer.status == 422
    assert f'href="{AT}/shore/spots/new"' in answer.text


def test_a_hundred_at_once(site):
    first = date(2026, 8, 10)
    asked = [f"{AT}/week?start={first + timedelta(days=number % 20)}&days=1" for number in range(100)]
    begun = time.monotonic()
    with ThreadPoolExecutor(100) as pool:
        answers = list(pool.map(lambda path: site.ask("GET", path), asked))
    assert {answer.status for answer in answers} <= {200, 202}
    assert all("Railway groyne" in a.words or "spots done" in a.words for a in answers)
    assert time.monotonic() - begun < 120


def test_what_waits_for_its_turn_says_so_in_the_end(site, monkeypatch):
    from windows.app import work

    monkeypatch.setattr(work, "LONGEST_WAIT", 0.3)
    asked = [f"{AT}/compare?start=2026-08-{day:02}&days=31" for day in range(1, 9)]
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda path: site.ask("GET", path), asked))
    waiting = [answer for answer in answers if answer.status == 202]
    assert waiting
    assert "0 of 4 spots done" in waiting[-1].words


def test_what_takes_long_shows_how_far_it_is_and_then_itself(site, monkeypatch):
    from windows.app import work

    monkeypatch.setattr(work, "PATIENCE", 0.0)
    path = f"{AT}/compare?start=2026-08-10&days=31"
    first = site.ask("GET", path)
    assert first.status == 202
    assert first.headers["refresh"] == "1"
    assert "of 4 spots done" in first.words
    for _ in range(300):
        answer = site.ask("GET", path)
        if answer.status == 200:
            break
        time.sleep(0.1)
    assert "Spots by days" in answer.words
