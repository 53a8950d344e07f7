"""Forecasts for the renderers' tests: demo coasts, and invented ones written where a test needs an edge."""

import datetime as dt
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path

import pytest

from tests import coasts
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


@cache
def _demo(name: str, first: str, days: int, spots: tuple[str, ...], now: float | None) -> Forecast:
    shore = read_shore(DEMO / f"{name}.toml")
    chosen = [shore.spot(spot) for spot in spots] or list(shore.spots)
    day = dt.date.fromisoformat(first)
    made = dt.datetime.combine(day, dt.time(), dt.UTC).timestamp() - 864000.0 if now is None else now
    return make_forecast(shore, chosen, day, days, Outlook(made))


@pytest.fixture
def forecast() -> Callable[..., Forecast]:
    """A demo coast's forecast: name, first day, days, spots; made ten days before, and once for all tests."""

    def make(
        name: str,
        first: str = "2026-08-10",
        days: int = 7,
        spots: Sequence[str] = (),
        now: float | None = None,
    ) -> Forecast:
        return _demo(name, first, days, tuple(spots), now)

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
        waves = [("M2", m2, 40.0), ("S2", s2, 80.0), ("K1", 0.1, 120.0), ("O1", 0.08, 200.0)]
        keys = f"slack_lag = {lag}\n{more}"
        path = coasts.written(
            tmp_path,
            coasts.head(zone, units, f"invented = {str(invented).lower()}", title),
            coasts.station("pole", waves, latitude=latitude, longitude=longitude, datum="LAT"),
            *(
                coasts.spot(ident, "pole", latitude, longitude, keys, name)
                for ident, name in (names or {"post": "Mooring post"}).items()
            ),
        )
        shore = read_shore(path)
        day = dt.date.fromisoformat(first)
        made = dt.datetime.combine(day, dt.time(), dt.UTC).timestamp() - 864000.0 if now is None else now
        return make_forecast(shore, list(shore.spots), day, days, Outlook(made))

    return make


@pytest.fixture
def hostile() -> dict[str, str]:
    """Names that must stay plain text, by spot id."""
    return dict(HOSTILE)
