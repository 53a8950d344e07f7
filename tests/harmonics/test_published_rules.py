"""How published tables are laid out, and what their columns of speeds may hold."""

import math

import pytest

from harmonics.catalogue.constituents import find
from harmonics.errors import FileProblemsError
from harmonics.files.agency_tables import TableOptions, import_table
from harmonics.files.published.layouts import find_layouts, is_mean, known, name_like
from harmonics.files.published.lines import lines_of_text
from harmonics.files.published.results import NoteKind
from harmonics.files.published.statements import Fact
from harmonics.files.published.units import PhaseKind, TableUnit

HEAD = "Amplitudes in m, Greenwich phases\n"


class TestLayouts:
    @pytest.mark.parametrize("name", ["Z0", "zo", "A0", "(S0)", "so", "M0", "MSL", "Mean."])
    def test_the_mean_among_names(self, name):
        assert is_mean(name)
        assert not is_mean("M2")

    def test_names(self):
        assert known("M2") and not known("M") and not known("-M2") and not known("M2" * 20)
        assert name_like("M2") and name_like("ν2") and name_like("2(MN)S6") and not name_like("1.5")
        assert not name_like("-M") and not name_like("+M") and not name_like(".M") and not name_like("M" * 25)

    def test_blocks_side_by_side(self):
        text = "name,amplitude,phase,name,amplitude,phase\nM2,1,2,S2,3,4\nK1,5,6,,,\nO1,7,8\n"
        (layout,) = find_layouts(lines_of_text(text))
        assert [[item.index for item in group] for group in layout.groups] == [[0, 1, 2], [3, 4, 5]]
        found = import_table(HEAD + text, "t", TableOptions())
        assert [row.name for row in found.constants.constituents] == ["M2", "S2", "K1", "O1"]
        assert found.constants.amplitude.tolist() == [1.0, 3.0, 5.0, 7.0]

    def test_numbers_in_front_of_each_block(self):
        text = (
            "Amplitudes in m, Greenwich phases\n"
            "No,name,amplitude,phase,No,name,amplitude,phase\n1,M2,1,2,3,S2,3,4\n2,K1,5,6,4,O1,7,8\n"
        )
        found = import_table(text, "t", TableOptions())
        sizes = {name: wave.amplitude for name, wave in found.constants.named().items()}
        assert sizes == {"M2": 1.0, "S2": 3.0, "K1": 5.0, "O1": 7.0}

    def test_rows_numbered_without_a_title(self):
        text = "Amplitudes in m, Greenwich phases\nname,amplitude,phase\n1,M2,1.5,10\n2,S2,0.5,20\n"
        found = import_table(text, "t", TableOptions())
        assert found.constants.amplitude.tolist() == [1.5, 0.5]

    def test_two_tables_are_refused(self):
        text = "name,amplitude_m,phase_gmt\nM2,1,2\n\nname,amplitude_ft,phase_gmt\nM2,3,2\n"
        with pytest.raises(
            FileProblemsError,
            match=r"file: found two tables, under line 1 and under line 4; expected one table",
        ):
            import_table(text, "t", TableOptions())

    def test_of_two_columns_of_names_that_with_known_ones(self):
        text = HEAD + "wave,symbol,amplitude,phase\nlunar,M2,1.5,10\nsolar,S2,0.5,20\n"
        found = import_table(text, "t", TableOptions())
        assert [row.name for row in found.constants.constituents] == ["M2", "S2"]

    def test_columns_numbered_under_their_titles(self):
        text = "Amplitudes in m, Greenwich phases\nname,amplitude,phase\n(1),(2),(3)\nM2*,1.5,10\n"
        assert import_table(text, "t", TableOptions()).constants.amplitude.tolist() == [1.5]

    def test_a_row_of_no_numbers_is_told(self):
        text = "Amplitudes in m, Greenwich phases\nname,amplitude,phase\nM2,1.5,10\nS2,-,-\nK1,,\n"
        found = import_table(text, "t", TableOptions())
        told = {note.kind: note.about for note in found.facts.notes}
        assert told[NoteKind.NO_NUMBERS] == ("S2", "K1")

    def test_of_two_columns_of_amplitudes_the_first_where_they_agree(self):
        text = "Greenwich phases\nname,amplitude (m),amplitude (ft),phase\nM2,1.0,3.281,10\nS2,0.5,1.640,20\n"
        found = import_table(text, "t", TableOptions())
        told = {note.kind: note.about for note in found.facts.notes}
        assert told[NoteKind.BOTH_AMPLITUDES] == ("amplitude (m)", "amplitude (ft)")
        assert found.constants.amplitude.tolist() == [1.0, 0.5]
        feet = import_table(text, "t", TableOptions(unit=TableUnit.FEET))
        assert feet.constants.amplitude[0] == pytest.approx(3.281 * 0.3048)
        with pytest.raises(
            FileProblemsError, match=r"amplitude: found several columns: 'amplitude .m.' and 'amplitude .ft.'"
        ):
            import_table(text.replace("3.281", "3.4"), "t", TableOptions())

    def test_units_behind_each_number(self):
        text = "Greenwich phases\nname,amplitude,phase\nM2,1.5 ft,10°\nS2,0.5 ft,20°\n"
        found = import_table(text, "t", TableOptions())
        assert found.facts.published is TableUnit.FEET
        (unit,) = [item for item in found.facts.sources if item.fact is Fact.UNIT]
        assert unit.line.where == "line 3"

    def test_titles_over_two_and_three_lines(self):
        rows = "M2     1.5    10\nS2     0.5    20\nK1     0.2    30\n"
        for head in (
            "name   amplitude  phase\n",
            "name   ampl.  phase\n       m      GMT\n",
            "               Greenwich\nname   ampl.  phase\n       (m)    (deg)\n",
            "              Greenwich\n       tide   phase\nname   ampl.  lag\n",
            "       tide   phase\nname   ampl.  (deg)\n",
        ):
            found = import_table(
                head + rows, "t", TableOptions(unit=TableUnit.METRES, phase=PhaseKind.GREENWICH)
            )
            assert found.constants.amplitude.tolist() == [1.5, 0.5, 0.2], head
            assert found.constants.phase_lag.tolist() == [10.0, 20.0, 30.0], head

    def test_a_gap_in_a_row_is_an_empty_cell(self):
        text = HEAD + "name   amplitude  phase  remark\nM2     1.5        10     main\nS2     0.5        20\n"
        assert import_table(text, "t", TableOptions()).constants.amplitude.tolist() == [1.5, 0.5]

    def test_decimal_commas_with_units_behind(self):
        text = "Greenwich phases\nname;amplitude;phase\nM2;1,5 m;10,5°\nS2;0,25 m;20,5°\n"
        found = import_table(text, "t", TableOptions())
        assert found.constants.amplitude.tolist() == [1.5, 0.25]
        assert found.constants.phase_lag.tolist() == [10.5, 20.5]


class TestSpeeds:
    @pytest.mark.parametrize(
        ("title", "turn"),
        [
            ("speed (deg/h)", lambda speed: speed),
            ("period (h)", lambda speed: 360.0 / speed),
            ("period (days)", lambda speed: 15.0 / speed),
            ("frequency (cph)", lambda speed: speed / 360.0),
            ("frequency (cycles/hour)", lambda speed: speed / 360.0),
            ("frequency (cycles per day)", lambda speed: speed / 15.0),
            ("frequency (cpd)", lambda speed: speed / 15.0),
            ("speed (rad/h)", math.radians),
            ("speed (rad/s)", lambda speed: math.radians(speed) / 3600.0),
            ("freq", lambda speed: speed),
            ("freq.", lambda speed: speed / 360.0),
            ("frequency", lambda speed: speed / 15.0),
        ],
    )
    def test_units_of_speeds(self, title, turn):
        rows = [("M2", 28.984104237), ("S2", 30.0), ("K1", 15.041068640)]
        head = f"Amplitudes in m, Greenwich phases\nname,amplitude,phase,{title}\n"
        text = head + "".join(f"{name},1.0,10,{turn(speed):.14f}\n" for name, speed in rows)
        found = import_table(text, "t", TableOptions())
        assert NoteKind.SPEEDS_AGREE in {note.kind for note in found.facts.notes}
        with pytest.raises(
            FileProblemsError,
            match=r"line 4 speed: found S2 at .* degrees an hour; expected 30.0000000, the speed of S2",
        ):
            import_table(text.replace(f"{turn(30.0):.14f}", f"{turn(30.01):.14f}"), "t", TableOptions())

    def test_an_unknown_name_with_a_known_speed(self):
        text = (
            "Amplitudes in m, Greenwich phases\nname,amplitude,phase,speed\nM2,1,1,28.984104\nWHAT,1,1,30.0\n"
        )
        with pytest.raises(
            FileProblemsError,
            match="line 4 name: found unknown constituent 'WHAT' with the speed of S2; expected a name that",
        ):
            import_table(text, "t", TableOptions())


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [
        ("Latitude 10.5 N", "Latitude 11.5 N", ("latitude", "10.5 (line 1)", "11.5 (line 2)")),
        ("Longitude 10.5 W", "Longitude 11.5 W", ("longitude", "-10.5 (line 1)", "-11.5 (line 2)")),
        ("Datum: MLLW", "Datum: LAT", ("datum", "MLLW (line 1)", "LAT (line 2)")),
        (
            "Time zone America/Chicago",
            "Time zone Europe/Oslo",
            ("time zone", "America/Chicago (line 1)", "Europe/Oslo (line 2)"),
        ),
        ("Mean level 1.5 m", "Mean level 2.5 m", ("mean level", "1.5 (line 1)", "2.5 (line 2)")),
    ],
)
def test_what_two_lines_say_differently_is_not_taken(first, second, told):
    text = f"{first}\n{second}\n{HEAD}name,amplitude,phase\nM2,1,2\n"
    found = import_table(text, "t", TableOptions())
    assert [note.about for note in found.facts.notes if note.kind is NoteKind.TWO_READINGS] == [told]
    once = import_table(
        text.replace(second, first.upper() if "Datum" in first else first), "t", TableOptions()
    )
    assert not [note for note in once.facts.notes if note.kind is NoteKind.TWO_READINGS]


def test_the_mean_level_in_its_own_unit_or_in_the_tables():
    rows = "name,amplitude,phase\nM2,1,2\n"
    assert import_table("Mean level 2 ft\n" + HEAD + rows, "t", TableOptions()).mean_level == pytest.approx(
        0.6096
    )
    assert import_table("Mean level 2\n" + HEAD + rows, "t", TableOptions()).mean_level == 2.0
    feet = HEAD.replace("in m", "in feet") + rows
    assert import_table(feet + "Z0,3,\n", "t", TableOptions()).mean_level == pytest.approx(3 * 0.3048)
    assert import_table(feet, "t", TableOptions()).mean_level is None


def test_a_clock_in_a_title_has_the_title_for_its_source():
    text = "Amplitudes in m\nname,amplitude,phase (UTC-5)\nM2,1,2\n"
    found = import_table(text, "t", TableOptions())
    (source,) = [item for item in found.facts.sources if item.fact is Fact.OFFSET]
    assert (source.value, source.line.where) == (-5.0, "line 2")


def test_a_clock_away_from_greenwich_counts_before_one_of_the_station():
    rows = "name,amplitude,phase\nM2,1,100\n"
    text = "Amplitudes in m, local phases\nTime zone: UTC\nTime zone: UTC-5\n" + rows
    assert import_table(text, "t", TableOptions()).facts.utc_offset == -5.0
    only = text.replace("Time zone: UTC-5\n", "")
    assert import_table(only, "t", TableOptions()).facts.utc_offset == 0.0


def test_lines_between_rows_are_told_if_they_are_of_the_table():
    text = HEAD + "name,amplitude,phase\nM2,1,2\n# a comment\nsee below\nS2,1,2\n"
    found = import_table(text, "t", TableOptions())
    told = [note.about for note in found.facts.notes if note.kind is NoteKind.PASSED_OVER]
    assert told == [("line 5 ('see below')",)]


def test_the_mean_is_none_of_the_names_that_hold_it():
    assert not is_mean("XZ0X") and is_mean("(Z0).")


@pytest.mark.parametrize(("name", "other"), [("3N2", "3N2E"), ("2K2", "2KM2")])
def test_names_of_two_meanings_by_their_speed(name, other):
    for meant in (name, other):
        text = HEAD + f"name,amplitude,phase,speed\nM2,1,2,28.984104\n{name},1,2,{find(meant).speed:.6f}\n"
        found = import_table(text, "t", TableOptions())
        assert [row.name for row in found.constants.constituents] == ["M2", meant]
        told = [note.about for note in found.facts.notes if note.kind is NoteKind.OTHER_MEANING]
        assert told == ([] if meant == name else [(name, other, "line 4")])


def test_a_longitude_that_fits_no_reading_of_a_zone_leaves_both():
    text = "Amplitudes in m, local phases\nTime zone: +5\nname,amplitude,phase\nM2,1,100\n"
    assert import_table(text, "t", TableOptions(longitude=-75.0)).facts.utc_offset == -5.0
    assert import_table(text, "t", TableOptions(longitude=75.0)).facts.utc_offset == 5.0
    with pytest.raises(FileProblemsError, match=r"utc_offset: found 5.0 .* and -5.0 .*; expected one"):
        import_table(text, "t", TableOptions(longitude=179.0))


def test_titles_that_leave_no_pair_are_a_problem_in_words():
    text = (
        "Onde;Amplitude (cm);Phasejor (cm/s),semi-minor (cm/s),azimuth (true),phase G\nM2,50,-5,30,100\n"
        "K1,9,1,40,50\n G\nM2;137,1;109,2\nS2;1 020,8;146,2\nZ0;158,6;"
    )
    with pytest.raises(FileProblemsError) as caught:
        import_table(text, "table.txt")
    assert [str(problem) for problem in caught.value.problems] == [
        "header: found no amplitude and phase lag that belong together; expected a published table of "
        "constituents (text, CSV, a saved page or JSON)"
    ]


def test_beside_a_table_may_stand_one_of_fewer_columns():
    with pytest.raises(FileProblemsError) as caught:
        import_table(
            "name  mame H G Name H G\nM2    01/02/2021 00:00    1__0    0.1    118.5    265.8", "table.txt"
        )
    assert caught.value.problems
