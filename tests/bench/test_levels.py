"""Speed of levels and of high and low waters beside other ways to compute them.

Run with --benchmark-enable. Here only equality is asserted, never a time.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from harmonics.catalogue.constituents import find
from harmonics.stations.events import high_low_waters
from harmonics.stations.prediction import even_levels, levels
from harmonics.stations.types import Station
from harmonics.sums.waves import HarmonicConstants, NodePractice, year_start, yearly_waves

NAMES = (
    "M2 S2 N2 K1 M4 O1 M6 MK3 S4 MN4 NU2 S6 MU2 2N2 OO1 LAM2 S1 M1 J1 MM SSA SA MSF MF RHO Q1 T2 R2 2Q1 P1 "
    "2SM2 M3 L2 2MK3 K2 M8 MS4"
).split()
START = year_start(2026)
STEP = 360.0
COUNT = 87_600
TIMES = START + STEP * np.arange(COUNT)
STATIONS = 100
EQUAL = 1e-9


def invented_station(seed: int, practice: NodePractice = NodePractice.YEARLY, names=NAMES) -> Station:
    """A station with the constituents named; amplitudes fall off in the order of the US tables."""
    draw = np.random.default_rng(seed)
    amplitude = draw.uniform(0.5, 1.0, len(names)) / np.arange(1, len(names) + 1)
    constants = HarmonicConstants(
        tuple(find(name) for name in names), amplitude, draw.uniform(0, 360, len(names))
    )
    return Station(str(seed), "S", 29.2, -90.0, "MLLW", 0.5, constants, practice)


STATION = invented_station(1)
CONTINUOUS = invented_station(1, NodePractice.CONTINUOUS)


def a_year():
    return even_levels(STATION, START, STEP, COUNT)


def a_year_of_changing_factors():
    return even_levels(CONTINUOUS, START, STEP, COUNT)


def cosines_at_once():
    """The definition with one outer product: 37 x 87,600 cosines."""
    waves = yearly_waves(STATION.constants, 2026)
    angle = np.multiply.outer(waves.speed, TIMES - waves.origin) + waves.phase[:, None]
    return STATION.mean_level + waves.amplitude @ np.cos(angle)


def cosines_one_by_one(station: Station = STATION, t=TIMES):
    """The definition with a loop over constituents."""
    waves = yearly_waves(station.constants, 2026)
    hours = t - waves.origin
    total = np.full(len(t), station.mean_level)
    for amplitude, speed, phase in zip(waves.amplitude, waves.speed, waves.phase, strict=True):
        total += amplitude * np.cos(speed * hours + phase)
    return total


@pytest.fixture(scope="module")
def utide_year():
    """UTide's reconstruction of a year from its own analysis of our levels; it lacks 2MK3."""
    import utide

    names = [{"LAM2": "LDA2", "RHO": "RHO1", "M1": "NO1"}.get(name, name) for name in NAMES if name != "2MK3"]
    days = TIMES / 86400 + 719163
    fit = utide.solve(
        days[::10],
        levels(CONTINUOUS, TIMES[::10]),
        lat=29.2,
        epoch="python",
        constit=names,
        trend=False,
        conf_int="none",
        verbose=False,
    )
    return lambda: utide.reconstruct(days, fit, epoch="python", verbose=False, min_SNR=0).h


@pytest.fixture(scope="module")
def pytmd_year():
    """pyTMD's time series of the same constants in its Schureman mode."""
    import pyTMD.predict
    import xarray as xr

    names = [{"LAM2": "lambda2", "RHO": "rho1"}.get(name, name.lower()) for name in NAMES]
    harmonics = STATION.constants.amplitude * np.exp(-1j * np.radians(STATION.constants.phase_lag))
    data = xr.Dataset({name: xr.DataArray(value) for name, value in zip(names, harmonics, strict=True)})
    days = (TIMES - year_start(1992)) / 86400
    return lambda: pyTMD.predict.time_series(
        days, data, corrections="FES", M1="Schureman", climate_solar_perigee=True
    ).to_numpy()


@pytest.mark.benchmark(group="levels: a year of 6-minute steps, 37 constituents")
def test_a_year_of_levels(benchmark, ratio_table):
    assert_allclose(benchmark(a_year), cosines_at_once(), rtol=0, atol=EQUAL)
    peers = {"cosines, outer product": cosines_at_once, "cosines, loop": cosines_one_by_one}
    ratio_table.compare("a year of 6-minute levels", a_year, peers)


@pytest.mark.benchmark(group="levels: a year of 6-minute steps, 37 constituents")
def test_a_year_by_the_outer_product(benchmark):
    assert_allclose(benchmark(cosines_at_once), a_year(), rtol=0, atol=EQUAL)


@pytest.mark.benchmark(group="levels: a year of 6-minute steps, 37 constituents")
def test_a_year_by_the_loop(benchmark):
    assert_allclose(benchmark(cosines_one_by_one), a_year(), rtol=0, atol=EQUAL)


@pytest.mark.benchmark(group="levels: a year of 6-minute steps, 37 constituents")
def test_a_year_of_changing_factors(benchmark):
    found = benchmark(a_year_of_changing_factors)
    assert_allclose(found[::97], levels(CONTINUOUS, TIMES[::97]), rtol=0, atol=EQUAL)


@pytest.mark.benchmark(group="levels: a year of 6-minute steps, 37 constituents")
def test_a_year_by_utide(benchmark, utide_year, ratio_table):
    """Foreman's factors, its own analysis: the shape of the tide is the same, not its last centimetres."""
    theirs = benchmark.pedantic(utide_year, rounds=3)
    assert np.corrcoef(theirs, a_year_of_changing_factors())[0, 1] > 0.999
    ratio_table.compare("a year of 6-minute levels", a_year, {"UTide (36)": utide_year})
    ratio_table.compare("the same, factors along", a_year_of_changing_factors, {"UTide (36)": utide_year})


@pytest.mark.benchmark(group="levels: a year of 6-minute steps, 37 constituents")
def test_a_year_by_pytmd(benchmark, pytmd_year, ratio_table):
    """M1 and M3 differ by definition (see the tests of prediction); the rest to 0.1 mm is checked there."""
    theirs = benchmark.pedantic(pytmd_year, rounds=3)
    assert np.corrcoef(theirs, a_year_of_changing_factors())[0, 1] > 0.99
    ratio_table.compare("a year of 6-minute levels", a_year, {"pyTMD": pytmd_year})
    ratio_table.compare("the same, factors along", a_year_of_changing_factors, {"pyTMD": pytmd_year})


@pytest.mark.benchmark(group="levels: 100 station-years")
def test_a_hundred_station_years(benchmark, ratio_table):
    coast = [invented_station(seed) for seed in range(STATIONS)]

    def highest():
        return [even_levels(station, START, STEP, COUNT).max() for station in coast]

    def highest_of_five_by_the_loop():
        return [cosines_one_by_one(station).max() for station in coast[:5]]

    found = benchmark(highest)
    assert len(found) == STATIONS
    assert_allclose(found[:5], highest_of_five_by_the_loop(), rtol=0, atol=EQUAL)
    ratio_table.compare(
        "100 station-years of levels", highest, {"5 by the cosine loop": highest_of_five_by_the_loop}
    )


def turns_of_a_year():
    return high_low_waters(STATION, START, year_start(2027)).turns


def turns_by_dense_samples():
    """The plain way: a level every minute by the loop, the extremes picked, each to the minute only."""
    t = START + 60.0 * np.arange(365 * 1440)
    slope = np.diff(cosines_one_by_one(t=t)) >= 0
    return t[1:-1][slope[1:] != slope[:-1]]


@pytest.mark.benchmark(group="high and low waters: a year, 37 constituents")
def test_a_year_of_high_and_low_waters(benchmark, ratio_table):
    found = benchmark(turns_of_a_year)
    sampled = turns_by_dense_samples()
    after = np.searchsorted(sampled, found.t).clip(1, len(sampled) - 1)
    apart = np.minimum(np.abs(sampled[after] - found.t), np.abs(sampled[after - 1] - found.t))
    assert len(found) > 1400
    assert apart.max() <= 60.0
    ratio_table.compare(
        "a year of high and low waters", turns_of_a_year, {"cosine loop each minute": turns_by_dense_samples}
    )
