"""What the address of a forecast asks for, what stands in its form, and what the answer is made of."""

import html
import re
from datetime import UTC, date, datetime

import pytest

from tests.app.asking import AT
from tests.cli.records import coast as made
from windows.app.asking import choices_of, read_asked, spots_of
from windows.render.page.around import Link
from windows.shoreline.hours import parse_hours
from windows.shoreline.shore import read_shore

FISH = '\n[[quarry]]\nname = "bass <b>"\nlight = "night"\n\n[[quarry]]\nname = "ray"\n'
SECOND = made.SPOT.replace('"ledge"', '"steps"').replace('"Ledge"', '"Steps <b>"')
NIGHT = datetime(2026, 8, 10, 23, 30, tzinfo=UTC).timestamp()
"""The next day already by the clock of the made shore, an hour ahead in August."""


@pytest.fixture
def shore(tmp_path):
    """A shore with two spots and two fish."""
    path = tmp_path / "made.toml"
    path.write_text(made.HEAD + made.STATION + made.SPOT + SECOND + FISH, encoding="utf-8")
    return read_shore(path)


@pytest.fixture
def alone(tmp_path):
    """The same shore with one spot and no fish."""
    path = tmp_path / "alone.toml"
    path.write_text(made.HEAD + made.STATION + made.SPOT, encoding="utf-8")
    return read_shore(path)


@pytest.mark.parametrize(
    ("room", "spot", "days"),
    [("week", "ledge", 7), ("best", None, 14), ("compare", None, 7), ("plan", None, 14)],
)
def test_what_is_shown_where_nothing_is_asked(shore, alone, room, spot, days):
    for query in ({}, {"spot": "", "fish": "", "start": " ", "days": " ", "hours": " "}):
        asked = read_asked(room, query, shore, NIGHT)
        assert (asked.room, asked.spot, asked.fish, asked.hours, asked.problems) == (
            room,
            spot,
            None,
            None,
            (),
        )
        assert (asked.first, asked.days) == (date(2026, 8, 11), days)
    assert read_asked(room, {}, alone, NIGHT).spot is None


@pytest.mark.parametrize("room", ["week", "best", "compare", "plan"])
def test_what_is_asked_for_is_taken(shore, room):
    query = {
        "spot": "steps",
        "fish": "ray",
        "start": " 2026-09-01 ",
        "days": " 31 ",
        "hours": " 08:00-12:00 ",
    }
    asked = read_asked(room, query, shore, NIGHT)
    assert (asked.spot, asked.fish, asked.first, asked.days) == ("steps", "ray", date(2026, 9, 1), 31)
    assert asked.hours == (None if room == "plan" else "08:00-12:00")
    assert asked.problems == ()
    assert read_asked(room, {"spot": "all"}, shore, NIGHT).spot is None
    assert read_asked("plan", {"hours": "late"}, shore, NIGHT).problems == ()


@pytest.mark.parametrize("days", ["32", "0", "-1", "²", "٣", "1.5", "9" * 5000, "1000001", "0000319999", "x"])
def test_days_that_are_none_or_too_many_are_told(shore, days):
    asked = read_asked("best", {"days": days}, shore, NIGHT)
    assert asked.days == 14
    (told,) = asked.problems
    assert told == f"Days: found '{days[:60]}'; expected a whole number from 1 to 31."


def test_all_that_can_not_be_read_is_told_in_order_and_passed_over(shore):
    query = {"spot": "x", "fish": "y", "start": "z", "days": "u", "hours": "v"}
    asked = read_asked("week", query, shore, NIGHT)
    assert (asked.spot, asked.fish, asked.first, asked.days, asked.hours) == (
        None,
        None,
        date(2026, 8, 11),
        7,
        None,
    )
    told = [sentence.partition(";")[0] for sentence in asked.problems]
    assert told[:3] == [
        "The file has no spot 'x': all are shown.",
        "The file has no [[quarry]] 'y': its own preferences hold.",
        "First day: found 'z'",
    ]
    assert told[3:] == ["Days: found 'u'", "Hours: found 'v'"]


def test_spots_are_those_asked_for_fished_as_asked(shore):
    plain = spots_of(shore, read_asked("best", {}, shore, NIGHT))
    assert plain == shore.spots
    query = {"spot": "steps", "fish": "bass <b>", "hours": "08:00-12:00"}
    (spot,) = spots_of(shore, read_asked("best", query, shore, NIGHT))
    assert spot.id == "steps"
    assert spot.preferences.light.value == "night" != plain[1].preferences.light.value
    assert spot.preferences.hours == parse_hours("08:00-12:00")
    assert plain[1].preferences.hours is None


def test_the_form_offers_what_there_is_and_shows_what_is_asked(shore):
    keep = (Link("/x", "x"),)
    query = {"spot": "steps", "fish": "ray", "start": "2026-09-01", "days": "1", "hours": "08:00-12:00"}
    shown = choices_of("made.toml", shore, read_asked("week", query, shore, NIGHT), keep)
    assert shown.summary == "Steps <b>, Tue 1 Sep 2026, 1 day, 08:00-12:00, ray"
    assert shown.action == "/at/made.toml/week"
    assert [(item.value, item.label) for item in shown.spots] == [("ledge", "Ledge"), ("steps", "Steps <b>")]
    assert [(item.value, item.label) for item in shown.fish] == [("bass <b>", "bass <b>"), ("ray", "ray")]
    assert (shown.spot, shown.fish_name, shown.start) == ("steps", "ray", "2026-09-01")
    assert (shown.days, shown.hours, shown.most_days) == ("1", "08:00-12:00", 31)
    assert shown.hours_expected == '"any" or a range such as "12:00-sunset+1h"'
    assert (shown.keep, shown.problems, shown.takes_hours) == (keep, (), True)


def test_the_form_of_a_shore_with_one_spot_has_no_choice_of_spots(alone):
    shown = choices_of("alone.toml", alone, read_asked("plan", {"spot": "ledge", "start": "x"}, alone, NIGHT))
    assert (shown.spots, shown.fish, shown.spot, shown.fish_name, shown.hours) == ((), (), "ledge", "", "")
    assert shown.summary == "Tue 11 Aug 2026, 14 days"
    assert shown.problems == ("First day: found 'x'; expected a date as 2026-08-15.",)
    assert (shown.keep, shown.takes_hours) == ((), False)
    several = choices_of("alone.toml", alone, read_asked("week", {"spot": "all"}, alone, NIGHT))
    assert (several.spot, several.takes_hours) == ("all", True)


def test_what_can_not_be_in_the_file_stands_above_its_forecast(tmp_path):
    path = tmp_path / "odd.toml"
    text = made.HEAD + made.STATION.replace("amplitude = 0.5,", "amplitude = 30.0,") + made.SPOT
    path.write_text(text, encoding="utf-8")
    odd = read_shore(path)
    assert odd.doubts
    told = choices_of("odd.toml", odd, read_asked("week", {"days": "x"}, odd, NIGHT)).problems
    assert told[0].startswith("Days: ")
    assert [sentence.partition(": ")[0] for sentence in told[1:]] == [
        "This can't be so, and `ebblight check` refuses it"
    ] * len(odd.doubts)


@pytest.mark.parametrize("room", ["week", "best", "compare", "plan", "now"])
def test_a_page_marks_its_own_room_and_names_its_file(standing, room):
    text = standing.get(f"{AT}/{room}?start=2026-08-10&days=1").text
    marked = re.findall(r'<a href="([^"]*)" aria-current="page">', text)
    assert marked == [f"{AT}/{room}"]
    around = re.sub('<nav.*?</nav>|<details class="choices">.*?</details>', "", text, flags=re.DOTALL)
    assert ("from pellaway_sound.toml" in around) == (room != "now")


def test_ways_to_keep_a_result_ask_for_the_same_result(standing):
    query = "spot=marsh-drain&start=2026-08-12&days=2&hours=08%3A00-20%3A00"
    text = standing.get(f"{AT}/best?{query}").text
    ways = [html.unescape(way) for way in re.findall(r'href="([^"]*keep=[^"]*)"', text)]
    assert ways == [f"{AT}/best?{query}&keep={form}" for form in ("page", "ics", "png", "csv", "text")]
    offered = re.search(r"<p>Keep it as (.*?)\.</p>", text, re.DOTALL)[1]
    assert re.sub("<[^>]*>", "", offered) == (
        "a page for the phone, calendar entries, a picture, rows for a spreadsheet, a message"
    )
