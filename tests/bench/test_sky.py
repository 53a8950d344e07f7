"""Speed of the sky beside other ways to compute it. Run with --benchmark-enable; figures are never gated.

Where nothing is timed, a month stands for the year.
"""

from datetime import UTC, datetime
from pathlib import Path

import ephem
import numpy as np
import pytest
import skyfield_data
from skyfield import almanac
from skyfield.api import load, load_file, wgs84
from skyfield.searchlib import find_maxima, find_minima

from windows.astronomy import Body, Sky

START = datetime(2026, 1, 1, tzinfo=UTC).timestamp()
DAY = 86400.0
LATITUDE, LONGITUDE = 29.2, -90.0
YEAR, MONTH = 365, 31


@pytest.fixture(scope="module")
def days(ratio_table):
    return YEAR if ratio_table.enabled else MONTH


def spot_year(days) -> int:
    return len(Sky(START, START + days * DAY).events(LATITUDE, LONGITUDE)[0])


def hundred_spots_for_a_month() -> int:
    spots = Sky(START, START + 30 * DAY).events(np.linspace(25, 48, 100), np.linspace(-97, -67, 100))
    return sum(len(events) for events in spots)


@pytest.fixture(scope="module")
def library():
    kernel = load_file(str(Path(skyfield_data.__file__).parent / "data" / "de421.bsp"))
    yield load.timescale(), kernel
    kernel.close()


def library_passages(library, days) -> int:
    """Rises, sets, dawns, dusks and upper transits alone, by skyfield's quickest searches (two a day)."""
    ts, kernel = library
    span = ts.utc(2026, 1, 1), ts.utc(2026, 1, 1 + days)
    observer = kernel["earth"] + wgs84.latlon(LATITUDE, LONGITUDE)
    count = 0
    for name, horizons in (("sun", (None, -6, -12)), ("moon", (None,))):
        for horizon in horizons:
            for find in (almanac.find_risings, almanac.find_settings):
                found, _ = find(observer, kernel[name], *span, horizon_degrees=horizon)
                azimuths = observer.at(found).observe(kernel[name]).apparent().altaz()[1].degrees
                count += len(azimuths)
        count += len(almanac.find_transits(observer, kernel[name], *span))
    return count


def library_spot_year(library, days) -> int:
    """All that Sky.events tells, values included, by skyfield's almanac and search functions."""
    ts, kernel = library
    span = ts.utc(2026, 1, 1), ts.utc(2026, 1, 1 + days)
    place = wgs84.latlon(LATITUDE, LONGITUDE)
    earth, moon = kernel["earth"], kernel["moon"]
    count = library_passages(library, days)
    for name in ("sun", "moon"):
        found, _ = almanac.find_discrete(*span, almanac.meridian_transits(kernel, kernel[name], place))
        count += len((earth + place).at(found).observe(kernel[name]).apparent().altaz()[0].degrees) // 2

    def distance(t):
        return earth.at(t).observe(moon).distance().km

    def declination(t):
        return earth.at(t).observe(moon).apparent().radec("date")[1].degrees

    for curve in (distance, declination):
        curve.step_days = 5.0
        count += len(find_maxima(*span, curve)[0]) + len(find_minima(*span, curve)[0])
    return count + len(almanac.find_discrete(*span, almanac.moon_phases(kernel))[0])


def pyephem_spot_year(days) -> int:
    """Rises, sets and both transits of sun and moon."""
    count = 0
    end = ephem.Date(ephem.Date("2026/1/1") + days)
    for target in (ephem.Sun(), ephem.Moon()):
        for search in ("next_rising", "next_setting", "next_transit", "next_antitransit"):
            observer = ephem.Observer()
            observer.lat, observer.lon, observer.date = str(LATITUDE), str(LONGITUDE), "2026/1/1"
            while True:
                found = getattr(observer, search)(target)
                if found >= end:
                    break
                count += 1
                observer.date = found + ephem.minute
    return count


@pytest.mark.benchmark(group="sky: one spot, one year")
def test_spot_year(benchmark, days):
    assert benchmark(spot_year, days) > 4000 / YEAR * days


@pytest.mark.benchmark(group="sky: one spot, one year")
def test_spot_year_by_the_library(benchmark, library, days):
    found = benchmark.pedantic(library_spot_year, args=(library, days), rounds=3)
    assert abs(found - spot_year(days)) <= 2


@pytest.mark.benchmark(group="sky: one spot, one year")
def test_passages_alone_by_the_library(benchmark, library, days):
    found = benchmark.pedantic(library_passages, args=(library, days), rounds=3)
    assert found > 3500 / YEAR * days


@pytest.mark.benchmark(group="sky: one spot, one year")
def test_spot_year_by_pyephem(benchmark, days):
    assert benchmark.pedantic(pyephem_spot_year, args=(days,), rounds=2) > 2800 / YEAR * days


def test_a_spot_year_beside_the_libraries(ratio_table, library, days):
    assert spot_year(days) > pyephem_spot_year(days) > 2800 / YEAR * days
    peers = {
        "skyfield's almanac": lambda: library_spot_year(library, days),
        "PyEphem, less": lambda: pyephem_spot_year(days),
    }
    ratio_table.compare("a spot-year of sun and moon", lambda: spot_year(days), peers)


@pytest.mark.benchmark(group="sky: 100 spots, 30 days")
def test_hundred_spots_for_a_month(benchmark):
    assert benchmark(hundred_spots_for_a_month) > 35000


@pytest.mark.benchmark(group="sky: moon arrays for the score, 100 spots, 30 days")
def test_moon_arrays_for_the_score(benchmark):
    latitudes, longitudes = np.linspace(25, 48, 100), np.linspace(-97, -67, 100)

    def arrays():
        sky = Sky(START, START + 30 * DAY)
        return sky.rises_and_sets(Body.MOON, latitudes, longitudes), sky.transits(Body.MOON, longitudes)

    assert len(benchmark(arrays)[0]) == 100
