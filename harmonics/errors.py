"""Errors that a user can act on: one base class, and file errors that carry every problem at once."""

import re
import unicodedata
from collections.abc import Iterator
from typing import NamedTuple, Self


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


class Problem(NamedTuple):
    """One thing wrong in a file: where (key path or line), what was found, what was expected."""

    where: str
    found: str
    expected: str

    def __str__(self) -> str:
        return printable(f"{self.where}: found {self.found}; expected {self.expected}")


SHAPELESS = re.compile(
    "[\u00ad\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b\u2060-\u206f\u3164\ufe00-\ufe0f\ufeff"
    "\uffa0\ufff9-\ufffb\U0001d173-\U0001d17a\U000e0000-\U000e0fff]"
)
"""Characters that nobody sees (Unicode's Default_Ignorable_Code_Point, but for joiners): two names that look
alike would differ by them."""
JOINERS = "\u200c\u200d"
MOST_MARKS = 6
"""Marks of any script on one letter: stacks of Tibetan come near (judgement); more cover the lines around."""


def printable(text: str) -> str:
    """Text on one line that can't steer a terminal: what does not print or has no shape is escaped."""
    if text.isascii() and text.isprintable():
        return text
    out: list[str] = []
    for char, piled in marked(text):
        hidden = piled or not char.isprintable() or SHAPELESS.match(char)
        out.append(ascii(char)[1:-1] if hidden else char)
    return "".join(out)


def marked(text: str) -> Iterator[tuple[str, bool]]:
    """Each character, and whether it is one mark too many on its letter, with joiners between or not."""
    marks = 0
    for char in text:
        if char not in JOINERS:
            marks = marks + 1 if unicodedata.category(char) in {"Mn", "Me"} else 0
        yield char, marks > MOST_MARKS


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
