"""What a form's field shows of a value, and what its text means."""

from datetime import date

import pytest

from windows.app.fields import (
    Field,
    Kind,
    fields_of,
    keys_said,
    model_of,
    number_in,
    text_of,
    value_in,
    value_of,
)

TABLE = {"name": "Pier", "flow": {"strong_ebb": 1.5, "current": "gut"}, "active": True}


def field(key, kind):
    return Field(key, kind, "", (), False, "")


@pytest.mark.parametrize(
    ("kind", "value", "text"),
    [
        (Kind.TEXT, None, ""),
        (Kind.TEXT, "Pier", "Pier"),
        (Kind.NUMBER, 2.5, "2.5"),
        (Kind.NUMBER, 0, "0"),
        (Kind.FLAG, True, "true"),
        (Kind.FLAG, False, "false"),
        (Kind.WORDS, ["crab", "worm"], "crab, worm"),
        (Kind.DATE, date(2026, 8, 15), "2026-08-15"),
        (Kind.RAW, [1, 2], "[1, 2]"),
        (Kind.RAW, [], "[]"),
    ],
)
def test_a_value_and_its_text(kind, value, text):
    assert text_of(kind, value) == text
    assert value_of(kind, f" {text} ") == value


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (Kind.TEXT, " two\n  lines ", "two lines"),
        (Kind.NUMBER, "12", 12),
        (Kind.NUMBER, "+0.5", 0.5),
        (Kind.NUMBER, "1e3", "1e3"),
        (Kind.NUMBER, "1" * 16, "1" * 16),
        (Kind.NUMBER, "nan", "nan"),
        (Kind.FLAG, "True", "True"),
        (Kind.WORDS, "crab,\nworm, ,", ["crab", "worm"]),
        (Kind.DATE, "15 August", "15 August"),
        (Kind.RAW, '{ from = "05:00" }', {"from": "05:00"}),
        (Kind.RAW, "1\nother = 2", "1\nother = 2"),
        (Kind.RAW, "[1,", "[1,"),
        (Kind.TEXT, "   ", None),
    ],
)
def test_what_a_text_means_and_what_stays_one_for_the_reader_to_refuse(kind, text, value):
    found = value_of(kind, text)
    assert found == value and type(found) is type(value)


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("latitude", "43° 30' N", 43.5),
        ("longitude", "70° 30' W", -70.5),
        ("mean_level", "43° 30' N", "43° 30' N"),
        ("latitude", "north", "north"),
        ("latitude", "-43.5", -43.5),
        ("latitude", " ", None),
    ],
)
def test_a_position_may_have_a_side(key, text, value):
    assert number_in(key, text) == value


def test_a_value_is_found_by_its_path():
    assert value_in(TABLE, "name") == "Pier"
    assert value_in(TABLE, "flow.strong_ebb") == 1.5
    assert value_in(TABLE, "flow.none") is None
    assert value_in(TABLE, "name.inner") is None


@pytest.mark.parametrize(
    ("key", "kind", "text", "changes"),
    [
        ("name", Kind.TEXT, " Pier ", {}),
        ("name", Kind.TEXT, "Quay", {"name": "Quay"}),
        ("name", Kind.TEXT, "", {"name": None}),
        ("flow.strong_ebb", Kind.NUMBER, "1.5", {}),
        ("flow.strong_ebb", Kind.NUMBER, "2", {"flow": {"strong_ebb": 2, "current": "gut"}}),
        ("flow.strong_ebb", Kind.NUMBER, "", {"flow": {"current": "gut"}}),
        ("hours.spring", Kind.TEXT, "any", {"hours": {"spring": "any"}}),
        ("hours.spring", Kind.TEXT, "", {}),
        ("active", Kind.FLAG, "true", {}),
        ("active", Kind.NUMBER, "1", {"active": 1}),
    ],
)
def test_only_what_is_said_otherwise_is_a_change(key, kind, text, changes):
    assert keys_said((field(key, kind),), {key: text}, TABLE) == changes
    assert keys_said((field(key, kind),), {"other": text}, TABLE) == {}


def test_two_keys_of_an_inner_table_change_together_and_an_emptied_one_goes():
    both = (field("flow.strong_ebb", Kind.NUMBER), field("flow.current", Kind.TEXT))
    said = keys_said(both, {"flow.strong_ebb": "2", "flow.current": "race"}, TABLE)
    assert said == {"flow": {"strong_ebb": 2, "current": "race"}}
    assert keys_said(both, {"flow.strong_ebb": "", "flow.current": " "}, TABLE) == {"flow": None}


def test_fields_of_a_table_are_those_of_its_model_but_names_of_files():
    spot = {item.key: item for item in fields_of(model_of("spots", {}))}
    assert spot["name"].kind is Kind.TEXT and spot["name"].group == ""
    assert spot["flow.strong_ebb"].kind is Kind.NUMBER and spot["flow.strong_ebb"].group == "flow"
    assert "id" not in spot and all(item.expected for item in spot.values())
    station = {item.key for item in fields_of(model_of("stations", {}))}
    assert station >= {"name", "datum"} and not station & {"constituents", "record", "observed"}


@pytest.mark.parametrize(
    ("kind", "needed"),
    [
        ("", ["title", "time_zone", "units"]),
        ("currents", ["latitude", "longitude", "flood_direction", "ebb_direction"]),
        ("boat", ["speed_kn"]),
        ("ways", ["from", "to"]),
        ("spots", []),
    ],
)
def test_what_a_table_can_not_do_without(kind, needed):
    assert [item.key for item in fields_of(model_of(kind, {})) if item.needed] == needed
