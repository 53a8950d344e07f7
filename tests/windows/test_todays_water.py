"""Recent readings turned into departures: which station they are held against, by whose clock, and errors."""

from pathlib import Path

import numpy as np
import pytest

from harmonics.errors import EbblightError, FileProblemsError
from harmonics.records.observed import DEFAULT_DECAY_HOURS, turn_uncertainty
from harmonics.stations.prediction import levels
from harmonics.stations.types import Station
from tests.cli.runs import NOW
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, spot, written
from windows.conditions.outlook import Outlook
from windows.conditions.todays_water import departures, primary_of, seconds_uncertain
from windows.render.records.frames import instants
from windows.shoreline.shore import read_shore

HOUR = 3600.0
FOLLOWER = """
[[stations]]
id = "creek"
name = "Creek"
reference = "pier"
high_water = { minutes = 30, factor = 0.9 }
low_water = { minutes = 45, factor = 0.8 }
"""
COVE = SIMPLE_STATION.replace('"pier"', '"cove"').replace('"Pier"', '"Cove"')


def shore_of(folder, *parts, observed=""):
    station = SIMPLE_STATION.replace('name = "Pier"', f'name = "Pier"\n{observed}')
    more = (COVE, FOLLOWER, SIMPLE_SPOT, spot("bend", "creek", 50.1, -5.2), spot("reef", "cove", 50.2, -5.3))
    return read_shore(written(folder, head("Europe/London"), station, *more, *parts))


@pytest.fixture
def shore(tmp_path):
    return shore_of(tmp_path)


def gauge(shore, away=0.25, newest=NOW - HOUR, heading="time_utc", local=False) -> Path:
    """Six hourly readings at the pier."""
    t = newest - HOUR * np.arange(6)[::-1]
    when = instants(t, shore.head.zone)
    stamps = [text[:16].replace("T", " ") for text in (when.local if local else when.utc)]
    height = levels(shore.station("pier"), t) + away
    path = shore.path.parent / "gauge.csv"
    lines = [f"{stamp},{level:.6f}" for stamp, level in zip(stamps, height, strict=True)]
    path.write_text("\n".join([f"{heading},level_m", *lines]), encoding="utf-8")
    return path


def test_the_primary_of_a_follower_is_its_reference(shore):
    assert primary_of(shore.station("pier")) is shore.station("pier")
    assert isinstance(primary_of(shore.station("creek")), Station)
    assert primary_of(shore.station("creek")).id == "pier"


@pytest.mark.parametrize("station", ["pier", "creek"])
def test_readings_are_held_against_the_station_with_constituents(shore, station):
    found = departures(shore, [shore.station(station)], gauge(shore), NOW)
    assert list(found) == ["pier"]
    assert found["pier"].height == pytest.approx(0.25, abs=1e-5)
    assert found["pier"].newest == NOW - HOUR
    assert found["pier"].count == 4  # of the last three hours
    assert not found["pier"].fitted
    assert found["pier"].decay == DEFAULT_DECAY_HOURS * HOUR


def test_a_station_and_its_follower_are_one_water(shore):
    found = departures(shore, [shore.station("pier"), shore.station("creek")], gauge(shore), NOW)
    outlook = Outlook(0.0, found)
    ledge, bend = (outlook.departure(shore.spot(name).station) for name in ("ledge", "bend"))
    assert ledge is bend
    assert outlook.departure(shore.spot("ledge").station) is found["pier"]
    assert outlook.departure(shore.spot("reef").station) is None


def test_no_readings_no_departure(shore):
    assert departures(shore, shore.stations, None, NOW) == {}
    assert Outlook(0.0).departure(shore.spot("ledge").station) is None


def test_given_readings_for_several_stations(shore):
    path = gauge(shore)
    with pytest.raises(EbblightError, match=r"gauge\.csv: readings of which station \(pier, cove\)\?"):
        departures(shore, shore.stations, path, NOW)


def test_the_file_s_readings_of_those_that_matter(tmp_path):
    shore = shore_of(tmp_path, observed='observed = "gauge.csv"')
    gauge(shore)
    assert list(departures(shore, shore.stations, None, NOW)) == ["pier"]
    assert departures(shore, [shore.station("cove")], None, NOW) == {}


def test_readings_of_no_station_that_matters_are_not_even_read(tmp_path):
    shore = shore_of(tmp_path, observed='observed = "none.csv"')
    assert departures(shore, [shore.station("cove")], None, NOW) == {}
    with pytest.raises(FileProblemsError, match="no such file"):
        departures(shore, [shore.station("pier")], None, NOW)


@pytest.mark.parametrize(
    ("heading", "local"), [("time_utc", False), ("Time (GMT)", False), ("time", True), ("time_local", True)]
)
def test_a_stated_clock_stands_and_else_the_shore_s(shore, heading, local):
    path = gauge(shore, heading=heading, local=local)
    found = departures(shore, [shore.station("pier")], path, NOW)["pier"]
    assert found.newest == NOW - HOUR
    assert found.height == pytest.approx(0.25, abs=1e-5)


def test_problems_of_a_file_with_a_stated_clock_say_nothing_of_the_shore_s(shore):
    path = gauge(shore)
    path.write_text("time_utc,level_m\n2026-08-10 08:00,high\n", encoding="utf-8")
    with pytest.raises(FileProblemsError) as caught:
        departures(shore, [shore.station("pier")], path, NOW)
    assert [problem.where for problem in caught.value.problems] == ["line 2"]


def test_problems_of_a_file_without_a_clock_leave_the_clock_out(shore):
    path = gauge(shore)
    path.write_text("time,level_m\n2026-08-10 08:00,high\n", encoding="utf-8")
    with pytest.raises(FileProblemsError) as caught:
        departures(shore, [shore.station("pier")], path, NOW)
    assert [problem.where for problem in caught.value.problems] == ["line 2"]


@pytest.mark.parametrize(
    ("away", "newest", "words"), [(0.0, NOW + HOUR, "later than now"), (3.5, NOW - HOUR, r"\+3\.50 m")]
)
def test_readings_that_make_no_sense_name_their_file(shore, away, newest, words):
    path = gauge(shore, away, newest)
    with pytest.raises(EbblightError, match=rf"gauge\.csv: .*{words}"):
        departures(shore, [shore.station("pier")], path, NOW)


def test_times_of_a_follower_are_as_sure_as_its_reference_s(shore):
    found = departures(shore, [shore.station("creek")], gauge(shore), NOW)["pier"]
    t = NOW + 30 * HOUR
    sure = seconds_uncertain(found, shore.station("pier"), t)
    assert sure == seconds_uncertain(found, shore.station("creek"), t) > 0
    assert sure == turn_uncertainty(found, primary_of(shore.station("pier")), [t])[0]
