"""A whole year of windows at published stations, read through the command."""

import itertools

import pytest

from tests.cli.runs import document, done, rows, utc
from tests.coasts import STATION_IDS, head, published_station, spot, written
from tests.conftest import PUBLISHED

YEAR = ("--start", "2026-01-01", "--days", "365", "--hours", "any")
LONG_AGO = 0.0
PLACES = {
    "8729840": (30.40, -87.21),
    "8724580": (24.55, -81.81),
    "8443970": (42.35, -71.05),
    "9447130": (47.60, -122.34),
    "1612340": (21.30, -157.87),
}
"""Near the stations; the flow turns with the tide there as far as these tests go."""


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    assert (PUBLISHED / "constituents_8443970.csv").is_file()
    stations = [published_station(station) for station in STATION_IDS]
    spots = [
        spot(f"by-{station}", station, *PLACES[station], 'slack_lag = 0\nlight = "any"')
        for station in STATION_IDS
    ]
    return written(tmp_path_factory.mktemp("year"), head("UTC"), *stations, *spots)


@pytest.fixture(scope="module")
def year(shore):
    return rows("compare", shore, *YEAR, now=LONG_AGO)


def of(year, station):
    return [row for row in year if row["spot"] == f"by-{station}"]


@pytest.mark.parametrize("station", STATION_IDS)
def test_windows_lie_between_a_published_high_and_low_water(shore, year, station):
    # The high and low waters of `tides` are the published ones; every window lies on one fall.
    asked = ("--station", station, "--start", "2025-12-30", "--days", "369")
    turns = rows("tides", shore, *asked)
    falls = [
        (utc(a["time_utc"]), utc(b["time_utc"]))
        for a, b in itertools.pairwise(turns)
        if a["event"] == "high_water"
    ]
    found = of(year, station)
    assert found
    for row in found:
        start, end = utc(row["window_start_utc"]), utc(row["window_end_utc"])
        assert end - start >= 1800.0
        assert any(high <= start + 60 and end - 60 <= low for high, low in falls), row


@pytest.mark.parametrize("station", STATION_IDS)
def test_points_by_factor_sum_to_the_total(year, station):
    for row in of(year, station):
        parts = [float(row[f"points_{factor}"]) for factor in ("flow", "light", "moon")]
        assert sum(parts) == pytest.approx(float(row["points"]), abs=1e-9)
        assert parts[1] == 0.0  # light "any" gives its points to flow


def test_springs_rank_above_neaps_on_a_large_semidiurnal_tide(year):
    # Boston at equal light: the falls of the best tenth of the year's sessions are larger than those of the
    # worst tenth, and those of the neaps are the smaller half.
    found = of(year, "8443970")
    assert len(found) > 600  # two ebbs a day
    tenth = len(found) // 10
    best = [float(row["range_m"]) for row in found[:tenth]]
    worst = [float(row["range_m"]) for row in found[-tenth:]]
    assert sum(best) / tenth > 1.2 * sum(worst) / tenth


def test_a_diurnal_tide_fails_around_the_moon_s_equator_crossings(shore, year):
    # Pensacola: the tide of a diurnal coast follows the moon's declination and nearly vanishes about every
    # 13.66 days (common practice); the weeks of its greatest declination have a window a day.
    found = document("week", shore, *YEAR, "--spot", "by-8729840", now=LONG_AGO)
    (told,) = found["spots"]
    empty = sorted(told["days_without_window"])
    assert 26 <= len(empty) <= 26 * 8  # a few days around each of 26 or 27 crossings
    assert any("hardly moves" in reason for reason in told["days_without_window"].values())
    sky = rows("sky", shore, "--spot", "by-8729840", "--start", "2026-01-01", "--days", "365")
    extremes = [utc(row["time_utc"]) for row in sky if row["event"] in ("northmost", "southmost")]
    assert len(extremes) in (26, 27, 28)
    with_window = {row["day"] for row in of(year, "8729840")}
    days = [utc(f"{day} 12:00") for day in empty]
    away = [min(abs(t - extreme) for extreme in extremes) / 86400.0 for t in days]
    near = [min(abs(utc(f"{day} 12:00") - t) for t in extremes) / 86400.0 for day in with_window]
    assert sum(away) / len(away) > sum(near) / len(near) + 1.0


def test_the_diurnal_year_says_so_in_plain_words(shore):
    text = " ".join(done("week", shore, *YEAR, "--spot", "by-8729840", now=LONG_AGO).split())
    assert "the water hardly moves" in text
    assert "the moon crosses the equator" in text
    assert "about then this tide nearly vanishes" in text
