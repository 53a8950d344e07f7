"""Errors that a user can act on: one base class, and file errors that carry every problem at once."""

from dataclasses import dataclass
from typing import Self


class EbblightError(Exception):
    """Base of every error that is the input's fault; its text is shown to the user as it is."""


class UnknownConstituentError(EbblightError):
    """A constituent name that neither the catalogue lists nor its parts explain."""

    def __init__(self, name: str, near: tuple[str, ...]) -> None:
        self.name = name
        self.near = near
        hint = f"; near names: {', '.join(near)}" if near else ""
        super().__init__(f"unknown constituent '{name}'{hint}")

    def __reduce__(self) -> tuple[type[Self], tuple[str, tuple[str, ...]]]:
        """So that it passes from one process to another."""
        return type(self), (self.name, self.near)


class UnknownNameError(EbblightError):
    """A station, current or spot id that the file does not hold."""


class OutputError(EbblightError):
    """A result that can't be written to the place given."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in a file: where (key path or line), what was found, what was expected."""

    where: str
    found: str
    expected: str

    def __str__(self) -> str:
        return printable(f"{self.where}: found {self.found}; expected {self.expected}")


def printable(text: str) -> str:
    """Text on one line that can't steer a terminal: what does not print is escaped."""
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else ascii(char)[1:-1] for char in text)


class FileProblemsError(EbblightError):
    """Everything wrong with one file.

    Attributes:
        path: the file as the user named it.
        problems: every problem found, in the file's order.
    """

    def __init__(self, path: str, problems: tuple[Problem, ...]) -> None:
        self.path = path
        self.problems = problems
        head = f"{printable(path)}: {len(problems)} problem{'s' if len(problems) != 1 else ''}"
        super().__init__("\n".join([head, *(f"  {problem}" for problem in problems)]))

    def __reduce__(self) -> tuple[type[Self], tuple[str, tuple[Problem, ...]]]:
        """So that it passes from one process to another."""
        return type(self), (self.path, self.problems)
