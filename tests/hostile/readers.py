"""Every parser that meets what people or other programs wrote, and what each may do with it.

A parser takes the bytes or gives a FileProblemsError that names the file, on lines that print; a parser of
one value raises ValueError; the command ends with status 0, 1 or 2. Nothing else is right.
"""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta, timezone
from functools import partial
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
from tests.cli.runs import NOW, REPOSITORY, run
from tests.hostile.mutations import mutated
from tests.hostile.seeds import (
    CONSTITUENT_TABLES,
    CURRENTS,
    EVERY_KEY,
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
from windows.log.storage import SqliteStore
from windows.shoreline.hours import parse_duration, parse_hours
from windows.shoreline.outing_file import parse_day_time, parse_longest
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
Case = Callable[[Random, Path], None]
"""Tries one case in a folder of its own; raises whatever the parser should not have raised."""


@dataclass(frozen=True)
class Reader:
    """A parser with its name and its cases."""

    name: str
    case: Case


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


def _value(random: Random, _: Path) -> None:
    text = mutated(VALUES, random).decode("utf-8", "surrogateescape")
    dated = partial(start_time, zone=ZoneInfo("Europe/London"), now=NOW, planned=False)
    parsers = (parse_hours, parse_duration, parse_lead, parse_session, parse_way, dated)
    others = (parse_day_time, parse_longest, parse_length, parse_season, parse_temperature, parse_wind)
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


ARGUMENTS = (
    *(
        "--start",
        "--days",
        "--step",
        "--station",
        "--spot",
        "--format",
        "--units",
        "--zone",
        "--phase",
        "--utc-offset",
    ),
    *(
        "--first-year",
        "--above",
        "--latitude",
        "--mean-level",
        "--id",
        "--name",
        "--constituents",
        "-o",
        "--observed",
    ),
    *(
        "--trend",
        "--plain",
        "--help",
        "--",
        "-",
        "",
        "--days=2",
        "-h",
        "--level-column",
        "--reference",
        "--home-by",
        "--from",
        "--day",
        "--mix",
    ),
)
ARGUMENT_VALUES = (
    *(
        "2026-08-10",
        "9999-12-31",
        "0000-00-00",
        "2026-02-30",
        "1e3",
        "nan",
        "inf",
        "-1",
        "0",
        "3",
        "6min",
        "0h",
        "25h",
    ),
    *(
        "١min",
        "pier",
        "ledge",
        "../x",
        "a\x1b[31m",
        "\udc80",
        "M2,,S2",
        ",",
        "M2",
        "UTC",
        "Europe/Atlantis",
        "csv",
    ),
    *(
        "9" * 5000,
        "x" * 5000,
        "metres",
        "feet",
        "local",
        "mllw",
        "1983",
        "2900",
        "-90",
        "1e400",
        "\n",
        "£",
        "/",
    ),
)
COMMANDS = ("tides", "levels", "currents", "sky", "check", "datums", "plan", "import", "fit", "wee", "")
LOG_COMMANDS = ("add", "edit", "list", "report", "learn", "export", "import", "lis")
LOG_ARGUMENTS = (
    *(
        "--start",
        "--end",
        "--spot",
        "--anglers",
        "--kept",
        "--released",
        "--sought",
        "--measured",
        "--fished",
    ),
    *("--turned-out", "--drift", "--lead", "--temperature", "--wind", "--words", "--quarry", "--nothing"),
    *("--planned", "--remove", "--restore", "--compute", "--since", "--last", "--species", "--removed"),
    *("--permutations", "--with-later", "--write", "--format"),
)
LOG_VALUES = (
    *(
        "2026-08-09 17:30",
        "20:15",
        "ledge",
        "2",
        "flounder 38@18:40 x2",
        "bass",
        "fork",
        "1h30min",
        "0.8@18:20",
    ),
    *(
        "6oz",
        "18C",
        "12kn SW",
        "x" * 3000,
        "25:00",
        "99999999999999999999",
        "flounder 1e9",
        "\x1b[31m",
        "0.8@99:99",
    ),
    *("json", "svg", "csv", "0", "99", "1"),
)


SEEDS_OF = {"import": IMPORTS, "fit": RECORDS}


def _command(random: Random, folder: Path) -> None:
    """Arguments at random, on a good file or on a hostile one."""
    path = folder / "shore.toml"
    command = random.choice(COMMANDS)
    seeds = SEEDS_OF.get(command, (EVERY_KEY,))
    path.write_bytes(random.choice(seeds) if random.random() < 0.5 else mutated(seeds, random))
    (folder / "table.csv").write_bytes(CONSTITUENT_TABLES[0])
    arguments: list[str] = [command, str(path)]
    for _ in range(random.randrange(4)):
        arguments.append(random.choice(ARGUMENTS))
        if random.random() < 0.8:
            arguments.append(random.choice(ARGUMENT_VALUES))
    if any(word.startswith("-o") for word in arguments):
        arguments = [word if word != "-o" else "-o" + str(folder / "out.txt") for word in arguments]
    result = run(*arguments)
    assert result.code in (0, 1, 2)
    assert "Traceback" not in result.err
    if result.code:
        assert result.out == ""
        assert result.err.strip()


def _log_command(random: Random, folder: Path) -> None:
    """As `_command`, for the log, which lies in the case's own folder."""
    path = folder / "shore.toml"
    seeds = (EVERY_KEY,)
    path.write_bytes(EVERY_KEY if random.random() < 0.7 else mutated(seeds, random))
    (folder / "table.csv").write_bytes(CONSTITUENT_TABLES[0])
    (folder / "trips.csv").write_bytes(mutated(TRIPS, random))
    with SqliteStore(folder / "trips.db", create=True) as store:
        store.add(FULL)
    command = random.choice(LOG_COMMANDS)
    files = ["trips.csv", "shore.toml"] if command == "import" else ["shore.toml"]
    arguments = [
        "log",
        command,
        *(str(folder / name) for name in files),
        *(["1"] if command == "edit" else []),
    ]
    if random.random() < 0.6 and command == "add":
        arguments += ["--start", "2026-08-09 17:30", "--end", "20:15", "--nothing"]
    for _ in range(random.randrange(4)):
        arguments.append(random.choice(LOG_ARGUMENTS))
        if random.random() < 0.8:
            arguments.append(random.choice((*LOG_VALUES, *ARGUMENT_VALUES)))
    result = run(*arguments, "--log", folder / "trips.db")
    assert result.code in (0, 1, 2)
    assert "Traceback" not in result.err
    if result.code:
        assert result.out == ""
        assert result.err.strip()


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
    Reader("command", _command),
    Reader("command of the log", _log_command),
)


def try_case(reader: Reader, seed: int, folder: Path) -> None:
    """One case of a reader: the same for the same seed."""
    reader.case(Random(f"{reader.name}:{seed}"), folder)
