"""How levels, turns, analysis and sky grow with their size. Run with --benchmark-enable; never gated."""

import numpy as np

from harmonics.fitting.analysis import fit
from harmonics.stations.events import high_low_waters
from harmonics.stations.prediction import even_levels, levels
from harmonics.sums.waves import year_start
from tests.bench.growth import record_growth
from tests.harmonics.conftest import published_station
from windows.astronomy import Sky

STATION = published_station("8443970")
"""Boston; its constants stand in tests/published."""
START = year_start(2026)
DAY = 86400.0


def test_levels_at_even_steps(ratio_table):
    def task(count):
        return even_levels(STATION, START, 360.0, count)

    assert task(1000).shape == (1000,)
    record_growth(ratio_table, "levels by even steps", task, (8760, 87_600, 876_000))


def test_levels_at_scattered_times(ratio_table):
    times = START + 365 * DAY * np.random.default_rng(1).random(200_000)

    def task(count):
        return levels(STATION, times[:count])

    assert task(10).shape == (10,)
    record_growth(ratio_table, "levels by scattered times", task, (2000, 20_000, 200_000))


def test_high_and_low_waters(ratio_table):
    def task(years):
        return high_low_waters(STATION, START, year_start(2026 + years)).turns

    assert 1400 < len(task(1)) < 1420
    record_growth(ratio_table, "high and low waters by years", task, (1, 10, 100))


def test_analysis(ratio_table):
    t = START + 3600.0 * np.arange(72_000)
    level = levels(STATION, t) + 0.02 * np.random.default_rng(1).normal(size=len(t))

    def task(count):
        return fit(t[:count], level[:count])

    assert task(720).line("M2").amplitude > 1.0
    record_growth(ratio_table, "constituents fitted by hours of record", task, (720, 7200, 72_000), rounds=2)


def test_sky(ratio_table):
    latitudes, longitudes = np.linspace(25, 48, 1000), np.linspace(-97, -67, 1000)

    def by_spots(count):
        return Sky(START, START + 30 * DAY).events(latitudes[:count], longitudes[:count])

    def by_days(count):
        return Sky(START, START + count * DAY).events(29.2, -90.0)

    assert len(by_spots(2)) == 2 and by_days(3)[0]
    record_growth(ratio_table, "sun and moon of a month by spots", by_spots, (10, 100, 1000), rounds=2)
    record_growth(ratio_table, "sun and moon of a spot by days", by_days, (30, 300, 3000), rounds=2)
