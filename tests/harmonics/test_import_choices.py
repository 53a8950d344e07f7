"""How facts of a published table are settled: which of several sayings counts, how near, and who said it."""

import pytest

from harmonics.errors import FileProblemsError
from harmonics.files.agency_tables import TableOptions, import_table
from harmonics.files.published.results import NoteKind
from harmonics.files.published.statements import Fact
from harmonics.files.published.units import PhaseKind, TableUnit

ROWS = "M2,1.0,100\nS2,0.5,200\n"
WHOLE = "Amplitudes in m, Greenwich phases\n"
LOCAL = "Amplitudes in m, local phases\n"
HEADER = "name,amplitude,phase\n"


def table(text, **options):
    return import_table(text, "t.txt", TableOptions(**options))


def problems(text, **options):
    with pytest.raises(FileProblemsError) as caught:
        table(text, **options)
    return [str(problem) for problem in caught.value.problems]


def sources(text, **options):
    """Each fact that was settled: its value, and where it stands in the table (None: an option)."""
    found = table(text, **options).facts.sources
    return {item.fact: (item.value, item.line and item.line.where) for item in found}


def notes(text, kind, **options):
    return [note.about for note in table(text, **options).facts.notes if note.kind is kind]


class TestWhoSaysIt:
    def test_title_line_cell_or_option(self):
        greenwich = (PhaseKind.GREENWICH, "line 1")
        for text, unit in (
            ("name,amplitude (ft),phase (GMT)\n" + ROWS, (TableUnit.FEET, "line 1")),
            (WHOLE + HEADER + ROWS, (TableUnit.METRES, "line 1")),
            ("Greenwich phases\n" + HEADER + ROWS.replace("0.5", "0.5 ft"), (TableUnit.FEET, "line 4")),
            ("Greenwich phases\nHeights in feet\n" + HEADER + ROWS, (TableUnit.FEET, "line 2")),
        ):
            assert sources(text) == {Fact.UNIT: unit, Fact.PHASE: greenwich}
        assert sources(HEADER + ROWS, unit=TableUnit.FEET, phase=PhaseKind.GREENWICH) == {
            Fact.UNIT: (TableUnit.FEET, None),
            Fact.PHASE: (PhaseKind.GREENWICH, None),
        }
        assert sources(WHOLE + HEADER + ROWS, unit=TableUnit.METRES)[Fact.UNIT] == (
            TableUnit.METRES,
            "line 1",
        )

    def test_the_unit_of_heights_gives_way_to_that_of_amplitudes(self):
        text = "Greenwich phases\nHeights in feet\nAmplitudes in m\n" + HEADER + ROWS
        assert sources(text)[Fact.UNIT] == (TableUnit.METRES, "line 3")

    def test_a_unit_of_currents_is_none_of_heights(self):
        text = WHOLE + "Speeds in knots\n" + HEADER + ROWS
        assert sources(text)[Fact.UNIT] == (TableUnit.METRES, "line 1")

    def test_nothing_said_at_all(self):
        assert problems(HEADER + ROWS) == [
            "units: found nothing in the table; expected the amplitudes' unit, in the header or given",
            "phase: found nothing in the table; expected whether lags are Greenwich or local, in the header "
            "or given",
        ]

    def test_one_thing_said_and_another_asked_for(self):
        assert problems(WHOLE + HEADER + ROWS, unit=TableUnit.FEET, phase=PhaseKind.LOCAL) == [
            "units: found metres (line 1) in the table; expected feet, as was asked for",
            "phase: found greenwich (line 1) in the table; expected local, as was asked for",
        ]


OFFSET = "hours from UTC of the local zone, -14 to 14"


class TestLocalClocks:
    @pytest.mark.parametrize("hours", [14.0, -14.0, 0.0])
    def test_given(self, hours):
        assert table(LOCAL + HEADER + ROWS, utc_offset=hours).facts.utc_offset == hours

    @pytest.mark.parametrize("hours", [14.5, -15.0])
    def test_beyond_any_clock(self, hours):
        told = f"utc_offset: found {hours:g} hours; expected {OFFSET}"
        assert problems(LOCAL + HEADER + ROWS, utc_offset=hours) == [told]

    def test_none_said(self):
        assert problems(LOCAL + HEADER + ROWS) == [f"utc_offset: found no offset; expected {OFFSET}"]

    def test_another_asked_for(self):
        text = LOCAL + "Time zone: UTC-5\n" + HEADER + ROWS
        assert problems(text, utc_offset=-6.0) == [
            "utc_offset: found -5.0 (line 2) in the table; expected -6.0, as was asked for"
        ]
        assert table(text, utc_offset=-5.0).facts.utc_offset == -5.0

    @pytest.mark.parametrize(("longitude", "hours"), [(-127.0, -5.0), (-23.0, -5.0), (22.9, 5.0)])
    def test_both_signs_of_a_zone_by_the_sun(self, longitude, hours):
        """A clock is within three and a half hours of the sun's time, 15 degrees an hour."""
        text = LOCAL + "Time zone: +5\n" + HEADER + ROWS
        assert table(text, longitude=longitude).facts.utc_offset == hours

    @pytest.mark.parametrize("longitude", [-128.0, -22.0, 22.0, 128.0, 0.0])
    def test_a_longitude_that_fits_neither(self, longitude):
        text = LOCAL + "Time zone: +5\n" + HEADER + ROWS
        assert problems(text, longitude=longitude) == [
            "utc_offset: found 5.0 (line 2) and -5.0 (line 2); expected one of them"
        ]

    def test_lags_turn_by_the_speed_times_the_hours(self):
        """S2 turns 30 degrees an hour: G = g - speed x hours."""
        found = table(LOCAL + HEADER + ROWS, utc_offset=-5.0)
        assert found.constants.phase_lag[1] == pytest.approx(350.0)


class TestSeveralColumns:
    @pytest.mark.parametrize(
        ("units", "first", "second", "agree"),
        [
            (("m", "ft"), "1.000", "3.300", True),
            (("m", "ft"), "1.000", "3.302", False),
            (("m", "ft"), "1.000", "3.262", True),
            (("m", "ft"), "1.000", "3.260", False),
            (("cm", "(in)"), "100.0", "39.39", True),
            (("cm", "(in)"), "100.0", "39.40", False),
            (("ft", "m"), "3.281", "1.000", True),
            (("m", "m"), "1.000", "1.000", False),
            (("m", "ft"), "1.000", "-", False),
        ],
    )
    def test_amplitudes_in_two_units_agree_to_the_coarser_digit(self, units, first, second, agree):
        titles = [f"amplitude {unit}" for unit in units]
        text = f"Greenwich phases\nname,{titles[0]},{titles[1]},phase\nM2,{first},{second},10\n"
        if agree:
            assert notes(text, NoteKind.BOTH_AMPLITUDES) == [tuple(titles)]
        else:
            assert problems(text)[0] == (
                f"amplitude: found several columns: '{titles[0]}' and '{titles[1]}'; "
                "expected one of amplitudes"
            )

    def test_the_unit_asked_for_chooses_though_they_differ(self):
        text = "Greenwich phases\nname,amplitude (m),amplitude (ft),phase\nM2,1.0,5.0,10\n"
        assert table(text, unit=TableUnit.FEET).constants.amplitude.tolist() == [pytest.approx(1.524)]
        assert notes(text, NoteKind.BOTH_AMPLITUDES, unit=TableUnit.FEET) == [
            ("amplitude (ft)", "amplitude (m)")
        ]

    @pytest.mark.parametrize("titles", ["phase GMT,phase local", "phase local,phase GMT"])
    def test_lags_on_greenwich_unless_others_are_asked_for(self, titles):
        local = titles.split(",").index("phase local")
        text = f"Amplitudes in m\nname,amplitude,{titles}\nM2,1.0,10,20\n"
        lags = [10.0, 20.0]
        assert table(text).constants.phase_lag.tolist() == [lags[1 - local]]
        assert notes(text, NoteKind.BOTH_PHASES) == [("phase GMT", "phase local")]
        found = table(text, phase=PhaseKind.LOCAL, utc_offset=0.0)
        assert found.constants.phase_lag.tolist() == [lags[local]]

    def test_lags_without_a_word_where_the_others_are_local(self):
        text = "Amplitudes in m, Greenwich lags\nname,amplitude,phase,phase local\nM2,1.0,10,20\n"
        assert table(text).constants.phase_lag.tolist() == [10.0]
        assert notes(text, NoteKind.BOTH_PHASES) == [("phase", "phase local")]


def test_of_several_names_of_a_station_the_first():
    found = table("Station: Inner Pier\nPort: Outer Pier\n" + WHOLE + HEADER + ROWS)
    assert found.facts.place.station.value == "Inner Pier"
    assert not [note for note in found.facts.notes if note.kind is NoteKind.TWO_READINGS]


def test_speeds_are_told_to_agree_or_to_be_none():
    text = WHOLE + "name,amplitude,phase,speed\nM2,1.0,100,28.984104\n"
    kinds = [note.kind for note in table(text).facts.notes]
    assert (NoteKind.SPEEDS_AGREE in kinds, NoteKind.NO_SPEEDS in kinds) == (True, False)
    kinds = [note.kind for note in table(WHOLE + HEADER + ROWS).facts.notes]
    assert (NoteKind.SPEEDS_AGREE in kinds, NoteKind.NO_SPEEDS in kinds) == (False, True)


def test_lines_of_no_amplitude_are_left_out_and_told():
    text = WHOLE + HEADER + ROWS + "K1,0.0,50\nO1,0,60\n"
    assert [row.name for row in table(text).constants.constituents] == ["M2", "S2"]
    assert notes(text, NoteKind.NO_AMPLITUDE) == [("K1", "O1")]
    assert notes(WHOLE + HEADER + ROWS, NoteKind.NO_AMPLITUDE) == []


@pytest.mark.parametrize(
    ("unit", "level", "told"),
    [
        ("m", "100.5", "100.5; expected from -100 to 100 metres"),
        ("ft", "101", "101; expected from -100 to 100 feet"),
    ],
)
def test_a_mean_level_beyond_any(unit, level, told):
    text = f"Amplitudes in {unit}, Greenwich phases\n{HEADER}{ROWS}Z0,{level},\n"
    assert problems(text) == [f"mean level: found {told}"]
    metres = 1.0 if unit == "m" else 0.3048
    assert table(text.replace(level, "99.5")).mean_level == pytest.approx(99.5 * metres)
