"""How soon the command answers, beside what Python needs to import its libraries; and what it leaves alone.

Run with --benchmark-enable. Here only what is imported is asserted, never a time.
"""

import re
import subprocess
import sys
from importlib.util import find_spec

import pytest

from tests.bench.cold import COMMAND, REPOSITORY, best_cold, environment

DEMO = "demo_stations/pellaway_sound.toml"
WEEK = ("week", DEMO, "--spot", "railway-groyne", "--start", "2026-08-10")
TIDES = ("tides", DEMO, "--station", "gannet-bar", "--start", "2026-08-10")
IMPORT_CLICK = (sys.executable, "-c", "import click")
IMPORT_NUMPY = (sys.executable, "-c", "import numpy, click")
OF_RECORDS = {f"harmonics.records.{name}" for name in ("reader", "store", "scenarios", "weather")}
OF_RARER_TABLES = {
    *(f"windows.shoreline.{name}" for name in ("rules", "quarry", "exposure", "log_file", "weather_file")),
    *("harmonics.files.record_source", "harmonics.records.observed", "windows.forecast.foreseen"),
    *("harmonics.stations.currents", "harmonics.stations.inlet"),
}
"""What a file has a use for that speaks of fish, rules, weather, readings, records, currents or inlets."""
UNUSED = {
    ("--help",): {"numpy", "pandas", "skyfield", "astral", "pydantic", "rich", "jinja2", "icalendar"},
    WEEK: {"pandas", "astral", "jinja2", "icalendar", "concurrent", "multiprocessing", "difflib"}
    | OF_RECORDS
    | OF_RARER_TABLES,
    TIDES: {"pandas", "astral", "jinja2", "icalendar", "concurrent", "multiprocessing"},
}
"""What a run has no use for: machine formats, pages, calendars, processes; records where none is named."""


def test_what_must_not_be_imported_exists():
    """A name that has moved would never be found among what is imported."""
    assert [name for names in UNUSED.values() for name in names if find_spec(name) is None] == []


@pytest.mark.parametrize("arguments", UNUSED, ids=lambda arguments: arguments[0])
def test_nothing_is_imported_that_is_not_used(arguments, bytecode):
    finished = subprocess.run(
        [sys.executable, "-X", "importtime", *COMMAND[1:], *arguments],
        capture_output=True,
        text=True,
        check=True,
        cwd=REPOSITORY,
        env=environment(bytecode),
    )
    names = re.findall(r"^import time: .*\|\s+(\S+)", finished.stderr, flags=re.MULTILINE)
    found = {*names, *(name.partition(".")[0] for name in names)}
    assert {"click", "windows"} <= found
    assert found & UNUSED[arguments] == set()


def test_answers_beside_bare_imports(ratio_table, bytecode):
    if not ratio_table.enabled:
        return
    pairs = [
        ("ebblight --help, cold", (*COMMAND, "--help"), "import click", IMPORT_CLICK),
        ("ebblight week --help, cold", (*COMMAND, "week", "--help"), "import click", IMPORT_CLICK),
        ("ebblight tides, cold", (*COMMAND, *TIDES), "import numpy, click", IMPORT_NUMPY),
        ("ebblight check, cold", (*COMMAND, "check", DEMO), "import numpy, click", IMPORT_NUMPY),
    ]
    for what, ours, peer, theirs in pairs:
        own, other = best_cold([ours, theirs], bytecode)
        ratio_table.record(what, own, peer, other)
