"""The speed column of a published table held against the catalogue, in whatever unit it is printed."""

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from harmonics.catalogue.constituents import MEANINGS, find, listed
from harmonics.errors import UnknownConstituentError
from harmonics.files.problems import Here, shown
from harmonics.files.published.numbers import CommaReading, number
from harmonics.files.published.rows import Row

SPEED_TOLERANCE = 1e-4
"""Degrees an hour. Agencies print four to seven decimals; lines a year apart differ by 0.041."""
GREATEST_ROUNDING = 0.006
"""Degrees an hour that a speed of few decimals may be off."""
_Turn = Callable[[float], float]


@dataclass(frozen=True, slots=True)
class SpeedsFound:
    """What the speed column told.

    Attributes:
        rows: with names that the speed alone tells made plain.
        other_meanings: rows whose speed is that of another line of the same name, and its catalogue name.
    """

    rows: tuple[Row, ...]
    other_meanings: tuple[tuple[Row, str], ...]


def _inverse(hours: float) -> _Turn:
    return lambda value: 360.0 / (value * hours) if value else math.inf


def _as_degrees(value: float) -> float:
    return value


_UNITS: tuple[tuple[str, tuple[_Turn, ...]], ...] = (
    (r"cph|cycles?\s*(?:/|per)\s*h", (lambda value: 360.0 * value,)),
    (r"cpd|cycles?\s*(?:/|per)\s*d", (lambda value: 15.0 * value,)),
    (r"period|days?\b", (_inverse(1.0), _inverse(24.0))),
    (r"rad", (math.degrees, lambda value: math.degrees(value * 3600.0))),
    (r"freq", (_as_degrees, lambda value: 360.0 * value, lambda value: 15.0 * value)),
)


def checked_speeds(
    rows: Sequence[Row], place: int, title: str, commas: CommaReading, top: Here
) -> SpeedsFound:
    """Every speed beside its name's; a speed of another line of that name tells which is meant.

    Args:
        rows: of the table.
        place: of the speed among a row's cells.
        title: words above it, which may name its unit.
        commas: what commas inside its numbers stand for.
        top: of the table; speeds that are no number or another line's are reported.
    """
    read = [_printed(row, row.cells[place], commas, top) for row in rows]
    turn = _turn(title, [(row, value) for row, value in zip(rows, read, strict=True) if value])
    made, others = [], []
    for row, value in zip(rows, read, strict=True):
        meant = None if value is None else _meant(row, value, turn, top)
        made.append(row if meant is None else replace(row, name=meant))
        if meant is not None:
            others.append((row, meant))
    return SpeedsFound(tuple(made), tuple(others))


def _printed(row: Row, cell: str, commas: CommaReading, top: Here) -> tuple[float, float] | None:
    """The number as printed and half of its last digit; None for an empty cell and for none."""
    if not cell.strip(" -"):
        return None
    read = number(cell, commas)
    if read is None:
        top.line(f"{row.line.where} speed").say(shown(cell), "degrees an hour")
        return None
    digits = re.search(r"[.,](\d+)", cell)
    return read.value, 0.5 * 10.0 ** -(len(digits[1]) if digits else 0)


def _turn(title: str, read: Sequence[tuple[Row, tuple[float, float]]]) -> _Turn:
    """From the column's unit to degrees an hour: that which fits most names, of those its title allows."""
    words = title.lower()
    turns = next((turns for pattern, turns in _UNITS if re.search(pattern, words)), (_as_degrees,))

    def fits(turn: _Turn) -> int:
        return sum(
            _near(turn, value, found) for row, value in read if (found := _speed(row.name)) is not None
        )

    return max(turns, key=fits)


def _speed(name: str) -> float | None:
    try:
        return find(name).speed
    except UnknownConstituentError:
        return None


def _near(turn: _Turn, printed: tuple[float, float], speed: float) -> bool:
    value, half = printed
    here = turn(value)
    rounding = abs(turn(value + half) - here)
    tolerance = max(SPEED_TOLERANCE, min(rounding, GREATEST_ROUNDING) * 1.001)
    return abs(here - speed) <= tolerance


def _meant(row: Row, printed: tuple[float, float], turn: _Turn, top: Here) -> str | None:
    """The catalogue's name of the line where the row's own name means another; problems are reported."""
    speed = _speed(row.name)
    if speed is None:
        near = [item.name for item in listed() if _near(turn, printed, item.speed)]
        if near:
            found = f"unknown constituent {shown(row.name)} with the speed of {' or '.join(near[:3])}"
            top.line(f"{row.line.where} name").say(found, "a name that the catalogue knows")
        return None
    if _near(turn, printed, speed):
        return None
    for other in MEANINGS.get(find(row.name).name, ()):
        if _near(turn, printed, find(other).speed):
            return other
    found = f"{row.name} at {turn(printed[0]):.7f} degrees an hour"
    expected = f"{speed:.7f}, the speed of {find(row.name).name}"
    top.line(f"{row.line.where} speed").say(found, expected)
    return None
