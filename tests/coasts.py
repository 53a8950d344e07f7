"""Station files for tests: their tables from arguments, published stations, and the folder they lie in."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from tests.conftest import PUBLISHED, published_rows

STATION_IDS = ("8729840", "8724580", "8443970", "9447130", "1612340")
"""Pensacola (diurnal), Key West (mixed), Boston (semidiurnal, 3 m), Seattle (mixed), Honolulu (mixed)."""
Waves = Sequence[tuple[str, float, float]]
"""Constituents as (name, amplitude, phase lag)."""


def quoted(text: str) -> str:
    """A TOML string of any text (TOML 1.0.0, basic strings)."""
    inner = "".join(
        f"\\U{ord(char):08x}" if ord(char) > 126 or ord(char) < 32 or char in '"\\' else char for char in text
    )
    return f'"{inner}"'


def listed(waves: Waves | str) -> str:
    """The value of `constituents`: a list, or the name of a table."""
    if isinstance(waves, str):
        return quoted(waves)
    rows = (f'    {{ name = "{name}", amplitude = {size}, phase = {lag} }},\n' for name, size, lag in waves)
    return f"[\n{''.join(rows)}]"


def head(zone: str = "UTC", units: str = "metres", more: str = "", title: str = "A shore") -> str:
    """The head of a file."""
    return f'title = {quoted(title)}\ntime_zone = "{zone}"\nunits = "{units}"\n{more}\n'


def station(
    identifier: str,
    waves: Waves | str,
    *,
    name: str | None = None,
    latitude: float | str = 45.0,
    longitude: float | str = 0.0,
    datum: str = "MLLW",
    mean_level: float | str = 2.0,
    more: str = "",
) -> str:
    """A [[stations]] table in metres."""
    return f"""
[[stations]]
id = "{identifier}"
name = {quoted(name or identifier.title())}
latitude = {latitude}
longitude = {longitude}
datum = "{datum}"
mean_level = {mean_level}
length_unit = "metres"
constituents = {listed(waves)}
{more}
"""


def current(
    identifier: str,
    waves: Waves | str,
    *,
    latitude: float | str = 45.0,
    longitude: float | str = 0.0,
    flood: float | str = 40,
    ebb: float | str = 215,
    mean: float | str = 0.0,
) -> str:
    """A [[currents]] table in knots."""
    return f"""
[[currents]]
id = "{identifier}"
name = "{identifier}"
latitude = {latitude}
longitude = {longitude}
flood_direction = {flood}
ebb_direction = {ebb}
mean_flow = {mean}
constituents = {listed(waves)}
"""


def spot(
    identifier: str,
    station_id: str,
    latitude: float,
    longitude: float,
    more: str = "",
    name: str | None = None,
) -> str:
    """A [[spots]] table."""
    return f"""
[[spots]]
id = "{identifier}"
name = {quoted(name or f"Spot {identifier}")}
latitude = {latitude}
longitude = {longitude}
station = "{station_id}"
{more}
"""


SIMPLE_STATION = station(
    "pier",
    [("M2", 1.5, 130.0), ("S2", 0.5, 175.0), ("K1", 0.06, 110.0)],
    latitude=50.1,
    longitude=-5.2,
    datum="Chart datum",
)
"""Invented: a semidiurnal tide of 2 to 4 m."""
SIMPLE_SPOT = spot("ledge", "pier", 50.11, -5.21, "slack_lag = 15")


def written(folder: Path, *parts: str, name: str = "shore.toml") -> Path:
    """A file of these parts, the published tables it names beside it."""
    text = "".join(parts)
    for table in re.findall(r'constituents = "((?:current_)?constituents_\w+\.csv)"', text):
        (folder / table).write_bytes((PUBLISHED / table).read_bytes())
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def simple(folder: Path, zone: str = "Europe/London", more: Sequence[str] = ()) -> Path:
    """An invented shoreline of one station and one spot, where people read that clock's hours."""
    return written(folder, head(zone), *(moved(part, zone) for part in (SIMPLE_STATION, SIMPLE_SPOT)), *more)


def moved(part: str, zone: str) -> str:
    """A table of the invented shoreline, brought to the meridian of a clock; Greenwich's stays."""
    hours = datetime(2026, 1, 1, tzinfo=ZoneInfo(zone)).utcoffset() or timedelta()
    east = (hours / timedelta(hours=1) * 15.0 + 180.0) % 360.0 - 180.0
    return re.sub(r"longitude = -5\.2", f"longitude = {east - 5.2:.1f}", part) if east else part


@dataclass(frozen=True)
class PublishedHead:
    """The first line of a published table of constituents: source, place, mean level.

    Attributes:
        table: name of the file.
        text: the line.
    """

    table: str
    text: str

    def text_after(self, label: str, pattern: str = r"-?[\d.]+") -> str:
        """What stands behind a label."""
        found = re.search(rf"{label} ({pattern})", self.text)
        assert found, f"{self.table} names no {label}"
        return found[1]

    def number(self, label: str) -> float:
        """The number behind a label."""
        return float(self.text_after(label))

    @property
    def latitude(self) -> float:
        """Degrees north."""
        return self.number("latitude")

    @property
    def longitude(self) -> float:
        """Degrees east."""
        return self.number("longitude")

    @property
    def zone(self) -> str:
        """IANA name of the local clock."""
        return self.text_after("time zone", r"[^;]+")

    @property
    def mean_level(self) -> float:
        """Mean sea level above MLLW, metres."""
        return self.number("MSL above MLLW")


def published_head(station_id: str, kind: str = "constituents") -> PublishedHead:
    """The head of a station's published table, `kind` "current_constituents" for one of currents."""
    table = f"{kind}_{station_id}.csv"
    with (PUBLISHED / table).open(encoding="utf-8") as stream:
        return PublishedHead(table, stream.readline())


def published_station(station_id: str) -> str:
    """The [[stations]] table of a published station, naming its table of constituents."""
    found = published_head(station_id)
    return station(
        station_id,
        found.table,
        name=f"Station {station_id}",
        latitude=found.latitude,
        longitude=found.longitude,
        mean_level=found.mean_level,
    )


def published_current(station_id: str, name: str) -> str:
    """The [[currents]] table of a published current station, naming its table of constituents."""
    found = published_head(station_id, "current_constituents")
    return current(
        name,
        found.table,
        latitude=found.latitude,
        longitude=found.longitude,
        flood=found.number("flood"),
        ebb=found.number("ebb"),
        mean=found.number("mean flow"),
    )


def published_waves(station_id: str) -> list[tuple[str, float, float]]:
    """The constituents of a published station."""
    rows = published_rows(f"constituents_{station_id}.csv")
    return [(row["name"], float(row["amplitude"]), float(row["phase"])) for row in rows]
