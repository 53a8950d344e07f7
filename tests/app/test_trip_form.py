"""What is typed into a trip's form, and what of it differs from a kept trip; tables of trips in and out."""

import re
from dataclasses import replace

import pytest

from harmonics.errors import Problem
from tests.app.asking import AT
from tests.app.conftest import NOW, REPOSITORY
from tests.app.test_trips import sent_table
from windows.app import trip_reports, work
from windows.app.folder import revision_of
from windows.app.trip_reading import differing, fingerprint, told_in
from windows.app.trip_views import trip_form
from windows.log.entry import EntryError, entered
from windows.log.keeping import kept_trips
from windows.log.told import Told
from windows.shoreline.shore import read_shore

LOG = f"{AT}/log"
SAID = {
    "spot": "oyster-dock",
    "start": "2026-08-09 17:30",
    "end": "2026-08-09 20:10",
    "kept": "flounder 38 41.5\nbass x2",
    "sought": "drum",
    "bait": "crab",
    "words": "long drifts",
}


@pytest.fixture(scope="module")
def shore():
    return read_shore(REPOSITORY / "demo_stations" / "pellaway_sound.toml")


@pytest.fixture(scope="module")
def trip(shore):
    return entered(told_in(SAID), shore, NOW, False)


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        *((key, " one \n\n two\r\n", ("one", "two")) for key in ("kept", "released", "sought", "drift")),
        *((key, "17:30", ("17:30",)) for key in ("turned_out", "turned_in", "bared", "covered")),
        ("nothing", "yes", True),
        ("nothing", " ", False),
        ("anglers", " 2 ", 2),
        ("anglers", "999", 999),
        ("measured", "fork", "fork"),
        ("measured", "total", "total"),
        *(("clarity", word, word) for word in ("clear", "cloudy", "muddy")),
        ("clarity", " ", None),
        ("words", "  long drifts ", "long drifts"),
        ("wind", "", None),
    ],
)
def test_what_stands_in_a_field(key, text, value):
    assert told_in({key: text}) == Told(**{key: value})


@pytest.mark.parametrize(
    ("key", "text", "found", "expected"),
    [
        ("anglers", "1000", "'1000'", "a whole number"),
        ("anglers", "\u00b2", "'\u00b2'", "a whole number"),
        ("anglers", "\u0663", "'\u0663'", "a whole number"),
        ("anglers", " -1 ", "'-1'", "a whole number"),
        ("anglers", "x" * 70, f"'{'x' * 60}'", "a whole number"),
        ("measured", "girth", "'girth'", "total or fork"),
        ("clarity", "x" * 70, f"'{'x' * 60}'", "clear or cloudy or muddy"),
    ],
)
def test_what_can_not_be_is_told_under_its_option(key, text, found, expected):
    with pytest.raises(EntryError) as raised:
        told_in({key: text, ("clarity" if key != "clarity" else "anglers"): "no"})
    first, second = sorted(raised.value.problems, key=lambda problem: problem.where != f"--{key}")
    assert (first.where, first.found, first.expected) == (f"--{key}", found, expected)
    assert second.found == "'no'"


def test_a_field_that_no_form_has_says_nothing():
    assert told_in({"cleared": "words", "token": "x", "deed": "keep"}) == Told()


def test_other_spaces_and_line_ends_are_no_change(trip, shore):
    given = {key: f" {text} \r\n\r\n".replace(" ", "  ") for key, text in SAID.items() if key != "kept"}
    assert differing(trip, shore, given) == Told()
    assert differing(trip, shore, {}) == Told()
    assert differing(trip, shore, {"seen": "x"}) == Told()


def test_what_is_emptied_is_cleared_and_a_catch_is_told_as_a_whole(trip, shore):
    assert differing(trip, shore, {"words": " ", "bait": "worm", "spot": "oyster-dock"}) == Told(
        bait="worm", cleared=frozenset({"words"})
    )
    told = differing(trip, shore, {"sought": "", "released": "ray"})
    assert (told.released, told.sought, told.nothing) == (("ray",), (), False)
    assert [line.split()[0] for line in told.kept] == ["flounder", "bass"]
    assert told.cleared == frozenset()
    assert (told.spot, told.words) == (None, None)


def test_the_state_of_a_trip_changes_with_all_that_is_in_it(trip):
    states = {fingerprint(item) for item in (trip, replace(trip, words=""), replace(trip, removed_at=1.0))}
    assert len(states) == 3
    assert all(re.fullmatch("[0-9a-f]{32}", state) for state in states)
    assert fingerprint(replace(trip)) == fingerprint(trip)


def test_the_log_as_a_file_to_keep(standing):
    answer = standing.get(f"{AT}/log.csv")
    assert answer.status == 200
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    assert answer.headers["content-disposition"] == 'attachment; filename="trips.csv"'
    assert "start_utc" in answer.text.splitlines()[0]


def test_trips_from_a_table_are_told_in_the_log_and_are_not_undone_by_a_button(site, data_home):
    place = data_home / "ebblight" / "trips.db"
    table = b"spot,start_local,end_local\nrailway-groyne,2026-08-01 10:00,2026-08-01 12:00\n"
    answer = sent_table(site, table)
    assert (answer.status, answer.headers["location"].partition("?")[0]) == (303, LOG)
    page = site.get(answer.headers["location"])
    assert re.findall(r'role="status">\s*<p>([^<]*)</p>', page.text) == [f"1 trip kept in {place}."]
    assert 'name="ticket"' not in page.text
    assert len(kept_trips(place)) == 1


def test_no_table_is_told_as_such(site, data_home):
    text = site.get(LOG).text
    assert 'enctype="multipart/form-data"' in text and 'type="file" name="table"' in text
    for answer in (sent_table(site, b""), site.post(f"{LOG}/import", {"table": "spot\n"})):
        assert answer.status == 422
        assert f'<a href="{LOG}" aria-current="page">' in answer.text
        assert "No file came with it: choose one first." in answer.words
    assert not data_home.exists()


def test_a_table_that_is_none_is_told_by_its_name_alone(site, tmp_path, monkeypatch):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    answer = sent_table(site, b"spot\nhere\n")
    (lead,) = re.findall(r'<p class="lead">([^<]*)</p>', answer.text)
    assert lead == "trips.csv: 2 problems"
    assert str(tmp_path) not in answer.text
    assert list(tmp_path.glob("tmp*")) == []


@pytest.mark.parametrize("later", [False, True])
def test_the_report_counts_forecasts_computed_later_where_that_is_asked(standing, later):
    text = standing.get(f"{LOG}/report{'?later=yes' if later else ''}").text
    other, words = (
        (f"{LOG}/report", "Without forecasts computed later")
        if later
        else (f"{LOG}/report?later=yes", "Count forecasts computed later as well")
    )
    assert f'<a href="{other}">{words}</a> <a href="{LOG}">Back to the trips</a>' in text
    assert f'<a href="{LOG}" aria-current="page">' in text
    assert standing.get(f"{LOG}/report?later=no").text == standing.get(f"{LOG}/report").text


def test_a_report_that_takes_long_tells_so_in_its_room(site, monkeypatch):
    monkeypatch.setattr(work, "PATIENCE", 0.0)
    monkeypatch.setattr(trip_reports, "_report", lambda *_: b"made")
    monkeypatch.setattr(work.ThreadPoolExecutor, "submit", lambda *_: None)
    answer = site.ask("GET", f"{LOG}/report")
    assert (answer.status, answer.headers["refresh"], answer.headers["cache-control"]) == (
        202,
        "1",
        "no-store",
    )
    assert "0 of 1 spots done" in answer.words
    assert f'<a href="{LOG}" aria-current="page">' in answer.text


def test_a_report_holds_for_an_hour_while_the_log_and_the_file_stay(standing, monkeypatch):
    asked = []

    async def seen(_self, key, total, fresh, _make):
        asked.append((key, total, fresh))
        return b"made"

    monkeypatch.setattr(work.Work, "result", seen)
    assert standing.get(f"{LOG}/report").body == b"made"
    standing.get(f"{LOG}/report?later=yes")
    standing.get(f"{LOG}/report")
    assert [(total, fresh) for _, total, fresh in asked] == [(1, 3600.0)] * 3
    assert asked[0] == asked[2] != asked[1]


def test_the_state_of_a_log_is_that_of_its_file_and_of_what_is_written_beside_it(tmp_path):
    place = tmp_path / "trips.db"
    states = [trip_reports._state(place)]
    for path in (place, tmp_path / "trips.db-wal"):
        for data in (b"a", b"ab"):
            path.write_bytes(data)
            states.append(trip_reports._state(place))
    assert len(set(states)) == 5 and states[0] == (None, None)


def test_lessons_that_are_written_are_told_on_their_page(site, coast, monkeypatch):
    path, page = coast / "pellaway_sound.toml", f"{LOG}/learn"
    monkeypatch.setattr(trip_reports, "learn", lambda *_: ())
    answer = site.post(page, {"revision": revision_of(path.read_bytes())})
    assert (answer.status, answer.headers["location"].partition("?")[0]) == (303, page)
    shown = site.get(answer.headers["location"])
    assert re.findall(r'role="status">\s*<p>([^<]*)</p>', shown.text) == [
        "Written into the file: 0 settings."
    ]
    assert f'<a href="{LOG}" aria-current="page">' in shown.text and 'name="ticket"' in shown.text
    refused = site.post(page, {})
    assert refused.status == 422 and "The file was changed elsewhere" in refused.words
    assert f'<a href="{LOG}" aria-current="page">' in refused.text


def test_what_belongs_to_no_field_is_told_above_them_with_its_letters_shown(shore):
    form = trip_form(
        shore, "a.toml", {}, problems=[Problem("", "", "One\x1b."), Problem("--no", "two", "three")]
    )
    assert form.problems == (r"One\x1b.", "Found two; expected three.")
    assert (form.action, form.kept, form.seen, form.planned) == ("/at/a.toml/log/new", (), "", False)
    assert all(not field.problems for group in form.groups for field in group.fields)
