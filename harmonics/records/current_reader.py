"""Read a record of observed currents: a CSV with times and speed and direction, or two components.

Columns are known by their headers, the unit by the header alone: `speed [kn]`, `direction [deg]`; or
`eastward [m/s]` and `northward [m/s]` (`u` and `v` for short). Directions are degrees true that the water
sets towards. Every problem of the file is reported at once.
"""

import re
from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from harmonics.arrays import Array, Lines
from harmonics.bounds import READ_SPEED
from harmonics.errors import FileProblemsError, Problem
from harmonics.files.text_files import read_text
from harmonics.records.columns import MISSING, TIME_HEADER, pick, read_table, with_one_time, words_of
from harmonics.records.record_clock import clock_of, read_times, told
from harmonics.units import METRES_PER_SECOND_PER_KNOT

if TYPE_CHECKING:
    from pandas import Series

    Texts = Series[str]

SPEED_UNITS = (
    (re.compile(r"(?i)\b(?:kn|kt|kts|knots?)\b"), METRES_PER_SECOND_PER_KNOT, "knots"),
    (re.compile(r"(?i)\bmm\s*/?\s*s(?:-1|ec)?\b"), 0.001, "mm/s"),
    (re.compile(r"(?i)\bcm\s*/?\s*s(?:-1|ec)?\b"), 0.01, "cm/s"),
    (re.compile(r"(?i)\bm\s*/?\s*s(?:-1|ec)?\b|\bmps\b"), 1.0, "m/s"),
)
SPEED_HEADER = re.compile(r"(?i)\b(speed|spd|drift|magnitude)\b")
DIRECTION_HEADER = re.compile(r"(?i)\b(direction|dir|set|heading|bearing)\b")
EAST_HEADER = re.compile(r"(?i)\b(u|east|eastward|east component|easting)\b")
NORTH_HEADER = re.compile(r"(?i)\b(v|north|northward|north component|northing)\b")
OF_THE_AIR = re.compile(r"\b(?:wind|gust|gusts|air)\b")
"""Words of what moves, but is no water."""
_NO_READING = frozenset({-9999.0, -999.0, -99.9, 999.0, 999.9, 9999.0, 99999.0})


@dataclass(frozen=True, eq=False)
class CurrentRecord:
    """Observed currents.

    Attributes:
        path: where they came from, as the user named it.
        t: POSIX seconds, increasing, shape (n,).
        east, north: metres a second, nan where there is no reading, shape (n,).
        unit: the file's unit, in words.
        clock: how its clock was read, in words.
        notes: what was put right or taken for granted, in words.
    """

    path: str
    t: Array
    east: Array
    north: Array
    unit: str
    clock: str
    notes: tuple[str, ...]


def holds_currents(path: Path) -> bool:
    """Whether a file's header names currents and no levels.

    Raises:
        FileProblemsError: the file can't be read.
    """
    lines = read_text(path, "a CSV file of readings").splitlines()
    header = next((line for line in lines if line.strip() and not line.lstrip().startswith("#")), "")
    cells = [" ".join(words_of(cell)) for cell in re.split(r"[,;\t]", header)]

    def has(pattern: re.Pattern[str]) -> bool:
        return any(pattern.search(cell) and not OF_THE_AIR.search(cell) for cell in cells)

    return (has(SPEED_HEADER) and has(DIRECTION_HEADER)) or (has(EAST_HEADER) and has(NORTH_HEADER))


def read_currents(path: Path, *, zone: tzinfo | None = None, time_column: str | None = None) -> CurrentRecord:
    """Read a file of currents.

    Args:
        path: of a CSV with a header; lines that begin with `#` are comments.
        zone: of the clock, where neither the stamps carry an offset nor the header says UTC.
        time_column: header of the times, where several would do.

    Raises:
        FileProblemsError: the file can't be read, or anything in it is wrong.
    """
    text = read_text(path, "a CSV file of times and currents")
    headers, columns, numbers = read_table(text, str(path))
    headers, columns = with_one_time(headers, columns)
    problems: list[Problem] = []
    when = pick(headers, time_column, TIME_HEADER, "times", "time_utc", problems)
    pair = _pair(headers, problems)
    if when is None or pair is None:
        raise FileProblemsError(str(path), tuple(problems))
    first, second, polar = pair
    scale, unit = _unit(headers[first], problems)
    other = unit if polar else _unit(headers[second], problems)[1]
    if unit and other and other != unit:
        problems.append(Problem(f"column '{headers[second]}'", "another unit", f"{unit}, as the other's"))
    clock = clock_of(headers[when], columns[when], numbers, zone, problems)
    t, notes = read_times(columns[when], numbers, clock, problems)
    limits = (0.0 if polar else -READ_SPEED / scale, READ_SPEED / scale)
    one = _values(columns[first], numbers, headers[first], limits, problems)
    two = _values(columns[second], numbers, headers[second], (-360.0, 360.0) if polar else limits, problems)
    if not problems and not np.isfinite(one + two).any():
        problems.append(Problem("file", f"no reading in {len(t)} rows", "currents, with gaps left empty"))
    if problems:
        raise FileProblemsError(str(path), tuple(problems))
    if polar:
        angle = np.radians(two)
        one, two = one * np.sin(angle), one * np.cos(angle)
    t, order, more = _in_order(t, str(path), numbers, one, two)
    return CurrentRecord(
        str(path), t, one[order] * scale, two[order] * scale, unit, clock.words, (*notes, *more)
    )


def _pair(headers: list[str], problems: list[Problem]) -> tuple[int, int, bool] | None:
    """The two columns of the current, and whether they are speed and direction."""
    kinds = [" ".join(words_of(header)) for header in headers]

    def fits(pattern: re.Pattern[str]) -> bool:
        return any(pattern.search(kind) and not OF_THE_AIR.search(kind) for kind in kinds)

    polar = fits(SPEED_HEADER) or fits(DIRECTION_HEADER)
    one, two = (SPEED_HEADER, DIRECTION_HEADER) if polar else (EAST_HEADER, NORTH_HEADER)
    examples = ("speed [kn]", "direction [deg]") if polar else ("eastward [m/s]", "northward [m/s]")
    kinds_of = ("speeds", "directions") if polar else ("components to the east", "components to the north")
    first = pick(headers, None, one, kinds_of[0], examples[0], problems, OF_THE_AIR)
    second = pick(headers, None, two, kinds_of[1], examples[1], problems, OF_THE_AIR)
    return None if first is None or second is None else (first, second, polar)


def _unit(header: str, problems: list[Problem]) -> tuple[float, str]:
    """Metres a second in one of the column's units, and the unit's name."""
    text = header.replace("_", " ")
    for pattern, scale, name in SPEED_UNITS:
        if pattern.search(text):
            return scale, name
    expected = "one in the header, as in 'speed [kn]' or 'speed [cm/s]'"
    problems.append(Problem(f"column '{header}'", "no unit", expected))
    return 1.0, ""


def _values(
    texts: "Texts", numbers: Lines, header: str, limits: tuple[float, float], problems: list[Problem]
) -> Array:
    import pandas as pd

    values = pd.to_numeric(texts, errors="coerce").to_numpy(dtype=float, copy=True)
    missing = texts.str.lower().isin(MISSING).to_numpy() | np.isin(values, list(_NO_READING))
    values[missing] = np.nan
    outside = ~((values >= limits[0]) & (values <= limits[1])) & ~missing
    bad = np.flatnonzero(outside).tolist()
    expected = f"a number from {limits[0]:g} to {limits[1]:g}, or an empty field"
    problems.extend(
        told(bad, lambda i: Problem(f"line {numbers[i]} {header}", f"'{texts.iloc[i][:40]}'", expected))
    )
    return values


def _in_order(t: Array, path: str, numbers: Lines, one: Array, two: Array) -> tuple[Array, Lines, list[str]]:
    """Times in order, each once, the rows that hold them, and what was put right.

    Raises:
        FileProblemsError: one time with two different currents.
    """
    order = np.argsort(t, kind="stable")
    notes = ["rows out of order were put in order"] if (np.diff(t) < 0).any() else []
    again = np.flatnonzero(np.diff(t[order]) == 0)
    vector = (one + 1j * two)[order]
    other = (vector[again] != vector[again + 1]) & np.isfinite(vector[again] + vector[again + 1])
    if other.any():
        line = numbers[order[again[int(np.argmax(other))] + 1]]
        found = "the time of another line again with another current"
        raise FileProblemsError(path, (Problem(f"line {line}", found, "each time once"),))
    if len(again):
        notes.append(f"rows that repeat the time before them, dropped: {len(again)}")
        order = np.delete(order, np.where(np.isfinite(vector[again]), again + 1, again))
    return t[order], order, notes
