"""Tables of readings by time: any CSV with a header, its columns as text."""

import re
import warnings
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np

from harmonics.arrays import Lines
from harmonics.errors import FileProblemsError, Problem
from harmonics.records.record_clock import told

if TYPE_CHECKING:
    from pandas import Series

    Texts = Series[str]

MISSING = frozenset({"", "na", "nan", "null", "none", "-", "--", "n/a"})
"""Texts for no reading."""
MOST_LINES = 3_000_000
"""Thirty years of 6-minute readings, or six of every minute; MAXIMUM_BYTES holds no more of them in full."""
MOST_COLUMNS = 200
NOTHING = re.compile(r"(?!)")
TIME_HEADER = re.compile(r"(?i)\b(time|date|datetime|timestamp|when|tid|dato|zeit|heure|fecha|hora)\b")


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


def read_table(text: str, path: str) -> tuple[list[str], list["Texts"], Lines]:
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
    if len(table) != len(numbers):
        found = "a text in quotation marks that runs over the end of its line"
        raise FileProblemsError(
            path, (Problem("file", found, "a row for each reading, on a line of its own"),)
        )
    headers = [str(name).strip() for name in table.columns]
    return headers, [table.iloc[:, i].fillna("").str.strip() for i in range(len(headers))], numbers


def with_one_time(headers: list[str], columns: list["Texts"]) -> tuple[list[str], list["Texts"]]:
    """A column of dates and one of times of day become one."""
    kinds = [" ".join(words_of(header)) for header in headers]
    dates = [i for i, kind in enumerate(kinds) if kind.startswith("date") and "time" not in kind]
    times = [i for i, kind in enumerate(kinds) if kind.startswith("time")]
    if len(dates) != 1 or len(times) != 1:
        return headers, columns
    date, time = dates[0], times[0]
    joined = columns[date] + " " + columns[time]
    kept = [i for i in range(len(headers)) if i not in (date, time)]
    return [headers[time], *(headers[i] for i in kept)], [joined, *(columns[i] for i in kept)]


def words_of(header: str) -> list[str]:
    """The words of a header, small letters."""
    return [word.lower() for word in re.split(r"[^A-Za-z]+", header) if word]


def named_column(headers: list[str], named: str, problems: list[Problem]) -> int | None:
    """The column of that header; None with a problem."""
    if named in headers:
        return headers.index(named)
    problems.append(Problem("header", f"no column '{named}'", f"one of {', '.join(headers)}"))
    return None


def pick(
    headers: list[str],
    named: str | None,
    pattern: re.Pattern[str],
    kind: str,
    example: str,
    problems: list[Problem],
    never: re.Pattern[str] = NOTHING,
) -> int | None:
    """Which column is of a kind: the one named, or the only one whose header fits; None with a problem."""
    if named is not None:
        return named_column(headers, named, problems)
    kinds = [" ".join(words_of(header)) for header in headers]
    fits = [i for i, kind in enumerate(kinds) if pattern.search(kind) and not never.search(kind)]
    if len(fits) == 1:
        return fits[0]
    found = f"columns {', '.join(headers[i] for i in fits)}" if fits else f"columns {', '.join(headers)}"
    expected = f"one column of {kind}, named as in '{example}'"
    problems.append(Problem("header", found, expected))
    return None
