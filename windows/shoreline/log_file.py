"""What a file says of one's fish and trips: [[quarry]], [[rules]] and [log], read and checked."""

from pathlib import Path
from typing import Annotated, NamedTuple

from pydantic import Field

from harmonics.files.checking import Table, checked
from harmonics.files.problems import Here, Problems
from harmonics.files.station_file import StationFile
from windows.shoreline.quarry import Quarry
from windows.shoreline.quarry_file import read_quarry
from windows.shoreline.rules import Rule
from windows.shoreline.rules_file import read_rules


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


class LogPart(NamedTuple):
    """The fish a file speaks of, its rules to keep fish by, and where trips are kept (None: not said)."""

    quarry: tuple[Quarry, ...]
    rules: tuple[Rule, ...]
    log: Path | None


def read_log_part(file: StationFile, problems: Problems) -> LogPart:
    """These tables of a file; what is wrong is added to the problems."""
    top, tables = Here("", problems), file.other_tables
    return LogPart(
        read_quarry(tables.get("quarry", []), top.at("quarry")),
        read_rules(tables.get("rules", []), top.at("rules")),
        _log(tables["log"], file.path.parent, top.at("log")) if "log" in tables else None,
    )


def _log(table: object, folder: Path, here: Here) -> Path | None:
    model = checked(LogTable, table, here)
    return None if model is None else folder / Path(model.path)
