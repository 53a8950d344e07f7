"""Forecasts for the renderers' tests: demo coasts, and invented ones written where a test needs an edge."""

import datetime as dt
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.forecast.reports import Forecast
from windows.shoreline.shore import read_shore

DEMO = Path(__file__).parents[2] / "demo_stations"

HOSTILE = {
    "script": "<script>alert(1)</script>",
    "formula": "=cmd|' /C calc'!A0",
    "long": "Longshore groyne of two hundred letters " * 5,
    "rtl": "\u05de\u05d6\u05d7 \u05d4\u05de\u05dc\u05d7 \u202e\u0645\u0631\u0633\u0649",
    "emoji": "Rock \U0001f3a3\U0001f9c2 \"&' end",
}
"""Names that must stay plain text, by spot id."""

COAST = """\
title = {title}
invented = {invented}
time_zone = "{zone}"
units = "{units}"

[[stations]]
id = "pole"
name = "Pole"
latitude = {latitude}
longitude = {longitude}
datum = "LAT"
mean_level = 2.0
length_unit = "metres"
phase = "greenwich"
constituents = [
  {{ name = "M2", amplitude = {m2}, phase = 40.0 }},
  {{ name = "S2", amplitude = {s2}, phase = 80.0 }},
  {{ name = "K1", amplitude = 0.1, phase = 120.0 }},
  {{ name = "O1", amplitude = 0.08, phase = 200.0 }},
]
"""
SPOT = """
[[spots]]
id = "{id}"
name = {name}
latitude = {latitude}
longitude = {longitude}
station = "pole"
slack_lag = {lag}
{more}
"""


def toml_text(text: str) -> str:
    """A quoted TOML string of any text (standard: TOML 1.0.0, basic strings)."""
    inner = "".join(
        f"\\U{ord(char):08x}" if ord(char) > 126 or ord(char) < 32 or char in '"\\' else char for char in text
    )
    return f'"{inner}"'


@pytest.fixture
def forecast() -> Callable[..., Forecast]:
    """A demo coast's forecast: name, first day, days, spots; made at the first day's midnight UTC."""

    def make(
        name: str,
        first: str = "2026-08-10",
        days: int = 7,
        spots: Sequence[str] = (),
        now: float | None = None,
    ) -> Forecast:
        shore = read_shore(DEMO / f"{name}.toml")
        chosen = [shore.spot(spot) for spot in spots] or list(shore.spots)
        day = dt.date.fromisoformat(first)
        made = dt.datetime.combine(day, dt.time(), dt.UTC).timestamp() - 864000.0 if now is None else now
        return make_forecast(shore, chosen, day, days, Outlook(made))

    return make


@pytest.fixture
def coast(tmp_path: Path) -> Callable[..., Forecast]:
    """The forecast of an invented coast with a semidiurnal tide: zone, place, units, names of its spots."""

    def make(
        first: str,
        days: int = 7,
        zone: str = "America/Chicago",
        latitude: float = 29.3,
        longitude: float = -90.1,
        units: str = "metres",
        title: str = "Lattice Bay",
        invented: bool = True,
        names: dict[str, str] | None = None,
        m2: float = 1.2,
        s2: float = 0.4,
        lag: float = 10.0,
        more: str = "",
        now: float | None = None,
    ) -> Forecast:
        text = COAST.format(
            title=toml_text(title),
            invented=str(invented).lower(),
            zone=zone,
            units=units,
            latitude=latitude,
            longitude=longitude,
            m2=m2,
            s2=s2,
        )
        for ident, name in (names or {"post": "Mooring post"}).items():
            text += SPOT.format(
                id=ident, name=toml_text(name), latitude=latitude, longitude=longitude, lag=lag, more=more
            )
        path = tmp_path / "coast.toml"
        path.write_text(text, encoding="utf-8")
        shore = read_shore(path)
        day = dt.date.fromisoformat(first)
        made = dt.datetime.combine(day, dt.time(), dt.UTC).timestamp() - 864000.0 if now is None else now
        return make_forecast(shore, list(shore.spots), day, days, Outlook(made))

    return make


@pytest.fixture
def hostile() -> dict[str, str]:
    """Names that must stay plain text, by spot id."""
    return dict(HOSTILE)
