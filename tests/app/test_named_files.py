"""Records, readings and weather sent from a form: read first, kept beside the station file, taken back."""

import re
import tomllib

import numpy as np
import pytest

from tests.app.conftest import NOW
from tests.app.sending import (
    AT,
    CSV,
    GAUGE,
    PAST,
    READINGS,
    RECORD,
    WEATHER,
    beside,
    contents,
    taken,
    undone,
)
from tests.cli.records import coast as made
from windows.shoreline.shore import read_shore

NAME = "made.toml"
WEEK = f"{AT}/week?start=2026-08-10&days=2"


@pytest.fixture
def path(folder):
    return folder / NAME


@pytest.fixture
def site(serving, path):
    return serving(path)


def test_a_record_is_sent_and_every_session_has_its_chance(site, folder, path, sources):
    before = path.read_bytes()
    assert ", chance" not in site.get(WEEK).words
    page = taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    assert "Saved: record of Pier, from gauge.csv." in page.words
    assert (
        "2,640 readings, Thu 16 Apr 2026 to Tue 4 Aug 2026, in metres; times by the zone UTC." in page.words
    )
    assert "No gap of more than six hours." in page.words
    assert "The water departs from the tide by 0.15 m" in page.words
    (copy,) = set(contents(folder)) - {NAME}
    assert re.fullmatch(r"pier-record-[0-9a-f]{10}\.csv", copy)
    assert (folder / copy).read_bytes() == sources["gauge.csv"]
    line = f'record = {{file = "{copy}", zone = "UTC", units = "metres"}}\r\n'.encode()
    assert path.read_bytes().replace(line, b"") == before
    assert ", chance" in site.get(WEEK).words
    assert "a record of 110 days" in site.get(WEEK).words
    undone(site, page)
    assert contents(folder) == {NAME: before}
    assert ", chance" not in site.get(WEEK).words


def test_another_record_takes_the_place_and_undo_brings_the_first_back(site, folder, sources):
    taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    first = contents(folder)
    page = taken(site, RECORD, GAUGE, "later.csv", sources["later.csv"])
    second = contents(folder)
    assert len(second) == 2
    assert sources["later.csv"] in second.values()
    assert "stays in the folder" not in page.words
    undone(site, page)
    assert contents(folder) == first
    stopped = site.posted(RECORD, {"deed": "stop", "revision": site.hidden(RECORD, "revision")})
    assert "No longer used: record of Pier." in stopped.words
    assert set(contents(folder)) == {NAME}
    undone(site, stopped)
    assert contents(folder) == first


def test_a_record_of_ones_own_stays_and_so_does_a_copy_that_another_file_names(site, folder, path, sources):
    (folder / "gauge.csv").write_bytes(sources["gauge.csv"])
    text = path.read_bytes().decode().replace('id = "pier"', f'id = "pier"\n{made.RECORD.strip()}')
    path.write_bytes(text.encode())
    page = taken(site, RECORD, GAUGE, "later.csv", sources["later.csv"])
    assert "gauge.csv stays in the folder, unused." in page.words
    assert (folder / "gauge.csv").read_bytes() == sources["gauge.csv"]
    (folder / "other.toml").write_bytes(path.read_bytes())
    (copy,) = (name for name in contents(folder) if name.startswith("pier-record-"))
    taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    assert (folder / copy).read_bytes() == sources["later.csv"]


def test_a_copy_that_somebody_changed_stays(site, folder, sources):
    taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    (copy,) = set(contents(folder)) - {NAME}
    (folder / copy).write_bytes(sources["gauge.csv"] + b"\n")
    page = taken(site, RECORD, GAUGE, "later.csv", sources["later.csv"])
    assert f"{copy} stays in the folder, unused." in page.words
    assert (folder / copy).read_bytes() == sources["gauge.csv"] + b"\n"
    page = taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    (third,) = set(contents(folder)) - {NAME, copy}
    assert (folder / third).read_bytes() == sources["gauge.csv"]
    again = taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    assert "stays in" not in again.words
    undone(site, again)
    assert set(contents(folder)) == {NAME, copy, third}


def test_keys_alone_are_changed_for_the_file_that_is_there(site, folder, path, sources):
    taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    before = contents(folder)
    answer = site.send(RECORD, {**GAUGE, "zone": "Europe/Paris"}, "", b"")
    assert answer.status == 422
    assert "that looks like a clock 2 h behind the zone it was read in" in beside(answer, "file")
    assert str(folder) not in answer.text
    assert contents(folder) == before
    page = taken(site, RECORD, {**GAUGE, "level_column": "level"}, "", b"")
    assert "2,640 readings" in page.words
    record = tomllib.loads(path.read_text())["stations"][0]["record"]
    assert record["level_column"] == "level"
    assert set(contents(folder)) == set(before)


def test_weather_and_readings_are_used_at_once_and_taken_back(site, folder, path, sources):
    before = path.read_bytes()
    page = taken(site, WEATHER, {}, "weather.csv", sources["weather.csv"])
    assert "32 times, Mon 10 Aug 2026 to Thu 13 Aug 2026: wind speed, wind from direction" in page.words
    assert "wind up to 20 kn from WSW" in site.get(WEEK).words
    with_weather = path.read_bytes()
    later = taken(site, READINGS, {}, "now.csv", CSV)
    assert "2 readings, Mon 10 Aug 2026, 09:00 to 10:00, in m" in later.words
    assert "The newest reading is 30 min old: the water stood 0.78 m above the prediction." in later.words
    assert "above the prediction" in site.get(f"{AT}/now").words
    undone(site, later)
    assert path.read_bytes() == with_weather
    undone(site, page)
    assert contents(folder) == {NAME: before}


def test_weather_of_the_records_time_comes_and_goes_with_the_record(site, folder, sources):
    taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    with_record = contents(folder)
    stamps = (str(np.datetime64(int(NOW) - 6 * 3600 * k, "s")) for k in range(480, 0, -1))
    rows = "\n".join(f"{stamp},{1010 + k % 9}" for k, stamp in enumerate(stamps))
    data = f"time_utc,air_pressure_at_mean_sea_level [hPa]\n{rows}\n".encode()
    page = taken(site, PAST, {}, "past.csv", data)
    assert "480 times" in page.words
    assert "of what the record was off by, too little to be used." in page.words
    assert read_shore(folder / NAME).records["pier"].weather.read_bytes() == data
    whole = contents(folder)
    stopped = site.posted(RECORD, {"deed": "stop", "revision": site.hidden(RECORD, "revision")})
    assert set(contents(folder)) == {NAME}
    undone(site, stopped)
    assert contents(folder) == whole
    undone(site, page)
    assert contents(folder) == with_record


def test_a_named_file_that_is_gone_is_told_and_another_takes_its_place(site, folder, path, sources):
    text = path.read_text().replace('id = "pier"', f'id = "pier"\n{made.RECORD.strip()}')
    path.write_text(text)
    assert "gauge.csv: 1 problem file: found no such file" in site.get(RECORD).words
    assert str(folder) not in site.get(RECORD).text
    assert "2,640 readings" in taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"]).words


def test_ways_to_the_files_stand_on_the_shore_and_with_the_station(site, sources):
    words = "Record, Pier: none yet"
    assert words in site.get(f"{AT}/shore").words
    assert words in site.get(f"{AT}/shore/stations/0").words
    assert f'href="{RECORD}"' in site.get(f"{AT}/shore/stations/0").text
    assert "Record" not in site.get(f"{AT}/shore/spots/0").words
    taken(site, RECORD, GAUGE, "gauge.csv", sources["gauge.csv"])
    assert words not in site.get(f"{AT}/shore").words
    assert "Weather of the record's time, Pier: none yet" in site.get(f"{AT}/shore").words
