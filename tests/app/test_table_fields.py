"""A published table as a form brings it: pasted or sent, in any usual encoding, with numbers beside."""

from io import BytesIO

import pytest
from starlette.datastructures import FormData, UploadFile

from tests.app.asking import awaited
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
