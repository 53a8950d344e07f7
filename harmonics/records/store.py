"""Records as a station file names them, and what they tell; only the first reading takes long."""

from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Any

import numpy as np

from harmonics.arrays import Array
from harmonics.files.text_files import read_text
from harmonics.records import cache
from harmonics.records.residuals import Cleaning, Flaw, Residuals
from harmonics.records.response import Response
from harmonics.records.scenarios import Scenarios, scenarios_of
from harmonics.stations.types import Station

if TYPE_CHECKING:
    from harmonics.files.record_source import RecordSource
    from harmonics.records.reader import LevelRecord
    from harmonics.records.weather import Weather

METHOD = "2"
"""Part of every name; another number when cleaning or the response change."""
LEVELS = "a CSV file of times and levels"


@dataclass(frozen=True, eq=False)
class StationRecord:
    """What a station's record tells.

    Attributes:
        station: with constants of its own.
        residuals: observed less predicted levels.
        response: of the level to the weather; None where no weather of its time is known.
        explained: what the weather explains of the residuals, metres, nan where unknown; shaped as they;
            None without a response that is used.
    """

    station: Station
    residuals: Residuals
    response: Response | None = None
    explained: Array | None = None

    def scenarios(self, start: float, end: float) -> Scenarios:
        """Scenarios for start <= t < end; errors as for `scenarios_of`."""
        return scenarios_of(self.station, self.residuals, start, end, self.explained)

    def before(self, t: float) -> "StationRecord":
        """The same as it stood at a time, with the response as it is."""
        residuals = self.residuals.between(self.residuals.start, t)
        explained = None if self.explained is None else self.explained[: len(residuals.level)]
        return StationRecord(self.station, residuals, self.response, explained)


def read_station_record(
    station: Station, record: "RecordSource", levels: "LevelRecord | None" = None
) -> StationRecord:
    """What a record tells of a station, from the cache where it is known already.

    Args:
        station: with constants of its own.
        record: which file, and how it is read.
        levels: of that file by `read_level_record`, where they are read already.

    Raises:
        FileProblemsError: a file can't be read, or something in it is wrong.
        EbblightError: the record is too short, or not of this station.
    """
    text = read_text(record.path, LEVELS)
    weather = _weather_text(record)
    name = _name(station, record, text, weather)
    kept = cache.load(name)
    found = None if kept is None else _unpacked(station, kept)
    if found is None:
        found = _made(station, record, levels or _read(record, text), weather)
        cache.save(name, _packed(found))
    return found


def _made(station: Station, record: "RecordSource", read: "LevelRecord", weather: str) -> StationRecord:
    from harmonics.records.cleaning import residuals_of

    residuals = residuals_of(station, read.t, read.level, str(record.path))
    known = _its_weather(record, weather)
    return StationRecord(station, residuals) if known is None else answered(station, residuals, known)


def read_readings(record: "RecordSource") -> "tuple[Array, Array, Weather | None]":
    """A record as it is read: times (POSIX seconds), levels (metres), and the weather of its time.

    Raises:
        FileProblemsError: a file can't be read, or something in it is wrong.
    """
    read = read_level_record(record)
    weather = _weather_text(record)
    return read.t, read.level, _its_weather(record, weather)


def read_level_record(record: "RecordSource") -> "LevelRecord":
    """The levels of a record as they stand in its file, by the clock it states.

    Raises:
        FileProblemsError: the file can't be read, or something in it is wrong.
    """
    return _read(record, read_text(record.path, LEVELS))


def _weather_text(record: "RecordSource") -> str:
    if record.weather is None:
        return ""
    from harmonics.records.weather import WEATHER

    return read_text(record.weather, WEATHER)


def _read(record: "RecordSource", text: str) -> "LevelRecord":
    from harmonics.records.reader import parse_record
    from harmonics.records.record_clock import with_fallback

    return with_fallback(
        lambda zone: parse_record(
            text,
            str(record.path),
            unit=record.unit,
            zone=zone,
            time_column=record.time_column,
            level_column=record.level_column,
        ),
        record.zone,
        record.fallback,
    )


def _its_weather(record: "RecordSource", text: str) -> "Weather | None":
    if record.weather is None:
        return None
    from harmonics.records.record_clock import with_fallback
    from harmonics.records.weather import parse_weather

    return with_fallback(lambda zone: parse_weather(text, str(record.weather), zone), None, record.fallback)


def answered(station: Station, residuals: Residuals, weather: Any) -> StationRecord:
    """A record with the response of its level to the weather of its time."""
    from harmonics.records.response import fit_response

    response = fit_response(residuals, weather)
    if response is None or not response.used:
        return StationRecord(station, residuals, response)
    explained = response.hourly(weather, residuals.start, len(residuals.level))
    return StationRecord(station, residuals, response, explained)


def _name(station: Station, record: "RecordSource", text: str, weather: str) -> str:
    constants = station.constants
    reading = (record.unit, record.zone, record.time_column, record.level_column, record.fallback)
    names = tuple(row.name for row in constants.constituents)
    digest = sha256(repr((METHOD, reading, names, station.practice.value, station.mean_level)).encode())
    for array in (constants.amplitude, constants.phase_lag):
        digest.update(np.ascontiguousarray(array).tobytes())
    for part in (text, weather):
        digest.update(sha256(part.encode()).digest())
    return digest.hexdigest()


def _packed(found: StationRecord) -> dict[str, Any]:
    done, response = found.residuals.cleaning, found.response
    arrays: dict[str, Any] = {
        "numbers": np.array([found.residuals.start, done.days, done.missing, done.zero]),
        "level": found.residuals.level,
        "kinds": np.array([flaw.kind for flaw in done.flaws], dtype=str),
        "flaws": np.array([(flaw.start, flaw.end, flaw.size) for flaw in done.flaws], dtype=float),
    }
    if response is not None:
        arrays["predictors"] = np.stack((response.centre, response.scale, response.weight))
        arrays["response"] = np.array(
            [response.pressure, response.wind, response.share, response.mean_pressure], dtype=float
        )
    if found.explained is not None:
        arrays["explained"] = found.explained
    return arrays


def _unpacked(station: Station, kept: dict[str, Any]) -> StationRecord | None:
    try:
        start, days, missing, zero = (float(value) for value in kept["numbers"])
        level = np.asarray(kept["level"], dtype=float)
        flaws = tuple(
            Flaw(str(kind), *(float(value) for value in numbers))
            for kind, numbers in zip(kept["kinds"], kept["flaws"].reshape(-1, 3), strict=True)
        )
        response = None
        if "response" in kept:
            pressure, wind, share, mean = (float(value) for value in kept["response"])
            centre, scale, weight = np.asarray(kept["predictors"], dtype=float)
            response = Response(centre, scale, weight, bool(pressure), bool(wind), share, mean)
    except (ValueError, KeyError, TypeError):
        return None
    residuals = Residuals(start, level, Cleaning(days, missing, zero, flaws))
    return StationRecord(station, residuals, response, kept.get("explained"))
