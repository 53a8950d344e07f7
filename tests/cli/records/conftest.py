"""The made shore as a file, and a cache of its own."""

import pytest

from tests.cli.records.coast import HEAD, RECORD, SPOT, STATION, forecast_weather, gauge


@pytest.fixture(autouse=True)
def cache(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


@pytest.fixture
def shore(tmp_path):
    def make(record=True, weather=True, spot="", station="", fishing=""):
        text = HEAD + STATION + (RECORD if record else "") + station + SPOT + spot + fishing
        if weather:
            text += '\n[weather]\nfile = "weather.csv"\n'
            forecast_weather(tmp_path)
        if record:
            gauge(tmp_path)
        path = tmp_path / "shore.toml"
        path.write_text(text)
        return path

    return make
