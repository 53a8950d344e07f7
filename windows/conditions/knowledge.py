"""What a shore's files tell beyond astronomy: today's readings, records, weather."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from harmonics.stations.types import Station, TideStation, primary_of
from windows.conditions.outlook import Outlook
from windows.conditions.todays_water import Reading, departures
from windows.shoreline.shore import Shore

if TYPE_CHECKING:
    from harmonics.records.store import StationRecord
    from harmonics.records.weather import Weather


def outlook_of(
    shore: Shore,
    stations: Sequence[TideStation],
    now: float,
    observed: Path | Reading | None = None,
    weather: Path | None = None,
) -> Outlook:
    """What is known beyond astronomy at some stations of a shore.

    Args:
        shore: whose file may name readings, records and weather.
        stations: those that matter.
        now: the clock, POSIX seconds.
        observed: a reading, or a file of readings, for the only one of them; None for the file's own.
        weather: a file of weather; None for the file's own.

    Raises:
        FileProblemsError: a file can't be read, or something in it is wrong.
        EbblightError: readings or a record make no sense.
    """
    return Outlook(
        now,
        departures(shore, stations, observed, now),
        records_of(shore, stations),
        weather_of(shore, weather),
    )


def records_of(shore: Shore, stations: Sequence[TideStation]) -> "dict[str, StationRecord]":
    """What the stations' records tell, by id of station with constituents; errors as for `outlook_of`."""
    wanted: dict[str, Station] = {primary.id: primary for primary in map(primary_of, stations)}
    named = {name: shore.records[name] for name in wanted if name in shore.records}
    if not named:
        return {}
    from harmonics.records.store import read_station_record

    return {name: read_station_record(wanted[name], source) for name, source in named.items()}


def weather_of(shore: Shore, given: Path | None = None) -> "Weather | None":
    """The weather of a file that is given, or that the shore's names; errors as for `outlook_of`.

    A clock that states no zone is the shore's. Where the file does not say when its forecast was made, that
    is when it was last written.
    """
    source = shore.weather
    path = given if given is not None else None if source is None else source.path
    if path is None:
        return None
    from harmonics.records.record_clock import with_fallback
    from harmonics.records.weather_store import read_known_weather

    zone = source.zone if source is not None and given is None else None
    found = with_fallback(lambda clock: read_known_weather(path, clock), zone, shore.head.zone)
    return found if found.made is not None else replace(found, made=path.stat().st_mtime)
