"""Published constants of currents in the layouts that offices print, read to the printed digit.

Along the flood axis: NOAA CO-OPS, source lines in tests/published. No published minor axes are at hand: those
here are made from the major ones by a fixed factor and turn, and test the arithmetic alone.
"""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose

from harmonics.catalogue.constituents import find
from harmonics.errors import FileProblemsError
from harmonics.files.agency_tables import TableOptions, import_table
from harmonics.files.published.results import ImportedCurrent, NoteKind
from harmonics.files.published.statements import Fact
from harmonics.files.published.units import PhaseKind
from harmonics.stations.components import tidal_ellipses
from harmonics.stations.types import TwoComponentStation
from harmonics.sums.waves import HarmonicConstants
from tests.published_layouts import KNOT, Constant, constants

STATIONS = {
    "EPT0003_bin11": (265.8, 85.8, -0.057),
    "FPI0901": (259.7, 79.7, -0.159),
    "PUG1515": (211.1, 31.1, 0.113),
}
"""Flood and ebb direction and mean flow, from the source lines."""


def rows_of(station: str) -> list[Constant]:
    return constants(f"current_constituents_{station}.csv")


def current_of(text: str, **options) -> ImportedCurrent:
    found = import_table(text, "t.txt", TableOptions(**options))
    assert isinstance(found, ImportedCurrent)
    return found


def assert_along(found: ImportedCurrent, rows: list[Constant], decimals: int = 3, unit: float = KNOT) -> None:
    expected = {
        find(row.name).name: (size, row.phase)
        for row in rows
        if (size := round(row.amplitude * KNOT / unit, decimals)) > 0
    }
    names = [row.name for row in found.along.constituents]
    assert sorted(names) == sorted(expected)
    assert_allclose(found.along.amplitude / unit, [expected[name][0] for name in names], atol=1e-9)
    assert_allclose(found.along.phase_lag, [expected[name][1] for name in names], atol=1e-6)


@pytest.mark.parametrize("station", STATIONS)
def test_one_axis_in_knots_with_its_directions_above(station):
    flood, ebb, mean = STATIONS[station]
    rows = rows_of(station)
    text = "\n".join(
        [
            "HARMONIC CONSTANTS OF THE CURRENT",
            f"Flood direction {flood} deg true   Ebb direction {ebb} deg true",
            f"Mean flow {mean} kn",
            "",
            "  Const.     Speed (knots)    G (deg)",
            *(f"  {row.name:<8s}  {row.amplitude:10.3f}    {row.phase:8.1f}" for row in rows),
        ]
    )
    found = current_of(text)
    assert_along(found, rows)
    assert (found.flood_direction, found.ebb_direction, found.across) == (flood, ebb, None)
    assert found.mean_along == pytest.approx(mean * KNOT)


@pytest.mark.parametrize("station", STATIONS)
def test_a_page_in_centimetres_a_second_with_flood_and_ebb_in_one_line(station):
    flood, ebb, _ = STATIONS[station]
    rows = rows_of(station)
    body = "".join(
        f"<tr><td>{row.name}<td>{row.amplitude * KNOT * 100:.1f}<td>{row.phase:.1f}</tr>" for row in rows
    )
    text = (
        f"<html><body><h1>Station: Strait</h1><p>Flood/ebb directions: {flood} / {ebb} degrees"
        f"<table><tr><th>Constituent<th>Amplitude [cm/s]<th>Phase, UTC</tr>{body}</table></body></html>"
    )
    found = current_of(text)
    assert_along(found, rows, 1, 0.01)
    assert (found.flood_direction, found.ebb_direction) == (flood, ebb)


MINOR = 0.05


def two_axes(rows: list[Constant], azimuth: float, across: float | None) -> str:
    items = [
        {
            "constituent": row.name,
            "majorAmplitude": row.amplitude,
            "majorPhaseGMT": row.phase,
            "minorAmplitude": round(row.amplitude * MINOR, 4),
            "minorPhaseGMT": round((row.phase + 90.0) % 360.0, 1),
            "majorMeanSpeed": 0.113,
            "azimuth": azimuth,
        }
        | ({} if across is None else {"minorAzimuth": across})
        for row in rows
    ]
    return json.dumps({"units": "knots", "constituents": items})


def test_two_axes_with_one_azimuth_keep_the_minor_where_its_side_is_known():
    rows = rows_of("PUG1515")
    found = current_of(two_axes(rows, 211.1, 301.1))
    assert_along(found, rows)
    assert (found.axis_direction, found.across_direction, found.flood_direction) == (211.1, 301.1, 211.1)
    assert found.across is not None
    assert found.across.amplitude[0] == pytest.approx(0.517 * MINOR * KNOT, abs=1e-4)
    assert found.mean_along == pytest.approx(0.113 * KNOT)


def test_a_minor_axis_of_unknown_side_is_left_out_and_told():
    text = two_axes(rows_of("PUG1515"), 211.1, None)
    found = current_of(text)
    assert found.across is None
    assert NoteKind.ONE_AXIS in {note.kind for note in found.facts.notes}
    assert current_of(text, directions={Fact.ACROSS: 121.1}).across_direction == 121.1


def ellipses(rows: list[Constant], title: str, from_east: bool) -> tuple[str, TwoComponentStation]:
    along = np.array([row.amplitude * KNOT for row in rows])
    lag = np.array([row.phase for row in rows])
    turn = np.linspace(-80.0, 80.0, len(rows))
    names = tuple(find(row.name) for row in rows)
    station = TwoComponentStation(
        "a", "A", 0.0, 0.0, 90.0, 0.0, 0.0, 0.0,
        HarmonicConstants(names, along, lag),
        HarmonicConstants(names, along * 0.4, np.mod(lag + turn, 360.0)),
        90.0,
    )  # fmt: skip
    found = tidal_ellipses(station)[1]
    lines = ["Amplitudes in m/s, phases on Greenwich", f"name,semi-major axis,semi-minor axis,{title},phase"]
    for row, major, minor, direction, phase in zip(rows, *found, strict=True):
        angle = 90.0 - direction if from_east else direction
        lines.append(f"{row.name},{major:.8f},{minor:.8f},{angle:.6f},{phase:.6f}")
    return "\n".join(lines), station


@pytest.mark.parametrize(
    ("title", "from_east"), [("azimuth (deg true)", False), ("inclination ccw from east", True)]
)
def test_ellipses_become_east_and_north_components(title, from_east):
    text, station = ellipses([row for row in rows_of("FPI0901") if row.amplitude > 0], title, from_east)
    found = current_of(text)
    assert found.across is not None
    assert (found.axis_direction, found.across_direction, found.flood_direction) == (90.0, 0.0, None)
    for mine, theirs in ((found.along, station.along), (found.across, station.across)):
        assert mine.constituents == theirs.constituents
        assert_allclose(mine.amplitude, theirs.amplitude, atol=1e-7)
        turned = np.mod(mine.phase_lag - theirs.phase_lag + 180.0, 360.0) - 180.0
        assert_allclose(turned * theirs.amplitude, 0.0, atol=1e-5)


def test_an_inclination_of_unknown_sense_is_refused():
    text, _ = ellipses([row for row in rows_of("FPI0901") if row.amplitude > 0], "inclination", True)
    with pytest.raises(FileProblemsError, match="degrees true or degrees anticlockwise from east"):
        import_table(text, "t.txt")


def test_east_and_north_components():
    text = "name,u amplitude (m/s),u phase (GMT),v amplitude (m/s),v phase (GMT)\nM2,0.5,10.0,0.2,100.0\n"
    found = current_of(text)
    assert found.across is not None
    assert (found.along.amplitude[0], found.across.amplitude[0]) == (0.5, 0.2)
    assert (found.axis_direction, found.across_direction) == (90.0, 0.0)


def problems_of(text: str, **options) -> list[str]:
    with pytest.raises(FileProblemsError) as caught:
        import_table(text, "t.txt", TableOptions(**options))
    return [str(problem) for problem in caught.value.problems]


MAJOR = "Amplitudes in m/s, Greenwich phases\nname,major axis amplitude,azimuth,phase\n"


def test_the_azimuth_of_one_axis_is_the_flood_and_is_told():
    found = current_of(MAJOR + "M2,0.5,200.02,10\nS2,0.2,200.05,20\n")
    assert (found.axis_direction, found.flood_direction, found.across) == (200.02, 200.02, None)
    assert [note.about for note in found.facts.notes if note.kind is NoteKind.FLOOD_IS_AXIS] == [("200.02",)]
    assert current_of(MAJOR + "M2,0.5,-160,10\n").axis_direction == 200.0
    given = current_of(MAJOR + "M2,0.5,200,10\n", directions={Fact.FLOOD: 20.0, Fact.EBB: 190.0})
    assert (given.flood_direction, given.ebb_direction, given.axis_direction) == (20.0, 190.0, 200.0)


def test_an_azimuth_that_changes_or_is_none():
    told = problems_of(MAJOR + "M2,0.5,200.0,10\nS2,0.2,200.1,20\n")
    assert told == [
        "line 2: found 'azimuth' from 200 to 200.1; expected one direction for an axis with its own lags"
    ]
    assert "line 4 azimuth: found no direction; expected degrees" in problems_of(
        MAJOR + "M2,0.5,360,10\nS2,0.2,361,20\n"
    )
    assert "line 3 azimuth: found no direction; expected degrees" in problems_of(MAJOR + "M2,0.5,east,10\n")


def test_directions_said_twice():
    text = "Flood direction 200 deg true\nFlood direction 210 deg true\n" + MAJOR + "M2,0.5,200,10\n"
    assert problems_of(text) == [
        "flood direction: found 200.0 (line 1), 210.0 (line 2); expected one of them"
    ]
    assert current_of(text, directions={Fact.FLOOD: 205.0}).flood_direction == 205.0


def test_mean_flow_given_said_or_in_a_column():
    rows = "name,major axis amplitude,mean speed,phase\nM2,0.5,0.1,10\nS2,0.2,0.1,20\n"
    head = "Amplitudes in m/s, Greenwich phases\n"
    assert current_of(head + rows).mean_along == pytest.approx(0.1)
    assert current_of("Mean flow 0.3 kn\n" + head + rows).mean_along == pytest.approx(0.3 * KNOT)
    assert current_of(head + rows, directions={Fact.MEAN_FLOW: 2.0}).mean_along == pytest.approx(2.0 * KNOT)
    assert current_of(head + rows.replace("0.2,0.1", "0.2,0.15")).mean_along == 0.0
    commas = rows.replace(",", ";").replace(".", ",")
    assert current_of(head + commas).mean_along == pytest.approx(0.1)


TWO = (
    "Amplitudes in m/s, Greenwich phases\n"
    "name,major axis amplitude,minor axis amplitude,major axis phase,minor axis phase\n"
    "M2,0.5,-0.1,10,100\nS2,0.2,0.05,20,110\n"
)


def test_a_minor_amplitude_below_nothing_is_a_lag_half_a_turn_on_and_needs_both_directions():
    both = {Fact.FLOOD: 30.0, Fact.ACROSS: 120.0}
    found = current_of(TWO, directions=both)
    assert found.across.amplitude.tolist() == [0.1, 0.05]
    assert found.across.phase_lag.tolist() == [280.0, 110.0]
    assert (found.axis_direction, found.across_direction, found.mean_across) == (30.0, 120.0, 0.0)
    one = current_of(TWO, directions={Fact.ACROSS: 120.0})
    assert one.across is None
    assert NoteKind.ONE_AXIS in {note.kind for note in one.facts.notes}


@pytest.mark.parametrize(
    ("columns", "row", "problem"),
    [
        (
            "major axis amplitude,minor axis amplitude,phase",
            "0.5,0.1,10",
            "line 2: found 0 columns of directions; expected that of the major axis",
        ),
        (
            "major axis amplitude,minor axis amplitude,azimuth true from east,phase",
            "0.5,0.1,30,10",
            "line 2: found 'azimuth true from east', degrees true or degrees anticlockwise from east; "
            "expected a title that says which, such as 'azimuth (deg true)'",
        ),
        (
            "minor axis amplitude,azimuth,phase",
            "0.1,30,10",
            "line 2: found the columns name, minor axis amplitude, azimuth, phase; expected amplitude and "
            "lag along an axis, on two axes, or of an ellipse",
        ),
        (
            "major axis amplitude,minor axis amplitude,azimuth,phase",
            "0.5,-,30,10",
            "line 2: found ellipses of which numbers are missing; expected both axes in every row",
        ),
    ],
)
def test_axes_that_no_file_can_hold(columns, row, problem):
    text = f"Amplitudes in m/s, Greenwich phases\nname,{columns}\nM2,{row}\nS2,0.2,0.05,30,20\n"
    assert problem in problems_of(text)


def test_an_ellipse_by_hand():
    """Major axis to the east, greatest at lag 10; minor a quarter period later to the north."""
    text = (
        "Amplitudes in m/s, Greenwich phases\nname,major,minor,inclination ccw from east,phase\n"
        "M2,0.5,0.1,0,10\nS2,0.5,-0.1,0,10\n"
    ).replace("major,minor", "semi-major axis,semi-minor axis")
    found = current_of(text)
    assert_allclose(found.along.amplitude, [0.5, 0.5])
    assert_allclose(found.along.phase_lag, [10.0, 10.0])
    assert_allclose(found.across.amplitude, [0.1, 0.1])
    assert_allclose(found.across.phase_lag, [100.0, 280.0])
    assert NoteKind.ROTATION in {note.kind for note in found.facts.notes}


def test_both_kinds_of_lags_on_two_axes():
    text = (
        "Amplitudes in m/s\nname,major amplitude,major phase GMT,major phase local,minor amplitude,"
        "minor phase GMT,minor phase local,minor mean speed\nM2,0.5,10,20,0.1,100,110,0.05\n"
    )
    both = {Fact.FLOOD: 30.0, Fact.ACROSS: 120.0}
    assert problems_of(text) == ["phase: found greenwich (line 2) and local (line 2); expected one of them"]
    found = current_of(text, directions=both, phase=PhaseKind.GREENWICH)
    assert (found.along.phase_lag.tolist(), found.across.phase_lag.tolist()) == ([10.0], [100.0])
    assert found.mean_across == pytest.approx(0.05)
    local = current_of(text, directions=both, phase=PhaseKind.LOCAL, utc_offset=0.0)
    assert (local.along.phase_lag.tolist(), local.across.phase_lag.tolist()) == ([20.0], [110.0])
    one = current_of(text, directions={Fact.FLOOD: 30.0}, phase=PhaseKind.GREENWICH)
    assert (one.across, one.mean_across) == (None, 0.0)


def test_a_major_axis_with_lags_of_its_own_and_decimal_commas():
    text = (
        "Amplitudes in m/s, Greenwich phases\nname;major amplitude;major phase;azimuth\n"
        "M2;0,5;10,5;200,5\nS2;0,2;20,5;200,5\n"
    )
    found = current_of(text)
    assert found.along.phase_lag.tolist() == [10.5, 20.5]
    assert found.axis_direction == 200.5
