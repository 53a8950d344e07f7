"""Every key of a station file at its bounds: what is taken, what is refused, and what was expected then."""

import pytest

from harmonics.files import file_models
from harmonics.files.checking import checked
from harmonics.files.problems import Here, Problems
from harmonics.files.record_source import RecordTable

STATION = {"id": "a", "latitude": 0.0, "longitude": 0.0, "constituents": "a.csv"}
SECONDARY = {"id": "a", "reference": "b", "high_water": {}, "low_water": {}}
CURRENT = {"id": "a", "latitude": 0.0, "longitude": 0.0, "flood_direction": 1.0, "ebb_direction": 2.0,
           "constituents": "a.csv"}  # fmt: skip
TWO = {"id": "a", "latitude": 0.0, "longitude": 0.0, "flood_direction": 1.0, "axis_direction": 1.0,
       "across_direction": 2.0, "constituents": "a.csv", "constituents_across": "b.csv"}  # fmt: skip
SECONDARY_CURRENT = {"id": "a", "reference": "b", "flood_direction": 1.0, "ebb_direction": 2.0}
HEAD = {"title": "T", "time_zone": "UTC", "units": "feet"}
TABLES = {
    "HeadTable": HEAD,
    "StationTable": STATION,
    "SecondaryTable": SECONDARY,
    "CurrentTable": CURRENT,
    "TwoComponentTable": TWO,
    "SecondaryCurrentTable": SECONDARY_CURRENT,
    "DifferenceTable": {},
    "MinutesByHourTable": {"hours": [0.0, 6.0], "minutes": [1.0, 2.0]},
    "FactorByHeightTable": {"heights": [0.0, 6.0], "factors": [1.0, 2.0]},
    "OffsetByHeightTable": {"heights": [0.0, 6.0], "offsets": [1.0, 2.0]},
}


def model_of(name):
    return getattr(file_models, name)


def found(table, /, **values):
    problems = Problems("f")
    model = checked(model_of(table), TABLES[table] | values, Here("", problems))
    return model, [f"{item.where}: {item.expected}" for item in problems]


RANGES = {
    "latitude": (-90.0, 90.0, "degrees from -90 to 90, north positive"),
    "longitude": (-180.0, 180.0, "degrees from -180 to 180, east positive"),
    "utc_offset": (-14.0, 14.0, "hours from UTC, east positive, -14 to 14"),
    "mean_level": (-100.0, 100.0, "a height from -100 to 100"),
    "offset": (-100.0, 100.0, "a height from -100 to 100"),
    "minutes": (-720.0, 720.0, "minutes from -720 to 720"),
    **dict.fromkeys(
        ("slack_before_flood", "flood", "slack_before_ebb", "ebb"),
        (-720.0, 720.0, "minutes from -720 to 720"),
    ),
    **dict.fromkeys(
        ("flood_direction", "ebb_direction", "axis_direction", "across_direction"),
        (0.0, 360.0, "degrees true from 0 to 360"),
    ),
    **dict.fromkeys(("mean_flow", "mean_across"), (-20.0, 20.0, "knots from -20 to 20, flood positive")),
}
KEYS = {
    "StationTable": ("latitude", "longitude", "utc_offset", "mean_level"),
    "SecondaryTable": ("latitude", "longitude"),
    "DifferenceTable": ("minutes", "offset"),
    "MinutesByHourTable": ("utc_offset",),
    "CurrentTable": ("latitude", "longitude", "utc_offset", "flood_direction", "ebb_direction", "mean_flow"),
    "TwoComponentTable": ("latitude", "longitude", "utc_offset", "flood_direction", "axis_direction",
                          "across_direction", "mean_flow", "mean_across"),
    "SecondaryCurrentTable": ("latitude", "longitude", "flood_direction", "ebb_direction",
                              "slack_before_flood", "flood", "slack_before_ebb", "ebb"),
}  # fmt: skip


@pytest.mark.parametrize(("name", "key"), [(name, key) for name, keys in KEYS.items() for key in keys])
def test_numbers_from_least_to_greatest(name, key):
    least, greatest, expected = RANGES[key]
    for value in (least, greatest, 0.5 * (least + greatest)):
        model, problems = found(name, **{key: value})
        assert getattr(model, key) == value and not problems
    for value in (least - 0.001, greatest + 0.001, float("nan"), float("inf"), float("-inf"), "5", True):
        assert found(name, **{key: value}) == (None, [f"{key}: {expected}"])


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("DifferenceTable", "factor"),
        ("SecondaryCurrentTable", "flood_ratio"),
        ("SecondaryCurrentTable", "ebb_ratio"),
    ],
)
def test_factors(name, key):
    for value in (1e-9, 10.0):
        assert getattr(found(name, **{key: value})[0], key) == value
    for value in (0.0, 10.001, float("inf"), float("nan")):
        assert found(name, **{key: value}) == (None, [f"{key}: a factor above 0, at most 10"])


PAIRS = [
    ("MinutesByHourTable", "hours", 0.0, 24.0, "two hours from 0 to 24 that differ"),
    ("MinutesByHourTable", "minutes", -720.0, 720.0, "two differences in minutes"),
    ("FactorByHeightTable", "heights", -100.0, 100.0, "two heights that differ"),
    ("FactorByHeightTable", "factors", 1e-9, 10.0, "two factors above 0, at most 10"),
    ("OffsetByHeightTable", "heights", -100.0, 100.0, "two heights that differ"),
    ("OffsetByHeightTable", "offsets", -100.0, 100.0, "two heights from -100 to 100"),
]


@pytest.mark.parametrize(("name", "key", "least", "greatest", "expected"), PAIRS)
def test_pairs(name, key, least, greatest, expected):
    assert getattr(found(name, **{key: [least, greatest]})[0], key) == [least, greatest]
    for pair in ([least], [least, greatest, least], [least - 0.1, greatest], [least, greatest + 0.1], 5.0):
        model, problems = found(name, **{key: pair})
        assert model is None
        assert problems[0].endswith(expected)


WORDS = [
    ("HeadTable", "units", ("feet", "metres"), '"feet" or "metres"'),
    ("StationTable", "length_unit", ("feet", "metres"), '"feet" or "metres"'),
    ("SecondaryTable", "length_unit", ("feet", "metres"), '"feet" or "metres"'),
    *(
        (name, "phase", ("greenwich", "local"), '"greenwich" or "local" (with utc_offset)')
        for name in ("StationTable", "CurrentTable", "TwoComponentTable")
    ),
    *(
        (name, "node_factors", ("yearly", "continuous"), '"yearly" or "continuous"')
        for name in ("HeadTable", "StationTable", "CurrentTable", "TwoComponentTable")
    ),
]


@pytest.mark.parametrize(("name", "key", "words", "expected"), WORDS)
def test_words(name, key, words, expected):
    for word in words:
        assert getattr(found(name, **{key: word})[0], key) == word
        assert found(name, **{key: word.upper()}) == (None, [f"{key}: {expected}"])


FILE = 'the name of a CSV file, such as "gauge.csv", beside this one or absolute'
NAME = "a text of 1 to 200 characters on one line"
TEXTS = [
    ("HeadTable", "title", 200, NAME),
    ("StationTable", "datum", 200, NAME),
    ("StationTable", "observed", 1000, "the name of a CSV of levels"),
    ("StationTable", "record_weather", 1000, "the name of a CSV of weather"),
    *((name, "name", 200, NAME) for name in TABLES if "name" in file_models.__dict__[name].model_fields),
    *(
        (name, "id", 64, "1 to 64 letters, digits, '-' or '_', without spaces")
        for name in TABLES
        if "id" in TABLES[name]
    ),
    *(
        (name, "reference", 64, "1 to 64 letters, digits, '-' or '_', without spaces")
        for name in ("SecondaryTable", "SecondaryCurrentTable")
    ),
]  # fmt: skip


@pytest.mark.parametrize(("name", "key", "longest", "expected"), TEXTS)
def test_texts(name, key, longest, expected):
    assert getattr(found(name, **{key: "x" * longest})[0], key) == "x" * longest
    for value in ("", "x" * (longest + 1), 5):
        assert found(name, **{key: value}) == (None, [f"{key}: {expected}"])
    if expected == NAME:
        for value in ("a\nb", "a\x00", "a\x7f", "a\x9f"):
            assert found(name, **{key: value}) == (None, [f"{key}: {expected}"])


@pytest.mark.parametrize("name", ["StationTable", "SecondaryTable", "CurrentTable"])
def test_ids_have_letters_digits_and_two_marks(name):
    for good in ("AZ", "az", "09", "-", "_", "Pier-9_b"):
        assert found(name, id=good)[0].id == good
    for bad in ("a b", "é", "a.b", "a/b", "a\n"):
        assert found(name, id=bad)[0] is None


@pytest.mark.parametrize("name", ["StationTable", "CurrentTable", "TwoComponentTable"])
def test_constituents_are_a_file_or_a_list(name):
    expected = "constituents: the name of a CSV file, or a list of {name, amplitude, phase}"
    assert found(name, constituents=[])[0].constituents == []
    for value in ("", "  ", 5, {}):
        assert found(name, constituents=value) == (None, [expected])


def test_what_is_left_out():
    head, station, difference = (found(name)[0] for name in ("HeadTable", "StationTable", "DifferenceTable"))
    assert (head.invented, head.node_factors, head.stations, head.currents) == (False, "yearly", [], [])
    assert (station.phase, station.utc_offset, station.node_factors, station.mean_level) == (
        "greenwich", None, None, None,
    )  # fmt: skip
    assert (station.name, station.datum, station.observed, station.record, station.record_weather) == (
        None,
    ) * 5
    assert (difference.minutes, difference.factor, difference.offset) == (0.0, 1.0, 0.0)
    assert (difference.minutes_by_hour, difference.factor_by_height, difference.offset_by_height) == (
        None,
    ) * 3
    assert found("MinutesByHourTable")[0].utc_offset == 0.0
    one, two, other = (
        found(name)[0] for name in ("CurrentTable", "TwoComponentTable", "SecondaryCurrentTable")
    )
    assert (one.mean_flow, two.mean_flow, two.mean_across, one.phase, two.phase) == (
        0.0, 0.0, 0.0, "greenwich", "greenwich",
    )  # fmt: skip
    assert (other.slack_before_flood, other.flood, other.slack_before_ebb, other.ebb) == (0.0,) * 4
    assert (other.flood_ratio, other.ebb_ratio) == (1.0, 1.0)
    assert {item.name for item in (one, two, other, found("SecondaryTable")[0])} == {None}


@pytest.mark.parametrize(
    ("name", "key", "expected"),
    [
        ("HeadTable", "invented", "true or false"),
        ("HeadTable", "time_zone", 'an IANA time zone such as "America/Chicago"'),
        ("HeadTable", "stations", "[[stations]] tables"),
        ("HeadTable", "currents", "[[currents]] tables"),
        ("DifferenceTable", "minutes_by_hour", "a table { hours, minutes, utc_offset }"),
        ("DifferenceTable", "factor_by_height", "a table { heights, factors }"),
        ("DifferenceTable", "offset_by_height", "a table { heights, offsets }"),
        ("SecondaryTable", "high_water", "a table { minutes, factor, offset }"),
        ("SecondaryTable", "low_water", "a table { minutes, factor, offset }"),
    ],
)
def test_other_kinds(name, key, expected):
    assert found(name, **{key: 5})[1] == [f"{key}: {expected}"]


@pytest.mark.parametrize(
    ("key", "good", "bad", "expected"),
    [
        (
            "file",
            "x" * 1000,
            "x" * 1001,
            'the name of a CSV file, such as "gauge.csv", beside this one or absolute',
        ),
        ("file", "a.csv", "a\nb", FILE),
        ("zone", "x" * 100, "x" * 101, 'an IANA time zone such as "UTC"'),
        ("units", "feet", "yards", '"feet" or "metres"'),
        ("units", "metres", 1, '"feet" or "metres"'),
        ("time_column", "x" * 200, "x" * 201, "a column's header"),
        ("level_column", "x", "", "a column's header"),
    ],
)
def test_the_table_of_a_record(key, good, bad, expected):
    problems = Problems("f")
    assert getattr(checked(RecordTable, {"file": "a.csv", key: good}, Here("", problems)), key) == good
    assert checked(RecordTable, {"file": "a.csv"}, Here("", problems)).zone is None
    assert checked(RecordTable, {"file": "a.csv", key: bad}, Here("", problems)) is None
    assert [f"{item.where}: {item.expected}" for item in problems] == [f"{key}: {expected}"]


def test_a_table_of_a_thousand_problems_is_told_once():
    table = STATION | {f"key{number}": 1 for number in range(1001)}
    problems = Problems("f")
    assert checked(file_models.StationTable, table, Here("", problems)) is None
    (problem,) = problems
    assert (problem.found, problem.expected) == (
        "1,001 problems in one table",
        f"a table with {', '.join(file_models.StationTable.model_fields)}",
    )
    assert checked(file_models.StationTable, 5, Here("x", problems)) is None
    assert list(problems)[1].found == "5"
    assert list(problems)[1].expected == problem.expected


def test_an_unknown_key_is_told_with_one_that_is_near():
    problems = Problems("f")
    checked(file_models.StationTable, STATION | {"latitud": 1, "zzz": 1}, Here("", problems))
    known = ", ".join(file_models.StationTable.model_fields)
    assert [str(item) for item in problems] == [
        f"latitud: found an unknown key; expected 'latitude'? known keys: {known}",
        f"zzz: found an unknown key; expected one of {known}",
    ]
