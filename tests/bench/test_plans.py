"""Speed of days out: ten spots, a fortnight, and growth. Run with --benchmark-enable; never gated."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from tests.bench.growth import record_growth
from tests.windows.conftest import LONG_AGO, AgencyStation
from tests.windows.outing.shores import bank, boat, landing, outing, way
from windows.conditions.outlook import Outlook
from windows.outing.making import make_plans
from windows.shoreline.shore import Shore, read_shore

FIRST, DAYS, SPOTS = date(2026, 8, 1), 14, 10
MOST_SPOTS = 40


@pytest.fixture(scope="module")
def coast(tmp_path_factory) -> Shore:
    """Spots with speeds and lags of their own around a ramp on a mixed tide, with a bank and a boat."""
    station = AgencyStation.of("9447130")
    keys = [
        (f"spot{i}", f"slack_lag = {7 * i % 90}\nflow = {{ strong_ebb = {0.6 + 0.02 * i} }}")
        for i in range(MOST_SPOTS)
    ]
    folder = tmp_path_factory.mktemp("outing")
    path = station.shore(folder, *keys).path
    station_id = 'station = "gauge"\n'
    path.write_text(
        path.read_text(encoding="utf-8")
        + landing("ramp", f"{station_id}least_level = 0.5", station.latitude, station.longitude)
        + bank(keys="bare_below = 1.0\nwarm_only = false")
        + boat()
        + way("ramp", "flat", "minutes = 10")
        + outing('leave_after = "11:00"\nhome_by = "21:30"\nlongest = "7h"\nbait = "if possible"'),
        encoding="utf-8",
    )
    made = read_shore(path)
    around = np.linspace(-0.04, 0.04, MOST_SPOTS)
    placed = tuple(
        replace(spot, latitude=spot.latitude + float(x), longitude=spot.longitude + float(x) / 2)
        for spot, x in zip(made.spots, around, strict=True)
    )
    return replace(made, spots=placed)


def planned(coast: Shore, spots: int, days: int = DAYS):
    """Every fourth, second .. spot, so that few lie as far apart as many."""
    some = coast.spots[:: MOST_SPOTS // spots]
    return make_plans(coast, some, FIRST, days, Outlook(LONG_AGO))


@pytest.mark.benchmark(group="days out: ten spots, fourteen days")
def test_ten_spots_for_a_fortnight(benchmark, coast):
    plans = benchmark.pedantic(planned, args=(coast, SPOTS), rounds=5, warmup_rounds=1)
    assert len(plans.lists[0].spots) == SPOTS
    assert len(plans.lists[0].ranking) > 7


def test_growth(ratio_table, coast):
    assert planned(coast, 5).best
    record_growth(ratio_table, "days out by spots", lambda n: planned(coast, n), (5, 10, 20, 40))
    record_growth(ratio_table, "days out by days", lambda n: planned(coast, SPOTS, n), (14, 28, 56, 112))
