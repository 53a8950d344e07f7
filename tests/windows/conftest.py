"""Shore files in a folder, of published stations and of invented coasts, and the forecasts they give."""

import os
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tests import coasts
from windows.conditions.cases import TimeShifts
from windows.conditions.clock_gates import OutsideHours, Past
from windows.conditions.flow import Flow, FlowKind, trapezoid
from windows.conditions.intervals import Intervals
from windows.conditions.outlook import Outlook
from windows.conditions.scoring import Conditions, MoonTimes
from windows.forecast.making import make_forecast
from windows.render.words.gates import edge_words
from windows.shoreline.shore import Shore, read_shore
from windows.shoreline.spots import Preferences, SpeedRange, Spot, WantedWater

AGENCY_STATIONS = coasts.STATION_IDS
LONG_RUN = "EBBLIGHT_PROPERTIES" in os.environ
ALL_YEAR = AGENCY_STATIONS if LONG_RUN else ("8729840", "8443970", "9447130")
"""Of these many weeks are forecast: a diurnal, a semidiurnal and a mixed tide; in long runs all."""
KNOWN_LAG, ASSUMED = "pier", "marsh"
FIRST_WEEK, WEEKS = (date(2026, 1, 1), 53) if LONG_RUN else (date(2026, 7, 16), 25)
"""Until after the New Year, when the factors of yearly practice step."""
LONG_AGO = 0.0
KNOT = 1852.0 / 3600.0


def at(text: str, zone: str = "UTC") -> float:
    """POSIX seconds of a local time written as 2026-08-15 04:20."""
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone)).timestamp()


def local_date(t: float, zone: ZoneInfo) -> date:
    return datetime.fromtimestamp(t, UTC).astimezone(zone).date()


def coast_text(
    rows: list[tuple[str, float, float]],
    zone: str = "UTC",
    latitude: float = 45.0,
    longitude: float = 0.0,
    mean_level: float = 2.0,
) -> str:
    """The head of an invented coast with one gauge, from (name, amplitude, phase lag)."""
    gauge = coasts.station(
        "gauge", rows, latitude=latitude, longitude=longitude, mean_level=mean_level, datum="gauge zero"
    )
    return coasts.head(zone, title="Test coast") + gauge


def spot_text(
    keys: str = "", spot_id: str = "spot", latitude: float = 45.0, longitude: float = 0.0, station="gauge"
) -> str:
    return coasts.spot(spot_id, station, latitude, longitude, keys, spot_id)


def one_spot(rows, keys: str = "", **place) -> str:
    """A whole file: a gauge and one spot beside it."""
    where = {key: place[key] for key in ("latitude", "longitude") if key in place}
    return coast_text(rows, **place) + spot_text(keys, **where)


def sessions_of(forecast, index: int = 0):
    """Sessions of one spot in order of time."""
    return [item.session for day in forecast.spots[index].days for item in day.sessions]


def edges(window, water=WantedWater.OUTGOING) -> tuple[str, str]:
    """What opens and closes a window, as people read it."""
    return edge_words(window.opens, True, water), edge_words(window.closes, False, water)


def windows_of(forecast, index: int = 0):
    """Windows in order of time; one that gives two days a session stands once."""
    return list(dict.fromkeys(session.window for session in sessions_of(forecast, index)))


@pytest.fixture
def shore(tmp_path):
    """Reads a shore from the text of its file."""

    def read(text: str) -> Shore:
        path = tmp_path / "shore.toml"
        path.write_text(text, encoding="utf-8")
        return read_shore(path)

    return read


@pytest.fixture
def forecast(shore):
    """Makes a forecast from a file's text; the clock stands long before unless it is given."""

    def make(text: str, first: date, days: int = 7, now: float = LONG_AGO):
        made = shore(text)
        return make_forecast(made, made.spots, first, days, Outlook(now))

    return make


@dataclass(frozen=True)
class AgencyStation:
    """A published station's head line."""

    station_id: str
    latitude: float
    longitude: float
    zone: str
    mean_level: float

    @classmethod
    def of(cls, station_id: str) -> "AgencyStation":
        found = coasts.published_head(station_id)
        return cls(station_id, found.latitude, found.longitude, found.zone, found.mean_level)

    def text(self, *spots: tuple[str, str], units: str = "metres") -> str:
        """The station's file with spots of (id, keys)."""
        gauge = coasts.station(
            "gauge",
            f"constituents_{self.station_id}.csv",
            latitude=self.latitude,
            longitude=self.longitude,
            mean_level=self.mean_level,
        )
        keyed = (spot_text(keys, name, self.latitude, self.longitude) for name, keys in spots)
        return coasts.head(self.zone, units, title="Test coast") + gauge + "".join(keyed)

    def shore(self, folder: Path, *spots: tuple[str, str], units: str = "metres") -> Shore:
        """The file written beside a copy of its published table, and read."""
        return read_shore(
            coasts.written(folder, self.text(*spots, units=units), name=f"{self.station_id}.toml")
        )


@dataclass(frozen=True)
class YearOfWeeks:
    """A published station's forecasts, week by week over 2026, of a spot that knows its lag and one not."""

    station: AgencyStation
    shore: Shore
    weeks: list = field(default_factory=list)

    def spot(self, index: int) -> Spot:
        return self.shore.spots[index]


@pytest.fixture(scope="session", params=ALL_YEAR)
def year(request) -> YearOfWeeks:
    return year_of_weeks(request.param)


@cache
def year_of_weeks(station_id: str) -> YearOfWeeks:
    """Made once; several modules read it."""
    station = AgencyStation.of(station_id)
    with TemporaryDirectory() as folder:
        made = station.shore(Path(folder), (KNOWN_LAG, "slack_lag = 20"), (ASSUMED, 'light = "any"'))
    weeks = [
        make_forecast(made, made.spots, FIRST_WEEK + timedelta(days=7 * week), 7, Outlook(LONG_AGO))
        for week in range(WEEKS)
    ]
    return YearOfWeeks(station, made, weeks)


@dataclass(frozen=True, eq=False)
class MadeFlow(Flow):
    """Speeds past a spot given at some times (knots, outgoing positive), straight between them."""

    times: np.ndarray
    knots: np.ndarray
    speeds: SpeedRange = field(default_factory=SpeedRange)
    kind = FlowKind.MEASURED
    has_speed = True
    assumed_turn: bool = False

    def outgoing(self, t):
        return np.interp(t, self.times, self.knots) * KNOT

    def even_outgoing(self, start, step, count):
        return self.outgoing(start + step * np.arange(count))

    @property
    def corners(self):
        return self.speeds

    def factor(self, going):
        return trapezoid(going, self.speeds)


@dataclass(frozen=True, eq=False)
class MadeSky:
    """A sun at given altitudes (degrees) at some times, straight between them."""

    times: tuple = (0.0, 1.0)
    degrees: tuple = (0.0, 0.0)

    def sun_altitude(self, latitudes, longitudes, t):
        return np.interp(t, self.times, self.degrees)[None, :]

    def even_sun_altitude(self, latitude, longitude, start, step, count):
        return self.sun_altitude(latitude, longitude, start + step * np.arange(count))[0]


AS_PREDICTED = TimeShifts(0.0)
"""Water that comes as predicted in every case."""
NO_MOON = MoonTimes(np.empty(0), np.empty(0))


@pytest.fixture
def still_spot(shore):
    """A spot on a gauge that hardly moves, with given preferences: what moves past it is made up."""
    only = shore(one_spot([("M2", 0.0, 0.0)])).spots[0]

    def with_preferences(**changes) -> Spot:
        return Spot(only.id, only.name, 45.0, 0.0, only.station, 0.0, Preferences(**changes))

    return with_preferences


def conditions_of(
    spot: Spot,
    flow: Flow,
    sky=None,
    moon: MoonTimes = NO_MOON,
    hours: Intervals | None = None,
    past=None,
    cases=AS_PREDICTED,
) -> Conditions:
    clock = [*([] if past is None else [Past(*past)]), *([] if hours is None else [OutsideHours(hours)])]
    return Conditions(spot, flow, sky or MadeSky(), moon, (*clock, *spot.gates), cases=cases)
