"""A shore with a log and invented rules, and trips kept there by the command."""

from pathlib import Path

from tests.cli.runs import NOW, done
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, written
from windows.log.storage import SqliteStore
from windows.log.trips import Trip

DAY = 86400.0
LOG = '[log]\npath = "kept/trips.db"\n'
RULES = """
[[rules]]
species = "Flounder"
least_length = "35cm"
measured = "fork"
bag = 2
source = "an invented notice"
checked = 2026-08-01

[[rules]]
species = "Bass"
checked = 2025-08-09
"""
"""Invented; the second was checked 366 days before NOW."""
YESTERDAY = ("--start", "2026-08-09 17:30", "--end", "20:15")


def shore_of(folder: Path) -> Path:
    """The file, in a folder that the log lies in too."""
    return written(folder, head("Europe/London"), SIMPLE_STATION, SIMPLE_SPOT, LOG, RULES)


def kept(shore: Path, removed: bool = False) -> tuple[Trip, ...]:
    with SqliteStore(shore.parent / "kept" / "trips.db") as store:
        return store.trips(removed)


def added(shore: Path, *options: object, now: float = NOW) -> Trip:
    """A trip kept by the command."""
    done("log", "add", shore, *options, now=now)
    return kept(shore)[-1]
