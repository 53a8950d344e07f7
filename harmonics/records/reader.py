"""Read a record of observed levels: any CSV with a column of times and a column of levels.

Columns are known by their headers, the unit and the zone by the header or by what the caller says, never by
guessing. Every problem of the file is reported at once.
"""

import re
import warnings
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from harmonics.arrays import Array, Lines
from harmonics.errors import FileProblemsError, Problem
from harmonics.files.text_files import read_text
from harmonics.records.record_clock import clock_of, read_times, told
from harmonics.units import LENGTH_WORDS, LengthUnit

if TYPE_CHECKING:
    from pandas import Series

    Texts = Series[str]

MISSING = frozenset({"", "na", "nan", "null", "none", "-", "--", "n/a"})
SENTINELS = frozenset({-9999.0, -999.0, -99.99, -99.9, 99.99, 999.0, 999.99, 9999.0, 99999.0, -99999.0})
"""Numbers that gauges write for no reading (common practice); taken so where the record also has readings
far from them."""
MOST_LINES = 3_000_000
"""Thirty years of 6-minute readings, or six of every minute; MAXIMUM_BYTES holds no more of them in full."""
MOST_COLUMNS = 200
TIME_HEADER = re.compile(r"(?i)\b(time|date|datetime|timestamp|when)\b")
LEVEL_HEADER = re.compile(r"(?i)\b(level|levels|height|heights|water|elevation|stage|sealevel|wl|tide)\b")
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
    headers, columns, numbers = _table(text, path)
    headers, columns = _with_one_time(headers, columns)
    problems: list[Problem] = []
    when = _pick(headers, time_column, TIME_HEADER, "times", "time_utc", problems)
    what = _pick(headers, level_column, LEVEL_HEADER, "levels", "level_m", problems)
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
    level, more = _levels(texts, numbers, problems)
    if not problems and not np.isfinite(level).any():
        problems.append(Problem("file", f"no reading in {len(level)} rows", "levels, with gaps left empty"))
    if problems:
        raise FileProblemsError(path, tuple(problems))
    t, level, order = _in_order(t, level, numbers, path)
    return LevelRecord(path, t, level * scale, words, clock.words, (*notes, *more, *order))


def _content(text: str, path: str) -> tuple[list[str], Lines]:
    """Lines that are neither blank nor comments, and the numbers in the file of all but the first.

    Raises:
        FileProblemsError: more lines than any record has, or too few for a table.
    """
    lines = text.count("\n") + text.count("\r") - text.count("\r\n")
    if lines > MOST_LINES:
        raise FileProblemsError(path, (Problem("file", f"{lines:,} lines", f"at most {MOST_LINES:,}"),))
    rows: list[str] = []
    numbers: list[int] = []
    for number, line in enumerate(re.split("\r\n|\n|\r", text), start=1):
        if line.strip() and not line.lstrip().startswith("#"):
            rows.append(line)
            numbers.append(number)
    if len(rows) < 2:
        found = "no rows under the header" if rows else "no text"
        raise FileProblemsError(path, (Problem("file", found, "a header and a row for each reading"),))
    return rows, np.array(numbers[1:])


def _table(text: str, path: str) -> tuple[list[str], list["Texts"], Lines]:
    """Headers, columns as text, and the number in the file of each row.

    Raises:
        FileProblemsError: no table, too large a one, or rows longer than the header.
    """
    import pandas as pd

    rows, numbers = _content(text, path)
    separator = max(",\t;", key=rows[0].count)
    width = rows[0].count(separator) + 1
    if width > MOST_COLUMNS:
        found = f"{width:,} columns"
        raise FileProblemsError(path, (Problem("header", found, f"at most {MOST_COLUMNS}"),))
    ragged = [
        (number, row.count(separator) + 1)
        for row, number in zip(rows[1:], numbers, strict=True)
        if '"' not in row and row.count(separator) + 1 > width
    ]
    if ragged:
        expected = f"{width}, as in the header"
        raise FileProblemsError(
            path, tuple(told(ragged, lambda item: Problem(f"line {item[0]}", f"{item[1]} fields", expected)))
        )
    content = BytesIO("\n".join(rows).encode("utf-8", "replace"))
    del rows  # a large record in many pieces takes several times its size
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", pd.errors.ParserWarning)  # quoted rows longer than the header
            table = pd.read_csv(content, sep=separator, dtype=str, keep_default_na=False, index_col=False)
    except (pd.errors.ParserError, pd.errors.ParserWarning, ValueError) as error:
        found = " ".join(str(error).split())
        raise FileProblemsError(path, (Problem("file", found, "a CSV table"),)) from None
    headers = [str(name).strip() for name in table.columns]
    return headers, [table.iloc[:, i].fillna("").str.strip() for i in range(len(headers))], numbers


def _with_one_time(headers: list[str], columns: list["Texts"]) -> tuple[list[str], list["Texts"]]:
    """A column of dates and one of times of day become one."""
    kinds = [" ".join(_words(header)) for header in headers]
    dates = [i for i, kind in enumerate(kinds) if kind.startswith("date") and "time" not in kind]
    times = [i for i, kind in enumerate(kinds) if kind.startswith("time")]
    if len(dates) != 1 or len(times) != 1:
        return headers, columns
    date, time = dates[0], times[0]
    joined = columns[date] + " " + columns[time]
    kept = [i for i in range(len(headers)) if i not in (date, time)]
    return [headers[time], *(headers[i] for i in kept)], [joined, *(columns[i] for i in kept)]


def _words(header: str) -> list[str]:
    return [word.lower() for word in re.split(r"[^A-Za-z]+", header) if word]


def _pick(
    headers: list[str],
    named: str | None,
    pattern: re.Pattern[str],
    kind: str,
    example: str,
    problems: list[Problem],
) -> int | None:
    if named is not None:
        if named in headers:
            return headers.index(named)
        problems.append(Problem("header", f"no column '{named}'", f"one of {', '.join(headers)}"))
        return None
    fits = [i for i, header in enumerate(headers) if pattern.search(" ".join(_words(header)))]
    if len(fits) == 1:
        return fits[0]
    found = f"columns {', '.join(headers[i] for i in fits)}" if fits else f"columns {', '.join(headers)}"
    expected = f"one column of {kind}, named as in '{example}'"
    problems.append(Problem("header", found, expected))
    return None


def _scale(header: str, unit: LengthUnit | None, problems: list[Problem]) -> tuple[float, str]:
    """Metres in one of the column's units, and the unit's name."""
    said = [word for word in _words(header) if word in UNIT_WORDS]
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


def _levels(texts: "Texts", numbers: Lines, problems: list[Problem]) -> tuple[Array, list[str]]:
    import pandas as pd

    values = pd.to_numeric(texts, errors="coerce").to_numpy(dtype=float, copy=True)
    missing = texts.str.lower().isin(MISSING).to_numpy()
    bad = np.flatnonzero(~np.isfinite(values) & ~missing).tolist()
    expected = "a level, or an empty field"
    problems.extend(told(bad, lambda i: Problem(f"line {numbers[i]}", f"'{texts.iloc[i][:40]}'", expected)))
    notes = []
    flagged = np.isin(values, list(SENTINELS))
    others = values[np.isfinite(values) & ~flagged]
    if flagged.any() and len(others) and np.abs(values[flagged]).min() > 3 * np.abs(others).max():
        values[flagged] = np.nan
        notes.append(f"{texts[flagged].iloc[0]} taken for a gap, times: {int(flagged.sum())}")
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
