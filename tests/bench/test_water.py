"""A year of flow at 100 spots of every kind, against a plain loop over spots and constituents.

Run with: pytest tests/bench/test_water.py --benchmark-enable
"""

import datetime as dt

import numpy as np
import pytest

from harmonics.catalogue.constituents import find
from harmonics.stations.currents import even_currents_of
from harmonics.stations.inlet import continuity_speeds, inlet_of_repletion, solve_inlets
from harmonics.stations.prediction import even_levels, even_rates
from harmonics.stations.secondary import even_secondary_levels, even_secondary_rates
from harmonics.stations.types import (
    CurrentDifferences,
    CurrentStation,
    HeightDifference,
    SecondaryCurrentStation,
    SecondaryStation,
    Station,
    TwoComponentStation,
)
from harmonics.sums.waves import HarmonicConstants, yearly_waves

START = dt.datetime(2026, 1, 1, tzinfo=dt.UTC).timestamp()
STEP = 300.0
COUNT = 365 * 288
OF_EACH_KIND = 20
FEW = 3
"""Of each kind where nothing is timed."""
PERIOD = 44714.16


@pytest.fixture(scope="module")
def constants(published):
    rows = [row for row in published("constituents_8443970.csv") if float(row["amplitude"]) > 0]
    return HarmonicConstants(
        tuple(find(row["name"]) for row in rows),
        np.array([float(row["amplitude"]) for row in rows]),
        np.array([float(row["phase"]) for row in rows]),
    )


@pytest.fixture(scope="module")
def each(ratio_table):
    """Spots of each kind."""
    return OF_EACH_KIND if ratio_table.enabled else FEW


def own(constants, i):
    """Constants of one spot: each differs a little from the next."""
    return HarmonicConstants(
        constants.constituents, constants.amplitude * (1 + 0.01 * i), constants.phase_lag + i
    )


def axes(waves):
    return TwoComponentStation("x", "X", 42.0, -71.0, 0.0, 90.0, 0.02, 0.01, waves, waves, 30.0)


def flows(constants, each):
    """The year of every spot: each of currents, secondary currents, two components, drains, inlets."""
    out = []
    for i in range(each):
        waves = own(constants, i)
        current = CurrentStation("x", "X", 42.0, -71.0, 340.0, 165.0, 0.05, waves)
        near = SecondaryCurrentStation(
            "y", "Y", None, None, 10.0, 190.0, current, CurrentDifferences(600, 900, -300, 0, 0.8, 1.1)
        )
        tide = Station("t", "T", 42.0, -71.0, "MLLW", 1.5, waves)
        cut = SecondaryStation(
            "c", "C", None, None, tide, HeightDifference(1200, 0.9), HeightDifference(1800)
        )
        out += [even_currents_of(place, START, STEP, COUNT) for place in (current, near, axes(waves))]
        out.append(continuity_speeds(even_secondary_rates(cut, START, STEP, COUNT), 2e6, 200.0))
    seas = np.stack(
        [
            even_levels(Station("s", "S", 0, 0, "MLLW", 1.5, own(constants, i)), START, STEP, COUNT)
            for i in range(each)
        ]
    )
    inlets = tuple(inlet_of_repletion(0.3 + 0.1 * i, 2e6, 200.0, 1.3, PERIOD) for i in range(each))
    return np.concatenate([np.stack(out), solve_inlets(inlets, seas, STEP).speed])


def plain(constants, spots, count):
    """The harmonic sum alone, a constituent at a time."""
    t = STEP * np.arange(count)
    out = []
    for i in range(spots):
        waves = yearly_waves(own(constants, i), 2026)
        total = np.zeros(count)
        for amplitude, phase, speed in zip(waves.amplitude, waves.phase, waves.speed, strict=True):
            total += amplitude * np.cos(speed * t + phase)
        out.append(total)
    return np.stack(out)


def test_a_year_at_a_hundred_spots(benchmark, constants, each):
    speeds = benchmark.pedantic(flows, args=(constants, each), rounds=2, iterations=1)
    assert speeds.shape == (5 * each, COUNT)
    assert np.isfinite(speeds).all()
    assert np.abs(speeds).max(axis=1).min() > 0.1


def test_a_plain_loop_over_constituents(benchmark, constants, each):
    """Harmonic sums only: no secondary, drain or inlet would come out of it."""
    sums = benchmark.pedantic(plain, args=(constants, 5 * each, COUNT), rounds=1, iterations=1)
    fast = even_rates(Station("s", "S", 0, 0, "MLLW", 0.0, own(constants, 7)), START, STEP, COUNT)
    assert np.gradient(sums[7], STEP)[1:-1] == pytest.approx(fast[1:-1], abs=1e-6)


def test_a_year_of_a_secondary_stations_levels(benchmark, constants):
    tide = Station("t", "T", 42.0, -71.0, "MLLW", 1.5, constants)
    cut = SecondaryStation("c", "C", None, None, tide, HeightDifference(1200, 0.9), HeightDifference(1800))
    level = benchmark(even_secondary_levels, cut, START, STEP, COUNT)
    assert level.shape == (COUNT,)
