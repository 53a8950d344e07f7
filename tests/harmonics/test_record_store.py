"""Residuals kept in the user's cache folder: found again, never stale, never in the way."""

import os
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.errors import EbblightError, FileProblemsError
from harmonics.files.record_source import RecordSource
from harmonics.records import cache as kept_arrays
from harmonics.records import cleaning
from harmonics.records.store import read_readings, read_station_record
from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from harmonics.units import LengthUnit
from tests.harmonics.conftest import published_station
from tests.harmonics.records_of import HOUR, red_noise

STATION = published_station("8724580")


@pytest.fixture(autouse=True)
def cache(tmp_path, monkeypatch):
    folder = tmp_path / "cache"
    monkeypatch.setenv("XDG_CACHE_HOME", str(folder))
    return folder


@pytest.fixture
def gauge(tmp_path):
    t = year_start(2021) + HOUR * np.arange(70 * 24)
    level = levels(STATION, t) + red_noise(len(t), 30.0, 0.08, 3)
    level[500] += 1.5
    path = tmp_path / "gauge.csv"
    rows = [f"{np.datetime64(int(a), 's')},{b:.3f}" for a, b in zip(t, level, strict=True)]
    path.write_text("\n".join(["time_utc,level_m", *rows]))
    return path


@pytest.fixture
def cleaned(monkeypatch):
    """How often a record was cleaned."""
    seen = []
    real = cleaning.residuals_of

    def counted(*arguments):
        seen.append(arguments)
        return real(*arguments)

    monkeypatch.setattr(cleaning, "residuals_of", counted)
    return seen


def kept(cache):
    return sorted(cache.rglob("*.npz"))


def test_the_second_reading_takes_what_the_first_made(cache, gauge, cleaned):
    first, second = (read_station_record(STATION, RecordSource(gauge)) for _ in range(2))
    assert len(cleaned) == 1
    assert len(kept(cache)) == 1
    one, two = first.residuals, second.residuals
    assert np.array_equal(one.level, two.level, equal_nan=True)
    assert (one.start, one.cleaning) == (two.start, two.cleaning)
    assert [flaw.kind for flaw in two.cleaning.flaws] == ["spike"]


def test_whatever_residuals_depend_on_makes_another_name(gauge, cleaned):
    read_station_record(STATION, RecordSource(gauge))
    text = gauge.read_text()
    gauge.write_text(text.replace(",0.1", ",0.2", 1))
    read_station_record(STATION, RecordSource(gauge))
    gauge.write_text(text)
    other = type(STATION)(
        "o", "O", 0.0, 0.0, "MLLW", STATION.mean_level + 0.1, STATION.constants, STATION.practice
    )
    read_station_record(other, RecordSource(gauge))
    read_station_record(STATION, RecordSource(gauge, unit=LengthUnit.METRES))
    assert len(cleaned) == 4
    read_station_record(STATION, RecordSource(gauge))
    assert len(cleaned) == 4


@pytest.mark.parametrize("damage", [b"", b"PK\x03\x04 nothing", None, "cut", "flip"])
def test_a_damaged_file_is_made_again(cache, gauge, cleaned, damage):
    expected = read_station_record(STATION, RecordSource(gauge))
    (place,) = kept(cache)
    whole = place.read_bytes()
    if damage == "cut":
        place.write_bytes(whole[: len(whole) // 2])
    elif damage == "flip":
        middle = len(whole) // 2
        place.write_bytes(
            whole[:middle] + bytes(255 - byte for byte in whole[middle : middle + 50]) + whole[middle + 50 :]
        )
    elif damage is None:
        np.savez(place, other=np.zeros(3))
    else:
        place.write_bytes(damage)
    found = read_station_record(STATION, RecordSource(gauge))
    assert len(cleaned) == 2
    assert np.array_equal(found.residuals.level, expected.residuals.level, equal_nan=True)
    assert read_station_record(STATION, RecordSource(gauge)).residuals.start == expected.residuals.start
    assert len(cleaned) == 2


def test_a_folder_that_cannot_be_written_only_costs_time(cache, gauge, cleaned):
    cache.write_text("a file where the folder should be")
    for _ in range(2):
        read_station_record(STATION, RecordSource(gauge))
    assert len(cleaned) == 2


def test_without_a_home_nothing_is_kept(gauge, cleaned, monkeypatch):
    monkeypatch.setattr(kept_arrays, "place_of", lambda name: None)
    for _ in range(2):
        read_station_record(STATION, RecordSource(gauge))
    assert len(cleaned) == 2


def test_nothing_half_written_stays(cache, gauge, monkeypatch):
    def broken(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", broken)
    read_station_record(STATION, RecordSource(gauge))
    assert [path for path in cache.rglob("*") if path.is_file()] == []


def test_the_oldest_go(cache, gauge, monkeypatch):
    monkeypatch.setattr(kept_arrays, "MOST_KEPT", 2)
    lines = gauge.read_text()
    for k in range(4):
        gauge.write_text(f"# {k}\n{lines}")
        read_station_record(STATION, RecordSource(gauge))
        for path in kept(cache):
            stamp = path.stat().st_mtime - 10
            os.utime(path, (stamp, stamp))
    assert len(kept(cache)) == 2


def test_what_is_wrong_is_told_and_not_kept(cache, gauge):
    missing = gauge.with_name("none.csv")
    with pytest.raises(FileProblemsError, match="no such file"):
        read_station_record(STATION, RecordSource(missing))
    gauge.write_text(gauge.read_text().replace("time_utc", "time"))
    with pytest.raises(FileProblemsError, match="a clock without a zone"):
        read_station_record(STATION, RecordSource(gauge))
    gauge.write_text(gauge.read_text().replace("time,level_m", "time_utc,level_ft"))
    with pytest.raises(EbblightError, match="metres read as feet"):
        read_station_record(STATION, RecordSource(gauge))
    assert kept(cache) == []


def test_the_response_is_kept_as_it_was_made(gauge, cleaned):
    hours = year_start(2021) + HOUR * np.arange(70 * 24)
    pressure = 1015.0 + 10.0 * red_noise(len(hours), 60.0, 1.0, 9)
    weather = gauge.with_name("weather.csv")
    rows = [f"{np.datetime64(int(a), 's')},{b:.2f}" for a, b in zip(hours, pressure, strict=True)]
    weather.write_text("\n".join(["time_utc,air_pressure_at_mean_sea_level [hPa]", *rows]))
    level = levels(STATION, hours) - 0.01 * (pressure - 1015.0)
    rows = [f"{np.datetime64(int(a), 's')},{b:.4f}" for a, b in zip(hours, level, strict=True)]
    gauge.write_text("\n".join(["time_utc,level_m", *rows]))
    first, second = (read_station_record(STATION, RecordSource(gauge, weather=weather)) for _ in range(2))
    assert len(cleaned) == 1
    one, two = first.response, second.response
    assert (one.pressure, one.wind, one.used) == (two.pressure, two.wind, two.used) == (True, False, True)
    assert (one.share, one.mean_pressure) == (two.share, two.mean_pressure)
    assert one.mean_pressure == pytest.approx(100.0 * pressure.mean())
    for name in ("centre", "scale", "weight"):
        assert np.array_equal(getattr(one, name), getattr(two, name))
    assert np.array_equal(first.explained, second.explained, equal_nan=True)
    t, read, known = read_readings(RecordSource(gauge, weather=weather))
    assert np.array_equal(t, hours)
    assert np.allclose(read, level, atol=1e-4)
    assert len(known.t) == len(hours)
    assert read_readings(RecordSource(gauge))[2] is None
    earlier = first.before(hours[0] + 30 * 24 * HOUR)
    assert len(earlier.residuals.level) == len(earlier.explained) == 30 * 24


def test_clocks_of_both_files_may_come_from_the_station(gauge):
    gauge.write_text(gauge.read_text().replace("time_utc", "time"))
    weather = gauge.with_name("weather.csv")
    weather.write_text("time,air_temperature [degC]\n2021-01-01 00:00,20\n")
    source = RecordSource(gauge, weather=weather, fallback=ZoneInfo("America/Chicago"))
    t, _, known = read_readings(source)
    assert t[0] == year_start(2021) + 6 * HOUR == known.t[0]


def test_a_file_of_anything_but_numbers_and_texts_is_never_opened(cache, gauge, cleaned):
    """What numpy pickles could run anything."""
    read_station_record(STATION, RecordSource(gauge))
    (place,) = kept(cache)
    np.savez(place, level=np.array([{"a": 1}], dtype=object))
    assert kept_arrays.load(place.stem) is None
