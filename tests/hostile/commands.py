"""Commands with arguments at random, on good files and on hostile ones."""

from pathlib import Path
from random import Random

from tests.cli.runs import run
from tests.hostile.mutations import mutated
from tests.hostile.seeds import (
    CONSTITUENT_TABLES,
    EVERY_KEY,
    IMPORTS,
    RECORDS,
    TRIPS,
    WEATHERS,
)
from tests.windows.log.made_trips import FULL
from windows.log.storage import SqliteStore

ARGUMENTS = [
    "",
    *(
        "--start --days --step --station --spot --format --units --zone --phase --utc-offset --first-year "
        "--above --latitude --mean-level --id --name --constituents -o --observed --trend --plain --help "
        "-- - --days=2 -h --level-column --reference --home-by --from --day --mix"
    ).split(),
]
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
    "--start --end --spot --anglers --kept --released --sought --measured --fished --turned-out "
    "--drift --lead --temperature --wind --words --quarry --nothing --planned --remove --restore "
    "--compute --since --last --species --removed --permutations --with-later --write --format"
).split()
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


def command_case(random: Random, folder: Path) -> None:
    """Arguments at random, on a good file or on a hostile one."""
    path = folder / "shore.toml"
    name = random.choice(COMMANDS)
    seeds = SEEDS_OF.get(name, (EVERY_KEY,))
    path.write_bytes(random.choice(seeds) if random.random() < 0.5 else mutated(seeds, random))
    (folder / "table.csv").write_bytes(CONSTITUENT_TABLES[0])
    arguments: list[str] = [name, str(path)]
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


def log_command_case(random: Random, folder: Path) -> None:
    """As `command_case`, for the log, which lies in the case's own folder."""
    path = folder / "shore.toml"
    seeds = (EVERY_KEY,)
    path.write_bytes(EVERY_KEY if random.random() < 0.7 else mutated(seeds, random))
    (folder / "table.csv").write_bytes(CONSTITUENT_TABLES[0])
    (folder / "trips.csv").write_bytes(mutated(TRIPS, random))
    with SqliteStore(folder / "trips.db", create=True) as store:
        store.add(FULL)
    name = random.choice(LOG_COMMANDS)
    files = ["trips.csv", "shore.toml"] if name == "import" else ["shore.toml"]
    arguments = [
        "log",
        name,
        *(str(folder / name) for name in files),
        *(["1"] if name == "edit" else []),
    ]
    if random.random() < 0.6 and name == "add":
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


PLACE = ("--name", "Old pier", "--latitude", "50.12", "--longitude", "-5.22")
GOOD = {
    "week": ("--spot", "ledge", "--days", "2"),
    "best": ("--days", "2"),
    "compare": ("--days", "2"),
    "now": (),
    "prove": ("--station", "pier"),
    "add spot": (*PLACE, "--station", "pier"),
    "add station": (
        "--table",
        "table.csv",
        "--name",
        "Old pier",
        "--latitude",
        "50",
        "--longitude",
        "-5",
        "--datum",
        "CD",
        "--mean-level",
        "2",
        "--units",
        "metres",
    ),
    "add bank": (*PLACE, "--station", "pier", "--bare-below", "1"),
    "add landing": PLACE,
    "add boat": ("--speed-kn", "5", "--draft", "1"),
    "add way": ("--from", "ramp", "--to", "ledge", "--minutes", "10"),
    "new": (
        "--station-name",
        "Pier",
        "--latitude",
        "50.1",
        "--longitude",
        "-5.2",
        "--datum",
        "CD",
        "--mean-level",
        "2",
        "--time-zone",
        "Europe/London",
        "--spot",
        "Pier",
        "--phase",
        "greenwich",
        "--units",
        "metres",
        "--table-units",
        "metres",
    ),
}
"""Arguments that some commands do with; the case changes some of them."""
READ_ARGUMENTS = ("--observed", "--reading", "--weather", *(word for word in ARGUMENTS if word != "-o"))
"""None that names a file to write: one would lie where the tests run."""
FILE_VALUES = ("Old pier", "50 6.3 N", "1.5", "weather.csv", "readings.csv", "2.4@17:30", "2,4", "12kn")


def file_command_case(random: Random, folder: Path) -> None:
    """Forecasts, and commands that write a shore's file: a refusal leaves what was there, byte for byte."""
    path, table = folder / "shore.toml", folder / "table.txt"
    plain = EVERY_KEY.replace(b'observed = "readings.csv"\n', b"")
    path.write_bytes(plain if random.random() < 0.7 else mutated((EVERY_KEY, plain), random))
    (folder / "table.csv").write_bytes(CONSTITUENT_TABLES[0])
    (folder / "readings.csv").write_bytes(mutated(RECORDS, random))
    (folder / "weather.csv").write_bytes(mutated(WEATHERS, random))
    table.write_bytes(random.choice(IMPORTS) if random.random() < 0.5 else mutated(IMPORTS, random))
    name = random.choice(tuple(GOOD))
    given = [str(folder / word) if word.endswith(".csv") else word for word in GOOD[name]]
    options = [word for word in given if word.startswith("--")]
    for _ in range(random.choice((0, 0, 1, 1, 2, 3))):
        value = random.choice((*FILE_VALUES, *ARGUMENT_VALUES))
        if options and random.random() < 0.7:
            place = given.index(random.choice(options))
            given[place + 1] = value
        else:
            given += [random.choice(READ_ARGUMENTS), value]
    files = [str(table), "-o", str(folder / "made")] if name == "new" else [str(path)]
    before = contents_of(folder)
    result = run(*name.split(), *files, *given)
    assert result.code in (0, 1, 2)
    assert "Traceback" not in result.err
    if result.code:
        assert result.err.strip()
        assert contents_of(folder) == before, "something written by a command that was refused"


def contents_of(folder: Path) -> dict[str, bytes]:
    """Every file under a folder but locks."""
    return {str(path): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}
