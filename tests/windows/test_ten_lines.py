"""The guide's first file: ten lines that pass and forecast, and what they leave unsaid."""

import re
from pathlib import Path

import pytest

from tests.cli.runs import done, refused, run
from windows.shoreline.shore import read_shore

START = Path(__file__).parents[2] / "windows" / "guide" / "start.md"
SHORT, LONG = re.findall(r"```(?:toml|text)\n(title.*?)```", START.read_text(encoding="utf-8"), re.DOTALL)[:2]
(TABLE,) = re.findall(r"```csv\n(.*?)```", START.read_text(encoding="utf-8"), re.DOTALL)[:1]
EAST = "longitude = -90.62\n"
SECOND = """[[stations]]
id = "b"
latitude = 29.31
longitude = -90.6
constituents = "gauge.csv"
"""
FOLLOWER = """[[stations]]
id = "creek"
reference = "gauge"
high_water = { minutes = 5 }
low_water = { minutes = 5 }
"""


@pytest.fixture
def lay(tmp_path):
    def laid(text=SHORT, *changes):
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        (tmp_path / "gauge.csv").write_text(TABLE)
        path = tmp_path / "shore.toml"
        path.write_text(text)
        return path

    return laid


def test_it_has_ten_lines_and_ranks_a_week(lay):
    assert len(SHORT.splitlines()) <= 10
    assert "Best: " in done("week", lay())


def test_what_it_leaves_unsaid_is_said(lay):
    told = run("check", lay(), columns="200").out
    assert "stations[0].datum: found no datum, so heights are counted from mean sea level" in told
    assert "spots[0].latitude: found no position, so that of station gauge" in told
    assert "heights above MSL" in told
    whole = run("check", lay(LONG), columns="200").out
    assert "no datum" not in whole and "no position" not in whole


def test_defaults_are_what_the_guide_says(lay):
    shore = read_shore(lay())
    (station,), (spot,) = shore.stations, shore.spots
    assert (station.name, spot.name) == ("gauge", "dock")
    assert (station.datum, station.mean_level) == ("MSL", 0.0)
    assert (spot.latitude, spot.longitude, spot.station) == (29.31, -90.62, station)
    assert station.constants.named()["K1"].amplitude == pytest.approx(0.47 * 0.3048)
    metric = read_shore(lay(SHORT, ('units = "feet"', 'units = "metres"')))
    assert metric.stations[0].constants.named()["K1"].amplitude == pytest.approx(0.47)


def test_all_tides_are_those_of_the_whole_file_less_its_mean_level(lay):
    short = done("tides", lay(), "--format", "csv", "--start", "2026-08-10").splitlines()
    whole = done("tides", lay(LONG), "--format", "csv", "--start", "2026-08-10").splitlines()
    column = short[0].split(",").index("height_m")
    for one, other in zip(short[1:], whole[1:], strict=True):
        apart = float(other.split(",")[column]) - float(one.split(",")[column])
        assert apart == pytest.approx(0.61 * 0.3048, abs=1e-5)


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ((EAST, f'{EAST}datum = "MLLW"\n'), "stations[0].mean_level: found nothing"),
        ((EAST, f"{EAST}mean_level = 1\n"), "stations[0].datum: found nothing"),
        (('id = "dock"\n', 'id = "dock"\nlatitude = 29.3\n'), "spots[0].longitude: found nothing"),
        (("[[spots]]", f"{SECOND}[[spots]]"), "expected the id of one of [[stations]] (gauge, b)"),
    ],
)
def test_halves_are_refused(lay, changes, told):
    assert told in refused(1, "week", lay(SHORT, changes), "--spot", "dock")


def test_a_datum_of_mean_sea_level_needs_no_level(lay):
    read_shore(lay(SHORT, ("longitude = -90.62\n", 'longitude = -90.62\ndatum = "MSL"\n')))


def test_an_unread_station_does_not_make_a_spot_s_missing(lay):
    told = refused(1, "week", lay(SHORT, ("latitude = 29.31", "latitude = 129.31")))
    assert "stations[0].latitude" in told and "spots[0]" not in told


def test_a_follower_s_spot_lies_where_it_does_or_its_reference(lay):
    for place, latitude in (("", 29.31), ("latitude = 29.4\nlongitude = -90.6\n", 29.4)):
        text = SHORT.replace("[[spots]]", f"{FOLLOWER}{place}[[spots]]") + 'station = "creek"\n'
        assert read_shore(lay(text)).spots[0].latitude == latitude
