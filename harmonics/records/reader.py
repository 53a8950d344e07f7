"""Read a record of observed levels: any CSV with a column of times and a column of levels.

Columns are known by their headers, the unit and the zone by the header or by what the caller says, never by
guessing. Every problem of the file is reported at once.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from harmonics.arrays import Array, Lines
from harmonics.bounds import FARTHEST_LEVEL
from harmonics.errors import FileProblemsError, Problem
from harmonics.files.text_files import read_text
from harmonics.records.columns import MISSING, TIME_HEADER, pick, read_table, with_one_time, words_of
from harmonics.records.level_columns import level_column as find_level_column
from harmonics.records.record_clock import clock_of, read_times, told
from harmonics.units import LENGTH_WORDS, LengthUnit

if TYPE_CHECKING:
    from pandas import Series

    Texts = Series[str]

SENTINELS = frozenset({-9999.0, -999.0, -99.99, -99.9, 99.99, 999.0, 999.99, 9999.0, 99999.0, -99999.0})
"""Numbers that gauges write for no reading (common practice); taken so where the record also has readings
far from them."""
UNIT_WORDS = {word: unit.metres for word, unit in LENGTH_WORDS.items()} | {"cm": 0.01, "mm": 0.001}
"""Metres in what headers of levels call a unit."""


@dataclass(frozen=True, eq=False)
class LevelRecord:
    """Observed levels.

    Attributes:
        path: where they came from, as the user named it.
        t: POSIX seconds, increasing, shape (n,).
        level: metres, nan where there is no reading, shape (n,).
        unit: the file's unit, in words.
        clock: how its clock was read, in words.
        notes: what was put right or taken for granted, in words.
    """

    path: str
    t: Array
    level: Array
    unit: str
    clock: str
    notes: tuple[str, ...]


def read_record(
    path: Path,
    *,
    unit: LengthUnit | None = None,
    zone: tzinfo | None = None,
    time_column: str | None = None,
    level_column: str | None = None,
) -> LevelRecord:
    """Read a file of levels (see `parse_record`).

    Raises:
        FileProblemsError: the file can't be read, or anything in it is wrong.
    """
    text = read_text(path, "a CSV file of times and levels")
    return parse_record(
        text, str(path), unit=unit, zone=zone, time_column=time_column, level_column=level_column
    )


def parse_record(
    text: str,
    path: str,
    *,
    unit: LengthUnit | None = None,
    zone: tzinfo | None = None,
    time_column: str | None = None,
    level_column: str | None = None,
) -> LevelRecord:
    """Levels from the text of a CSV with a header; lines that begin with `#` are comments.

    Args:
        text: comma, tab or semicolon separated.
        path: how problems name it.
        unit: of the levels, where the header does not say (as in `level_m` or `Level (ft)`).
        zone: of the clock, where neither the stamps carry an offset nor the header says UTC.
        time_column, level_column: headers to use where several would do.

    Raises:
        FileProblemsError: anything in it is wrong; nothing is half read.
    """
    headers, columns, numbers = read_table(text, path)
    headers, columns = with_one_time(headers, columns)
    problems: list[Problem] = []
    when = pick(headers, time_column, TIME_HEADER, "times", "time_utc", problems)
    what = find_level_column(headers, level_column, problems)
    if when is None or what is None:
        raise FileProblemsError(path, tuple(problems))
    scale, words = _scale(headers[what], unit, problems)
    stamps, texts = columns[when], columns[what]
    if _swapped(stamps, texts):
        where = f"columns '{headers[when]}' and '{headers[what]}'"
        found = "numbers among the times and times among the levels"
        raise FileProblemsError(path, (Problem(where, found, "the two columns the other way round"),))
    clock = clock_of(headers[when], stamps, numbers, zone, problems)
    t, notes = read_times(stamps, numbers, clock, problems)
    level, more = _levels(texts, numbers, scale, problems)
    if not problems and not np.isfinite(level).any():
        problems.append(Problem("file", f"no reading in {len(level)} rows", "levels, with gaps left empty"))
    if problems:
        raise FileProblemsError(path, tuple(problems))
    t, level, order = _in_order(t, level, numbers, path)
    return LevelRecord(path, t, level * scale, words, clock.words, (*notes, *more, *order))


def _scale(header: str, unit: LengthUnit | None, problems: list[Problem]) -> tuple[float, str]:
    """Metres in one of the column's units, and the unit's name."""
    said = [word for word in words_of(header) if word in UNIT_WORDS]
    where = f"column '{header}'"
    if unit is None and not said:
        expected = "one in the header, as in 'level_m' or 'level_ft', or given"
        problems.append(Problem(where, "no unit", expected))
        return 1.0, ""
    if unit is None:
        return UNIT_WORDS[said[0]], said[0]
    if said and UNIT_WORDS[said[0]] != unit.metres:
        problems.append(Problem(where, f"the unit {said[0]}", f"{unit.value}, as was asked for"))
    return unit.metres, unit.value


def _swapped(stamps: "Texts", levels: "Texts") -> bool:
    """Whether the times are numbers and the levels dates."""
    return bool(_looks_like_date(levels.head(50)) and not _looks_like_date(stamps.head(50)))


def _looks_like_date(texts: "Texts") -> bool:
    return float(texts.str.match(r"\d{4}-\d\d?-\d\d?|\d\d?[/.]\d\d?[/.]\d{2,4}").mean()) > 0.5


def _levels(texts: "Texts", numbers: Lines, scale: float, problems: list[Problem]) -> tuple[Array, list[str]]:
    import pandas as pd

    values = pd.to_numeric(texts, errors="coerce").to_numpy(dtype=float, copy=True)
    missing = texts.str.lower().isin(MISSING).to_numpy()
    notes = []
    flagged = np.isin(values, list(SENTINELS))
    others = values[np.isfinite(values) & ~flagged]
    if flagged.any() and len(others) and np.abs(values[flagged]).min() > 3 * np.abs(others).max():
        values[flagged] = np.nan
        notes.append(f"{texts[flagged].iloc[0]} taken for a gap, times: {int(flagged.sum())}")
        missing = missing | flagged
    most = FARTHEST_LEVEL / scale
    bad = np.flatnonzero(~(np.abs(values) <= most) & ~missing).tolist()
    expected = f"a level from -{most:,.0f} to {most:,.0f}, or an empty field"
    problems.extend(told(bad, lambda i: Problem(f"line {numbers[i]}", f"'{texts.iloc[i][:40]}'", expected)))
    return values, notes


def _in_order(t: Array, level: Array, numbers: Lines, path: str) -> tuple[Array, Array, list[str]]:
    """Rows in order of time, each time once.

    Raises:
        FileProblemsError: one time with two different levels.
    """
    notes = []
    back = np.flatnonzero(np.diff(t) < 0)
    if len(back):
        at = datetime.fromtimestamp(float(t[back[0] + 1]), tz=UTC).strftime("%Y-%m-%d %H:%M")
        notes.append(
            f"rows out of order, first at line {numbers[back[0] + 1]} ({at} UTC); they were put in order"
        )
    order = np.argsort(t, kind="stable")
    t, level = t[order], level[order]
    twice = np.flatnonzero(np.diff(t) == 0)
    same = (level[twice] == level[twice + 1]) | np.isnan(level[twice]) | np.isnan(level[twice + 1])
    lines = [(numbers[order[i]], numbers[order[i + 1]]) for i in twice[~same]]
    if lines:
        raise FileProblemsError(path, tuple(told(lines, _twice)))
    if len(twice):
        notes.append(f"rows that repeat the time before them, dropped: {len(twice)}")
        level[twice + 1] = np.where(np.isnan(level[twice + 1]), level[twice], level[twice + 1])
        t, level = np.delete(t, twice), np.delete(level, twice)
    return t, level, notes


def _twice(lines: tuple[int, int]) -> Problem:
    found = f"the time of line {lines[0]} again with another level"
    return Problem(f"line {lines[1]}", found, "each time once")
