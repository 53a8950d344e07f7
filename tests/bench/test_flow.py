"""A year of flow at 100 spots of ten kinds, from one file, beside a plain loop of cosines.

Run with: pytest tests/bench/test_flow.py --benchmark-enable
"""

import numpy as np
import pytest

from harmonics.catalogue.constituents import find
from harmonics.stations.types import (
    CurrentStation,
    SecondaryCurrentStation,
    SecondaryStation,
    TwoComponentStation,
)
from harmonics.sums.waves import HarmonicConstants, year_start, yearly_waves
from windows.conditions.flow import FlowKind
from windows.conditions.flow_models import flow_of, mean_peak_fall
from windows.shoreline.shore import read_shore
from windows.shoreline.spots import CurrentSource

YEAR = 2026
START, END = year_start(YEAR), year_start(YEAR + 1)
STEP = 300.0
COUNT = int((END - START) / STEP)
OF_EACH, FEW = 10, 4
"""Spots of each kind, and where nothing is timed."""
KNOT = 1852.0 / 3600.0
SPEEDS = "basin_area_m2 = 2e6, opening_area_m2 = 700"
KINDS = {
    "current": (FlowKind.MEASURED, "gauge", 'current = "race-{i}", delay = 12, factor = 0.7'),
    "secondary current": (FlowKind.MEASURED, "gauge", 'current = "sound-{i}"'),
    "two components": (FlowKind.MEASURED, "gauge", 'current = "roads-{i}"'),
    "basin": (FlowKind.BASIN, "gauge", SPEEDS),
    "basin by a secondary": (FlowKind.BASIN, "cove", SPEEDS),
    "throat": (FlowKind.INLET, "gauge", SPEEDS + ", throat_length_m = 500, hydraulic_radius_m = 2.5"),
    "repletion": (FlowKind.INLET, "cove", SPEEDS + ", repletion = 0.6"),
    "strong ebb": (FlowKind.SCALED, "gauge", "strong_ebb = 1.2"),
    "strong ebb by a secondary": (FlowKind.SCALED, "cove", "strong_ebb = 0.8"),
    "fall": (FlowKind.FALL_ONLY, "cove", ""),
}


def listed(rows, scale, turn):
    """Constants of one place: each differs a little from the next."""
    return (
        "["
        + ", ".join(
            f'{{ name = "{row["name"]}", amplitude = {float(row["amplitude"]) * scale:.6f}, '
            f"phase = {(float(row['phase']) + turn) % 360.0:.3f} }}"
            for row in rows
        )
        + "]"
    )


def tables(tide, current, i):
    """The stations and currents of one stretch of an invented coast."""
    place = "latitude = 44.0\nlongitude = -67.0"
    level, along, across = (
        listed(tide, 1 + 0.01 * i, i),
        listed(current, 0.4, i),
        listed(current, 0.1, i + 60),
    )
    return f"""
[[stations]]
id = "gauge-{i}"
name = "G"
{place}
datum = "MLLW"
mean_level = 1.5
length_unit = "metres"
constituents = {level}

[[stations]]
id = "cove-{i}"
name = "C"
reference = "gauge-{i}"
high_water = {{ minutes = 20, factor = 0.9 }}
low_water = {{ minutes = 35 }}

[[currents]]
id = "race-{i}"
name = "R"
{place}
flood_direction = 265
ebb_direction = 85
mean_flow = -0.06
constituents = {along}

[[currents]]
id = "sound-{i}"
name = "S"
reference = "race-{i}"
flood_direction = 260
ebb_direction = 80
slack_before_flood = 10
flood = 15
slack_before_ebb = -5
flood_ratio = 1.2
ebb_ratio = 1.1

[[currents]]
id = "roads-{i}"
name = "O"
{place}
flood_direction = 280
axis_direction = 265
across_direction = 355
constituents = {along}
constituents_across = {across}
"""


def spots(i):
    return "".join(
        f'\n[[spots]]\nid = "{name.replace(" ", "-")}-{i}"\nname = "X"\nlatitude = 44.0\nlongitude = -67.0\n'
        f'station = "{station}-{i}"\n' + (f"flow = {{ {flow.format(i=i)} }}\n" if flow else "")
        for name, (_, station, flow) in KINDS.items()
    )


@pytest.fixture(scope="module")
def each(ratio_table):
    return OF_EACH if ratio_table.enabled else FEW


@pytest.fixture(scope="module")
def shore(published, tmp_path_factory, each):
    tide = [row for row in published("constituents_8443970.csv") if float(row["amplitude"]) > 0]
    current = published("current_constituents_EPT0003_bin11.csv")
    path = tmp_path_factory.mktemp("bench") / "shore.toml"
    head = 'title = "Coast"\ninvented = true\ntime_zone = "UTC"\nunits = "metres"\n'
    parts = [tables(tide, current, i) + spots(i) for i in range(each)]
    path.write_text(head + "".join(parts), encoding="utf-8")
    return read_shore(path)


def flows(shore):
    """The year of every spot, nothing kept from before."""
    mean_peak_fall.cache_clear()
    return [flow_of(spot, START, END).even_outgoing(START, STEP, COUNT) for spot in shore.spots]


def constants_behind(spot) -> tuple[HarmonicConstants, ...]:
    """Every constant that a plain sum for the spot would need."""
    place = spot.flow.station if isinstance(spot.flow, CurrentSource) else spot.station
    if isinstance(place, SecondaryStation | SecondaryCurrentStation):
        place = place.reference
    return (place.along, place.across) if isinstance(place, TwoComponentStation) else (place.constants,)


def plain(shore):
    """The harmonic sums alone, a constituent at a time: no follower, basin or inlet would come out of it."""
    t = STEP * np.arange(COUNT)
    out = []
    for spot in shore.spots:
        total = np.zeros(COUNT)
        for constants in constants_behind(spot):
            waves = yearly_waves(constants, YEAR)
            for amplitude, phase, speed in zip(waves.amplitude, waves.phase, waves.speed, strict=True):
                total += amplitude * np.cos(speed * t + phase)
        out.append(total)
    return out


def test_a_year_at_a_hundred_spots(shore, each, ratio_table):
    assert len(shore.spots) == 10 * each
    for spot, kind in zip(shore.spots, [kind for kind, _, _ in KINDS.values()] * each, strict=True):
        flow = flow_of(spot, START, START + 5 * 86400.0)
        assert flow.kind is kind
        even = flow.even_outgoing(START, STEP, 1000)
        t = START + STEP * np.arange(1000)
        assert even == pytest.approx(flow.outgoing(t), abs=1e-6 if flow.has_speed else 1e-9)
        assert (even.max() > 0.1 * KNOT) if flow.has_speed else (even.max() > 1e-5)
        assert even.min() < 0
    ratio_table.compare(
        "a year of flow at 100 spots of ten kinds",
        lambda: flows(shore),
        {"plain cosines": lambda: plain(shore)},
    )


def test_the_plain_loop_is_the_same_current(shore):
    race = next(place for place in shore.currents if place.id == "race-3")
    assert isinstance(race, CurrentStation)
    assert find("M2") in race.constants.constituents
    spot = next(spot for spot in shore.spots if spot.id == "current-3")
    t = START + 3600.0 * np.arange(500)
    waves = yearly_waves(race.constants, YEAR)
    total = race.mean_flow + sum(
        a * np.cos(w * (t - 720.0 - START) + p)
        for a, p, w in zip(waves.amplitude, waves.phase, waves.speed, strict=True)
    )
    assert flow_of(spot, START, END).outgoing(t)[1:] == pytest.approx(-0.7 * total[1:], abs=1e-6)
