"""Runs of the command with a fixed clock, and station files to run it on."""

import csv
import io
import json
import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NamedTuple

from click.testing import CliRunner

from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head
from windows.cli import main
from windows.cli.options import Clock

REPOSITORY = Path(__file__).parents[2]
DEMOS = tuple(sorted((REPOSITORY / "demo_stations").glob("*.toml")))
NOW = datetime(2026, 8, 10, 9, 30, tzinfo=UTC).timestamp()
"""The clock of every run here, unless a test passes another."""
WIDTH = "100"


class Run(NamedTuple):
    """What a run left: exit status, standard output, standard error."""

    code: int
    out: str
    err: str


def run(*arguments: object, now: float = NOW, columns: str = WIDTH) -> Run:
    """The command in this process; an exception other than an exit is the test's failure."""
    result = CliRunner().invoke(
        main,
        [str(argument) for argument in arguments],
        obj=Clock(lambda: now),
        env={"COLUMNS": columns},
        catch_exceptions=False,
    )
    return Run(result.exit_code, result.stdout, result.stderr)


def done(*arguments: object, now: float = NOW, columns: str = WIDTH) -> str:
    """Standard output of a run that has to succeed and to say nothing beside it."""
    result = run(*arguments, now=now, columns=columns)
    assert result.code == 0, result.err
    assert result.err == ""
    return result.out


def rows(*arguments: object, now: float = NOW) -> list[dict[str, str]]:
    """The rows of a run as CSV."""
    return list(csv.DictReader(io.StringIO(done(*arguments, "--format", "csv", now=now))))


def document(*arguments: object, now: float = NOW) -> dict[str, Any]:
    """The JSON document of a run."""
    found = json.loads(done(*arguments, "--format", "json", now=now))
    assert isinstance(found, dict)
    return found


def refused(code: int, *arguments: object, now: float = NOW) -> str:
    """Standard error of a run that has to be refused with nothing on standard output."""
    result = run(*arguments, now=now)
    assert result.code == code, result
    assert result.out == ""
    assert result.err.strip()
    assert "Traceback" not in result.err
    return result.err


def checked(path: Path) -> bool:
    """Whether `check` finds a file good; else it must name every problem in words and say nothing else."""
    result = run("check", path)
    if result.code == 0:
        assert "no problems found" in result.out and result.err == ""
        return True
    assert (result.code, result.out) == (1, "")
    first, *problems = result.err.splitlines()
    assert first == f"ebblight: {path}: {len(problems)} problem{'s' * (len(problems) != 1)}"
    assert problems
    for line in problems:
        assert re.fullmatch(r"  \S.*: found .*; expected .+", line) and line.isprintable(), line
    return False


def utc(text: str) -> float:
    """POSIX seconds of a UTC time, as 2026-08-15 04:20 or 2026-08-15T04:20:11Z."""
    return datetime.fromisoformat(text.replace("Z", "+00:00")).replace(tzinfo=UTC).timestamp()


def posix(text: str) -> float:
    """POSIX seconds of a time with its offset."""
    moment = datetime.fromisoformat(text)
    assert moment.tzinfo is not None
    return moment.timestamp()


def contents(place: Path) -> dict[str, bytes]:
    """Files of a folder by name."""
    return {path.name: path.read_bytes() for path in place.iterdir()}


def fill(folder: Path, count: int) -> list[str]:
    """So many files of one spot each; their stems."""
    text = "".join((head("Europe/London"), SIMPLE_STATION, SIMPLE_SPOT))
    names = [f"coast{index:03d}" for index in range(count)]
    for name in names:
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return names
