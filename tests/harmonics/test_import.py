"""Published constituent tables read in, and station texts written out."""

import json
import tomllib

import numpy as np
import pytest
from numpy.testing import assert_allclose

from harmonics.catalogue.constituents import find
from harmonics.errors import FileProblemsError
from harmonics.files.agency_tables import TableOptions
from harmonics.files.agency_tables import import_table as import_any
from harmonics.files.published.results import ImportedTable, NoteKind
from harmonics.files.published.statements import Fact
from harmonics.files.published.units import PhaseKind, TableUnit
from harmonics.files.station_file import read_station_file
from harmonics.files.station_text import StationHead, constituent_csv, station_toml
from harmonics.fitting.analysis import fit
from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from harmonics.units import LengthUnit
from tests.harmonics.conftest import constants_of, published_station

# The form of a US agency's page; amplitudes of Boston (tests/published), speeds as the agencies print them.
TABLE = """\
Constituent #\tName\tAmplitude (ft)\tPhase (GMT)\tSpeed\tDescription
1\tM2\t4.498\t109.2\t28.984104\tPrincipal lunar semidiurnal constituent
2\tS2\t0.682\t146.2\t30.0\tPrincipal solar semidiurnal constituent
4\tK1\t0.469\t205.6\t15.041069\tLunar diurnal constituent
19\tM1\t0.016\t223.2\t14.496694\tSmaller lunar elliptic diurnal constituent
25\tRHO\t0.016\t179.3\t13.471515\tLarger lunar evectional diurnal constituent
35\tLAM2\t0.066\t140.1\t29.455626\tSmaller lunar evectional constituent
22\tMSF\t0.0\t0.0\t1.0158958\tLunisolar synodic fortnightly constituent
"""


def import_table(text, path, **options) -> ImportedTable:
    found = import_any(text, path, TableOptions(**options))
    assert isinstance(found, ImportedTable)
    return found


def notes_of(table):
    return {note.kind: note.about for note in table.facts.notes}


def line_of(table, fact):
    """Number of the line that says it; None for an option."""
    (said,) = [item for item in table.facts.sources if item.fact is fact]
    return None if said.line is None else said.line.where


def problems_of(text, **options):
    with pytest.raises(FileProblemsError) as caught:
        import_table(text, "table.txt", **options)
    assert caught.value.path == "table.txt"
    return [str(problem) for problem in caught.value.problems]


def document(**changes):
    head = {
        "units": "feet",
        "constituents": [
            {
                "number": 1,
                "name": "M2",
                "amplitude": 4.498,
                "phase_GMT": 109.2,
                "phase_local": 327.0,
                "speed": 28.984104,
            },
            {
                "number": 4,
                "name": "K1",
                "amplitude": 0.469,
                "phase_GMT": 205.6,
                "phase_local": 131.0,
                "speed": 15.041069,
            },
        ],
    }
    return head | changes


def test_a_text_table():
    table = import_table(TABLE, "table.txt")
    assert [row.name for row in table.constants.constituents] == ["M2", "S2", "K1", "M1", "RHO1", "LAMBDA2"]
    assert table.constants.amplitude[0] == pytest.approx(4.498 * 0.3048)
    assert_allclose(table.constants.phase_lag, [109.2, 146.2, 205.6, 223.2, 179.3, 140.1])
    assert table.unit is LengthUnit.FEET
    assert table.facts.published is TableUnit.FEET
    assert table.facts.phase is PhaseKind.GREENWICH
    assert (line_of(table, Fact.UNIT), line_of(table, Fact.PHASE)) == ("line 1", "line 1")
    assert notes_of(table) == {NoteKind.SPEEDS_AGREE: (), NoteKind.NO_AMPLITUDE: ("MSF",)}


@pytest.mark.parametrize("station", ["8443970", "8729840", "9447130", "1612340"])
def test_published_tables(published, station):
    rows = published(f"constituents_{station}.csv")
    text = "\n".join(
        ["name,amplitude_m,phase_gmt,speed"]
        + [f"{row['name']},{row['amplitude']},{row['phase']},{find(row['name']).speed:.7f}" for row in rows]
    )
    table = import_table(text, "t.csv")
    kept = [row for row in rows if float(row["amplitude"]) > 0]
    assert [row.name for row in table.constants.constituents] == [find(row["name"]).name for row in kept]
    assert_allclose(table.constants.amplitude, [float(row["amplitude"]) for row in kept])


def test_json_uses_greenwich_lags_and_says_so():
    table = import_table(json.dumps(document()), "t.json")
    assert_allclose(table.constants.phase_lag, [109.2, 205.6])
    assert notes_of(table)[NoteKind.BOTH_PHASES] == ("phase_GMT", "phase_local")


def test_json_local_lags_when_asked_for():
    # G = g - speed x utc_offset: M2 109.2 = 327.0 - 28.984104 x offset has offset 7.5145 h, so by hand:
    table = import_table(json.dumps(document()), "t.json", phase=PhaseKind.LOCAL, utc_offset=-5.0)
    assert table.constants.phase_lag[0] == pytest.approx((327.0 + 5 * 28.984104) % 360, abs=1e-4)
    assert (table.facts.phase, table.facts.utc_offset) == (PhaseKind.LOCAL, -5.0)
    assert (line_of(table, Fact.PHASE), line_of(table, Fact.OFFSET)) == ("keys", None)


def test_a_bare_json_list_needs_its_units():
    text = json.dumps(document()["constituents"])
    assert problems_of(text) == [
        "units: found nothing in the table; expected the amplitudes' unit, in the header or given"
    ]
    assert import_table(text, "t.json", unit=TableUnit.METRES).constants.amplitude[0] == 4.498


def test_what_the_table_does_not_say_must_be_given():
    text = "name,amplitude,phase\nM2,1.0,100.0\n"
    assert problems_of(text) == [
        "units: found nothing in the table; expected the amplitudes' unit, in the header or given",
        "phase: found nothing in the table; expected whether lags are Greenwich or local, in the header or "
        "given",
    ]
    table = import_table(text, "t.csv", unit=TableUnit.METRES, phase=PhaseKind.GREENWICH)
    assert NoteKind.NO_SPEEDS in notes_of(table)
    assert line_of(table, Fact.UNIT) is None


def test_local_lags_need_an_offset():
    told = problems_of("name,amplitude_m,phase_local\nM2,1.0,100.0\n")
    assert told == ["utc_offset: found no offset; expected hours from UTC of the local zone, -14 to 14"]
    told = problems_of("name,amplitude_m,phase_local\nM2,1.0,100.0\n", utc_offset=-300.0)
    assert "found -300 hours" in told[0]


def test_contradictions_are_refused():
    told = problems_of(TABLE, unit=TableUnit.METRES, phase=PhaseKind.LOCAL, utc_offset=-5.0)
    assert told == [
        "units: found feet (line 1) in the table; expected metres, as was asked for",
        "phase: found greenwich (line 1) in the table; expected local, as was asked for",
    ]


def test_a_speed_that_is_not_the_names_is_named():
    # S2 printed with T2's speed, and K1 off by 2e-4.
    text = TABLE.replace("\t30.0\t", "\t29.958933\t").replace("15.041069", "15.041269")
    assert problems_of(text) == [
        "line 3 speed: found S2 at 29.9589330 degrees an hour; expected 30.0000000, the speed of S2",
        "line 4 speed: found K1 at 15.0412690 degrees an hour; expected 15.0410686, the speed of K1",
    ]


def test_every_problem_of_a_table_at_once():
    rows = ["M2,tall,100,28.984104", "ZZ9,1,1,5", "S2,1,9000,30", "S2,1,1", "K1,1,1,fast"]
    text = "\n".join(["name,amplitude_m,phase_gmt,speed", *rows])
    told = problems_of(text)
    assert len(told) >= 5
    assert any("line 2 amplitude" in line and "'tall'" in line for line in told)
    assert any("line 3 name" in line and "ZZ9" in line for line in told)
    assert any("line 4 phase" in line for line in told)
    assert any(line.startswith("line 5: found 3 fields") for line in told)
    assert any("line 6 speed" in line and "'fast'" in line for line in told)


@pytest.mark.parametrize(
    "text", ["", "# nothing\n", "a,b\n1,2\n", "{", "[]", '{"a": 1}', '{"a": [{"name": "M2"}]}']
)
def test_files_that_are_no_table(text):
    assert problems_of(text)


def test_a_station_written_and_read_again(tmp_path):
    station = published_station("9447130")
    t = year_start(2024) + 3600.0 * np.arange(366 * 24)
    found = fit(t, levels(station, t))
    head = StationHead("inner-light", 'Inner "Light"', 47.6, -122.3, "gauge zero", found.mean)
    for unit in LengthUnit:
        (tmp_path / "t.csv").write_text(
            constituent_csv(found.constants(), unit, ("fitted to one year",)), encoding="utf-8"
        )
        text = 'title = "T"\ntime_zone = "UTC"\nunits = "metres"\n\n' + station_toml(head, "t.csv", unit)
        assert tomllib.loads(text)["stations"][0]["name"] == 'Inner "Light"'
        (tmp_path / "s.toml").write_text(text, encoding="utf-8")
        again = read_station_file(tmp_path / "s.toml").stations[0]
        assert_allclose(levels(again, t), levels(station, t), atol=0.001)
        assert again.datum == "gauge zero"


def test_amplitudes_keep_five_decimals():
    text = constituent_csv(constants_of([("M2", 0.123456789, -10.0)]))
    assert text == "name,amplitude,phase\nM2,0.12346,350.000\n"
