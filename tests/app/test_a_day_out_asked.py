"""What the page of plans is asked of a day out: read, shown in its form, kept in its ways, and followed."""

import html
import re
from datetime import UTC, datetime
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest

from tests.app.asking import AT
from tests.cli.runs import done
from tests.windows.outing.shores import boat, landing, outing, shore_text
from windows.app.asking import choices_of, read_asked
from windows.app.wishes import Wishes, outing_of
from windows.shoreline.outing_file import parse_day_time
from windows.shoreline.shore import read_shore

DEMO = "demo_stations/pellaway_sound.toml"
NOW = datetime(2026, 8, 3, 9, 0, tzinfo=UTC).timestamp()
ASKED = {
    "landing": "quay",
    "leave_after": "sunrise",
    "home_by": "02:00 next day",
    "longest": "5h30min",
    "margin": "0min",
}
BLANK = {key: " " for key in ASKED}


@pytest.fixture
def shore(tmp_path):
    """A shore with two landings and wishes of its own."""
    path = tmp_path / "made.toml"
    own = outing('leave_after = "10:00"\nhome_by = "19:00"\nmargin = "40min"\nlongest = "7h"\nmost_moves = 1')
    path.write_text(
        shore_text(landing(), landing("quay").replace('"Quay"', '"Old <b> quay"'), boat(), own),
        encoding="utf-8",
    )
    return read_shore(path)


def test_what_is_asked_takes_the_place_of_the_files_and_the_rest_stays(shore):
    asked = read_asked("plan", {key: f" {text} " for key, text in ASKED.items()}, shore, NOW)
    assert (asked.wishes, asked.problems) == (Wishes(*ASKED.values()), ())
    made = outing_of(shore, asked.wishes)
    assert made == shore.outing._replace(
        start="quay",
        leave_after=parse_day_time("sunrise"),
        home_by=parse_day_time("02:00 next day"),
        longest=5.5 * 3600.0,
        margin=0.0,
    )
    assert made.most_moves == 1
    for query in ({}, BLANK):
        assert read_asked("plan", query, shore, NOW).wishes == Wishes()
    assert outing_of(shore, Wishes()) == shore.outing


@pytest.mark.parametrize("key", ASKED)
def test_one_asked_alone_changes_itself_alone(shore, key):
    changed = outing_of(shore, read_asked("plan", {key: ASKED[key]}, shore, NOW).wishes)
    name = "start" if key == "landing" else key
    assert getattr(changed, name) != getattr(shore.outing, name)
    assert changed._replace(**{name: getattr(shore.outing, name)}) == shore.outing


def test_only_plans_are_asked_of_a_day_out(shore):
    for room in ("week", "best", "compare"):
        asked = read_asked(room, {**ASKED, "margin": "9h"}, shore, NOW)
        assert (asked.wishes, asked.problems) == (Wishes(), ())
        shown = choices_of("made.toml", shore, asked)
        assert (shown.landings, shown.landing, shown.wishes) == ((), "", ())


def test_what_can_not_be_read_is_told_by_its_label_and_passed_over(shore):
    query = {"landing": "x<i>", "leave_after": "late", "home_by": "25:00", "longest": "3", "margin": "9h"}
    asked = read_asked("plan", {**query, "days": "x"}, shore, NOW)
    assert asked.wishes == Wishes()
    told = [sentence.partition(" expected")[0] for sentence in asked.problems]
    assert told == [
        "Days: found 'x';",
        "The file has no landing 'x<i>': plans start from its own.",
        "Leave after: found 'late';",
        "Home by: found '25:00';",
        "Away from home at most: found '3';",
        "Margin before the water shuts a landing or way: found '9h';",
    ]
    assert asked.problems[-1].endswith('expected a length from "0min" to "3h", such as "20min".')
    long = read_asked("plan", {"home_by": "9" * 5000, "landing": "9" * 5000}, shore, NOW)
    assert long.wishes == Wishes() and all(len(sentence) < 300 for sentence in long.problems)


def test_the_form_holds_what_is_asked_and_its_line_says_it(shore):
    shown = choices_of("made.toml", shore, read_asked("plan", {**ASKED, "days": "2"}, shore, NOW))
    assert shown.summary == (
        "Mon 3 Aug 2026, 2 days, from Old <b> quay, leave after sunrise, home by 02:00 next day, "
        "5h30min at most, margin 0min"
    )
    assert [(item.value, item.label) for item in shown.landings] == [
        ("ramp", "Ramp"),
        ("quay", "Old <b> quay"),
    ]
    assert shown.landing == "quay"
    assert {field.name: field.value for field in shown.wishes} == {k: ASKED[k] for k in [*ASKED][1:]}
    assert [(field.label, field.hint) for field in shown.wishes[1:3]] == [
        ("Home by", 'A clock or sun time such as "12:30", "sunset+1h" or "02:00 next day"'),
        ("Away from home at most", 'A length such as "6h" or "5h30min", up to 48h'),
    ]
    bare = choices_of("made.toml", shore, read_asked("plan", {}, shore, NOW))
    assert (bare.landing, {field.value for field in bare.wishes}) == ("", {""})
    assert bare.summary == "Mon 3 Aug 2026, 14 days"


def test_a_shore_with_one_landing_has_no_choice_of_it(tmp_path):
    path = tmp_path / "alone.toml"
    path.write_text(shore_text(landing(), boat()), encoding="utf-8")
    alone = read_shore(path)
    shown = choices_of("alone.toml", alone, read_asked("plan", {"landing": "ramp"}, alone, NOW))
    assert (shown.landings, shown.landing, len(shown.wishes)) == ((), "ramp", 4)


def test_the_page_its_ways_and_its_files_follow(standing):
    asked = {"leave_after": "11:00", "home_by": "21:30", "longest": "5h", "margin": "30min"}
    query = {"start": "2026-08-10", "days": "2", **asked}
    page = standing.get(f"{AT}/plan?{urlencode(query)}")
    assert "Planned: out between 11:00 and 21:30, 5 h at most" in page.words
    assert "is used from 30 min after the water opens it" in page.words
    fields = dict(re.findall(r'<input type="text" name="([a-z_]+)" value="([^"]*)"', page.text))
    assert fields == asked
    ways = [html.unescape(way) for way in re.findall(r'href="([^"]*keep=[^"]*)"', page.text)]
    assert ways and all(
        {key: text for key, (text,) in parse_qs(urlsplit(way).query).items()}.items() >= asked.items()
        for way in ways
    )
    (rows,) = [way for way in ways if way.endswith("keep=csv")]
    options = [word for key, text in asked.items() for word in (f"--{key.replace('_', '-')}", text)]
    written = done("plan", DEMO, "--start", "2026-08-10", "--days", "2", "--format", "csv", *options)
    assert standing.get(rows).text.splitlines() == written.splitlines()
    plain = standing.get(f"{AT}/plan?start=2026-08-10&days=2&keep=csv").text
    assert plain.splitlines() != written.splitlines()


def test_times_that_leave_no_day_are_told_with_the_form_to_mend_them(standing):
    page = standing.get(f"{AT}/plan?start=2026-08-10&days=1&home_by=11:00")
    assert page.status == 422
    assert "home by '11:00' comes before leaving after '12:00'" in page.words
    assert 'name="home_by" value="11:00"' in page.text


def test_one_leaves_on_the_day_itself(standing):
    page = standing.get(
        f"{AT}/plan?start=2026-08-10&days=1&leave_after=02:00+next+day&home_by=20:00+next+day"
    )
    assert page.status == 422
    assert "leave after '02:00 next day'; expected a time of the day one leaves on" in page.words
    assert "Leave after A clock or sun time of the day one leaves on" in page.words


def test_a_landing_is_chosen_from_those_of_the_file(standing):
    text = standing.get("/at/skerrow_strand.toml/plan?start=2026-08-10&days=1&landing=narrows-lay-by").text
    assert '<option value="narrows-lay-by" selected>' in text
    assert re.search(r"Days out Mon 10 Aug[^<]*, from Narrows lay-by", text)
    text = standing.get("/at/skerrow_strand.toml/plan?start=2026-08-10&days=1").text
    assert re.search(r'<select name="landing">\s*<option value="" selected>', text)
    assert re.search(r"Days out Mon 10 Aug[^<]*, from Pier car park", text)
