"""Files with one mistake each: `check` refuses them or says what is worth a look, and names the key.

The coast is invented. The file without a mistake passes with nothing to look at.
"""

from pathlib import Path
from typing import NamedTuple

import pytest

from tests.cli.runs import run

TABLE = """# Amplitudes in metres.
# Phase lags are Greenwich.
name,amplitude,phase
M2,0.90,120.0
S2,0.25,150.0
N2,0.18,100.0
K1,0.12,200.0
O1,0.10,180.0
"""
FILE = """title = "One mistake"
time_zone = "America/New_York"
units = "metres"

[[stations]]
id = "pier"
name = "Pier"
latitude = 43.10
longitude = -70.70
datum = "MLLW"
mean_level = 1.02
length_unit = "metres"
constituents = "pier.csv"

[[stations]]
id = "creek"
name = "Creek"
latitude = 43.12
longitude = -70.72
reference = "pier"
high_water = { minutes = 20, factor = 1.05 }
low_water = { minutes = 35, factor = 1.05 }

[[currents]]
id = "narrows"
name = "Narrows"
latitude = 43.09
longitude = -70.74
flood_direction = 310
ebb_direction = 130
mean_flow = 0.1
constituents = [
    { name = "M2", amplitude = 1.6, phase = 60.0 },
    { name = "S2", amplitude = 0.3, phase = 90.0 },
]

[[banks]]
id = "flat"
name = "Flat"
station = "pier"
bare_below = 0.4

[[spots]]
id = "wall"
name = "Wall"
latitude = 43.105
longitude = -70.71
station = "pier"
depth_at_datum = 2.0
slack_lag = 30
least_level = 0.3
greatest_depth = 4.5
flow = { strong_ebb = 1.2 }

[[spots]]
id = "bridge"
name = "Bridge"
latitude = 43.095
longitude = -70.735
station = "creek"
travel = "30min"
flow = { current = "narrows" }
"""


class Mistake(NamedTuple):
    """One mistake: what is replaced by what, the key that is named, and what stands beside it."""

    old: str
    new: str
    where: str
    says: str
    refused: bool = True
    in_table: bool = False


SECOND = """
[[stations]]
id = "dock"
name = "Dock"
latitude = 43.06
longitude = -70.68
datum = "MLLW"
mean_level = {mean}
length_unit = "metres"
constituents = [
{waves}]

[[banks]]
"""


def beside(scale: float, hours: float) -> str:
    """A second gauge near the first, its amplitudes scaled and its phase lags on another clock."""
    speeds = {"M2": 28.984104, "S2": 30.0, "N2": 28.43973, "K1": 15.041069, "O1": 13.943036}
    rows = [row.split(",") for row in TABLE.splitlines()[3:]]
    waves = "".join(
        f'{{ name = "{name}", amplitude = {float(size) * scale:.4f}, '
        f"phase = {(float(lag) + speeds[name] * hours) % 360:.2f} }},\n"
        for name, size, lag in rows
    )
    return SECOND.format(mean=round(1.02 * scale, 2), waves=waves).lstrip()


MISTAKES = {
    "west without its sign at the spot": Mistake(
        "longitude = -70.71", "longitude = 70.71", "spots[0].longitude", "write: longitude = -70.71"
    ),
    "west without its sign at the station": Mistake(
        "longitude = -70.70", "longitude = 70.70", "stations[0].longitude", "write: longitude = -70.7"
    ),
    "west without its sign at the current": Mistake(
        "longitude = -70.74", "longitude = 70.74", "currents[0].longitude", "write: longitude = -70.74"
    ),
    "south for north": Mistake(
        "latitude = 43.105", "latitude = -43.105", "spots[0].latitude", "write: latitude = 43.105"
    ),
    "latitude and longitude swapped": Mistake(
        "latitude = 43.105\nlongitude = -70.71",
        "latitude = -70.71\nlongitude = 43.105",
        "spots[0].longitude",
        "latitude = 43.105",
    ),
    "a degree wrong": Mistake("latitude = 43.105", "latitude = 48.105", "spots[0].station", "km from"),
    "the spot's whole degrees": Mistake(
        "latitude = 43.105\nlongitude = -70.71",
        "latitude = 43\nlongitude = -71",
        "spots[0].latitude",
        "whole degrees",
        refused=False,
    ),
    "one spot's position copied": Mistake(
        "latitude = 43.095\nlongitude = -70.735",
        "latitude = 43.105\nlongitude = -70.71",
        "spots[1].latitude",
        "position of spot wall again",
        refused=False,
    ),
    "another continent's clock": Mistake(
        "America/New_York", "Europe/Paris", "time_zone", 'write: time_zone = "America/New_York"'
    ),
    "the next zone's clock": Mistake(
        "America/New_York", "America/Chicago", "time_zone", "America/New_York", refused=False
    ),
    "UTC for a clock": Mistake("America/New_York", "UTC", "time_zone", "America/New_York", refused=False),
    "a zone that is none": Mistake("America/New_York", "EST time", "time_zone", "IANA"),
    "feet said to be metres": Mistake(
        'datum = "MLLW"\nmean_level = 1.02',
        'datum = "MLLW"\nmean_level = 3.35',
        "stations[0].mean_level",
        "1.02",
    ),
    "mean level left at nought": Mistake(
        "mean_level = 1.02", "mean_level = 0.0", "stations[0].mean_level", "write: mean_level = 1."
    ),
    "a datum of mean sea level": Mistake(
        'datum = "MLLW"\nmean_level',
        'datum = "MSL"\nmean_level',
        "stations[0].mean_level",
        "write: mean_level = 0",
    ),
    "metres said to be feet": Mistake(
        'length_unit = "metres"', 'length_unit = "feet"', "stations[0].length_unit", "line 1 says metres"
    ),
    "a unit that is none": Mistake(
        'length_unit = "metres"', 'length_unit = "yards"', "stations[0].length_unit", "feet"
    ),
    "local said of Greenwich phases": Mistake(
        'constituents = "pier.csv"',
        'constituents = "pier.csv"\nphase = "local"\nutc_offset = -5',
        "stations[0].phase",
        'write: phase = "greenwich"',
    ),
    "Greenwich said of local phases": Mistake(
        "lags are Greenwich", "lags are local", "stations[0].phase", 'phase = "local"', in_table=True
    ),
    "the offset's sign": Mistake(
        'constituents = "pier.csv"',
        'constituents = "pier.csv"\nphase = "local"\nutc_offset = 5',
        "stations[0].utc_offset",
        "write: utc_offset = -5",
    ),
    "centimetres for metres": Mistake(
        "M2,0.90,120.0\nS2,0.25",
        "M2,90.0,120.0\nS2,25",
        "stations[0].constituents",
        "centimetres",
        in_table=True,
    ),
    "an amplitude's point": Mistake(
        "M2,0.90", "M2,9.00", "stations[0].mean_level", "mean sea level", in_table=True
    ),
    "a constituent that is none": Mistake("K1,", "KK1X,", "stations[0].constituents", "KK1X", in_table=True),
    "a phase lag beyond the circle": Mistake(
        "150.0", "1500.0", "stations[0].constituents", "1500", in_table=True
    ),
    "a table of two lines": Mistake(
        "N2,0.18,100.0\nK1,0.12,200.0\nO1,0.10,180.0\n",
        "",
        "stations[0].constituents",
        "M2, S2 alone",
        refused=False,
        in_table=True,
    ),
    "a table that is not there": Mistake("pier.csv", "peer.csv", "stations[0].constituents", "peer.csv"),
    "a neighbour in feet": Mistake(
        "[[banks]]\n", beside(3.2808, 0.0), "stations[2].length_unit", "3.28 times", refused=False
    ),
    "a neighbour's local phases": Mistake(
        "[[banks]]\n", beside(1.0, -5.0), "stations[2].phase", "utc_offset = -5", refused=False
    ),
    "hours for minutes": Mistake(
        "high_water = { minutes = 20",
        "high_water = { minutes = 350",
        "stations[1].high_water.minutes",
        "5.8 h",
        refused=False,
    ),
    "a factor in per cent": Mistake(
        "minutes = 35, factor = 1.05", "minutes = 35, factor = 105", "stations[1].low_water.factor", "105"
    ),
    "a level that is never reached": Mistake(
        "least_level = 0.3", "least_level = 6.0", "spots[0].least_level", "never reaches"
    ),
    "a level just beyond the tide": Mistake(
        "least_level = 0.3", "least_level = 2.9", "spots[0].least_level", "never reaches", refused=False
    ),
    "a depth that is always exceeded": Mistake(
        "greatest_depth = 4.5",
        "greatest_depth = 1.5",
        "spots[0].greatest_depth",
        "always exceeds",
        refused=False,
    ),
    "a depth's sign": Mistake(
        "depth_at_datum = 2.0",
        "depth_at_datum = -6.0",
        "spots[0].depth_at_datum",
        "write: depth_at_datum = 6",
    ),
    "a bank that never bares": Mistake(
        "bare_below = 0.4", "bare_below = -1.5", "banks[0].bare_below", "never bares", refused=False
    ),
    "ebb and flood alike": Mistake(
        "ebb_direction = 130",
        "ebb_direction = 310",
        "currents[0].ebb_direction",
        "write: ebb_direction = 130",
    ),
    "a current in cm/s": Mistake("amplitude = 1.6", "amplitude = 82.0", "currents[0].constituents", "cm/s"),
    "a mean flow that never turns": Mistake(
        "mean_flow = 0.1", "mean_flow = 4.0", "currents[0].mean_flow", "never turns", refused=False
    ),
    "an ebb in another unit": Mistake(
        "strong_ebb = 1.2", "strong_ebb = 12", "spots[0].flow.strong_ebb", "12.00 kn", refused=False
    ),
    "basin and opening swapped": Mistake(
        "flow = { strong_ebb = 1.2 }",
        "flow = { basin_area_m2 = 120, opening_area_m2 = 60_000 }",
        "spots[0].flow.basin_area_m2",
        "basin_area_m2 = 60000, opening_area_m2 = 120",
    ),
    "a lag in seconds": Mistake(
        "slack_lag = 30", "slack_lag = 300", "spots[0].slack_lag", "minutes", refused=False
    ),
    "a station misspelt": Mistake('station = "creek"', 'station = "crek"', "spots[1].station", "creek"),
    "a key misspelt": Mistake("slack_lag", "slak_lag", "spots[0].slak_lag", "slack_lag"),
    "a decimal comma": Mistake("mean_level = 1.02", "mean_level = 1,02", "file", "line 11"),
}


def laid_out(folder: Path, mistake: Mistake | None) -> Path:
    """The file and its table, with one mistake or none."""
    file, table = FILE, TABLE
    if mistake is not None:
        source = table if mistake.in_table else file
        assert mistake.old in source
        changed = source.replace(mistake.old, mistake.new, 1)
        file, table = (file, changed) if mistake.in_table else (changed, table)
    (folder / "pier.csv").write_text(table)
    path = folder / "shore.toml"
    path.write_text(file)
    return path


def test_without_a_mistake_nothing_is_worth_a_look(tmp_path):
    found = run("check", laid_out(tmp_path, None))
    assert (found.code, found.err) == (0, "")
    assert "Worth a look" not in found.out
    assert "High and low waters of Mon 10 Aug 2026, to hold beside a printed table" in found.out


@pytest.mark.parametrize("name", MISTAKES)
def test_one_mistake_is_named_with_its_key(name, tmp_path):
    mistake = MISTAKES[name]
    found = run("check", laid_out(tmp_path, mistake), columns="1000")
    if mistake.refused:
        assert (found.code, found.out) == (1, "")
        lines = found.err.splitlines()
    else:
        assert (found.code, found.err) == (0, "")
        lines = found.out.partition("Worth a look\n")[2].partition("\n\n")[0].splitlines()
    (line,) = [line for line in lines if line.strip().startswith(mistake.where)]
    assert mistake.says in line


def test_there_are_forty_mistakes_and_more():
    assert len({(mistake.old, mistake.new) for mistake in MISTAKES.values()}) >= 40
