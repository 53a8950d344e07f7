"""A weather file read once: kept by its content and clock, never stale, never in the way."""

from datetime import UTC
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.errors import FileProblemsError
from harmonics.records import weather_store
from harmonics.records.weather import parse_weather
from harmonics.records.weather_store import read_known_weather

TEXT = (
    "# forecast_reference_time: 2026-08-09T12:00Z\n"
    "time,wind_speed [kn],air_pressure_at_mean_sea_level [hPa],clouds\n"
    "2026-08-10 00:00,7,1013,3\n"
    "2026-08-10 03:00,,1012,4\n"
)


@pytest.fixture
def file(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    path = tmp_path / "weather.csv"
    path.write_text(TEXT, encoding="utf-8")
    return path


@pytest.fixture
def parsed(monkeypatch):
    """How often a text was taken apart."""
    calls = []
    monkeypatch.setattr(
        weather_store, "parse_weather", lambda *given: (calls.append(given), parse_weather(*given))[1]
    )
    return calls


def same(one, other):
    assert (one.path, one.made, one.ignored) == (other.path, other.made, other.ignored)
    assert np.array_equal(one.t, other.t)
    assert list(one.values) == list(other.values)
    for quantity, values in one.values.items():
        assert np.array_equal(values, other.values[quantity], equal_nan=True)


def test_the_second_reading_takes_what_the_first_made(file, parsed):
    first, second = read_known_weather(file, UTC), read_known_weather(file, UTC)
    assert len(parsed) == 1
    same(first, second)
    same(first, parse_weather(TEXT, str(file), UTC))
    assert first.made is not None and first.ignored == ("clouds",) and len(first.values) == 2


def test_another_text_or_clock_is_read_anew(file, parsed):
    first = read_known_weather(file, UTC)
    hobart = read_known_weather(file, ZoneInfo("Australia/Hobart"))
    assert np.all(first.t - hobart.t == 36000.0)
    file.write_text(TEXT.replace("forecast_reference_time", "made"), encoding="utf-8")
    assert read_known_weather(file, UTC).made is None
    assert len(parsed) == 3


def test_a_damaged_or_strange_file_is_made_again(file, tmp_path, parsed):
    first = read_known_weather(file, UTC)
    (kept,) = (tmp_path / "cache").rglob("*.npz")
    for content in (b"", b"PK\x03\x04 nothing", kept.read_bytes()[:80]):
        kept.write_bytes(content)
        same(first, read_known_weather(file, UTC))
    np.savez(kept, t=first.t, values=np.zeros((1, 2)), quantities=np.array(["moonshine"]))
    same(first, read_known_weather(file, UTC))
    assert len(parsed) == 5


def test_what_is_wrong_is_not_kept(file, tmp_path):
    file.write_text(TEXT.replace("1012", "high"), encoding="utf-8")
    for _ in range(2):
        with pytest.raises(FileProblemsError, match="'high'"):
            read_known_weather(file, UTC)
    assert not list((tmp_path / "cache").rglob("*.npz"))


def test_weather_that_was_made_at_no_time_stays_so(file, parsed):
    file.write_text(TEXT.partition("\n")[2], encoding="utf-8")
    first, second = read_known_weather(file, UTC), read_known_weather(file, UTC)
    assert len(parsed) == 1
    assert first.made is second.made is None
    same(first, second)
