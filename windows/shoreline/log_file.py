"""What a file says of one's fish and trips: [[quarry]], [[rules]] and [log], read and checked."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from pydantic import Field

from harmonics.errors import Problem, ProblemList
from harmonics.files.checking import Table, checked
from harmonics.files.station_file import StationFile
from windows.shoreline.quarry import Quarry
from windows.shoreline.quarry_file import read_quarry
from windows.shoreline.rules import Rule
from windows.shoreline.rules_file import read_rules

TABLES = ("quarry", "rules", "log")


class LogTable(Table):
    """[log]."""

    path: Annotated[
        str,
        Field(
            min_length=1,
            max_length=1000,
            pattern=r"^[^\x00-\x1f\x7f]*$",
            description='a path such as "trips.db", beside the file or absolute',
        ),
    ]


@dataclass(frozen=True)
class LogPart:
    """The fish a file speaks of, its rules to keep fish by, and where trips are kept (None: not said)."""

    quarry: tuple[Quarry, ...] = ()
    rules: tuple[Rule, ...] = ()
    log: Path | None = None


def read_log_part(file: StationFile, problems: list[Problem]) -> LogPart:
    """These tables of a file; problems are added to the list."""
    found = ProblemList(str(file.path))
    tables = file.other_tables
    part = LogPart(
        read_quarry(tables.get("quarry", []), found),
        read_rules(tables.get("rules", []), found),
        _log(tables["log"], file.path.parent, found) if "log" in tables else None,
    )
    problems.extend(found)
    return part


def _log(table: object, folder: Path, problems: list[Problem]) -> Path | None:
    model = checked(LogTable, table, "log", problems)
    return None if model is None else folder / Path(model.path)
