"""What each form of a table asks for, which file a form may name as a log, and what a deletion tells."""

import re
import tomllib

import pytest

from harmonics.errors import FileProblemsError
from tests.app.asking import AT
from tests.app.sending import undone
from tests.app.test_offers import filled
from windows.app.fields import Kind, fields_of, keys_said, model_of, text_of, value_of
from windows.app.log_form import refuse_path, trips_before

TIDE_ONE = "name latitude longitude datum mean_level length_unit phase utc_offset node_factors"
PLACE = "name latitude longitude"
FORMS = [
    ("", {}, "title invented time_zone units node_factors"),
    ("stations", {}, TIDE_ONE),
    ("stations", {"constituents_across": "x"}, TIDE_ONE),
    ("stations", {"reference": "x"}, "name reference latitude longitude length_unit"),
    ("currents", {}, f"{PLACE} flood_direction ebb_direction mean_flow phase utc_offset node_factors"),
    (
        "currents",
        {"constituents_across": []},
        f"{PLACE} flood_direction axis_direction across_direction mean_flow mean_across phase utc_offset "
        "node_factors",
    ),
    (
        "currents",
        {"reference": "x"},
        f"{PLACE} flood_direction ebb_direction slack_before_flood flood slack_before_ebb ebb flood_ratio "
        "ebb_ratio reference",
    ),
    ("banks", {}, f"{PLACE} station bare_below bait warm_only"),
    ("rules", {}, "species least_length greatest_length measured bag season source checked"),
    ("log", {}, "path"),
    ("weather", {}, "zone"),
]
SHAPES = [
    ("spots", "light", Kind.CHOICE, ("low", "day", "night", "any"), "preferences"),
    ("spots", "days", Kind.WORDS, (), "preferences"),
    ("spots", "daylight_only", Kind.FLAG, (), "preferences"),
    ("spots", "points.moon", Kind.NUMBER, (), "points"),
    ("spots", "flow.current", Kind.TEXT, (), "flow"),
    ("spots", "exposed", Kind.RAW, (), ""),
    ("spots", "station", Kind.TEXT, (), ""),
    ("fishing", "days", Kind.WORDS, (), ""),
    ("rules", "bag", Kind.NUMBER, (), ""),
    ("rules", "checked", Kind.DATE, (), ""),
    ("banks", "bait", Kind.CHOICE, ("crab", "worm", "shrimp", "other"), ""),
    ("banks", "latitude", Kind.NUMBER, (), ""),
    ("ways", "from", Kind.TEXT, (), ""),
]
LOG_HEAD = b"SQLite format 3\0" + bytes(52)
EXPECTED = "expected a name such as trips.db, of a log in this folder or of a new one"
SPOTS = f"{AT}/shore/spots"


@pytest.mark.parametrize(("kind", "table", "keys"), FORMS)
def test_what_a_form_asks_for(kind, table, keys):
    found = [field.key for field in fields_of(model_of(kind, table)) if "." not in field.key]
    assert sorted(found) == sorted(keys.split())


@pytest.mark.parametrize(("kind", "key", "shape", "choices", "group"), SHAPES)
def test_what_a_field_takes(kind, key, shape, choices, group):
    (field,) = (field for field in fields_of(model_of(kind, {})) if field.key == key)
    assert (field.kind, field.choices, field.group) == (shape, choices, group)


def test_of_an_inner_table_nothing_is_needed_by_itself():
    """A secondary station's high water needs minutes, but only where there is one."""
    fields = {field.key: field for field in fields_of(model_of("stations", {"reference": "x"}))}
    assert [key for key, field in fields.items() if field.needed] == ["reference"]
    assert fields["high_water.minutes"].expected == "minutes from -720 to 720"
    assert fields["high_water.minutes"].group == "high_water"
    assert fields["latitude"].expected and fields["length_unit"].choices == ("feet", "metres")


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (Kind.NUMBER, "1" * 15, int("1" * 15)),
        (Kind.NUMBER, "-1.000000000000005", -1.000000000000005),
        (Kind.NUMBER, "1." + "5" * 16, "1." + "5" * 16),
        (Kind.NUMBER, "1.", "1."),
        (Kind.NUMBER, "²", "²"),
        (Kind.FLAG, "false", False),
        (Kind.CHOICE, "  low \n tide ", "low tide"),
        (Kind.WORDS, " , ", []),
        (Kind.RAW, "[" * 5000, "[" * 5000),
        (Kind.RAW, "[" * 300 + "]" * 300, "[" * 300 + "]" * 300),
        (Kind.RAW, '"a"', "a"),
    ],
)
def test_what_stands_in_a_field_means(kind, text, value):
    found = value_of(kind, text)
    assert found == value and type(found) is type(value)


@pytest.mark.parametrize(
    ("kind", "value", "text"),
    [
        (Kind.RAW, [{"from": 1}], "[{from = 1}]"),
        (Kind.WORDS, "no list", "no list"),
        (Kind.WORDS, {"a": 1}, "{a = 1}"),
        (Kind.TEXT, [1, "b"], '[1, "b"]'),
        (Kind.RAW, [{"from": 180, "value = ": "x\ny"}, {}], '[{from = 180, "value = " = "x\\ny"}, {}]'),
        (Kind.RAW, {"a": {"b": [[1, 2.5], [3, True]]}}, "{a = {b = [[1, 2.5], [3, true]]}}"),
    ],
)
def test_what_a_field_shows_of_a_value_of_another_kind(kind, value, text):
    assert text_of(kind, value) == text


def test_a_form_with_sectors_that_is_sent_as_it_stands_changes_nothing(site, coast):
    path = coast / "pellaway_sound.toml"
    text = path.read_text(encoding="utf-8")
    sectors = "exposed = [ { from = 180, to = 300, fetch_km = 12, depth_m = 6.5 } ]"
    path.write_text(text.replace("slack_lag = 25\n", f"slack_lag = 25\n{sectors}\n"), encoding="utf-8")
    before = path.read_bytes()
    shown = filled(site.get(f"{SPOTS}/0").text)
    assert shown["exposed"].startswith("[{from = 180, to = 300")
    assert "Saved: spot Railway groyne." in site.posted(f"{SPOTS}/0", {**shown, "deed": "save"}).words
    assert path.read_bytes() == before


def test_a_position_in_minutes_is_read_as_a_position_and_a_table_in_the_place_of_another_value_replaces_it():
    fields = [field for field in fields_of(model_of("spots", {})) if field.key in {"latitude", "flow.factor"}]
    said = keys_said(tuple(fields), {"latitude": "29 18.6 N", "flow.factor": "2"}, {"flow": "x"})
    assert said == {"latitude": pytest.approx(29.31), "flow": {"factor": 2}}
    assert keys_said(tuple(fields), {"latitude": "x"}, {"latitude": 1.0}) == {"latitude": "x"}


def refused(folder, path) -> str | None:
    """What is told of a path in the place of the log; None where it is taken."""
    try:
        refuse_path(folder, {"path": path})
    except FileProblemsError as error:
        (problem,) = error.problems
        assert (problem.where, error.path) == ("log.path", "log")
        assert f"{problem}".endswith(EXPECTED)
        return problem.found
    return None


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("a.db", None),
        ("Fänge 2026-b_c.db", None),
        (f"{'x' * 99}.db", None),
        (f"{'x' * 100}.db", f"'{'x' * 100}.db'"),
        (" a.db", "' a.db'"),
        ("-a.db", "'-a.db'"),
        ("a.db.bak", "'a.db.bak'"),
        ("a.dbx", "'a.dbx'"),
        ("a/b.db", "'a/b.db'"),
        ("a.DB", "'a.DB'"),
        (".db", "'.db'"),
        (None, None),
        (1, None),
    ],
)
def test_names_that_a_log_may_have(tmp_path, name, told):
    found = refused(tmp_path, name)
    assert (found is None) == (told is None)
    assert told is None or found == told or found.startswith(told[:40])
    refuse_path(tmp_path, {})


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (LOG_HEAD, "a file that is no log"),
        (b"", "a file that is no log"),
        (b"x" * 72, "a file that is no log"),
        (LOG_HEAD + b"\0\0\0\0", "a file that is no log"),
    ],
)
def test_what_stands_in_the_place_of_a_log(tmp_path, data, told):
    (tmp_path / "a.db").write_bytes(data)
    assert refused(tmp_path, "a.db") == told
    (tmp_path / "b.db").symlink_to(tmp_path / "nothing.db")
    assert refused(tmp_path, "b.db") == "a link"
    (tmp_path / "c.db").mkdir()
    assert refused(tmp_path, "c.db") == "a file that is no log"


def test_a_log_is_known_by_the_number_that_it_bears(site, data_home, tmp_path):
    trip = {"spot": "railway-groyne", "start": "2026-08-09 17:30", "end": "20:10", "nothing": "yes"}
    assert trips_before(None) == (data_home / "ebblight" / "trips.db", 0)
    site.posted(f"{AT}/log/new", trip)
    place = data_home / "ebblight" / "trips.db"
    assert trips_before(None) == (place, 1)
    data = place.read_bytes()
    (tmp_path / "a.db").write_bytes(data)
    assert refused(tmp_path, "a.db") is None
    (tmp_path / "b.db").write_bytes(data[:68] + b"\0\0\0\1" + data[72:])
    assert refused(tmp_path, "b.db") == "a file that is no log"
    (tmp_path / "c.db").write_bytes(b"x" + data[1:])
    assert refused(tmp_path, "c.db") == "a file that is no log"
    place.write_bytes(b"no database")
    assert trips_before(None) == (place, 0)


def deleted(site, page: str):
    """The page that a deletion leads to."""
    return site.posted(page, {"revision": site.hidden(page, "revision"), "deed": "delete"})


def test_a_deletion_names_what_went_and_leads_back_also_past_other_changes(site, coast):
    path = coast / "pellaway_sound.toml"
    before = path.read_text(encoding="utf-8")
    done = deleted(site, f"{SPOTS}/2")
    assert "Deleted: spot Marsh drain." in done.words
    assert 'id = "marsh-drain"' not in path.read_text(encoding="utf-8")
    path.write_text(path.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
    undone(site, done)
    again = tomllib.loads(path.read_text(encoding="utf-8"))
    whole = tomllib.loads(before)
    assert sorted(again.pop("spots"), key=str) == sorted(whole.pop("spots"), key=str)
    assert again == whole and path.read_text(encoding="utf-8").endswith("# mine\n")
    assert "Deleted: way Cane ramp to " in deleted(site, f"{AT}/shore/ways/0").words


def test_a_deletion_that_can_not_be_put_back_is_told_and_changes_nothing(site, coast):
    path = coast / "pellaway_sound.toml"
    done = deleted(site, f"{SPOTS}/2")
    text = path.read_text(encoding="utf-8").replace('id = "reed-landing"', 'id = "other"')
    path.write_text(text.replace('"reed-landing"', '"other"'), encoding="utf-8")
    ticket = re.search(r'name="ticket" value="([^"]*)"', done.text)[1]
    answer = site.post("/undo", {"ticket": ticket})
    assert answer.status == 409 and "reed-landing" in answer.words
    assert path.read_text(encoding="utf-8") == text.replace('"reed-landing"', '"other"')
