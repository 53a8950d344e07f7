"""A published table as a form brings it: pasted or sent, in any usual encoding, with numbers beside."""

import re
from io import BytesIO

import pytest
from starlette.datastructures import FormData, UploadFile

from harmonics.files.agency_tables import TableOptions
from harmonics.files.published.statements import Fact
from harmonics.files.published.units import PhaseKind, TableUnit
from tests.app.asking import AT, awaited
from windows.app import table_reading
from windows.app.table_reading import FormError, answered, read_table
from windows.render.words import table_forms as words

TIDE = "Pegel Köln\nName Amplitude Phase\nM2 1.2 100\nS2 0.2 130\n"
SAID = {"table_units": "metres", "phase": "greenwich"}


def sent(data: bytes, **fields: str):
    """A form with a file."""
    return awaited(
        answered(FormData([*fields.items(), ("file", UploadFile(BytesIO(data), filename="pegel.txt"))]))
    )


def typed(**fields: str):
    """A form without one."""
    return awaited(answered(FormData(list(fields.items()))))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_a_file_is_read_in_its_encoding(encoding):
    said = sent(TIDE.encode(encoding))
    assert said.table == said.texts["table"] == TIDE
    assert said.source == "pegel.txt"


def test_what_was_pasted_stands_before_a_file():
    said = sent(b"other", table=TIDE)
    assert (said.table, said.source) == (TIDE, "pasted")
    assert sent(TIDE.encode(), table="  ").table == TIDE


def test_bytes_that_are_no_text():
    with pytest.raises(FormError) as raised:
        sent(b"\x00\x01\x02")
    (problem,) = raised.value.problems
    assert (problem.where, problem.found, problem.expected) == ("table", words.NO_TEXT, words.TABLE_EXPECTED)


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("latitude", "-90", -90.0),
        ("spot_latitude", "43° 30' N", 43.5),
        ("longitude", "\u221270.5", -70.5),
        ("spot_longitude", "180", 180.0),
        ("mean_level", "1000", 1000.0),
        ("utc_offset", "-14", -14.0),
        ("flood_direction", "360", 360.0),
        ("ebb_direction", "0", 0.0),
        ("across_direction", "90.5", 90.5),
        ("mean_flow", "-20", -20.0),
        ("name", " Old   dock ", "Old dock"),
    ],
)
def test_what_stands_in_a_field(key, text, value):
    found = typed(**{key: text}).values[key]
    assert found == value and type(found) is type(value)


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("latitude", "90.1"),
        ("spot_latitude", "-90.1"),
        ("longitude", "180.1"),
        ("spot_longitude", "-180.1"),
        ("mean_level", "1001"),
        ("utc_offset", "14.1"),
        ("flood_direction", "-1"),
        ("ebb_direction", "361"),
        ("across_direction", "361"),
        ("mean_flow", "20.1"),
        ("latitude", "north"),
    ],
)
def test_a_number_that_can_not_be_is_told_at_its_field(key, text):
    with pytest.raises(FormError) as raised:
        typed(**{key: f" {text} ", "utc_offset" if key != "utc_offset" else "latitude": "x"})
    first = next(problem for problem in raised.value.problems if problem.where == key)
    assert first.found == f"'{text}'" and len(raised.value.problems) == 2


def test_an_empty_field_says_nothing():
    said = typed(latitude=" ", name="")
    assert dict(said.values) == {} and said.texts["latitude"] == " "


@pytest.mark.parametrize(
    ("fields", "where", "found"),
    [
        ({}, "table", "nothing"),
        ({"table": TIDE, "phase": "greenwich"}, "table_units", None),
        ({"table": TIDE, "table_units": "metres"}, "phase", None),
        ({"table": TIDE, "table_units": "metres", "phase": "local"}, "utc_offset", None),
        ({"table": TIDE, "table_units": "ells", "phase": "greenwich"}, "table_units", words.NOT_OFFERED),
        ({"table": TIDE.replace("1.2", "0").replace("0.2", "0"), **SAID}, "table", None),
        ({"table": "nothing of the kind", **SAID}, "table", None),
    ],
)
def test_what_a_table_lacks_is_told_at_the_field_that_gives_it(fields, where, found):
    with pytest.raises(FormError) as raised:
        read_table(typed(**fields))
    assert raised.value.problems[0].where == where
    assert found is None or raised.value.problems[0].found == found


def test_a_table_with_what_the_form_says():
    found = read_table(typed(table=TIDE, **SAID))
    assert found.constants.amplitude.tolist() == [1.2, 0.2]


class _ReadError(Exception):
    """Ends a reading whose options are known."""


@pytest.mark.parametrize(
    ("field", "typed_in", "known"),
    [
        ("table_units", "feet", lambda options: options.unit is TableUnit("feet")),
        ("phase", "local", lambda options: options.phase is PhaseKind.LOCAL),
        ("utc_offset", "-5", lambda options: options.utc_offset == -5.0),
        ("longitude", "-70.5", lambda options: options.longitude == -70.5),
        ("flood_direction", "205", lambda options: options.directions[Fact.FLOOD] == 205.0),
        ("ebb_direction", "25", lambda options: options.directions[Fact.EBB] == 25.0),
        ("across_direction", "115", lambda options: options.directions[Fact.ACROSS] == 115.0),
        ("mean_flow", "-0.3", lambda options: options.directions[Fact.MEAN_FLOW] == -0.3),
    ],
)
def test_what_is_typed_beside_a_table_is_known_of_it(monkeypatch, field, typed_in, known):
    def seen(_text, _path, options):
        told.append(options)
        raise _ReadError

    told: list[TableOptions] = []
    monkeypatch.setattr(table_reading, "import_table", seen)
    with pytest.raises(_ReadError):
        read_table(typed(table=TIDE, **{field: typed_in}))
    assert known(told[0])
    others = {**vars_of(told[0]), **told[0].directions}
    assert sum(value is not None for value in others.values()) == 1


def vars_of(options: TableOptions) -> dict[str, object]:
    """What is known but of directions."""
    return {name: getattr(options, name) for name in ("unit", "phase", "utc_offset", "longitude")}


@pytest.mark.parametrize("page", ["/new", f"{AT}/shore/stations/new", f"{AT}/shore/currents/new"])
def test_each_field_has_the_form_of_what_goes_into_it(standing, page):
    """A table has room for lines and is not spelled out; what has choices offers them all, and none."""
    text = standing.get(page).text
    assert re.search(r'<textarea id="f-table" name="table" rows="8" spellcheck="false"', text)
    assert text.count("<textarea") == 1
    shown = dict(re.findall(r'<select id="f-\w+" name="(\w+)"[^>]*>(.*?)</select>', text, re.DOTALL))
    offered = {name: re.findall(r'<option value="([^"]*)"', options) for name, options in shown.items()}
    assert offered and {"table_units", "phase"} <= set(offered)
    for name, values in offered.items():
        assert values == ["", *words.CHOICES[name]], name
