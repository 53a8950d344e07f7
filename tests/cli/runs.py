"""Runs of the command with a fixed clock, and station files to run it on."""

import csv
import io
import json
import re
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NamedTuple

from click.testing import CliRunner

from tests.conftest import PUBLISHED
from windows.cli import main
from windows.cli.options import Clock

REPOSITORY = Path(__file__).parents[2]
DEMOS = tuple(sorted((REPOSITORY / "demo_stations").glob("*.toml")))
NOW = datetime(2026, 8, 10, 9, 30, tzinfo=UTC).timestamp()
"""The clock of every run here, unless a test passes another."""
WIDTH = "100"

STATION_IDS = ("8729840", "8724580", "8443970", "9447130", "1612340")
"""Pensacola (diurnal), Key West (mixed), Boston (semidiurnal), Seattle (mixed), Honolulu (mixed)."""


class Run(NamedTuple):
    """What a run left: exit status, standard output, standard error."""

    code: int
    out: str
    err: str


def run(*arguments: object, now: float = NOW, columns: str = WIDTH) -> Run:
    """The command in this process; an exception other than an exit is the test's failure."""
    result = CliRunner().invoke(
        main,
        [str(argument) for argument in arguments],
        obj=Clock(lambda: now),
        env={"COLUMNS": columns},
        catch_exceptions=False,
    )
    return Run(result.exit_code, result.stdout, result.stderr)


def done(*arguments: object, now: float = NOW, columns: str = WIDTH) -> str:
    """Standard output of a run that has to succeed and to say nothing beside it."""
    result = run(*arguments, now=now, columns=columns)
    assert result.code == 0, result.err
    assert result.err == ""
    return result.out


def rows(*arguments: object, now: float = NOW) -> list[dict[str, str]]:
    """The rows of a run as CSV."""
    return list(csv.DictReader(io.StringIO(done(*arguments, "--format", "csv", now=now))))


def document(*arguments: object, now: float = NOW) -> dict[str, Any]:
    """The JSON document of a run."""
    found = json.loads(done(*arguments, "--format", "json", now=now))
    assert isinstance(found, dict)
    return found


def refused(code: int, *arguments: object, now: float = NOW) -> str:
    """Standard error of a run that has to be refused with nothing on standard output."""
    result = run(*arguments, now=now)
    assert result.code == code, result
    assert result.out == ""
    assert result.err.strip()
    assert "Traceback" not in result.err
    return result.err


def utc(text: str) -> float:
    """POSIX seconds of a UTC time, as 2026-08-15 04:20 or 2026-08-15T04:20:11Z."""
    return datetime.fromisoformat(text.replace("Z", "+00:00")).replace(tzinfo=UTC).timestamp()


def posix(text: str) -> float:
    """POSIX seconds of a time with its offset."""
    moment = datetime.fromisoformat(text)
    assert moment.tzinfo is not None
    return moment.timestamp()


def published_head(station_id: str) -> str:
    """The first line of a published table of constituents: source, place, mean level."""
    with (PUBLISHED / f"constituents_{station_id}.csv").open(encoding="utf-8") as stream:
        return stream.readline()


def published_station(station_id: str) -> str:
    """The [[stations]] table of a published station, naming its table where it lies."""
    head = published_head(station_id)

    def number(label: str) -> str:
        found = re.search(rf"{label} (-?[\d.]+)", head)
        assert found, label
        return found[1]

    return f"""
[[stations]]
id = "{station_id}"
name = "Station {station_id}"
latitude = {number("latitude")}
longitude = {number("longitude")}
datum = "MLLW"
mean_level = {number("MSL above MLLW")}
length_unit = "metres"
constituents = "constituents_{station_id}.csv"
"""


def head(zone: str = "UTC", units: str = "metres", more: str = "") -> str:
    """The head of a shoreline's file."""
    return f'title = "A shore"\ntime_zone = "{zone}"\nunits = "{units}"\n{more}\n'


def spot(identifier: str, station: str, latitude: float, longitude: float, more: str = "") -> str:
    """A [[spots]] table."""
    return f"""
[[spots]]
id = "{identifier}"
name = "Spot {identifier}"
latitude = {latitude}
longitude = {longitude}
station = "{station}"
{more}
"""


SIMPLE_STATION = """
[[stations]]
id = "pier"
name = "Pier"
latitude = 50.1
longitude = -5.2
datum = "Chart datum"
mean_level = 2.0
length_unit = "metres"
constituents = [
    { name = "M2", amplitude = 1.5, phase = 130.0 },
    { name = "S2", amplitude = 0.5, phase = 175.0 },
    { name = "K1", amplitude = 0.06, phase = 110.0 },
]
"""
"""Invented: a semidiurnal tide of 2 to 4 m."""
SIMPLE_SPOT = spot("ledge", "pier", 50.11, -5.21, "slack_lag = 15")


def written(folder: Path, *parts: str, name: str = "shore.toml") -> Path:
    """A file of these parts, the published tables it names beside it."""
    text = "".join(parts)
    for station_id in re.findall(r'constituents = "constituents_(\w+)\.csv"', text):
        table = f"constituents_{station_id}.csv"
        (folder / table).write_bytes((PUBLISHED / table).read_bytes())
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def simple(folder: Path, zone: str = "Europe/London", more: Sequence[str] = ()) -> Path:
    """An invented shoreline of one station and one spot."""
    return written(folder, head(zone), SIMPLE_STATION, SIMPLE_SPOT, *more)


def contents(place: Path) -> dict[str, bytes]:
    """Files of a folder by name."""
    return {path.name: path.read_bytes() for path in place.iterdir()}


def fill(folder: Path, count: int) -> list[str]:
    """So many files of one spot each; their stems."""
    simple(folder)
    text = (folder / "shore.toml").read_text(encoding="utf-8")
    (folder / "shore.toml").unlink()
    names = [f"coast{index:03d}" for index in range(count)]
    for name in names:
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return names
