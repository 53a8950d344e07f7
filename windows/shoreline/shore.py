"""A whole shoreline read from one file, and checked."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from windows.shoreline.head import Head
from windows.shoreline.spots import Bank, Spot
from windows.shoreline.whole import Shore

if TYPE_CHECKING:
    from windows.shoreline.weather_file import WeatherSource

__all__ = ["OTHER_TABLES", "Shore", "read_possible_shore", "read_shore"]

OTHER_TABLES = (
    *("spots", "fishing", "banks", "weather"),
    *("quarry", "rules", "log"),
    *("landings", "boat", "ways", "outing"),
)
"""Top-level tables of a file beside those of its stations."""


def read_shore(path: Path) -> Shore:
    """Read and check a whole file; what reads well and yet can't be so is told by its `doubts`.

    Raises:
        FileProblemsError: with every problem of stations, currents, spots and preferences at once.
    """
    from harmonics.files.problems import Problems
    from harmonics.files.station_file import collect_stations
    from windows.shoreline import log_file, outing_file
    from windows.shoreline.plausible import impossible
    from windows.shoreline.plausible.said import problem_of
    from windows.shoreline.spot_file import read_spots
    from windows.shoreline.weather_file import read_weather_source

    problems = Problems(path)
    file = collect_stations(path, OTHER_TABLES, problems)
    spots: tuple[Spot, ...] = ()
    banks: tuple[Bank, ...] = ()
    weather: WeatherSource | None = None
    kept = log_file.LogPart()
    out = outing_file.OutingPart()
    if file is not None:
        weather = read_weather_source(file, problems)
        kept = log_file.read_log_part(file, problems)
        spots, banks = read_spots(file, kept.quarry, problems)
        out = outing_file.read_outing(file, spots, banks, problems)
    if file is None or problems:
        raise problems.error()
    shore = Shore(
        path,
        Head(file.title, file.invented, file.zone, file.units),
        stations=file.stations,
        currents=file.currents,
        spots=spots,
        observed=file.observed,
        records=file.records,
        weather=weather,
        banks=banks,
        landings=out.landings,
        boat=out.boat,
        ways=out.ways,
        outing=out.outing,
        quarry=kept.quarry,
        rules=kept.rules,
        log=kept.log,
    )
    found = impossible(shore, file.own_tables)
    return replace(shore, doubts=tuple(problem_of(finding, shore.head.units) for finding in found))


def read_possible_shore(path: Path) -> Shore:
    """As `read_shore`, of a file that is checked or about to be written.

    Raises:
        FileProblemsError: as there; where there is none, with all that can't be so.
    """
    from harmonics.errors import FileProblemsError

    shore = read_shore(path)
    if shore.doubts:
        raise FileProblemsError(str(path), shore.doubts)
    return shore
