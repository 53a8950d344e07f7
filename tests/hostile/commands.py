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
