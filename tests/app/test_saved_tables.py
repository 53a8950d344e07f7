"""A station file written with tables beside it: what is refused, what comes back, and what a table says."""

import hashlib
import html
import re
import tomllib
from io import BytesIO

import pytest
from starlette.datastructures import FormData, UploadFile

from harmonics.errors import FileProblemsError, OutputError, Problem
from tests.app.asking import AT, awaited
from tests.app.sending import beside, undone
from windows.app.saving import ChangedMeanwhileError, save_text
from windows.app.site import folder_of
from windows.app.table_reading import PATH, FormError, answered, read_table
from windows.app.tables_in import placed
from windows.render.words import table_forms as texts

SHORE = f"{AT}/shore"
STATION, CURRENT = f"{SHORE}/stations/new", f"{SHORE}/currents/new"
ROWS = "name,amplitude,phase\nK1,0.5,40\nO1,0.4,30\n"
TIDE = {"name": "Far gauge", "latitude": "29.2", "longitude": "-90.5", "datum": "MLLW", "mean_level": "0.75",
        "table_units": "feet", "phase": "greenwich"}  # fmt: skip
RACE = {"name": "The race", "latitude": "29.3", "longitude": "-90.6", "flood_direction": "10",
        "ebb_direction": "190", "table_units": "knots", "phase": "greenwich"}  # fmt: skip
ROOM = f'<a href="{SHORE}" aria-current="page">'


@pytest.fixture
def folder(coast):
    return folder_of(coast / "pellaway_sound.toml")


@pytest.fixture
def path(coast):
    return coast / "pellaway_sound.toml"


def contents(coast) -> dict[str, bytes]:
    return {place.name: place.read_bytes() for place in coast.iterdir() if place.is_file()}


def opened(folder):
    return folder.opened("pellaway_sound.toml")


def revised(site, page: str, fields: dict[str, str]) -> dict[str, str]:
    return {"revision": site.hidden(page, "revision"), "table": ROWS, **fields}


def saved(folder, ending="# more\n", **more):
    """The file with some text more, and the way back."""
    found = opened(folder)
    return save_text(folder, found, found.revision, f"{found.text}{ending}", **more)


def test_tables_come_with_the_text_and_go_with_it(folder, coast):
    before = contents(coast)
    back = saved(folder, tables={"one.csv": "a\n", "two.csv": "\u00e9\n"})
    after = contents(coast)
    assert set(after) - set(before) == {"one.csv", "two.csv"}
    assert (after["one.csv"], after["two.csv"]) == (b"a\n", b"\xc3\xa9\n")
    assert after["pellaway_sound.toml"] == before["pellaway_sound.toml"] + b"# more\n"
    assert back() == "Undone."
    assert contents(coast) == before


def test_a_table_that_another_file_names_by_now_stays(folder, coast):
    back = saved(folder, tables={"one.csv": "a\n", "two.csv": "b\n"})
    other = coast / "korimako_reach.toml"
    other.write_text(f"{other.read_text(encoding='utf-8')}# one.csv\n", encoding="utf-8")
    back()
    assert (coast / "one.csv").is_file() and not (coast / "two.csv").exists()


def test_no_table_is_written_over_another(folder, coast):
    (coast / "one.csv").write_text("mine", encoding="utf-8")
    before = contents(coast)
    with pytest.raises(OutputError, match=r"one\.csv: found such a file already"):
        saved(folder, tables={"two.csv": "b\n", "one.csv": "a\n"})
    assert contents(coast) == before


def copies(coast) -> tuple[str, str]:
    """Copies under names of their bytes: one that nobody changed since, and one that somebody did."""
    names = []
    for data in (b"kept", b"changed"):
        names.append(f"pier-record-{hashlib.sha256(data).hexdigest()[:10]}.csv")
        (coast / names[-1]).write_bytes(data.replace(b"changed", b"other"))
    return names[0], names[1]


def test_copies_that_are_named_no_more_go_and_come_back(folder, coast):
    kept, other = copies(coast)
    before = contents(coast)
    back = saved(folder, replaced=[kept, other, "nothing.csv", "gannet_bar.csv"])
    assert set(before) - set(contents(coast)) == {kept}
    back()
    assert contents(coast) == before


def test_a_copy_comes_back_over_no_other_file(folder, coast):
    kept, _other = copies(coast)
    back = saved(folder, replaced=[kept])
    (coast / kept).write_bytes(b"mine")
    before = contents(coast)
    with pytest.raises(OutputError, match=f"{kept}: found such a file already"):
        back()
    assert contents(coast) == before


def test_a_copy_that_the_new_text_names_stays(folder, coast):
    kept, _other = copies(coast)
    saved(folder, ending=f"# {kept}\n", replaced=[kept])
    assert (coast / kept).read_bytes() == b"kept"


@pytest.mark.parametrize("change", ["other bytes", "gone"])
def test_another_state_of_the_file_is_written_over_neither_forth_nor_back(folder, path, change):
    found, back = opened(folder), saved(folder)
    now = path.read_bytes() + b"# mine\n"
    path.write_bytes(now)
    if change == "gone":
        path.unlink()
    for write in (lambda: save_text(folder, found, found.revision, "title = 1\n"), back):
        with pytest.raises(ChangedMeanwhileError, match="The file was changed elsewhere while this form"):
            write()
    assert not path.exists() if change == "gone" else path.read_bytes() == now


def test_only_new_problems_of_a_file_with_problems_are_told(folder, path):
    text = path.read_text(encoding="utf-8").replace("slack_lag = 25", "slack_lag = 999")
    path.write_text(text, encoding="utf-8")
    found = opened(folder)
    assert [problem.where for problem in found.problems] == ["spots[0].slack_lag"]
    save_text(folder, found, found.revision, f"{text}# more\n")
    found = opened(folder)
    with pytest.raises(FileProblemsError) as raised:
        save_text(folder, found, found.revision, text.replace("slack_lag = 40", "slack_lag = 888"))
    assert [problem.where for problem in raised.value.problems] == ["spots[1].slack_lag"]
    assert path.read_text(encoding="utf-8") == f"{text}# more\n"


@pytest.mark.parametrize(
    ("page", "head", "headings"),
    [
        (STATION, "A new station", ["The station", texts.UNSAID]),
        (CURRENT, "A new current", ["The station", texts.UNSAID]),
        ("/new", "A new shore", ["The station", "Your first spot", "How you read it", texts.UNSAID]),
    ],
)
def test_a_form_for_a_table_leads_to_itself_and_folds_what_tables_say(standing, page, head, headings):
    text = standing.get(page).text
    assert re.search("<h1>([^<]*)</h1>", text)[1] == head
    assert f'action="{page}" enctype="multipart/form-data"' in text
    assert re.findall(r"<(?:legend|summary)>([^<]*)<", text) == headings
    assert re.findall(r"<summary>([^<]*)<", text) == ["Only where the table does not say"]
    assert "Degrees, north positive: 29.31, or 29 18.6 N" in text
    refused = standing.post(page, {"utc_offset": "x"})
    assert (refused.status, re.findall("<summary>", refused.text)) == (422, [])
    for fields in ({"utc_offset": "5"}, {"table": ROWS}):
        assert "<summary>" not in standing.post(page, fields).text
    assert standing.post(page, {"name": "x", "station_name": "x"}).text.count("<summary>") == 1
    here = SHORE if "/at/" in page else "/files"
    assert f'<a href="{here}" aria-current="page">' in text
    assert f'<a href="{here}" aria-current="page">' in refused.text


def test_a_station_more_says_what_was_typed_in_the_table_s_unit(site, coast, path):
    before = contents(coast)
    answer = site.post(STATION, revised(site, STATION, TIDE))
    assert (answer.status, answer.headers["location"].partition("?")[0]) == (303, SHORE)
    page = site.get(answer.headers["location"])
    (told,) = re.findall(r'role="status">\s*<p>([^<]*)</p>', page.text)
    assert told.startswith("Saved: station Far gauge. ") and ROOM in page.text
    assert "Amplitudes in feet" in told and "pasted" not in told
    assert tomllib.loads(path.read_text(encoding="utf-8"))["stations"][-1] == {
        "id": "far-gauge",
        "name": "Far gauge",
        "latitude": 29.2,
        "longitude": -90.5,
        "datum": "MLLW",
        "mean_level": 0.75,
        "length_unit": "feet",
        "constituents": "far-gauge.csv",
    }
    rows = (coast / "far-gauge.csv").read_text(encoding="utf-8")
    assert "# from pasted" in rows and "K1,0.50000,40.000" in rows
    undone(site, page)
    assert contents(coast) == before


def test_what_a_table_says_of_itself_is_taken_unless_it_is_typed(site, path):
    """A level comes to the file in the table's unit, as it stands there."""
    said = "Station: Old dock\nLatitude: 29.2\nLongitude: -90.5\nDatum: MLLW\nUnits: feet\n"
    table = f"{said}Mean level: 0.75 feet\nPhases: GMT\n\n{ROWS}"
    for fields, known in (
        ({}, ("Old dock", "MLLW", 0.75)),
        ({"name": "Dock", "datum": "LAT", "mean_level": "2"}, ("Dock", "LAT", 2.0)),
    ):
        page = site.posted(STATION, revised(site, STATION, {"table": table, **fields}))
        assert f"Saved: station {known[0]}." in page.words
        found = tomllib.loads(path.read_text(encoding="utf-8"))["stations"][-1]
        assert (found["name"], found["datum"], found["latitude"], found["longitude"]) == (
            *known[:2],
            29.2,
            -90.5,
        )
        assert found["mean_level"] == pytest.approx(known[2], abs=1e-9)


def test_a_current_more_has_its_mean_flow_in_knots(site, coast, path):
    page = site.posted(CURRENT, revised(site, CURRENT, {**RACE, "mean_flow": "-0.12344"}))
    assert "Saved: current The race." in page.words
    found = tomllib.loads(path.read_text(encoding="utf-8"))["currents"][-1]
    assert (found["id"], found["mean_flow"], found["constituents"]) == ("the-race", -0.1234, "the-race.csv")
    assert (found["flood_direction"], found["ebb_direction"]) == (10, 190)
    again = site.posted(CURRENT, revised(site, CURRENT, {**RACE, "mean_flow": "-0.00001"}))
    assert "Saved: current The race." in again.words
    found = tomllib.loads(path.read_text(encoding="utf-8"))["currents"][-1]
    assert (found["id"], str(found["mean_flow"])) == ("the-race-2", "0.0")


@pytest.mark.parametrize(
    ("page", "fields", "lacking"),
    [
        (STATION, {"table_units": "feet", "phase": "greenwich"},
         ["name", "latitude", "longitude", "datum", "mean_level"]),
        (CURRENT, {"table_units": "knots", "phase": "greenwich"},
         ["name", "latitude", "longitude", "flood_direction", "ebb_direction"]),
    ],
)  # fmt: skip
def test_what_neither_the_form_nor_the_table_says_is_asked_for(site, coast, page, fields, lacking):
    before = contents(coast)
    answer = site.post(page, revised(site, page, fields))
    assert answer.status == 422 and re.findall(r'id="p-(\w+)"', answer.text) == lacking
    assert "Found nothing, and the table does not say; expected a name." in beside(answer, "name")
    told = html.unescape(beside(answer, "latitude"))
    assert "expected Degrees, north positive: 29.31, or 29 18.6 N." in told
    assert "K1,0.5,40" in answer.text and contents(coast) == before


@pytest.mark.parametrize(("page", "fields", "told"), [
    (STATION, {**TIDE, "table_units": "knots"}, texts.NOT_A_TIDE),
    (CURRENT, {**RACE, "table_units": "feet"}, texts.NOT_A_CURRENT),
])  # fmt: skip
def test_a_table_of_the_other_kind_is_told_at_the_table(site, page, fields, told):
    answer = site.post(page, revised(site, page, fields))
    assert answer.status == 422 and told in html.unescape(beside(answer, "table"))


def test_a_form_on_another_state_of_the_file_is_told_above_it(site, coast):
    before = contents(coast)
    answer = site.post(STATION, {**TIDE, "table": ROWS, "revision": "old"})
    assert answer.status == 422 and contents(coast) == before
    above = answer.text.partition('<form class="filled"')[0]
    assert "The file was changed elsewhere while this form was open" in above
    assert 'id="p-' not in answer.text and ROOM in answer.text


def test_problems_stand_at_their_fields_and_others_above():
    layout = {"": ("table",), "The station": ("station_name", "latitude")}
    found = (
        Problem("stations[0].latitude", "one", "two"),
        Problem("latitude", "three", "four"),
        Problem("stations[0].name", "five", "six"),
        Problem("spots[0].depth", "seven", "eight"),
        Problem("", "", "Nine\u202e."),
    )
    groups, loose = placed(layout, {"latitude": "9"}, found)
    views = {view.key: view for group in groups for view in group.fields}
    assert views["latitude"].problems == ("Found one; expected two.", "Found three; expected four.")
    assert views["station_name"].problems == ("Found five; expected six.",)
    assert (views["latitude"].value, views["table"].value, views["table"].problems) == ("9", "", ())
    assert loose == (str(found[3]), r"Nine\u202e.")
    named = placed({"": ("table", "name")}, {}, found)[0][0].fields[1]
    assert named.problems == ("Found five; expected six.",)


@pytest.mark.parametrize(
    ("key", "expected"),
    [
        ("latitude", "a number from -90 to 90, as 29.31 or 29 18.6 N"),
        ("spot_longitude", "a number from -180 to 180, as -90.62 or 90 37.2 W"),
        ("mean_level", "a number from -1000 to 1000, as 0.61"),
        ("utc_offset", "a number from -14 to 14, as 1.5"),
        ("flood_direction", "a number from 0 to 360, as 1.5"),
        ("mean_flow", "a number from -20 to 20, as 1.5"),
    ],
)
def test_what_a_number_may_be_is_told_with_it(key, expected):
    with pytest.raises(FormError) as raised:
        awaited(answered(FormData([(key, "x" * 70)])))
    (problem,) = raised.value.problems
    assert (problem.found, problem.expected) == (f"'{'x' * 60}'", expected)


def test_the_name_of_a_table_that_was_sent_is_kept_short_and_may_be_lacking():
    for name, source in (("x" * 200, "x" * 100), (None, "pasted")):
        said = awaited(answered(FormData([("file", UploadFile(BytesIO(ROWS.encode()), filename=name))])))
        assert (said.source, said.table, said.texts["table"]) == (source, ROWS, ROWS)


def test_what_no_field_can_solve_is_told_at_the_table_with_its_place():
    assert PATH == "the table"
    fields = {"table": ROWS.replace("0.4", "-0.4"), "table_units": "feet", "phase": "greenwich"}
    with pytest.raises(FormError) as raised:
        read_table(awaited(answered(FormData(list(fields.items())))))
    (problem,) = raised.value.problems
    assert problem.where == "table" and re.match(r"\S.*: .*-0\.4", problem.found), problem
