"""Every parser that meets what people or other programs wrote, and what each may do with it.

A parser takes the bytes or gives a FileProblemsError that names the file, on lines that print; a parser of
one value raises ValueError; the command ends with status 0, 1 or 2. Nothing else is right.
"""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta, timezone
from functools import cache, partial
from pathlib import Path
from random import Random
from zoneinfo import ZoneInfo

from harmonics.errors import FileProblemsError
from harmonics.files.agency_tables import TableOptions, read_published
from harmonics.files.constituent_tables import constants_of, rows_of_csv
from harmonics.files.problems import MOST_PROBLEMS, Here, Problems
from harmonics.files.published.statements import Fact
from harmonics.files.published.units import PhaseKind, TableUnit
from harmonics.records.current_reader import read_currents
from harmonics.records.reader import read_record
from harmonics.records.weather import read_weather
from harmonics.units import LengthUnit
from tests.cli.runs import NOW, REPOSITORY
from tests.hostile.commands import command_case, file_command_case, log_command_case
from tests.hostile.mutations import mutated
from tests.hostile.page_cases import address_case, form_case, upload_case
from tests.hostile.seeds import (
    CONSTITUENT_TABLES,
    CURRENTS,
    IMPORTS,
    RECORDS,
    STATION_FILES,
    TRIPS,
    VALUES,
    WEATHERS,
)
from tests.windows.log.made_trips import FULL
from windows.log.entry import parse_wind
from windows.log.errors import LogError
from windows.log.exchange import written
from windows.log.importing import Background, read_trips
from windows.log.moments import start_time
from windows.log.read_off import read_off
from windows.log.storage import SqliteStore
from windows.shoreline.head import Head
from windows.shoreline.hours import parse_duration, parse_hours
from windows.shoreline.outing_file import parse_day_time, parse_longest, parse_margin
from windows.shoreline.preferences_file import parse_lead, parse_session, parse_way
from windows.shoreline.quarry_file import parse_temperature
from windows.shoreline.rules_file import parse_length, parse_season
from windows.shoreline.shore import read_shore

LONGEST_MESSAGE = MOST_PROBLEMS * 1200
"""Characters: every problem a line, and the longest lists the keys of a table."""
ZONES = (
    *(None, None, None),
    ZoneInfo("UTC"),
    ZoneInfo("Europe/London"),
    ZoneInfo("America/Chicago"),
    timezone(timedelta(hours=3)),
)
UNITS = (None, None, None, LengthUnit.FEET, LengthUnit.METRES)
PAGES = 8
"""Cases of the local pages that the tests try: each makes several pages and reads what they wrote."""
Case = Callable[[Random, Path], None]
"""Tries one case in a folder of its own; raises whatever the parser should not have raised."""


@dataclass(frozen=True)
class Reader:
    """A parser with its name and its cases.

    Attributes:
        name: for the table.
        case: tries one.
        few: how many the tests try each time.
    """

    name: str
    case: Case
    few: int = 30


def checked_error(error: FileProblemsError, path: Path) -> None:
    """What every refusal of a file holds."""
    first, *others = str(error).split("\n")
    assert str(path.parent) in first
    assert len(others) == len(error.problems) > 0
    assert all(line.isprintable() for line in (first, *others))
    assert len(str(error)) < LONGEST_MESSAGE, f"a message of {len(str(error))} characters"


def _of_file(name: str, seeds: tuple[bytes, ...], read: Callable[[Path, Random], object]) -> Case:
    def case(random: Random, folder: Path) -> None:
        path = folder / name
        path.write_bytes(mutated(seeds, random))
        try:
            read(path, random)
        except FileProblemsError as error:
            checked_error(error, path)

    return case


def _constituents(path: Path, random: Random) -> None:
    problems = Problems(path)
    here = Here("stations[0].constituents", problems)
    rows = rows_of_csv(path, here)
    offset = random.choice((None, -6.0))
    found = None if rows is None else constants_of(rows, here, 0.3048, offset)
    assert (found is None) == bool(problems)
    if problems:
        raise problems.error()


def _record(path: Path, random: Random) -> None:
    record = read_record(path, zone=random.choice(ZONES), unit=random.choice(UNITS))
    assert len(record.t) == len(record.level) > 0
    assert (record.t[1:] > record.t[:-1]).all(), "times out of order"


def _currents(path: Path, random: Random) -> None:
    record = read_currents(path, zone=random.choice(ZONES))
    assert len(record.t) == len(record.east) == len(record.north) > 0
    assert (record.t[1:] > record.t[:-1]).all(), "times out of order"


def _weather(path: Path, random: Random) -> None:
    found = read_weather(path, random.choice(ZONES))
    assert found.values
    assert all(len(values) == len(found.t) > 0 for values in found.values.values())
    assert (found.t[1:] > found.t[:-1]).all(), "times out of order"


def _imported(path: Path, random: Random) -> None:
    read_published(
        path,
        TableOptions(
            random.choice((None, None, *TableUnit)),
            random.choice((None, PhaseKind.LOCAL, PhaseKind.GREENWICH)),
            random.choice((None, -6.0, 99.0)),
            random.choice((None, -71.0)),
            {Fact.FLOOD: random.choice((None, 30.0)), Fact.ACROSS: random.choice((None, 120.0))},
        ),
    )


@cache
def _head() -> Head:
    return read_shore(REPOSITORY / "demo_stations" / "skerrow_strand.toml").head


def _value(random: Random, _: Path) -> None:
    text = mutated(VALUES, random).decode("utf-8", "surrogateescape")
    dated = partial(start_time, zone=ZoneInfo("Europe/London"), now=NOW, planned=False)
    parsers = (parse_hours, parse_duration, parse_lead, parse_session, parse_way, dated)
    read = partial(read_off, head=_head(), now=NOW)
    others = (
        read,
        parse_day_time,
        parse_longest,
        parse_margin,
        parse_length,
        parse_season,
        parse_temperature,
        parse_wind,
    )
    for parse in (*parsers, *others):
        try:
            parse(text)
        except ValueError as error:
            assert str(error) and "int()" not in str(error)


def _trips(path: Path, random: Random) -> None:
    zone = random.choice((None, "Europe/London"))
    for trip in read_trips(path, Background("A shore", zone, {"ledge": "Ledge"}, NOW)):
        assert trip.end > trip.start
        assert written([trip])


def _log(random: Random, folder: Path) -> None:
    """A log with bytes of it changed: refused by name, or read as whole trips."""
    path = folder / "trips.db"
    with SqliteStore(path, create=True) as store:
        store.add(FULL)
    content = bytearray(path.read_bytes())
    for _ in range(random.randint(1, 40)):
        content[random.randrange(len(content))] = random.randrange(256)
    path.write_bytes(content[: random.choice((len(content), random.randrange(len(content))))])
    try:
        with SqliteStore(path) as store:
            store.trips(removed=True)
    except LogError as error:
        assert str(path) in str(error)
        assert str(error).isprintable()


def _table_beside(path: Path, random: Random) -> None:
    """A whole file whose constituent table, too, may be hostile."""
    table = path.with_name("table.csv")
    table.write_bytes(mutated(CONSTITUENT_TABLES, random) if random.random() < 0.5 else CONSTITUENT_TABLES[0])
    for demo in (REPOSITORY / "demo_stations").glob("*.csv"):
        if not path.with_name(demo.name).exists():
            shutil.copy(demo, path.parent)
    read_shore(path)


READERS = (
    Reader("station file", _of_file("shore.toml", STATION_FILES, _table_beside)),
    Reader("constituent table", _of_file("table.csv", CONSTITUENT_TABLES, _constituents)),
    Reader("levels", _of_file("levels.csv", RECORDS, _record)),
    Reader("currents", _of_file("currents.csv", CURRENTS, _currents)),
    Reader("weather", _of_file("weather.csv", WEATHERS, _weather)),
    Reader("imported table", _of_file("published.txt", IMPORTS, _imported)),
    Reader("values", _value),
    Reader("trips", _of_file("trips.csv", TRIPS, _trips)),
    Reader("log", _log),
    Reader("command", command_case),
    Reader("command of the log", log_command_case),
    Reader("command of a file", file_command_case),
    Reader("form of a page", form_case, PAGES),
    Reader("upload to a page", upload_case, PAGES),
    Reader("address of a page", address_case, PAGES),
)


def try_case(reader: Reader, seed: int, folder: Path) -> None:
    """One case of a reader: the same for the same seed."""
    reader.case(Random(f"{reader.name}:{seed}"), folder)
