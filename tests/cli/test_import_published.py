"""`import` of tables as they are published, through the command: its files predict the published water."""

import tomllib

import pytest

from tests.cli.runs import Run, refused, rows, run, utc
from tests.coasts import head, published_head, written
from tests.conftest import PUBLISHED, published_rows
from tests.published_layouts import TIDES, constants, tide

FULL = "aligned with rules, Z0 and position"


def imported(folder, text: str | bytes, *arguments: object) -> Run:
    table = folder / "as published.txt"
    table.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return run("import", table, "-o", folder / "boston.csv", *arguments)


def test_a_table_that_says_everything_needs_no_option_and_predicts_what_is_published(tmp_path):
    result = imported(tmp_path, TIDES[FULL].make(tide("8443970")))
    assert result.code == 0, result.err
    table = tomllib.loads(result.out)["stations"][0]
    assert (table["name"], table["datum"], table["mean_level"]) == ("BOSTON HARBOUR (8443970)", "MLLW", 1.586)
    ours = rows("tides", written(tmp_path, head("UTC"), result.out), "--start", "2026-08-15", "--days", "7")
    theirs = published_rows("noaa_hilo_8443970_2026-08.csv")
    assert len(ours) == len(theirs)
    for mine, row in zip(ours, theirs, strict=True):
        assert abs(utc(mine["time_utc"]) - utc(row["time_utc"])) <= 36.0
        assert abs(float(mine["height_m"]) - float(row["height_m"])) <= 0.001


def test_it_says_which_line_told_it_what(tmp_path):
    told = imported(tmp_path, TIDES[FULL].make(tide("8443970"))).err
    assert "Amplitudes in metres, as line 5 says: 'No. Constituent H (m) g (deg) Speed (deg/h)'." in told
    assert "Phase lags are Greenwich, as line 3 says: 'DATUM: MLLW Z0 = 1.586 m TIME ZONE: UTC'." in told
    assert "Latitude: 42.3533, as line 2 says: 'STATION: BOSTON HARBOUR (8443970)" in told
    assert "Mean level 1.586 m above the datum, as line 3 says" in told
    written_comments = (tmp_path / "boston.csv").read_text(encoding="utf-8")
    assert all(f"# {line}" in written_comments for line in told.splitlines() if "Amplitudes" in line)


def test_an_option_goes_before_what_the_table_says_of_the_place(tmp_path):
    result = imported(tmp_path, TIDES[FULL].make(tide("8443970")), "--name", "Pier", "--datum", "CD")
    table = tomllib.loads(result.out)["stations"][0]
    assert (table["name"], table["datum"], table["latitude"]) == ("Pier", "CD", 42.353333)


@pytest.mark.parametrize(("encoding", "told"), [("cp1252", True), ("utf-16", False), ("utf-8-sig", False)])
def test_older_encodings(tmp_path, encoding, told):
    text = TIDES["semicolons, centimetres, decimal commas"].make(tide("8443970"))
    result = imported(tmp_path, text.encode(encoding))
    assert result.code == 0, result.err
    assert ("Windows-1252" in result.err) == told
    assert "Amplitudes in centimetres" in result.err


CURRENT = "current_constituents_PUG1515.csv"


def current_table() -> str:
    lines = ["Flood direction 211.1 deg, ebb direction 31.1 deg; mean flow 0.113 kn", "Lat 47.6621 N",
             "Long 122.4417 W", "name,speed (kn),phase (GMT)"]  # fmt: skip
    return "\n".join([*lines, *(f"{row.name},{row.amplitude},{row.phase}" for row in constants(CURRENT))])


def test_a_current_table_predicts_the_published_current(tmp_path):
    """PUG1515, NOAA CO-OPS currents predictions (tests/published/noaa_currents_events.csv)."""
    result = imported(tmp_path, current_table())
    assert result.code == 0, result.err
    table = tomllib.loads(result.out)["currents"][0]
    assert (table["flood_direction"], table["ebb_direction"], table["mean_flow"]) == (211.1, 31.1, 0.113)
    path = written(tmp_path, head("UTC"), result.out)
    ours = rows("currents", path, "--start", "2026-04-08", "--days", "1")
    theirs = [row for row in published_rows("noaa_currents_events.csv") if row["station"] == "PUG1515"]
    assert theirs
    for row in theirs:
        mine = min(ours, key=lambda item: abs(utc(item["time_utc"]) - utc(row["time_utc"])))
        assert mine["event"] == row["event"]
        assert abs(utc(mine["time_utc"]) - utc(row["time_utc"])) <= 36.0
        assert abs(float(mine["speed_kn"]) - float(row["speed_kn"])) <= 0.006


def test_a_current_of_two_axes_gets_two_files_and_needs_their_name(tmp_path):
    text = "name,u amplitude (m/s),u phase (GMT),v amplitude (m/s),v phase (GMT)\nM2,0.5,10.0,0.2,100.0\n"
    place = ("--latitude", "1", "--longitude", "2", "--flood-direction", "80", "--ebb-direction", "260")
    result = imported(tmp_path, text, *place)
    assert result.code == 0, result.err
    table = tomllib.loads(result.out)["currents"][0]
    assert (table["constituents"], table["constituents_across"]) == ("boston.csv", "boston_across.csv")
    assert (table["axis_direction"], table["across_direction"]) == (90.0, 0.0)
    assert rows("currents", written(tmp_path, head("UTC"), result.out), "--days", "1")
    assert "name a file with -o" in refused(2, "import", tmp_path / "as published.txt")


def test_directions_that_two_lines_say_name_their_option(tmp_path):
    table = tmp_path / "t.txt"
    table.write_text("Flood direction 10 deg\nFlood direction 20 deg\nname,speed (kn),phase (GMT)\nM2,1,2\n")
    message = refused(1, "import", table)
    assert "flood direction: found 10.0 (line 1), 20.0 (line 2); expected one of them" in message
    assert message.rstrip().endswith("(--flood-direction)")


def test_published_heads_are_those_the_layouts_quote():
    assert published_head("8443970").mean_level == 1.586
    assert "flood 211.1 deg true, ebb 31.1 deg true, mean flow 0.113 kn" in (PUBLISHED / CURRENT).read_text()
