"""Records of observed currents: columns, units, clocks, gaps, order, and every line that is no good."""

import datetime as dt

import numpy as np
import pytest
from numpy.testing import assert_allclose

from harmonics.errors import FileProblemsError
from harmonics.records.current_reader import holds_currents, read_currents
from tests.harmonics.conftest import utc

KNOT = 1852.0 / 3600.0
HOUR = 3600.0


@pytest.fixture
def record(tmp_path):
    def read(text, **options):
        path = tmp_path / "log.csv"
        path.write_text(text, encoding="utf-8")
        return read_currents(path, **options)

    return read


@pytest.fixture
def problems(record):
    def of(text, **options):
        with pytest.raises(FileProblemsError) as caught:
            record(text, **options)
        assert caught.value.path.endswith("log.csv")
        return [str(problem) for problem in caught.value.problems]

    return of


POLAR = "time_utc,speed [kn],direction [deg]\n"
PARTS = "time_utc,eastward [m/s],northward [m/s]\n"


def test_speed_and_direction_in_knots(record):
    found = record(
        "# made up\n" + POLAR + "2026-08-15 00:00,2.0,90\n2026-08-15 01:00,1.0,180\n2026-08-15 02:00,,\n"
    )
    assert_allclose(found.t, utc("2026-08-15 00:00") + HOUR * np.arange(3))
    assert_allclose(found.east, [2.0 * KNOT, 0.0, np.nan], atol=1e-12)
    assert_allclose(found.north, [0.0, -KNOT, np.nan], atol=1e-12)
    assert (found.unit, found.notes) == ("knots", ())
    assert "UTC" in found.clock
    assert found.path.endswith("log.csv")


@pytest.mark.parametrize(
    ("unit", "scale", "name"),
    [
        *((unit, KNOT, "knots") for unit in ("kn", "kt", "kts", "knot", "knots", "KN")),
        *((unit, 0.001, "mm/s") for unit in ("mm/s", "mm s-1", "mm / sec")),
        *((unit, 0.01, "cm/s") for unit in ("cm/s", "cm s-1", "cms", "CM/S")),
        *((unit, 1.0, "m/s") for unit in ("m/s", "m s-1", "mps", "M/S", "m/sec")),
    ],
)
def test_units_of_headers(record, unit, scale, name):
    found = record(f"time_utc,u [{unit}],v [{unit}]\n2026-08-15 00:00,0.5,-0.25\n2026-08-15 01:00,-0.5,0\n")
    assert_allclose(found.east, np.array([0.5, -0.5]) * scale)
    assert_allclose(found.north, np.array([-0.25, 0.0]) * scale)
    assert found.unit == name


@pytest.mark.parametrize(
    ("first", "second"),
    [
        *((name, "dir") for name in ("speed", "Spd", "drift", "magnitude")),
        *(("speed", name) for name in ("direction", "dir", "set", "heading", "Bearing")),
    ],
)
def test_names_of_speed_and_direction(record, first, second):
    found = record(f"time_utc,{first} m/s,{second}\n2026-08-15 00:00,1.0,270\n2026-08-15 01:00,1,-90\n")
    assert_allclose(found.east, [-1.0, -1.0])


@pytest.mark.parametrize(
    ("first", "second"),
    [("u", "v"), ("east", "north"), ("Eastward", "Northward"), ("easting", "northing")],
)
def test_names_of_components(record, first, second):
    found = record(f"time_utc,wind {first} m/s,{first} m/s,{second} m/s\n2026-08-15 00:00,9,1.0,2.0\n")
    assert (found.east[0], found.north[0]) == (1.0, 2.0)


@pytest.mark.parametrize(
    "text", ["", "NA", "NaN", "-", "null", "n/a", "-9999", "-999.0", "999.9", "99999", "-99.9"]
)
def test_no_reading(record, text):
    found = record(PARTS + f"2026-08-15 00:00,{text},0.5\n2026-08-15 01:00,0.5,0.5\n")
    assert np.isnan(found.east[0]) and found.north[0] == 0.5


def test_every_problem_with_its_line(problems):
    assert problems(
        POLAR + "2026-08-15 00:00,50,90\n2026-08-15 01:00,fast,361\n2026-08-15 02:00,-1,-360\n"
    ) == [
        "line 2 speed [kn]: found '50'; expected a number from 0 to 38.8769, or an empty field",
        "line 3 speed [kn]: found 'fast'; expected a number from 0 to 38.8769, or an empty field",
        "line 4 speed [kn]: found '-1'; expected a number from 0 to 38.8769, or an empty field",
        "line 3 direction [deg]: found '361'; expected a number from -360 to 360, or an empty field",
    ]
    assert problems(PARTS + "2026-08-15 00:00,20,-20.1\n") == [
        "line 2 northward [m/s]: found '-20.1'; expected a number from -20 to 20, or an empty field"
    ]


def test_what_a_header_lacks(problems):
    rows = "2026-08-15 00:00,1,1\n"
    unit = "found no unit; expected one in the header, as in 'speed [kn]' or 'speed [cm/s]'"
    assert problems("time_utc,speed,dir\n" + rows) == [f"column 'speed': {unit}"]
    assert problems("time_utc,u,v\n" + rows) == [f"column 'u': {unit}", f"column 'v': {unit}"]
    assert problems("time_utc,u,v [cm/s]\n" + rows) == [f"column 'u': {unit}"]
    assert problems("time_utc,u [cm/s],v\n" + rows) == [f"column 'v': {unit}"]
    assert problems("time_utc,u [m/s],v [cm/s]\n" + rows) == [
        "column 'v [cm/s]': found another unit; expected m/s, as the other's"
    ]
    assert problems("time_utc,u [m/s],w [m/s]\n" + rows) == [
        "header: found columns time_utc, u [m/s], w [m/s]; expected one column of components to the north, "
        "named as in 'northward [m/s]'"
    ]
    assert problems("time_utc,x,y\n" + rows) == [
        "header: found columns time_utc, x, y; expected one column of components to the east, named as in "
        "'eastward [m/s]'",
        "header: found columns time_utc, x, y; expected one column of components to the north, named as in "
        "'northward [m/s]'",
    ]
    assert problems("time_utc,speed [kn],x\n" + rows) == [
        "header: found columns time_utc, speed [kn], x; expected one column of directions, named as in "
        "'direction [deg]'"
    ]
    assert problems("x,speed [kn],speed [m/s],dir\n1,1,1,1\n") == [
        "header: found columns x, speed [kn], speed [m/s], dir; expected one column of times, named as in "
        "'time_utc'",
        "header: found columns speed [kn], speed [m/s]; expected one column of speeds, named as in "
        "'speed [kn]'",
    ]


def test_a_named_time_column(record, problems):
    text = "time_utc,logged time,u [m/s],v [m/s]\n2026-08-15 00:00,2026-08-15 05:00,1,1\n"
    assert record(text, time_column="time_utc").t[0] == utc("2026-08-15 00:00")
    assert problems(text, time_column="when") == [
        "header: found no column 'when'; expected one of time_utc, logged time, u [m/s], v [m/s]"
    ]


def test_a_clock_with_its_zone(record):
    text = "Date;Time;u [m/s];v [m/s]\n2026-08-15;00:00;1;1\n"
    zone = dt.timezone(dt.timedelta(hours=-5))
    assert record(text, zone=zone).t[0] == utc("2026-08-15 05:00")


def test_rows_of_nothing(problems):
    assert problems(PARTS + "2026-08-15 00:00,,1\n2026-08-15 01:00,1,\n") == [
        "file: found no reading in 2 rows; expected currents, with gaps left empty"
    ]


def test_rows_out_of_order_and_twice(record, problems):
    rows = ["2026-08-15 02:00,3,3", "2026-08-15 00:00,1,1", "2026-08-15 01:00,,", "2026-08-15 01:00,2,2"]
    found = record(PARTS + "\n".join([*rows, rows[0], "2026-08-15 02:00,,"]))
    assert_allclose(found.east, [1.0, 2.0, 3.0])
    assert_allclose(np.diff(found.t), HOUR)
    assert found.notes == (
        "rows out of order were put in order",
        "rows that repeat the time before them, dropped: 3",
    )
    assert problems(PARTS + "\n".join([*rows, "2026-08-15 02:00,3,4"])) == [
        "line 6: found the time of another line again with another current; expected each time once"
    ]


@pytest.mark.parametrize(
    ("header", "held"),
    [
        ("time,speed,direction", True),
        ("time;u;v", True),
        ("time\tnorthward\teastward", True),
        ("time,speed", False),
        ("time,u,level", False),
        ("time,wind speed,wind direction", False),
        ("time,wind speed,gust u,direction,v", False),
        ("time,level", False),
        ("", False),
    ],
)
def test_which_files_hold_currents(tmp_path, header, held):
    (tmp_path / "a.csv").write_text(f"\n # speed,direction\n{header}\n1,2,3\n", encoding="utf-8")
    assert holds_currents(tmp_path / "a.csv") is held


def test_tables_that_cannot_be_read(problems):
    assert problems("") == ["file: found no text; expected a header and a row for each reading"]
    assert problems(PARTS) == [
        "file: found no rows under the header; expected a header and a row for each reading"
    ]
    assert problems(PARTS + "1,2,3,4\n1,2,3\n1,2,3,4,5\n") == [
        "line 2: found 4 fields; expected 3, as in the header",
        "line 4: found 5 fields; expected 3, as in the header",
    ]
    assert problems(",".join(["time_utc"] * 201) + "\n1\n") == [
        "header: found 201 columns; expected at most 200"
    ]
    (told,) = problems(PARTS + '"1,2,3\n')
    assert told.startswith("file: found ") and told.endswith("; expected a CSV table")


def test_a_record_of_too_many_lines(problems, monkeypatch):
    monkeypatch.setattr("harmonics.records.columns.MOST_LINES", 4)
    rows = "2026-08-15 00:00,1,1\r\n2026-08-15 01:00,1,1\n"
    assert problems(PARTS + rows + "\n\n") == ["file: found 5 lines; expected at most 4"]


def test_twenty_problems_are_told_and_the_rest_are_counted(problems):
    told = problems(PARTS + "".join(f"2026-08-15 {k:02d}:00,x,1\n" for k in range(23)))
    assert len(told) == 21
    assert told[-1] == (
        "file: found 3 more lines like these; expected a number from -20 to 20, or an empty field"
    )
