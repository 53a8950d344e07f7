"""The problems of a file while it is read: where one stands, what was found there, what was expected.

A reader passes on a `Here`, the place in the file that it reads, instead of a list and a key path:
`here.at("flow").say(found, expected)` reports a problem of `spots[0].flow`.
"""

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple, TypeVar

from harmonics.errors import FileProblemsError, Problem

MOST_PROBLEMS = 1000
"""Nobody corrects more before checking again; a hostile file could hold millions."""
MAXIMUM_SHOWN = 60
MAXIMUM_BITS = 200
"""A whole number may have any length in a file; what is longer than this is named, not printed."""
MISSING = "nothing (the key is missing)"

V = TypeVar("V")


class Problems:
    """The problems of one file, in the order found; reading ends when there are too many to report.

    Args:
        path: the file as the user named it.
    """

    def __init__(self, path: str | Path) -> None:
        self.path = str(path)
        self._found: list[Problem] = []

    def __iter__(self) -> Iterator[Problem]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)

    def add(self, problem: Problem) -> None:
        """Add one.

        Raises:
            FileProblemsError: it is the one after the first MOST_PROBLEMS; with those.
        """
        if len(self) >= MOST_PROBLEMS:
            more = Problem("file", "more problems, not listed here", "these to be corrected first")
            raise FileProblemsError(self.path, (*self, more))
        self._found.append(problem)

    def error(self) -> FileProblemsError:
        """All of them as one error."""
        return FileProblemsError(self.path, tuple(self))


class Here(NamedTuple):
    """A place in a file that is being read.

    Attributes:
        where: key path such as stations[0].constituents; empty at the top of the file.
        problems: of the whole file; what is wrong here is added there.
        joint: what parts the name of a value inside: a full stop, or a space in a line of a table.
    """

    where: str
    problems: Problems
    joint: str = "."

    def at(self, *parts: str | int) -> "Here":
        """The place of a key, or of an item by its number, inside this one."""
        return Here(key_path(self.where, *parts, joint=self.joint), self.problems, self.joint)

    def line(self, words: str) -> "Here":
        """A line of a table that belongs here, named in words; its columns are places inside."""
        return Here(f"{self.where} {words}".lstrip(), self.problems, " ")

    def say(self, found: str, expected: str) -> None:
        """Report what was found here and what was expected."""
        self.problems.add(Problem(self.where or "file", found, expected))

    def missing(self, expected: str) -> None:
        """Report that a key is not there."""
        self.say(MISSING, expected)

    def parsed(self, parse: Callable[[str], V], text: str) -> V | None:
        """What a text means; None where the parser refuses it, whose message says what was expected."""
        try:
            return parse(text)
        except ValueError as error:
            self.say(shown(text), str(error))
            return None

    @property
    def clean(self) -> bool:
        """Whether nothing has been reported here or inside so far."""
        return not any(problem.where.startswith(self.where) for problem in self.problems)


def key_path(where: str, *parts: str | int, joint: str = ".") -> str:
    """A key path, such as stations[0].latitude from stations[0] and latitude; odd keys are quoted."""
    path = where
    for part in parts:
        if isinstance(part, int):
            path += f"[{part}]"
            continue
        key = str(part)[:MAXIMUM_SHOWN]
        if not re.fullmatch(r"[A-Za-z0-9_-]+", key):
            import json

            key = json.dumps(key)
        path += f"{joint}{key}" if path else key
    return path


def shown(value: object) -> str:
    """A found value as one short piece of text."""
    if isinstance(value, dict):
        return "a table" if value else "an empty table"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return repr(value if len(value) <= MAXIMUM_SHOWN else value[:MAXIMUM_SHOWN] + "...")
    if isinstance(value, int) and value.bit_length() > MAXIMUM_BITS:
        return "a huge whole number"
    return str(value)[:MAXIMUM_SHOWN]


def named(value: object) -> str:
    """An id as the file has it, whatever it is."""
    return value if isinstance(value, str) else shown(value)


def without_echoes(problems: Problems) -> list[Problem]:
    """Problems less those of a key, or of a table with a key, that an earlier one has reported."""
    kept: list[Problem] = []
    for problem in problems:
        below = f"{problem.where}."
        if not any(other.where == problem.where or other.where.startswith(below) for other in kept):
            kept.append(problem)
    return kept
