"""Files of readings, read as forecasts read them before they are taken: what they hold, in sentences."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from harmonics.arrays import Array
from harmonics.errors import Problem
from harmonics.stations.types import primary_of
from harmonics.units import HOUR
from windows.conditions.knowledge import weather_of
from windows.conditions.todays_water import departures
from windows.render.words import named_files as words
from windows.render.words.phrases import words_of
from windows.shoreline.named_files import Named, NamedFile
from windows.shoreline.shore import Shore

WHERE_IN_FILES = ("file", "line ", "column ", "header", "columns ", "forecast_reference_time")
"""How readers of such files begin the place of a problem."""
_TELLING = (
    ("units", "no unit; "),
    ("units", "the unit "),
    ("zone", "; the zone "),
    ("time_column", "one column of times"),
    ("level_column", "which of them told (level_column)"),
)
"""The field that says what a file leaves open, by what its reader then finds or expects."""


def held(shore: Shore, item: NamedFile, now: float, sent: Path | None = None) -> tuple[str, ...]:
    """What a named file holds, a sentence each.

    Args:
        shore: a station file that names it.
        item: which one.
        now: the clock, POSIX seconds.
        sent: where it is, if not yet under the name that the station file gives it.

    Raises:
        FileProblemsError: it can't be read, or something in it is wrong.
        EbblightError: it makes no sense for the station.
    """
    if item.station is None:
        if sent is not None and shore.weather is not None:
            shore = replace(shore, weather=shore.weather._replace(path=sent))
        weather = weather_of(shore)
        return () if weather is None else words.weather_lines(weather, words_of(shore.head))
    if item.kind is Named.READINGS:
        return _readings(shore, item.station, now, sent)
    return _record(shore, item, item.station, sent)


def _readings(shore: Shore, place: int, now: float, sent: Path | None) -> tuple[str, ...]:
    from harmonics.records.reader import read_record
    from harmonics.records.record_clock import with_fallback

    station, read = shore.stations[place], words_of(shore.head)
    path = sent or shore.observed[station.id]
    found = departures(shore, [station], path, now)
    levels = with_fallback(lambda clock: read_record(path, zone=clock), None, shore.head.zone)
    return (
        *words.levels_lines(levels, read),
        *words.readings_lines(found.get(station.id), now, read),
    )


def _record(shore: Shore, item: NamedFile, place: int, sent: Path | None) -> tuple[str, ...]:
    from harmonics.records.store import read_level_record, read_station_record

    station, read = shore.stations[place], words_of(shore.head)
    source = shore.records[station.id]
    if sent is not None:
        mine = item.kind is Named.RECORD
        source = source._replace(path=sent) if mine else source._replace(weather=sent)
    levels = read_level_record(source)
    found = read_station_record(primary_of(station), source, levels)
    away = found.residuals.level
    told = words.record_lines(found, float(np.nanstd(away)), _longest_gap(away), read)
    if item.kind is Named.RECORD or source.weather is None:
        return (*words.levels_lines(levels, read), *told)
    weather = weather_of(shore, source.weather)
    return (*(() if weather is None else words.weather_lines(weather, read)), words.response_line(found))


def _longest_gap(hourly: Array) -> float:
    """Seconds of the longest run of hours without a value."""
    known = np.flatnonzero(np.isfinite(hourly))
    return HOUR * float(np.max(np.diff(known), initial=1) - 1)


def placed(
    problems: Sequence[Problem], item: NamedFile, given: Mapping[str, str]
) -> dict[str, tuple[str, ...]]:
    """What is wrong in a file, by the key of the field that can put it right; under `file` what none can.

    Args:
        problems: of the file, or of its keys in the station file.
        item: which one.
        given: what stands in the form's fields, by key.
    """
    found: dict[str, tuple[str, ...]] = {}
    for problem in problems:
        key = _key(problem, item, given)
        key = key if key in given else "file" if key or problem.where == item.where else ""
        found[key] = (*found.get(key, ()), str(problem))
    return found


def _key(problem: Problem, item: NamedFile, given: Mapping[str, str]) -> str:
    """The key that a problem speaks of; empty where it is of another table."""
    if problem.where.startswith(f"{item.where}."):
        return problem.where.removeprefix(f"{item.where}.")
    if problem.where.startswith(WHERE_IN_FILES):
        asked = ((key, f"no column '{text.strip()}'; ") for key, text in given.items())
        said = f"{problem.found}; {problem.expected}"
        return next((key for key, words in (*asked, *_TELLING) if words in said), "file")
    return ""
