"""Speed and memory of harmonic analysis, beside an independent library.

Run with: pytest tests/bench/test_analysis.py --benchmark-enable
"""

import resource
import sys

import numpy as np
import pytest

from harmonics.fitting.analysis import fit
from harmonics.stations.datums import datums
from harmonics.stations.prediction import even_levels
from harmonics.sums.waves import year_start
from tests.harmonics.analysis_peers import ordinal_days
from tests.harmonics.conftest import published_station

HOUR = 3600.0
SIX_MINUTES = 360.0


def record(start_year, step, count, seed=1):
    station = published_station("8443970")
    start = year_start(start_year)
    rng = np.random.default_rng(seed)
    return start + step * np.arange(count), even_levels(station, start, step, count) + 0.05 * rng.normal(
        size=count
    )


@pytest.fixture(scope="module")
def year():
    return record(2021, HOUR, 365 * 24)


@pytest.mark.parametrize("method", ["ols", "robust"])
def test_a_year_of_hourly_levels(year, method, ratio_table):
    import utide

    t, level = year
    robust = method == "robust"

    def peer():
        return utide.solve(
            ordinal_days(t),
            level,
            lat=42.4,
            epoch="python",
            trend=False,
            method=method,
            conf_int="linear",
            verbose=False,
        )

    ratio_table.compare(
        f"a year of hourly levels fitted ({method})", lambda: fit(t, level, robust=robust), {"utide": peer}
    )
    assert fit(t, level, robust=robust).deviation == pytest.approx(0.05, rel=0.05)


def test_a_year_with_gaps_and_uneven_stamps(year, benchmark):
    t, level = year
    uneven = t + 30.0 * (np.arange(len(t)) % 3)
    found = benchmark(fit, uneven, level)
    assert found.line("M2").amplitude > 1.0


@pytest.mark.parametrize("uneven", [False, True])
def test_ten_years_of_six_minute_levels(uneven, benchmark):
    count = (3652 if benchmark.enabled else 365) * 240
    t, level = record(2011, SIX_MINUTES, count)
    if uneven:
        t = t + 7.0 * (np.arange(count) % 2)
    found = benchmark.pedantic(fit, args=(t, level), rounds=1)
    assert found.deviation == pytest.approx(0.05, rel=0.05)
    if benchmark.enabled and sys.platform == "linux":
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
        benchmark.extra_info["peak memory of the process, GiB"] = round(peak, 2)
        assert peak < 2.0


def test_datums_of_a_nineteen_year_epoch(benchmark):
    found = benchmark(datums, published_station("9447130"))
    assert found.hat > found.mhhw
