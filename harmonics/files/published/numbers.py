"""Numbers as tables print them: decimal commas, thousands apart, degrees and minutes, units behind them."""

import re
import unicodedata
from collections.abc import Iterable
from enum import StrEnum, unique
from typing import NamedTuple

LONGEST = 40
"""Characters; no table prints a longer number."""
_FLOAT = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?")
_SPACED = re.compile(r"[+-]?\d{1,3}(?:[ ']\d{3})+(?:[.,]\d*)?")
_COMMA = re.compile(r"[+-]?(\d*),(\d+)(?:[eE][+-]?\d{1,3})?")
_GROUPS = re.compile(r"[+-]?[1-9]\d{0,2}(?:,\d{3})+")
_GROUPS_POINT = re.compile(r"[+-]?\d{1,3}(?:,\d{3})+\.\d*")
_GROUPS_COMMA = re.compile(r"[+-]?\d{1,3}(?:\.\d{3})+,\d*")
_MINUTES = re.compile(r"([+-]?\d{1,3})\s*°\s*(\d{1,2}(?:[.,]\d*)?)\s*['′]?")
_BEHIND = re.compile(r"(?P<number>.*?\d[.,]?)\s*(?P<unit>°|deg\.?|degrees|[A-Za-z][A-Za-z/ .\-1]{0,20})")
_DEGREES = ("°", "deg", "deg.", "degrees")
_LOOKALIKES = str.maketrans({"º": "°", "˚": "°", "−": "-", "–": "-", "—": "-", "’": "'", "′": "'", "`": "'"})
_ABSENT = frozenset({"", "-", "--", "---", ".", "..", "...", "*", "n/a", "na", "nil", "none", "null", "x"})


@unique
class CommaReading(StrEnum):
    """What a comma inside a table's numbers stands for."""

    NOTHING = "nothing"
    DECIMAL = "decimal"
    THOUSANDS = "thousands"
    DOUBT = "doubt"


class Number(NamedTuple):
    """A cell read as a number, and the unit printed behind it ("" where none, "°" for degrees)."""

    value: float
    unit: str


def plain(text: str) -> str:
    """Text with look-alikes made one: subscripts are digits, all spaces and minus signs one each."""
    if text.isascii():
        return text
    return unicodedata.normalize("NFKC", text.translate(_LOOKALIKES)).translate(_LOOKALIKES)


def absent(cell: str) -> bool:
    """True for a cell that says that there is no number."""
    return cell.strip().lower() in _ABSENT


def comma_reading(cells: Iterable[str]) -> CommaReading:
    """What commas stand for in these cells of one table, looked at together.

    A comma is a decimal one where any number can't be read otherwise (0,143 or 109,2); it stands for
    thousands where a number has a point as well (1,371.2). Numbers such as 1,371 alone leave a doubt.
    """
    grouped = False
    for cell in cells:
        text = _bare(cell)
        if len(text) > LONGEST or "," not in text:
            continue
        if _GROUPS_POINT.fullmatch(text):
            return CommaReading.THOUSANDS
        if _GROUPS_COMMA.fullmatch(text):
            return CommaReading.DECIMAL
        if _GROUPS.fullmatch(text):
            grouped = True
        elif _COMMA.fullmatch(text):
            return CommaReading.DECIMAL
    return CommaReading.DOUBT if grouped else CommaReading.NOTHING


def number(cell: str, commas: CommaReading = CommaReading.NOTHING) -> Number | None:
    """The cell as a number; None where it is none.

    Args:
        cell: plain text.
        commas: what a comma stands for in this table.
    """
    text = cell.strip()
    if len(text) > LONGEST:
        return None
    if match := _MINUTES.fullmatch(text):
        degrees, minutes = float(match[1]), float(match[2].replace(",", "."))
        sign = -1.0 if match[1].startswith("-") else 1.0
        return Number(degrees + sign * minutes / 60.0, "°") if minutes < 60.0 else None
    if (value := _value(text, commas)) is not None:
        return Number(value, "")
    match = _BEHIND.fullmatch(text)
    if match is None or (value := _value(match["number"], commas)) is None:
        return None
    unit = match["unit"].strip()
    return Number(value, "°" if unit.lower() in _DEGREES else unit)


def _bare(cell: str) -> str:
    match = _BEHIND.fullmatch(cell.strip()[: LONGEST + 1])
    return match["number"] if match else cell.strip()


def _value(text: str, commas: CommaReading) -> float | None:
    if _SPACED.fullmatch(text):
        text = text.replace(" ", "").replace("'", "")
    if "," in text:
        if commas is CommaReading.THOUSANDS and (_GROUPS.fullmatch(text) or _GROUPS_POINT.fullmatch(text)):
            text = text.replace(",", "")
        elif commas is CommaReading.DECIMAL and _GROUPS_COMMA.fullmatch(text):
            text = text.replace(".", "").replace(",", ".")
        elif commas is CommaReading.DECIMAL and _COMMA.fullmatch(text):
            text = text.replace(",", ".")
    return float(text) if text.isascii() and _FLOAT.fullmatch(text) else None
