"""The lines of a published table, and the ways in which a line can be divided into cells."""

import csv
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum, unique

from harmonics.files.published.numbers import plain

COMMENT = re.compile(r"\s*(?:#|%|!|//)+\s?")
_RULE = re.compile(r"[\s\-=_+|*~.:#]*")
_PIECE = re.compile(r"\S+(?: \S+)*")
_TOKEN = re.compile(r"\S+(?: ?[(\[][^()\[\]]{0,30}[)\]])?")
LONGEST_LINE = 4000
"""Characters of a line that are looked at as a row; the widest tables print some hundreds."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a table's file.

    Attributes:
        number: of the line in the file, from 1.
        text: made plain.
        cells: of a page's or a document's row; None where the line has to be divided.
        name: what the line is called instead of its number.
        table: number of the page's table whose row it is.
    """

    number: int
    text: str
    cells: tuple[str, ...] | None = None
    name: str = ""
    table: int = 0

    @property
    def where(self) -> str:
        """How a problem names the line."""
        return self.name or f"line {self.number}"


@unique
class Splitter(StrEnum):
    """What stands between the cells of a table, in the order in which they are tried."""

    CELLS = "cells"
    TABS = "\t"
    SEMICOLONS = ";"
    BARS = "|"
    COMMAS = ","
    GAPS = "two spaces or more"
    SPACES = "spaces"


@dataclass(frozen=True, slots=True)
class Piece:
    """A cell and the columns of the page that it covers."""

    text: str
    start: int
    end: int


def lines_of_text(text: str) -> list[Line]:
    """The lines of a text file, made plain."""
    return [Line(number, plain(line)) for number, line in enumerate(text.splitlines(), start=1)]


def is_rule(text: str) -> bool:
    """True for a line of dashes, dots and bars alone, and for an empty one."""
    return _RULE.fullmatch(text) is not None


def uncommented(text: str) -> str:
    """The line without the mark of a comment before it."""
    return COMMENT.sub("", text, count=1) if COMMENT.match(text) else text


def pieces(text: str) -> list[Piece]:
    """What two spaces or more hold apart."""
    return [Piece(found[0], found.start(), found.end()) for found in _PIECE.finditer(text[:LONGEST_LINE])]


def divided(line: Line, splitter: Splitter) -> list[str]:
    """The line's cells; none where it can't be divided in that way."""
    if line.cells is not None or splitter is Splitter.CELLS:
        return list(line.cells or ()) if splitter is Splitter.CELLS else []
    text = line.text[:LONGEST_LINE]
    if splitter is Splitter.GAPS:
        return [piece.text for piece in pieces(text)]
    if splitter is Splitter.SPACES:
        return text.split()
    if splitter is Splitter.BARS:
        return [cell.strip() for cell in text.strip().strip("|").split("|")] if "|" in text else []
    return _separated(text, splitter.value) if splitter.value in text else []


def _separated(text: str, separator: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([text], delimiter=separator))]
    except (csv.Error, StopIteration):
        return []


def header_cells(line: Line, splitter: Splitter) -> list[str]:
    """As `divided`, but a unit in brackets stays with the word before it."""
    if splitter is Splitter.SPACES and line.cells is None:
        return [found[0] for found in _TOKEN.finditer(line.text[:LONGEST_LINE])]
    return divided(line, splitter)


def columns_of(rows: Iterable[Sequence[Piece]]) -> list[tuple[int, int]]:
    """The spans of the columns that whole rows of as many pieces cover together."""
    spans: list[tuple[int, int]] = []
    for row in rows:
        if not spans:
            spans = [(piece.start, piece.end) for piece in row]
        else:
            spans = [
                (min(start, piece.start), max(end, piece.end))
                for (start, end), piece in zip(spans, row, strict=True)
            ]
    return spans


def placed(row: Sequence[Piece], spans: Sequence[tuple[int, int]]) -> list[str] | None:
    """Pieces put into the columns that they stand under, the others empty.

    Returns None where two would share a column or one stands under none.
    """
    cells = [""] * len(spans)
    for piece in row:
        overlaps = [min(piece.end, end) - max(piece.start, start) for start, end in spans]
        best = max(range(len(spans)), key=overlaps.__getitem__, default=None)
        if best is None or overlaps[best] <= 0 or cells[best]:
            return None
        cells[best] = piece.text
    return cells
