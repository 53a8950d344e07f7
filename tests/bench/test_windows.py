"""Speed of forecasts: all spots on one sky, beside spot by spot. Run with --benchmark-enable; never gated."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from tests.windows.conftest import LONG_AGO, AgencyStation, sessions_of
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast

FIRST, DAYS = date(2026, 8, 1), 30
SPOTS = 100
FEW = 12
"""Spots where nothing is timed."""


@pytest.fixture(scope="module")
def coast(tmp_path_factory, ratio_table):
    """Spots along one mixed station, with a lag, hours and a light preference of their own."""
    count = SPOTS if ratio_table.enabled else FEW
    station = AgencyStation.of("9447130")
    lights, hours = ("low", "day", "night", "any"), ("any", "12:00-sunset+1h", "dawn-12:00")
    keys = [
        (f"spot{i}", f'slack_lag = {i % 60}\nlight = "{lights[i % 4]}"\nhours = "{hours[i % 3]}"')
        for i in range(count)
    ]
    shore = station.shore(tmp_path_factory.mktemp("coast"), *keys)
    latitudes, longitudes = np.linspace(44.0, 49.0, count), np.linspace(-125.0, -122.0, count)
    placed = [
        replace(spot, latitude=float(latitude), longitude=float(longitude))
        for spot, latitude, longitude in zip(shore.spots, latitudes, longitudes, strict=True)
    ]
    return shore, placed


def together(coast):
    shore, spots = coast
    return make_forecast(shore, spots, FIRST, DAYS, Outlook(LONG_AGO))


def one_by_one(coast):
    shore, spots = coast
    return [make_forecast(shore, [spot], FIRST, DAYS, Outlook(LONG_AGO)) for spot in spots]


@pytest.mark.benchmark(group="windows: 100 spots, 30 days")
def test_a_hundred_spots_for_a_month(benchmark, coast):
    made = benchmark.pedantic(together, args=(coast,), rounds=3, warmup_rounds=1)
    assert len(made.ranking) > 20 * len(made.spots)
    assert all(report.days for report in made.spots)


@pytest.mark.benchmark(group="windows: one spot, one week")
def test_a_week_at_one_spot(benchmark, coast):
    shore, spots = coast
    made = benchmark(make_forecast, shore, spots[:1], FIRST, 7, Outlook(LONG_AGO))
    assert made.ranking


@pytest.mark.benchmark(group="windows: one spot, one year")
def test_a_year_at_one_spot(benchmark, coast):
    shore, spots = coast
    made = benchmark.pedantic(
        make_forecast, args=(shore, spots[:1], date(2026, 1, 1), 365, Outlook(LONG_AGO)), rounds=3
    )
    assert len(made.ranking) > 300


def test_one_sky_beside_spot_by_spot(ratio_table, coast):
    few = coast[0], coast[1][:10]
    alone, all_at_once = one_by_one(few), together(few)
    for index, single in enumerate(alone):
        assert sessions_of(single) == sessions_of(all_at_once, index)
    ratio_table.compare(
        "windows of 100 spots over 30 days on one sky",
        lambda: together(coast),
        {"spot by spot": lambda: one_by_one(coast)},
    )
