"""Twelve and more layouts of published tables, read without options to the digit that they print."""

import pytest

from harmonics.catalogue.constituents import find
from harmonics.errors import FileProblemsError
from harmonics.files.agency_tables import import_table
from harmonics.files.published.lines import Line
from harmonics.files.published.places import place_statements
from harmonics.files.published.results import ImportedTable
from harmonics.files.published.statements import Fact
from tests.published_layouts import TIDES, Layout, tide

STATIONS = ("8443970", "8729840", "9447130")


def near(phase: float, other: float) -> float:
    return abs((phase - other + 180.0) % 360.0 - 180.0)


@pytest.mark.parametrize("station", STATIONS)
@pytest.mark.parametrize("layout", TIDES.values(), ids=TIDES)
def test_every_constant_to_the_printed_digit(layout: Layout, station: str):
    rows = tide(station)
    found = import_table(layout.make(rows), "table.txt")
    assert isinstance(found, ImportedTable)
    expected = {}
    for row in rows:
        printed = round(row.amplitude / layout.si, layout.decimals)
        if printed > 0:
            expected[find(row.name).name] = printed * layout.si, row.phase
    names = [item.name for item in found.constants.constituents]
    assert sorted(names) == sorted(expected)
    for name, amplitude, phase in zip(
        names, found.constants.amplitude, found.constants.phase_lag, strict=True
    ):
        assert amplitude == pytest.approx(expected[name][0], abs=1e-9)
        assert near(phase, expected[name][1]) < 0.001


@pytest.mark.parametrize("layout", TIDES.values(), ids=TIDES)
def test_what_a_table_says_of_its_place(layout: Layout):
    found = import_table(layout.make(tide("8443970")), "table.txt")
    assert isinstance(found, ImportedTable)
    place = found.facts.place
    for key, value in (layout.says or {}).items():
        if key == "mean_level":
            assert found.mean_level == pytest.approx(value)
            continue
        said = getattr(place, key)
        assert said is not None, key
        assert said.line is not None
        assert (
            said.value == pytest.approx(value, abs=1e-5) if isinstance(value, float) else said.value == value
        )


@pytest.mark.parametrize(
    ("line", "level"),
    [
        ("Mean water level Z0 = 1.98 ft", 1.98),
        ("mean sea level (Z0): 1,98 ft", 1.98),
        ("MSL (epoch 1983-2001) 1.98 ft above MLLW", 1.98),
        ("Mean sea level of 1983 - 2001: 1.98 ft", 1.98),
    ],
)
def test_no_digit_of_a_name_or_of_years_is_a_mean_level(line: str, level: float):
    (said,) = [item for item in place_statements([Line(1, line)]) if item.fact is Fact.MEAN_LEVEL]
    assert said.value == level


def test_the_choices_of_a_page_give_way_to_a_line_that_says_which():
    """The text around a table as a browser copies it, its buttons too."""
    rows = "".join(
        f"{k}\t{row.name}\t{row.amplitude}\t{row.phase}\n" for k, row in enumerate(tide("8729840"), 1)
    )
    text = (
        "Harmonic Constituents for 8729840, Pensacola FL\n\n"
        "Units:\tMeters\tFeet\nTime Zone:\tGMT\tLST/LDT\n\n"
        "Amplitudes are in meters.\nPhases are in degrees, referenced to GMT.\n\n"
        f"Constituent #\tName\tAmplitude\tPhase\n{rows}"
    )
    found = import_table(text, "table.txt")
    assert isinstance(found, ImportedTable)
    assert found.facts.place.station is not None and found.facts.place.station.value == "Pensacola FL"
    assert found.unit.value == "metres"
    with pytest.raises(FileProblemsError, match=r"feet \(line 3\) and metres \(line 3\)"):
        import_table(text.replace("Amplitudes are in meters.", ""), "table.txt")


THREE = (("M2", 1.2, 100.0), ("S2", 0.2, 130.0), ("K1", 0.1, 20.0))


def test_a_header_in_three_lines_is_that_in_one():
    rows = "".join(f"{name:15}{size:<13.2f}{lag:.1f}\n" for name, size, lag in THREE)
    one = "Constituent    Amplitude in metres    Phase lag, Greenwich\n" + rows
    three = (
        "Name of        Amplitude    Phase\n"
        "the tidal      in           lag,\n"
        "constituent    metres       Greenwich\n" + rows
    )
    found, same = (import_table(text, "x.txt") for text in (three, one))
    assert isinstance(found, ImportedTable) and isinstance(same, ImportedTable)
    assert found.constants.amplitude.tolist() == same.constants.amplitude.tolist() == [1.2, 0.2, 0.1]
    assert found.constants.phase_lag.tolist() == same.constants.phase_lag.tolist() == [100.0, 130.0, 20.0]
