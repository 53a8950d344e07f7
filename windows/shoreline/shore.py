"""A whole shoreline read from one file, and checked."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from windows.shoreline.head import Head
from windows.shoreline.outings import OutingPart
from windows.shoreline.whole import Shore

if TYPE_CHECKING:
    from harmonics.files.problems import Problems
    from harmonics.files.station_file import StationFile
    from windows.shoreline.quarry import Quarry
    from windows.shoreline.rules import Rule
    from windows.shoreline.weather_file import WeatherSource

__all__ = ["OTHER_TABLES", "Shore", "read_possible_shore", "read_shore"]

_OF_THE_LOG = ("quarry", "rules", "log")
_OF_DAYS_OUT = ("landings", "boat", "ways", "outing")
OTHER_TABLES = ("spots", "fishing", "banks", "weather", *_OF_THE_LOG, *_OF_DAYS_OUT)
"""Top-level tables of a file beside those of its stations."""


def read_shore(path: Path) -> Shore:
    """Read and check a whole file; what reads well and yet can't be so is told by its `doubts`.

    Raises:
        FileProblemsError: with every problem of stations, currents, spots and preferences at once.
    """
    from harmonics.files.problems import Problems
    from harmonics.files.station_file import collect_stations
    from windows.shoreline.plausible import impossible
    from windows.shoreline.plausible.said import problem_of

    problems = Problems(path)
    file = collect_stations(path, OTHER_TABLES, problems)
    if file is None:
        raise problems.error()
    shore = _shore_of(file, problems)
    if problems:
        raise problems.error()
    found = impossible(shore, file.own_tables)
    return replace(shore, doubts=tuple(problem_of(finding, shore.head.units) for finding in found))


def _shore_of(file: "StationFile", problems: "Problems") -> Shore:
    """All that a file says; what reads its rarer tables is loaded where there are any."""
    from windows.shoreline.spot_file import read_spots

    tables = file.other_tables
    weather: WeatherSource | None = None
    quarry: tuple[Quarry, ...] = ()
    rules: tuple[Rule, ...] = ()
    log: Path | None = None
    if "weather" in tables:
        from windows.shoreline.weather_file import read_weather_source

        weather = read_weather_source(file, problems)
    if tables.keys() & _OF_THE_LOG:
        from windows.shoreline.log_file import read_log_part

        quarry, rules, log = read_log_part(file, problems)
    spots, banks = read_spots(file, quarry, problems)
    out = OutingPart()
    if tables.keys() & _OF_DAYS_OUT:
        from windows.shoreline.outing_file import read_outing

        out = read_outing(file, spots, banks, problems)
    return Shore(
        file.path,
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
        quarry=quarry,
        rules=rules,
        log=log,
    )


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
