"""Published tables that can be read in two ways: each doubt is refused, and both readings are named."""

import pytest

from harmonics.errors import FileProblemsError
from harmonics.files.agency_tables import TableOptions, import_table
from harmonics.files.published.results import ImportedTable, NoteKind
from harmonics.files.published.units import PhaseKind, TableUnit

ROWS = "M2,1.371,109.2\nS2,0.208,146.2\n"
KIND = "whether lags are Greenwich or local, in the header or given"
HEADER = "name,amplitude (m),phase (GMT)\n"


def problems_of(text: str, **options) -> list[str]:
    with pytest.raises(FileProblemsError) as caught:
        import_table(text, "t.txt", TableOptions(**options))
    return [str(problem) for problem in caught.value.problems]


def table_of(text: str, **options) -> ImportedTable:
    found = import_table(text, "t.txt", TableOptions(**options))
    assert isinstance(found, ImportedTable)
    return found


DOUBTS = {
    "unit in header and above": (
        "Amplitudes in feet\n" + HEADER + ROWS,
        "units: found metres (line 2) and feet (line 1); expected one of them",
    ),
    "unit above and below": (
        "Amplitudes in feet\nname,amplitude,phase (GMT)\n" + ROWS + "Unit: metres\n",
        "units: found feet (line 1) and metres (line 5); expected one of them",
    ),
    "phases in header and above": (
        "Phases are local\n" + HEADER + ROWS,
        "phase: found greenwich (line 2) and local (line 1); expected one of them",
    ),
    "a clock that is not said to be that of the lags": (
        "Time zone: UTC-5\nname,amplitude (m),g\n" + ROWS,
        "phase: found a clock (line 1) that may be that of the lags, or of the station alone; expected "
        f"{KIND}",
    ),
    "a zone of either sign": (
        "Phase lags for zone +5\nname,amplitude (m),phase\n" + ROWS,
        "utc_offset: found 5.0 (line 1) and -5.0 (line 1); expected one of them",
    ),
    "letters of two clocks": (
        "Phases on local time (CST)\nname,amplitude (m),phase\n" + ROWS,
        "utc_offset: found -6.0 (line 1) and 8.0 (line 1); expected one of them",
    ),
    "a small g alone": (
        "name,H (m),g (deg)\n" + ROWS,
        f"phase: found nothing in the table; expected {KIND}",
    ),
    "kappa": (
        "name,H (m),kappa\n" + ROWS,
        "phase: found kappa, lags on the meridian of the place; expected Greenwich lags: "
        "kappa + (cycles a day) x (degrees of longitude west)",
    ),
    "two columns of lags": (
        "name,amplitude (m),phase (GMT),lag (GMT)\nM2,1.371,109.2,109.3\n",
        "phase: found several columns of lags: 'phase (GMT)' and 'lag (GMT)'; expected one that says "
        "Greenwich",
    ),
    "two columns of amplitudes": (
        "name,amplitude (m),amplitude (ft),phase (GMT)\nM2,1.371,4.498,109.2\nS2,0.208,0.9,146.2\n",
        "amplitude: found several columns: 'amplitude (m)' and 'amplitude (ft)'; expected one of amplitudes",
    ),
    "commas of thousands or decimals": (
        "name;amplitude (mm);phase (GMT)\nM2;1,371;109\n",
        "numbers: found numbers such as 1,371 that may be 1.371 or 1371; expected decimal points",
    ),
    "two tables": (
        HEADER + ROWS + "\nname,amplitude (m),phase (GMT),remark\nO1,0.1,1.0,other pier\n",
        "file: found two tables, under line 1 and under line 5; expected one table",
    ),
    "rows without a header": (
        "M2 1.371 109.2\nS2 0.208 146.2\n",
        "line 1: found 'M2 1.371 109.2' with no header above that says which number is which; expected a "
        "line such as name,amplitude,phase above the rows",
    ),
    "a speed of two lines": (
        "name,amplitude (m),phase (GMT),speed\nM1,0.01,10.0,14.4920521\n",
        "line 2 speed: found M1 at 14.4920521 degrees an hour; expected 14.4966939, the speed of M1",
    ),
    "a name nobody knows with a known speed": (
        "name,amplitude (m),phase (GMT),speed\nXX2,0.01,10.0,28.9841042\n",
        "line 2 name: found unknown constituent 'XX2' with the speed of M2; expected a name that "
        "the catalogue knows",
    ),
}


@pytest.mark.parametrize(("text", "problem"), DOUBTS.values(), ids=DOUBTS)
def test_a_doubt_names_both_readings(text, problem):
    assert problems_of(text) == [problem]


def test_an_option_settles_a_doubt_but_never_says_a_third_thing():
    text = "Amplitudes in feet\n" + HEADER + ROWS
    assert table_of(text, unit=TableUnit.FEET).constants.amplitude[0] == pytest.approx(1.371 * 0.3048)
    assert table_of(text, unit=TableUnit.METRES).constants.amplitude[0] == 1.371
    (told,) = problems_of(text, unit=TableUnit.CENTIMETRES)
    assert told.endswith("in the table; expected centimetres, as was asked for")


def test_the_longitude_tells_the_sign_of_a_zone():
    text = "Phase lags for zone +5\nname,amplitude (m),phase\n" + ROWS
    assert table_of(text, longitude=-71.05).facts.utc_offset == -5.0
    assert table_of(text, longitude=75.0).facts.utc_offset == 5.0
    assert table_of("Longitude: 71 03 W\n" + text).facts.utc_offset == -5.0
    # G = g - speed x offset: 109.2 + 5 x 28.9841042 = 254.12.
    assert table_of(text, longitude=-71.05).constants.phase_lag[0] == pytest.approx(254.1205, abs=1e-3)


@pytest.mark.parametrize(
    ("line", "hours"),
    [
        ("Phases refer to UTC-5", -5.0),
        ("phase lags: GMT +0530", 5.5),
        ("Phases on the time meridian 75 W", -5.0),
        ("Phases on local standard time, zone UTC+9:30", 9.5),
        ("Phases local; time zone: NZST", 12.0),
    ],
)
def test_clocks_of_local_lags(line, hours):
    found = table_of(f"{line}\nname,amplitude (m),phase\n{ROWS}")
    assert (found.facts.phase, found.facts.utc_offset) == (PhaseKind.LOCAL, hours)


@pytest.mark.parametrize(
    "line",
    ["Time zone: UTC", "Phases: Greenwich", "Phase lags G", "time zone UTC+0", "lags on Universal time"],
)
def test_words_for_greenwich(line):
    found = table_of(f"{line}\nname,amplitude (m),phase\n{ROWS}")
    assert (found.facts.phase, found.facts.utc_offset) == (PhaseKind.GREENWICH, None)


def test_a_clock_of_the_station_beside_greenwich_lags_changes_nothing():
    found = table_of(f"Time zone: America/New_York\n{HEADER}{ROWS}")
    assert found.facts.phase is PhaseKind.GREENWICH
    assert found.facts.place.zone is not None
    assert found.facts.place.zone.value == "America/New_York"


def test_names_of_two_meanings_are_told_apart_by_their_speed():
    # 27.3509801 is the hydrographic 3N2, 28.4356... that of the moon's third-degree tide.
    head = "name,amplitude (m),phase (GMT),speed\n"
    first = table_of(f"{head}3N2,0.01,10.0,27.3509801\n2K2,0.002,1.0,31.1801704\n")
    assert [row.name for row in first.constants.constituents] == ["3N2E", "2KM2"]
    about = [note.about for note in first.facts.notes if note.kind is NoteKind.OTHER_MEANING]
    assert about == [("3N2", "3N2E", "line 2"), ("2K2", "2KM2", "line 3")]
    second = table_of(f"{head}3N2,0.01,10.0,28.4350868\n")
    assert [row.name for row in second.constants.constituents] == ["3N2"]


@pytest.mark.parametrize("speed", ["28.98", "28.984", "28.984104"])
def test_speeds_of_few_digits_are_held_to_their_last(speed):
    table_of(f"name,amplitude (m),phase (GMT),speed\nM2,1.0,10.0,{speed}\n")
    assert problems_of(f"name,amplitude (m),phase (GMT),speed\nN2,1.0,10.0,{speed}\n")


def test_a_line_below_that_looks_like_a_row_is_told():
    found = table_of(f"{HEADER}{ROWS}Second part\nQQ9,1.0,20.0\nO1,0.1,30.0\nend\nQQ8,1.0,30.0\n")
    assert [row.name for row in found.constants.constituents] == ["M2", "S2", "O1"]
    (about,) = [note.about for note in found.facts.notes if note.kind is NoteKind.PASSED_OVER]
    assert about == ("line 4 ('Second part')", "line 5 ('QQ9,1.0,20.0')", "line 8 ('QQ8,1.0,30.0')")


def test_a_broken_row_is_a_problem_and_no_prose():
    assert problems_of(f"{HEADER}{ROWS}O1,0.1\nZZ9,0.1,1.0\n") == [
        "line 4: found 2 fields; expected 3, as in the header",
        "line 5 name: found unknown constituent 'ZZ9'; expected a known name such as M2, S2, K1 or MS4",
    ]


def test_facts_said_twice_of_the_place_are_not_taken():
    found = table_of(f"Datum: MLLW\nDatum: LAT\n{HEADER}{ROWS}")
    assert found.facts.place.datum is None
    (about,) = [note.about for note in found.facts.notes if note.kind is NoteKind.TWO_READINGS]
    assert about == ("datum", "MLLW (line 1)", "LAT (line 2)")
