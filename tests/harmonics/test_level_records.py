"""Records of levels: each unit and name, numbers for no reading, and what is said of each fault."""

import datetime as dt

import numpy as np
import pytest

from harmonics.errors import FileProblemsError
from harmonics.records.reader import parse_record, read_record
from harmonics.records.record_clock import with_fallback
from harmonics.units import LengthUnit
from tests.harmonics.conftest import utc


def record(header, *rows, **options):
    return parse_record("\n".join([f"time_utc,{header}", *rows]), "gauge.csv", **options)


def problems_of(text, **options):
    with pytest.raises(FileProblemsError) as caught:
        parse_record(text, "gauge.csv", **options)
    assert caught.value.path == "gauge.csv"
    return [str(problem) for problem in caught.value.problems]


ROWS = ("2026-01-01 00:00,2.0", "2026-01-01 01:00,3.0")


@pytest.mark.parametrize(
    ("word", "metres"),
    [
        *((word, 1.0) for word in ("m", "metre", "metres", "meter", "meters", "M")),
        *((word, 0.3048) for word in ("ft", "foot", "feet", "Feet")),
        ("cm", 0.01),
        ("mm", 0.001),
    ],
)
def test_every_unit(word, metres):
    found = record(f"level [{word}]", *ROWS)
    assert found.level.tolist() == pytest.approx([2.0 * metres, 3.0 * metres])
    assert found.unit == word.lower()


def test_a_unit_that_is_given():
    assert record("level", *ROWS, unit=LengthUnit.FEET).level[0] == pytest.approx(0.6096)
    assert record("level", *ROWS, unit=LengthUnit.FEET).unit == "feet"
    assert record("level_ft", *ROWS, unit=LengthUnit.FEET).level[0] == pytest.approx(0.6096)
    text = "time_utc,level_cm\n" + "\n".join(ROWS)
    assert problems_of(text, unit=LengthUnit.METRES) == [
        "column 'level_cm': found the unit cm; expected metres, as was asked for"
    ]
    assert problems_of("time_utc,level\n" + "\n".join(ROWS)) == [
        "column 'level': found no unit; expected one in the header, as in 'level_m' or 'level_ft', or given"
    ]


@pytest.mark.parametrize(
    "number",
    ["-9999", "-999", "-99.99", "-99.9", "99.99", "999", "999.99", "9999", "99999", "-99999"],
)
def test_numbers_of_gauges_for_no_reading(number):
    found = record("level_m", *ROWS, f"2026-01-01 02:00,{number}", f"2026-01-01 03:00,{number}")
    assert np.isnan(found.level).tolist() == [False, False, True, True]
    assert found.notes == (f"{number} taken for a gap, times: 2",)


def test_a_number_that_may_be_a_level_is_one():
    near = record("level_m", "2026-01-01 00:00,34.0", "2026-01-01 01:00,99.9", "2026-01-01 02:00,99.99")
    assert np.isfinite(near.level).all() and near.notes == ()
    exact = record("level_cm", "2026-01-01 00:00,333.0", "2026-01-01 01:00,999")
    assert np.isfinite(exact.level).all()
    beyond = record("level_cm", "2026-01-01 00:00,332.0", "2026-01-01 01:00,999")
    assert np.isnan(beyond.level[1])
    assert np.isfinite(record("level_m", "2026-01-01 00:00,999", "2026-01-01 01:00,999").level).all()


@pytest.mark.parametrize("text", ["", "NA", "nan", "NULL", "none", "-", "--", "n/a"])
def test_texts_for_no_reading(text):
    found = record("level_m", *ROWS, f"2026-01-01 02:00,{text}")
    assert np.isnan(found.level[2])


def test_faults_in_words():
    assert problems_of("time_utc,level_m\n2026-01-01 00:00,high\n2026-01-01 01:00,inf\n1 May,1\n") == [
        "line 4: found '1 May'; expected a time such as 2010-01-31 06:00",
        "line 2: found 'high'; expected a level from -1,000 to 1,000, or an empty field",
        "line 3: found 'inf'; expected a level from -1,000 to 1,000, or an empty field",
    ]
    assert problems_of("time_utc,level_m\n2026-01-01 00:00,\n2026-01-01 01:00,\n") == [
        "file: found no reading in 2 rows; expected levels, with gaps left empty"
    ]
    assert problems_of("time_utc,level_m\n1.0,2026-01-01 00:00\n2.0,2026-01-01 01:00\n") == [
        "columns 'time_utc' and 'level_m': found numbers among the times and times among the levels; "
        "expected the two columns the other way round"
    ]
    doubled = "time_utc,level_m\n2026-01-01 01:00,1\n2026-01-01 00:00,1\n2026-01-01 01:00,2\n"
    assert problems_of(doubled) == [
        "line 4: found the time of line 2 again with another level; expected each time once"
    ]


def test_what_was_put_right_in_words():
    found = record(
        "level_m",
        "2026-01-01 01:00,1",
        "2026-01-01 00:00,5",
        "2026-01-01 01:00,",
        "2026-01-01 00:00,5",
        "2026-01-01 02:00,",
        "2026-01-01 02:00,2",
    )
    assert found.t.tolist() == [utc(f"2026-01-01 0{hour}:00") for hour in range(3)]
    assert found.level.tolist() == [5.0, 1.0, 2.0]
    assert found.notes == (
        "rows out of order, first at line 3 (2026-01-01 00:00 UTC); they were put in order",
        "rows that repeat the time before them, dropped: 3",
    )


def test_clocks_in_words():
    rows = "\n".join(ROWS)
    assert parse_record(f"time_utc,level_m\n{rows}", "g").clock == "UTC, from the header 'time_utc'"
    assert parse_record(f"time GMT,level_m\n{rows}", "g").clock == "UTC, from the header 'time GMT'"
    zone = dt.timezone(dt.timedelta(hours=-5), "five behind")
    assert parse_record(f"time,level_m\n{rows}", "g", zone=zone).clock == "the zone five behind"
    stamped = f"time,level_m\n{rows}".replace(":00,", ":00Z,")
    assert parse_record(stamped, "g").clock == "offsets in the stamps"
    assert problems_of(f"time_utc,level_m\n{rows}", zone=zone) == [
        "column 'time_utc': found utc; expected the zone five behind, as was asked for"
    ]
    assert problems_of(f"time,level_m\n{rows}") == [
        "column 'time': found a clock without a zone; expected an offset in every stamp (2010-01-31T06:00Z), "
        "a header that says UTC, or a zone given"
    ]
    assert problems_of(f"time,level_m\n{rows}".replace("00:00,", "00:00Z,")) == [
        "line 3: found a time without an offset; expected an offset in every stamp or in none"
    ]


@pytest.mark.parametrize(
    ("header", "named", "fallback", "clock"),
    [
        ("time", "one", "two", "the zone one"),
        ("time", None, "two", "the zone two"),
        ("time", "one", None, "the zone one"),
        ("time_utc", None, "two", "UTC, from the header 'time_utc'"),
        ("time", None, None, None),
        ("time_utc", "one", "two", None),
    ],
)
def test_the_clock_that_was_named_the_files_own_or_another(header, named, fallback, clock):
    zones = {name: dt.timezone(dt.timedelta(hours=-hours), name) for hours, name in ((5, "one"), (6, "two"))}
    tried = []

    def read(zone):
        tried.append(zone)
        return parse_record(f"{header},level_m\n" + "\n".join(ROWS), "g", zone=zone)

    if clock is None:
        with pytest.raises(FileProblemsError):
            with_fallback(read, zones.get(named), zones.get(fallback))
        assert tried == [zones.get(named)]
    else:
        assert with_fallback(read, zones.get(named), zones.get(fallback)).clock == clock


@pytest.mark.parametrize(
    "stamp",
    ["2026-01-01T06:00Z", "2026-01-01 06:00 UTC", "2026-01-01 06:00GMT", "2026-01-01 06:00:00.0Z",
     "2026-01-01 01:00-05:00", "2026-01-01 11:30+0530"],
)  # fmt: skip
def test_stamps(stamp):
    found = parse_record(f"time,level_m\n{stamp},1\n2026-01-02 00:00Z,2\n", "g")
    assert found.t[0] == utc("2026-01-01 06:00")


def test_a_file_names_what_it_was_expected_to_be(tmp_path):
    with pytest.raises(FileProblemsError) as caught:
        read_record(tmp_path / "none.csv")
    assert str(caught.value).endswith("found no such file; expected a CSV file of times and levels")
    (tmp_path / "a.csv").write_text("when;t [m];level [m]\n2026-01-01 00:00;1;2\n", encoding="utf-8")
    found = read_record(tmp_path / "a.csv", zone=dt.UTC, time_column="when", level_column="t [m]")
    assert (found.level[0], found.path) == (1.0, str(tmp_path / "a.csv"))
