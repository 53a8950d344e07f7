"""A week's forecast as a whole process, and how forecasts grow with spots and days.

Run with --benchmark-enable. Here only results are asserted, never a time.
"""

import sys
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from tests.bench.cold import COMMAND, best_cold, memory_of
from tests.bench.growth import record_growth
from tests.bench.test_start import WEEK
from tests.windows.conftest import LONG_AGO, AgencyStation
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast

LIBRARIES = (sys.executable, "-c", "import numpy, pandas, skyfield.api, astral, click")
FORMATS = ("table", "csv", "json", "page", "svg", "ics", "text")
FIRST = date(2026, 8, 1)
MOST_SPOTS = 100


@pytest.mark.parametrize("form", FORMATS)
def test_a_week_cold_beside_the_bare_import_of_its_libraries(form, ratio_table, bytecode):
    command = (*COMMAND, *WEEK, "--format", form)
    if not ratio_table.enabled:
        if form == FORMATS[0]:  # that it runs in every format is asked in tests/cli/test_page_formats.py
            assert memory_of(command, bytecode) > 0
        return
    own, other = best_cold([command, LIBRARIES], bytecode)
    ratio_table.record(f"ebblight week as {form}, cold", own, "import of five libraries", other)


@pytest.fixture(scope="module")
def coast(tmp_path_factory):
    """A shore and 100 places along it, each with a lag of its own."""
    keys = [(f"spot{i}", f"slack_lag = {i % 60}") for i in range(MOST_SPOTS)]
    shore = AgencyStation.of("9447130").shore(tmp_path_factory.mktemp("coast"), *keys)
    latitudes, longitudes = np.linspace(44.0, 49.0, MOST_SPOTS), np.linspace(-125.0, -122.0, MOST_SPOTS)
    placed = [
        replace(spot, latitude=float(latitude), longitude=float(longitude))
        for spot, latitude, longitude in zip(shore.spots, latitudes, longitudes, strict=True)
    ]
    return shore, placed


def test_growth_with_spots(coast, ratio_table):
    shore, spots = coast

    def forecast(count):
        return len(make_forecast(shore, spots[:count], FIRST, 30, Outlook(LONG_AGO)).spots)

    assert forecast(3) == 3
    record_growth(ratio_table, "windows of a month by spots", forecast, (1, 10, 100))


def test_growth_with_days(coast, ratio_table):
    shore, spots = coast

    def forecast(count):
        return len(make_forecast(shore, spots[:1], FIRST, count, Outlook(LONG_AGO)).spots[0].days)

    assert forecast(5) == 5
    record_growth(ratio_table, "windows of a spot by days", forecast, (4, 40, 400))
