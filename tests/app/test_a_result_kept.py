"""Forecasts as pages and as files to keep: the command's own results, named and sent as what they are."""

import re
from dataclasses import replace
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import pytest

from harmonics.errors import EbblightError
from tests.app.asking import AT, Site
from tests.app.conftest import NOW, Running
from tests.cli.records import coast as made
from tests.cli.runs import DEMOS, done
from windows.app.answers import _bytes, file_name, forecast_bytes
from windows.app.asking import Asked
from windows.app.work import Underway, Work
from windows.render.page.around import Site as Around
from windows.shoreline.shore import read_shore

DEMO = next(path for path in DEMOS if path.name == "pellaway_sound.toml")
ROOMS = ["week", "best", "compare", "plan"]


@pytest.fixture(scope="module")
def unready(tmp_path_factory):
    """Files without a forecast: one without a spot, one with a problem, one with three."""
    folder = tmp_path_factory.mktemp("unready")
    text = made.HEAD + made.STATION
    (folder / "bare.toml").write_text(text, encoding="utf-8")
    (folder / "one.toml").write_text(text + made.SPOT.replace("slack_lag = 0", "slack_lag = 999"), "utf-8")
    (folder / "two.toml").write_text(text.replace('title = "Made shore"', "title = 1\nunits_of = 1"), "utf-8")
    running = Running(folder)
    yield Site(running.port)
    running.end()


@pytest.fixture
def asked_of_work(monkeypatch):
    """What is asked of the work, which says that it is at it."""
    found = []

    async def result(self, key, total, fresh, make):
        found.append((key, total, fresh))
        return Underway(2, 5)

    monkeypatch.setattr(Work, "result", result)
    return found


@pytest.mark.parametrize(
    ("name", "spot", "kept"),
    [
        ("made.toml", None, "made_week_2026-08-10.ics"),
        ("Grün-1_b c.d.toml", "ledge", "Grn-1_bcd_ledge_week_2026-08-10.ics"),
        ("\u6e2f.toml", None, "shore_week_2026-08-10.ics"),
    ],
)
def test_a_file_to_keep_is_named_in_letters_that_every_system_takes(name, spot, kept):
    asked = Asked("week", spot, None, date(2026, 8, 10), 1, None)
    assert file_name(SimpleNamespace(path=Path("/deep") / name), asked, "ics") == kept


def test_halves_of_letters_are_replaced_in_what_is_kept():
    assert (_bytes("a\ud800 é"), _bytes(b"\xff")) == ("a? é".encode(), b"\xff")


@pytest.mark.parametrize(
    ("query", "form", "kind", "name"),
    [
        ("week", "text", "text/plain; charset=utf-8", "pellaway_sound_railway-groyne_week_2026-08-10.txt"),
        ("best", "page", "text/html; charset=utf-8", "pellaway_sound_best_2026-08-10.html"),
        ("compare", "csv", "text/csv; charset=utf-8", "pellaway_sound_compare_2026-08-10.csv"),
        ("plan", "ics", "text/calendar; charset=utf-8", "pellaway_sound_plan_2026-08-10.ics"),
        ("week", "png", "image/png", "pellaway_sound_railway-groyne_week_2026-08-10.png"),
    ],
)
def test_a_file_to_keep_says_what_it_is(standing, query, form, kind, name):
    answer = standing.get(f"{AT}/{query}?start=2026-08-10&days=1&keep={form}")
    assert answer.status == 200
    assert answer.headers["content-type"] == kind
    assert answer.headers["content-disposition"] == f'attachment; filename="{name}"'


@pytest.mark.parametrize(
    ("name", "form", "days"),
    [
        ("week", "page", 2),
        ("best", "csv", 2),
        ("best", "page", 1),
        ("compare", "page", 2),
        ("plan", "page", 1),
    ],
)
def test_what_is_kept_is_what_the_command_writes(standing, name, form, days):
    spot = "grass-cut" if name in {"week", "plan"} else "all"
    kept = standing.get(f"{AT}/{name}?start=2026-08-17&days={days}&spot={spot}&keep={form}")
    options = ("--spot", spot) if spot != "all" else ()
    written = done(name, DEMO, "--start", "2026-08-17", "--days", str(days), "--format", form, *options)
    assert kept.text.splitlines() == written.splitlines()


@pytest.mark.parametrize(("name", "spots"), [("best", 2), ("plan", 2)])
def test_how_far_a_forecast_is_counts_its_spots(name, spots):
    shore = read_shore(DEMO)
    some = replace(shore, spots=shore.spots[:spots])
    counted: list[int] = []
    asked = Asked(name, None, None, date(2026, 8, 17), 1, None)
    forecast_bytes(some, asked, NOW, Around(()), "csv", counted.append)
    assert counted == list(range(1, spots + 1))


@pytest.mark.parametrize(
    ("name", "first"),
    [
        ("week", "Day by day"),
        ("best", "Best of the spots known by their fall alone"),
        ("compare", "Spots by days"),
    ],
)
def test_a_page_opens_with_what_its_room_answers(standing, name, first):
    text = standing.get(f"{AT}/{name}?days=1&spot=all").text
    assert next(head for head in re.findall(r"<h[23][^>]*>([^<]*)", text) if head) == first


@pytest.mark.parametrize(
    ("address", "total", "fresh"),
    [
        *((f"{name}?spot=all", 4, 300.0) for name in ROOMS),
        ("week", 1, 300.0),
        ("best?spot=grass-cut&keep=csv", 1, 300.0),
        ("now", 1, 20.0),
    ],
)
def test_what_is_under_way_tells_so_in_its_own_room(standing, asked_of_work, address, total, fresh):
    answer = standing.ask("GET", f"{AT}/{address}")
    assert (answer.status, answer.headers["refresh"]) == (202, "1")
    assert answer.room == f"{AT}/{address.partition('?')[0]}"
    assert "2 of 5 spots done" in answer.words and "<h1>Working it out</h1>" in answer.text
    assert [(item[1], item[2]) for item in asked_of_work] == [(total, fresh)]


def test_each_answer_is_kept_apart_from_others(standing, asked_of_work):
    ways = ["week", "week?spot=all", "week?keep=csv", "week?keep=ics", "week?days=3", "week?hours=any", "now"]
    ways += ["best", "now?reading=2.4", "now?reading=2.5", "week?start=2026-09-01"]
    for way in (*ways, "week?spot=railway-groyne&days=7", "now?reading=+2.4+"):
        standing.ask("GET", f"{AT}/{way}")
    keys = [item[0] for item in asked_of_work]
    assert len(set(keys)) == len(ways)
    assert keys[-2:] == [keys[0], keys[8]]
    assert {key[0] for key in keys} == {"pellaway_sound.toml"}


@pytest.mark.parametrize("name", [*ROOMS, "now"])
def test_what_can_not_be_made_is_told_in_its_own_room(standing, monkeypatch, name):
    async def failing(self, key, total, fresh, make):
        raise EbblightError("no water\nno \x1b sky")

    monkeypatch.setattr(Work, "result", failing)
    answer = standing.ask("GET", f"{AT}/{name}")
    assert (answer.status, answer.room) == (422, f"{AT}/{name}")
    assert '<p class="lead">no water</p>\n<p>no \\x1b sky</p>' in answer.text
    title = "Not so" if name == "now" else "No forecast"
    assert f"<h1>{title}</h1>" in answer.text
    assert ('<details class="choices">' in answer.text) == (name != "now")


@pytest.mark.parametrize("name", [*ROOMS, "now"])
@pytest.mark.parametrize(
    ("file", "told", "way", "label"),
    [
        (
            "bare",
            "The file has no spots yet; a forecast of windows needs one to fish at.",
            "/spots/new",
            "Add a spot",
        ),
        ("one", "one.toml has 1 problem, so there is no forecast of it:", "", "To the shore"),
        ("two", "two.toml has 2 problems, so there is no forecast of it:", "", "To the shore"),
    ],
)
def test_a_file_without_a_forecast_tells_why_and_where_to_go(unready, name, file, told, way, label):
    answer = unready.get(f"/at/{file}.toml/{name}")
    assert (answer.status, answer.room) == (422, f"/at/{file}.toml/{name}")
    assert f'<p class="lead">{told}</p>' in answer.text
    assert answer.text.count("<p>") - answer.text.count("<p><a") == {"bare": 0, "one": 1, "two": 2}[file]
    assert re.findall(r'<a class="way" href="([^"]*)">([^<]*)<', answer.text) == [
        (f"/at/{file}.toml/shore{way}", label)
    ]


def test_a_level_read_off_is_taken_in_so_many_letters_and_shown_again(standing):
    text = standing.get(f"{AT}/now?reading=++{'x' * 50}").text
    assert f"Level: found &#39;{'x' * 40}&#39;; expected a level in the unit of the file" in text
    assert f'<input type="text" name="reading" value="{"x" * 40}">' in text
    assert "feet above the station's datum" in text
    assert f'action="{AT}/now"' in text
    assert "found" not in standing.get(f"{AT}/now?reading=++").words
