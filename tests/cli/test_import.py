"""`import`: a published constituent table becomes a station file that predicts the published water.

Constants and high and low waters: NOAA CO-OPS, source lines in the files under tests/published. Tables take
the shapes in which agencies publish: tab-separated or CSV with number, name, amplitude, phase, speed and
description, and JSON with both lags.
"""

import json
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harmonics.catalogue.constituents import find
from tests.cli.runs import Run, refused, rows, run, utc
from tests.coasts import STATION_IDS, head, published_head, written
from tests.conftest import published_rows
from tests.examples import examples

FOOT = 0.3048
MINUTES = 0.6
METRES = 0.001
OFFSET = -6.0
"""Hours: the local zone of tables that print local lags here."""
PLACE = ("--latitude", "42.35", "--longitude", "-71.05", "--datum", "MLLW")


def constants(station: str) -> list[dict[str, str]]:
    return published_rows(f"constituents_{station}.csv")


def local_lag(row: dict[str, str], offset: float = OFFSET) -> float:
    """From G = g - speed x offset (common practice)."""
    return (float(row["phase"]) + find(row["name"]).speed * offset) % 360.0


def lines(station: str, separator: str, unit: str, phase: str) -> str:
    """A text table of the published constants: unit m or ft, lags GMT or local."""
    scale = 1.0 if unit == "m" else FOOT
    out = [["#", "Name", f"Amplitude ({unit})", f"Phase ({phase})", "Speed", "Description"]]
    out[0][0] = "Constituent no."
    for number, row in enumerate(constants(station), start=1):
        lag = float(row["phase"]) if phase == "GMT" else local_lag(row)
        speed = f"{find(row['name']).speed:.7f}"
        amplitude = f"{float(row['amplitude']) / scale:.6f}"
        out.append([str(number), row["name"], amplitude, f"{lag:.4f}", speed, f"words on {row['name']}"])
    return "\n".join(separator.join(cells) for cells in out) + "\n"


def as_json(station: str) -> str:
    """Feet, both lags."""
    items = [
        {
            "number": number,
            "name": row["name"],
            "amplitude": round(float(row["amplitude"]) / FOOT, 6),
            "phase_GMT": float(row["phase"]),
            "phase_local": round(local_lag(row), 4),
            "speed": round(find(row["name"]).speed, 7),
        }
        for number, row in enumerate(constants(station), start=1)
    ]
    return json.dumps({"units": "feet", "HarmonicConstituents": items})


SHAPES = {
    "csv, metres, Greenwich": (lambda station: lines(station, ",", "m", "GMT"), ()),
    "tabs, feet, Greenwich": (lambda station: lines(station, "\t", "ft", "GMT"), ()),
    "semicolons, metres, local": (
        lambda station: lines(station, ";", "m", "local"),
        ("--utc-offset", OFFSET),
    ),
    "tabs, feet, local": (lambda station: lines(station, "\t", "ft", "local"), ("--utc-offset", OFFSET)),
    "json, feet, Greenwich": (as_json, ()),
    "json, feet, local": (as_json, ("--phase", "local", "--utc-offset", OFFSET)),
    "csv that says nothing": (
        lambda station: lines(station, ",", "m", "GMT").replace(" (m)", "").replace(" (GMT)", ""),
        ("--units", "metres", "--phase", "greenwich"),
    ),
}


def mean_level(station: str) -> float:
    return published_head(station).mean_level


def imported(folder, text: str, *arguments: object) -> Run:
    """A run on the text as a file, with the table written to `pasted.csv` beside it."""
    table = folder / "Agency Table.txt"
    table.write_text(text, encoding="utf-8")
    return run("import", table, "-o", folder / "pasted.csv", *arguments)


@pytest.mark.parametrize("station", STATION_IDS)
@pytest.mark.parametrize("shape", SHAPES)
def test_a_pasted_table_predicts_every_published_high_and_low_water(tmp_path, station, shape):
    make, arguments = SHAPES[shape]
    feet = "feet" in shape
    level = mean_level(station) / (FOOT if feet else 1.0)
    result = imported(tmp_path, make(station), *arguments, *PLACE, "--mean-level", level)
    assert result.code == 0, result.err
    table = tomllib.loads(result.out)["stations"][0]
    assert table["id"] == "agency-table"
    assert table["name"] == "Agency Table"
    assert table["length_unit"] == ("feet" if feet else "metres")
    assert table["constituents"] == "pasted.csv"
    path = written(tmp_path, head("UTC"), result.out)
    ours = rows("tides", path, "--start", "2026-08-15", "--days", "7")
    theirs = published_rows(f"noaa_hilo_{station}_2026-08.csv")
    assert len(ours) == len(theirs) >= 12
    for mine, row in zip(ours, theirs, strict=True):
        assert mine["event"] == {"H": "high_water", "L": "low_water"}[row["type"]]
        assert abs(utc(mine["time_utc"]) - utc(row["time_utc"])) <= MINUTES * 60
        assert abs(float(mine["height_m"]) - float(row["height_m"])) <= METRES


def test_the_table_holds_the_published_constants(tmp_path):
    imported(tmp_path, lines("8443970", "\t", "ft", "local"), "--utc-offset", OFFSET)
    text = (tmp_path / "pasted.csv").read_text(encoding="utf-8")
    body = [line.split(",") for line in text.splitlines() if not line.startswith("#")]
    assert body[0] == ["name", "amplitude", "phase"]
    expected = [row for row in constants("8443970") if float(row["amplitude"]) > 0]
    assert [find(name).name for name, _, _ in body[1:]] == [find(row["name"]).name for row in expected]
    for (_, amplitude, phase), row in zip(body[1:], expected, strict=True):
        assert float(amplitude) * FOOT == pytest.approx(float(row["amplitude"]), abs=5e-6)
        turned = (float(phase) - float(row["phase"]) + 180.0) % 360.0 - 180.0
        assert abs(turned) <= 0.0015  # speed printed to 7 places, lags to 3 and 4


def test_the_screen_gets_the_table_and_what_was_assumed_stands_beside_it(tmp_path):
    table = tmp_path / "table.csv"
    table.write_text("name,amplitude,phase\nM2,1.25,100\nS2,0.0,40\n", encoding="utf-8")
    result = run("import", table, "--units", "feet", "--phase", "local", "--utc-offset", "10")
    assert result.code == 0
    comments = [line[2:] for line in result.out.splitlines() if line.startswith("# ")]
    assert comments[0] == "from table.csv"
    assert comments[1:] == result.err.splitlines()
    told = result.err
    assert "no speeds" in told
    assert "Left out, of amplitude 0: S2." in told
    assert "Amplitudes in feet, as given." in told
    assert "local, as given" in told and "(+10 h)" in told
    assert "yearly, Schureman" in told
    # By hand: 100 - 28.984104 x 10 = -189.841 = 170.159.
    assert result.out.splitlines()[-2:] == ["name,amplitude,phase", "M2,1.25000,170.159"]


def test_records_are_in_metres_with_what_was_assumed_in_the_header(tmp_path):
    table = tmp_path / "table.csv"
    table.write_text("name,amplitude,phase\nM2,1.25,100\n", encoding="utf-8")
    asked = ("import", table, "--units", "feet", "--phase", "local", "--utc-offset", "10", "--format", "json")
    result = run(*asked)
    assert result.code == 0
    found = json.loads(result.out)
    (row,) = found["rows"]
    assert row["name"] == "M2"
    assert row["amplitude_m"] == pytest.approx(1.25 * FOOT)
    assert row["phase_deg"] == pytest.approx(170.159, abs=0.001)  # by hand, as above
    assert found["phase"] == "greenwich"
    assert found["notes"] == ["from table.csv", *result.err.splitlines()]
    # A station file can't name such a document, so no [[stations]] table goes with it.
    kept = run(*asked, *PLACE, "--mean-level", "1", "-o", tmp_path / "kept.json")
    assert (kept.code, kept.out) == (0, "")
    assert json.loads((tmp_path / "kept.json").read_text(encoding="utf-8")) == found


def test_what_the_table_says_is_not_told_as_given(tmp_path):
    result = imported(tmp_path, as_json("8443970"))
    assert "Amplitudes in feet, as key units says: 'units: feet'." in result.err
    assert "'phase_GMT' is used, 'phase_local' is not" in result.err
    assert "Speeds agree with the catalogue" in result.err


def test_an_offset_that_changes_nothing_is_told(tmp_path):
    text = lines("8443970", ",", "m", "GMT")
    plain = imported(tmp_path, text)
    before = (tmp_path / "pasted.csv").read_bytes()
    told = imported(tmp_path, text, "--utc-offset", OFFSET)
    assert (tmp_path / "pasted.csv").read_bytes() == before
    assert "--utc-offset" in told.err and "Greenwich" in told.err
    assert "--utc-offset" not in plain.err


def test_the_station_table_waits_for_its_place_and_names_the_options(tmp_path):
    text = lines("8443970", ",", "m", "GMT")
    result = imported(tmp_path, text, "--latitude", "42.35", "--datum", "MLLW")
    assert result.code == 0
    assert result.out == ""
    assert "--longitude, --mean-level" in result.err
    assert "--latitude" not in result.err


def test_id_and_name_can_be_given(tmp_path):
    text = lines("8443970", ",", "m", "GMT")
    given = ("--id", "outer", "--name", 'The "Outer" pier', "--mean-level", "1.586")
    result = imported(tmp_path, text, *PLACE, *given)
    table = tomllib.loads(result.out)["stations"][0]
    assert (table["id"], table["name"], table["mean_level"]) == ("outer", 'The "Outer" pier', 1.586)
    assert rows("tides", written(tmp_path, head("UTC"), result.out), "--station", "outer")


LACKS = [
    # header, arguments, the option named, what is expected
    ("name,amplitude,phase_gmt", (), "--units", "unit"),
    ("name,amplitude_m,phase", (), "--phase", "Greenwich or local"),
    ("name,amplitude_m,phase_local", (), "--utc-offset", "hours from UTC"),
    ("name,amplitude_m,phase", ("--phase", "local"), "--utc-offset", "hours from UTC"),
    ("name,amplitude_ft,phase_gmt", ("--units", "metres"), "--units", "metres, as was asked for"),
    ("name,amplitude_m,phase_gmt", ("--phase", "local", "--utc-offset", "1"), "--phase", "local"),
]


@pytest.mark.parametrize(("header", "arguments", "option", "expected"), LACKS)
def test_what_is_missing_or_contradicts_names_its_option(tmp_path, header, arguments, option, expected):
    table = tmp_path / "t.csv"
    table.write_text(f"{header}\nM2,1.0,100.0\n", encoding="utf-8")
    message = refused(1, "import", table, *arguments)
    first, line = message.splitlines()
    assert first == f"ebblight: {table}: 1 problem"
    assert line.endswith(f"({option})")
    assert expected in line


@pytest.mark.parametrize(
    ("separator", "wrong", "line"),
    [(",", "28.9842053", 2), ("\t", "30.0821373", 2), (";", "0.0821373", 2)],
)
def test_a_speed_beside_its_name_is_named(tmp_path, separator, wrong, line):
    # 1.01e-4 off, and the speeds of other constituents.
    text = lines("8443970", separator, "m", "GMT").replace("28.9841042", wrong)
    table = tmp_path / "t.txt"
    table.write_text(text, encoding="utf-8")
    message = refused(1, "import", table)
    (problem,) = message.splitlines()[1:]
    assert problem.startswith(f"  line {line} speed: found M2 at {wrong} ")
    assert "expected 28.9841042, the speed of M2" in problem


def test_a_speed_printed_to_four_places_is_near_enough(tmp_path):
    text = lines("8443970", ",", "m", "GMT").replace("28.9841042", "28.9842")
    assert imported(tmp_path, text).code == 0


def test_every_bad_line_at_once(tmp_path):
    table = tmp_path / "t.csv"
    rows_of = ["M2,tall,100,28.9841042", "ZZ9,1,1,5", "S2,1,9000,30", "S2,1", "K1,1,1,fast", "O1,-1,2,13.943"]
    table.write_text("\n".join(["name,amplitude_m,phase_gmt,speed", *rows_of]), encoding="utf-8")
    message = refused(1, "import", table)
    assert all(f"line {number}" in message for number in range(2, 8))
    assert all(word in message for word in ("'tall'", "ZZ9", "9000", "'fast'", "-1"))


NO_TABLES = {
    "empty": "",
    "prose": "The constituents of our harbour.\n",
    "other columns": "a,b,c\n1,2,3\n",
    "header alone": "name,amplitude_m,phase_gmt\n",
    "half json": '{"units": "feet", ',
    "two lists": '{"a": [{"name": "M2"}], "b": [{"name": "M2"}]}',
    "no amplitudes": '[{"name": "M2", "phase_GMT": 1}]',
    "all of no amplitude": "name,amplitude_m,phase_gmt\nM2,0,1\n",
}


@pytest.mark.parametrize("name", NO_TABLES)
def test_a_file_that_is_no_table_leaves_the_old_result(tmp_path, name):
    table, out = tmp_path / "t.csv", tmp_path / "out.csv"
    table.write_text(NO_TABLES[name], encoding="utf-8")
    out.write_text("old", encoding="utf-8")
    message = refused(1, "import", table, "--units", "metres", "--phase", "greenwich", "-o", out)
    assert str(table) in message
    assert out.read_text(encoding="utf-8") == "old"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["out.csv", "t.csv"]


def test_no_such_table_and_a_folder_and_a_place_that_can_t_be_written(tmp_path):
    assert "no such file" in refused(1, "import", tmp_path / "none.csv")
    assert "a folder" in refused(1, "import", tmp_path)
    table = tmp_path / "t.csv"
    table.write_text(lines("8443970", ",", "m", "GMT"), encoding="utf-8")
    message = refused(1, "import", table, *PLACE, "--mean-level", "1", "-o", tmp_path / "none" / "x.csv")
    assert "No such file" in message


@pytest.mark.parametrize(
    "arguments",
    [("--units", "fathoms"), ("--phase", "noon"), ("--utc-offset", "15"), ("--latitude", "91"), ("--id",)],
)
def test_wrong_usage(tmp_path, arguments):
    assert arguments[0] in refused(2, "import", tmp_path / "t.csv", *arguments)


CELLS = st.one_of(
    st.sampled_from(
        ["M2", "S2", "K1", "1.5", "100", "nan", "1e999", "-1", "", '"', "28.9841042", "\x9b[31m"]
    ),
    st.text(max_size=5),
)


@examples(40)
@given(st.lists(st.lists(CELLS, max_size=5), max_size=4), st.sampled_from(",;\t"))
def test_any_rows_end_in_a_table_or_in_plain_words(tmp_path_factory, table, separator):
    folder = tmp_path_factory.mktemp("any")
    header = separator.join(["name", "amplitude_m", "phase_gmt", "speed"])
    text = "\n".join([header, *(separator.join(cells) for cells in table)])
    path = folder / "t.csv"
    path.write_text(text, encoding="utf-8", errors="replace")
    result = run("import", path)
    assert result.code in (0, 1)
    if result.code == 0:
        assert len(result.out.split("name,amplitude,phase\n")[1].splitlines()) >= 1
    else:
        assert result.out == ""
        assert "expected" in result.err
        assert all(line.isprintable() for line in result.err.splitlines())
