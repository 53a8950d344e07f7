"""Level records read from CSV: units, clocks, gaps, and every kind of wrong file. Invented readings."""

from datetime import timedelta, timezone
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from harmonics.errors import FileProblemsError
from harmonics.records.reader import parse_record, read_record
from harmonics.units import LengthUnit
from tests.conftest import PUBLISHED
from tests.harmonics.conftest import utc

HOUR = 3600.0


def csv(*rows, header="time_utc,level_m"):
    return "\n".join([header, *rows]) + "\n"


def problems_of(text, **options):
    with pytest.raises(FileProblemsError) as caught:
        parse_record(text, "levels.csv", **options)
    return [str(problem) for problem in caught.value.problems]


def test_a_plain_record():
    record = parse_record(csv("2021-01-01 00:00,1.25", "2021-01-01 01:00,", "2021-01-01 02:00,1.5"), "a.csv")
    assert_array_equal(record.t, utc("2021-01-01 00:00") + HOUR * np.arange(3))
    assert_array_equal(record.level, [1.25, np.nan, 1.5])
    assert record.notes == ()
    assert record.clock == "UTC, from the header 'time_utc'"
    assert record.unit == "m"


def test_the_published_records_are_read_as_they_are():
    record = read_record(PUBLISHED / "hnl2010_hourly.csv")
    assert len(record.t) == 8760
    assert record.t[0] == utc("2010-01-01 00:00")
    assert record.level[0] == 1.237
    zone = timezone(timedelta(hours=-7))
    other = read_record(PUBLISHED / "tuktoyaktuk1975_hourly.csv", zone=zone)
    assert other.t[0] == utc("1975-07-06 08:00")
    assert np.isnan(other.level).sum() == 74
    assert other.unit == "ft"
    assert np.nanmax(other.level) < 2.0


@pytest.mark.parametrize(
    ("header", "unit", "metres"),
    [
        ("time_utc,level_m", None, 2.0),
        ("time_utc,Water Level (ft)", None, 0.6096),
        ("Date Time GMT,Height (feet)", None, 0.6096),
        ("time_utc,sea_level_mm", None, 0.002),
        ("time_utc,level", LengthUnit.FEET, 0.6096),
        ("time_utc,level_m", LengthUnit.METRES, 2.0),
    ],
)
def test_units(header, unit, metres):
    record = parse_record(csv("2021-01-01 00:00,2.0", header=header), "a.csv", unit=unit)
    assert record.level[0] == pytest.approx(metres)


def test_unit_missing_or_contradicted():
    text = csv("2021-01-01 00:00,2.0", header="time_utc,level")
    assert problems_of(text) == [
        "column 'level': found no unit; expected one in the header, as in 'level_m' or 'level_ft', or given"
    ]
    told = problems_of(csv("2021-01-01 00:00,2.0"), unit=LengthUnit.FEET)
    assert told == ["column 'level_m': found the unit m; expected feet, as was asked for"]


@pytest.mark.parametrize(
    ("stamp", "expected"),
    [
        ("2021-07-01T06:00Z", "2021-07-01 06:00"),
        ("2021-07-01T06:00:00+02:00", "2021-07-01 04:00"),
        ("2021-07-01 06:00-0500", "2021-07-01 11:00"),
        ("2021-07-01 06:00 UTC", "2021-07-01 06:00"),
    ],
)
def test_offsets_in_the_stamps(stamp, expected):
    record = parse_record(csv(f"{stamp},1.0", header="when,level_m"), "a.csv")
    assert record.t[0] == utc(expected)


def test_a_clock_without_a_zone_is_refused():
    told = problems_of(csv("2021-01-01 00:00,1.0", header="time,level_m"))
    assert len(told) == 1
    assert told[0].startswith("column 'time': found a clock without a zone; expected an offset")


def test_a_zone_that_contradicts_the_header_is_refused():
    told = problems_of(csv("2021-01-01 00:00,1.0"), zone=ZoneInfo("America/Chicago"))
    assert told == ["column 'time_utc': found utc; expected the zone America/Chicago, as was asked for"]


def test_offsets_in_some_stamps_only():
    told = problems_of(csv("2021-01-01T00:00Z,1.0", "2021-01-01T01:00,1.0", header="time,level_m"))
    assert told == ["line 3: found a time without an offset; expected an offset in every stamp or in none"]


def test_a_clock_through_both_changes_of_summer_time():
    zone = ZoneInfo("America/Chicago")
    # 2021-11-07: 01:00 to 02:00 is shown twice; hourly rows go on without a break in UTC.
    stamps = ["00:00", "01:00", "01:00", "02:00", "03:00"]
    text = csv(*(f"2021-11-07 {stamp},1.0" for stamp in stamps), header="time,level_m")
    record = parse_record(text, "a.csv", zone=zone)
    assert_array_equal(record.t, utc("2021-11-07 05:00") + HOUR * np.arange(5))
    assert record.notes == ("stamps in hours the clock shows twice, taken in the file's order: 2",)
    # 2021-03-14: 02:30 does not exist.
    text = csv("2021-03-14 01:30,1.0", "2021-03-14 02:30,1.0", "2021-03-14 03:30,1.0", header="time,level_m")
    assert problems_of(text, zone=zone) == [
        "line 3: found '2021-03-14 02:30'; expected a time the clocks of America/Chicago show"
    ]


def test_date_and_time_in_two_columns():
    text = csv("2021-01-01,06:00,1.0", "2021-01-01,07:00,2.0", header="Date,Time (GMT),Level (m)")
    record = parse_record(text, "a.csv")
    assert_array_equal(record.t, utc("2021-01-01 06:00") + HOUR * np.arange(2))


@pytest.mark.parametrize("separator", ["\t", ";"])
def test_other_separators(separator):
    text = csv("2021-01-01 00:00,1.25", "2021-01-01 01:00,1.5").replace(",", separator)
    assert_array_equal(parse_record(text, "a.tsv").level, [1.25, 1.5])


def test_columns_swapped():
    text = csv("1.25,2021-01-01 00:00", "1.5,2021-01-01 01:00")
    assert problems_of(text) == [
        "columns 'time_utc' and 'level_m': found numbers among the times and times among the levels; "
        "expected the two columns the other way round"
    ]


def test_columns_in_the_other_order_are_no_matter():
    record = parse_record(csv("1.25,2021-01-01 00:00", header="level_m,time_utc"), "a.csv")
    assert record.level[0] == 1.25


def test_a_download_of_dates_times_and_three_stages_of_checking():
    """Date and time apart, years first with strokes, a dash for what is not checked yet."""
    rows = (
        '"2012/01/01","06:00",0.20,-,0.39',
        '"2012/01/01","07:00",0.15,-,0.42',
        '"2012/01/01","08:00",0.1,0.3,-',
    )
    header = '"Date","Time (GMT)","Predicted (ft)","Preliminary (ft)","Verified (ft)"'
    record = parse_record(csv(*rows, header=header), "a.csv")
    assert_array_equal(record.t, utc("2012-01-01 06:00") + HOUR * np.arange(3))
    assert_array_equal(record.level, np.array([0.39, 0.42, np.nan]) * 0.3048)


def test_headers_of_another_language():
    record = parse_record("Tid (UTC);Vannstand [cm]\n2025-01-01 00:00;237\n2025-01-01 01:00;\n", "a.csv")
    assert_array_equal(record.level, [2.37, np.nan])


def test_day_month_year_is_refused_for_it_could_be_read_two_ways():
    told = problems_of(csv("03/04/2021 00:00,1.0"))
    assert told == ["line 2: found '03/04/2021 00:00'; expected a time such as 2010-01-31 06:00"]


def test_text_in_numbers_every_line_named():
    text = csv(
        "# a comment, counted as a line",
        "2021-01-01 00:00,1.0",
        "2021-01-01 01:00,calm",
        "",
        "2021-01-01 02:00,1..5",
        "2021-01-01 03:00,inf",
    )
    assert problems_of(text) == [
        "line 4: found 'calm'; expected a level from -1,000 to 1,000, or an empty field",
        "line 6: found '1..5'; expected a level from -1,000 to 1,000, or an empty field",
        "line 7: found 'inf'; expected a level from -1,000 to 1,000, or an empty field",
    ]


def test_many_problems_are_counted():
    told = problems_of(csv(*(f"2021-01-01 {i // 60:02d}:{i % 60:02d},x" for i in range(100))))
    assert len(told) == 21
    assert told[-1].startswith("file: found 80 more lines like these")


def test_bad_times_and_bad_levels_together():
    told = problems_of(csv("2021-13-01 00:00,x", "2021-01-01 00:00,1.0"))
    assert [line.split(":")[0] for line in told] == ["line 2", "line 2"]


def test_all_gaps():
    told = problems_of(csv("2021-01-01 00:00,", "2021-01-01 01:00,NaN"))
    assert told == ["file: found no reading in 2 rows; expected levels, with gaps left empty"]


def test_rows_out_of_order_are_put_in_order_and_told():
    record = parse_record(csv("2021-01-01 02:00,3", "2021-01-01 00:00,1", "2021-01-01 01:00,2"), "a.csv")
    assert_array_equal(record.level, [1, 2, 3])
    assert record.notes == (
        "rows out of order, first at line 3 (2021-01-01 00:00 UTC); they were put in order",
    )


def test_rows_doubled():
    record = parse_record(
        csv("2021-01-01 00:00,1", "2021-01-01 00:00,1", "2021-01-01 01:00,", "2021-01-01 01:00,2"), "a.csv"
    )
    assert_array_equal(record.level, [1, 2])
    assert record.notes == ("rows that repeat the time before them, dropped: 2",)
    told = problems_of(csv("2021-01-01 00:00,1", "2021-01-01 00:00,1.5"))
    assert told == ["line 3: found the time of line 2 again with another level; expected each time once"]


def test_numbers_that_stand_for_no_reading():
    record = parse_record(csv("2021-01-01 00:00,1.2", "2021-01-01 01:00,-9999"), "a.csv")
    assert_array_equal(record.level, [1.2, np.nan])
    assert record.notes == ("-9999 taken for a gap, times: 1",)


def test_several_columns_that_would_do():
    text = csv("2021-01-01 00:00,1.0,2.0", header="time_utc,level_m,height_m")
    assert problems_of(text) == [
        "header: found columns level_m, height_m; expected one column of levels, named as in 'level_m', or "
        "which of them told (level_column)"
    ]
    record = parse_record(text, "a.csv", level_column="height_m")
    assert record.level[0] == 2.0
    assert problems_of(text, level_column="wl") == [
        "header: found no column 'wl'; expected one of time_utc, level_m, height_m"
    ]


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n", "time_utc,level_m\n"])
def test_empty_files(text):
    assert len(problems_of(text)) == 1


def test_ragged_rows():
    told = problems_of(csv("2021-01-01 00:00,1.0,7"))
    assert told == ["line 2: found 3 fields; expected 2, as in the header"]
    told = problems_of(csv("2021-01-01 00:00"))
    assert len(told) == 1


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(FileProblemsError, match="no such file"):
        read_record(tmp_path / "none.csv")
    (tmp_path / "b.csv").write_bytes(b"\xff\xfe\x00\x01")
    with pytest.raises(FileProblemsError, match="not UTF-8"):
        read_record(tmp_path / "b.csv")


def test_fractions_of_a_second_and_years_far_off():
    record = parse_record(csv("1850-01-01 00:00:30.5,1.0", "2150-06-01 00:00,1.0"), "a.csv")
    assert_allclose(record.t, [utc("1850-01-01 00:00") + 30.5, utc("2150-06-01 00:00")], atol=1e-6)


def test_a_text_in_quotation_marks_over_two_lines_is_refused():
    rows = '2021-01-01 00:00,"1.0\n2021-01-01 01:00,2.0"'
    assert problems_of(csv(rows)) == [
        "file: found a text in quotation marks that runs over the end of its line; expected a row for each "
        "reading, on a line of its own"
    ]
