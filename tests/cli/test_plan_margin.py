"""The margin of `plan` end to end: the file's key, and what each format says of it."""

import csv
import io
import json
import re
from datetime import datetime
from html import unescape

import pytest

from tests.cli.runs import DEMOS, done, refused
from tests.windows.outing.shores import boat, landing, shore_text, wishes

DAY = ("--day", "2026-08-03")
RAMP = landing(keys="launch = 15\nleast_level = 1.49")
"""Open until 16:00 and from 20:00; the ebb runs from 12 to 18."""
QUARTER = 900.0
KEPT = "ept 15 min before Ramp shuts at 16:00"


@pytest.fixture
def file(tmp_path):
    def write(**keys: object):
        path = tmp_path / "shore.toml"
        wanted = wishes(**{"leave_after": "11:00", "home_by": "17:00", "move": 0, "settle": 0, **keys})
        path.write_text(shore_text(RAMP, boat(), wanted), encoding="utf-8")
        return path

    return write


def plans_of(path, *more):
    return json.loads(done("plan", path, *DAY, *more, "--format", "json"))


def test_the_screen_and_the_page_say_where_it_decided(file):
    path = file()
    for form in ("table", "page", "ics"):
        text = done("plan", path, *DAY, "--format", form)
        text = " ".join(unescape(re.sub(r"\r?\n (?=\S)", "", text) if form == "ics" else text).split())
        assert KEPT in text, form
        assert "Without the margin of 15 min" in text, form
        assert "shuts at 16:00" in text, form
    assert "it shuts at 16:00, 15 min after you are out" in " ".join(done("plan", path, *DAY).split())
    assert "landing shuts 16:00, 15 min after you are out" in done("plan", path, *DAY, "--format", "text")


def test_a_message_counts_no_hours_to_spare(file):
    """Back in the evening's flood: the ramp stays open until four in the morning."""
    path = file(leave_after="12:00", home_by="21:00", longest="9h")
    assert "landing shuts" not in done("plan", path, *DAY, "--format", "text")
    assert "it stays open until Tue 4 Aug 04:00" in " ".join(done("plan", path, *DAY).split())


def test_rows_say_it_in_the_note_of_their_leg(file):
    found = {
        row["kind"]: row for row in csv.DictReader(io.StringIO(done("plan", file(), *DAY, "--format", "csv")))
    }
    assert found["land"]["note"].endswith("kept 15 min before the landing shuts at 16:00")
    assert "kept" not in found["leave"]["note"]


def test_json_has_it_in_minutes_and_what_it_costs(file):
    header = plans_of(file())
    assert header["wanted"]["margin_min"] == 15
    (plan,) = header["lists"][0]["plans"]
    used = plan["landing"]
    until, shuts = (datetime.fromisoformat(used[key]) for key in ("until", "open_until"))
    assert (shuts - until).total_seconds() == QUARTER
    assert (used["kept_after_min"], used["kept_before_min"]) == (None, 15)
    assert plan["gated_ways"] == []
    (bare,) = plans_of(file(margin="0min"))["lists"][0]["plans"]
    assert plan["without_margin"] == {key: bare[key] for key in ("worth", "leave", "home")}
    assert bare["without_margin"] is None
    assert bare["landing"]["open_until"] == bare["landing"]["until"]
    (shut,) = bare["if_water_shifts"][0]["shut"]
    assert (shut["place"], shut["way"]) == ("ramp", False)


def test_a_day_that_it_rules_out_says_so(file):
    header = plans_of(file(margin="3h"))
    (none,) = header["lists"][0]["days_without_plan"].values()
    assert none["reason"] == "margin"
    assert "the margin of 3 h at Ramp or a way rules it out; without it" in none["words"]
    (bare,) = plans_of(file(margin="0min"))["lists"][0]["plans"]
    assert none["worth_without_obstacle"] == bare["worth"]


def test_an_option_takes_the_place_of_the_files(file):
    path = file(margin="3h")
    asked = plans_of(path, "--margin", "0min", "--longest", "5h30min")
    assert asked == plans_of(file(margin="0min", longest="5h30min"))
    assert (asked["wanted"]["margin_min"], asked["wanted"]["longest_min"]) == (0, 330)


@pytest.mark.parametrize(
    ("option", "text", "expected"),
    [("--margin", "3h1min", 'a length from "0min" to "3h"'), ("--longest", "0min", "up to 48h")],
)
def test_an_option_that_makes_no_sense_is_refused(file, option, text, expected):
    told = refused(2, "plan", file(), *DAY, option, text)
    assert option in told and f"'{text}': expected" in told and expected in told


@pytest.mark.parametrize("text", ["3h1min", "soon"])
def test_what_is_no_margin_is_refused(file, text):
    told = refused(1, "plan", file(margin=text), *DAY)
    assert f'outing.margin: found \'{text}\'; expected a length from "0min" to "3h"' in told


def test_check_tells_it_where_the_water_shuts_a_thing(file):
    demo = next(path for path in DEMOS if path.stem == "pellaway_sound")
    for path, minutes in ((demo, 15), (file(margin="20min"), 20)):
        told = " ".join(done("check", path).split())
        assert f"{minutes} min of margin where the water shuts a landing or way" in told
