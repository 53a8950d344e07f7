"""Weather, observed or forecast: a CSV of times and of columns by standard name with the unit in brackets.

Names are those of the CF conventions' standard name table (cfconventions.org): `wind_speed [kn]`,
`air_pressure_at_mean_sea_level [hPa]`. Between readings weather runs straight; in gaps, before the first and
after the last it is unknown, never assumed.
"""

import difflib
import re
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array, Lines
from harmonics.errors import FileProblemsError, Problem
from harmonics.files.text_files import read_text
from harmonics.records.columns import MISSING, TIME_HEADER, pick, read_table, with_one_time
from harmonics.records.quantities import SCALES, Quantity
from harmonics.records.record_clock import clock_of, read_times, told

if TYPE_CHECKING:
    from pandas import Series

    Texts = Series[str]

WEATHER = "a CSV file of times and weather"
"""What a file of it is expected to be."""
LONGEST_STEP = 7 * 3600.0
"""Weather services forecast every hour, three or six hours; over longer than that, nobody knows between."""
MADE = re.compile(r"(?im)^\s*#\s*forecast_reference_time\s*[:=]\s*(\S.*?)\s*$")
"""A comment that says when the forecast was made, by the CF name of that."""
_HEADER = re.compile(r"\s*([A-Za-z_]+)\s*(?:[\[(]\s*([^\])]*?)\s*[\])])?\s*")
_LOOKS_LIKE = 0.75


@dataclass(frozen=True, eq=False)
class Weather:
    """Weather at times.

    Attributes:
        path: where it came from, as the user named it.
        t: POSIX seconds, increasing, shape (n,).
        values: of each quantity the file holds, in the inside's units, nan where unknown, shape (n,).
        made: when a forecast was made, POSIX seconds; None where the file does not say.
        ignored: headers of columns that nothing is done with.
    """

    path: str
    t: Array
    values: dict[Quantity, Array]
    made: float | None = None
    ignored: tuple[str, ...] = ()

    def knows(self, *quantities: Quantity) -> bool:
        """Whether the file holds all of these."""
        return all(quantity in self.values for quantity in quantities)

    def at(self, quantity: Quantity, t: ArrayLike) -> Array:
        """A quantity at times t (POSIX seconds), shaped as t; nan where it is unknown.

        Directions turn the short way.
        """
        times = np.asarray(t, dtype=float)
        values = self.values.get(quantity)
        if values is None:
            return np.full(times.shape, np.nan)
        if quantity is not Quantity.WIND_FROM:
            return _between(self.t, values, times)
        angle = np.radians(values)
        east, north = (_between(self.t, part(angle), times) for part in (np.sin, np.cos))
        return np.asarray(np.degrees(np.arctan2(east, north)) % 360.0)

    def before(self, t: float) -> "Weather":
        """What it says of times before t."""
        count = int(np.searchsorted(self.t, t))
        return Weather(
            self.path,
            self.t[:count],
            {quantity: values[:count] for quantity, values in self.values.items()},
            self.made,
            self.ignored,
        )


def _between(t: Array, values: Array, wanted: Array) -> Array:
    """Straight between readings; nan outside and across gaps."""
    known = np.isfinite(values)
    t, values = t[known], values[known]
    if not len(t):
        return np.full(wanted.shape, np.nan)
    out = np.interp(wanted, t, values, left=np.nan, right=np.nan)
    after = np.clip(np.searchsorted(t, wanted), 0, len(t) - 1)
    before = np.clip(np.searchsorted(t, wanted, side="right") - 1, 0, len(t) - 1)
    return np.where(t[after] - t[before] > LONGEST_STEP, np.nan, out)


def read_weather(path: Path, zone: tzinfo | None = None) -> Weather:
    """Read a file of weather (see `parse_weather`).

    Raises:
        FileProblemsError: the file can't be read, or anything in it is wrong.
    """
    return parse_weather(read_text(path, WEATHER), str(path), zone)


def parse_weather(text: str, path: str, zone: tzinfo | None = None) -> Weather:
    """Weather from the text of a CSV with a header; lines that begin with `#` are comments.

    Args:
        text: comma, tab or semicolon separated.
        path: how problems name it.
        zone: of the clock, where neither the stamps carry an offset nor the header says UTC.

    Raises:
        FileProblemsError: anything in it is wrong; nothing is half read.
    """
    headers, columns, numbers = read_table(text, path)
    headers, columns = with_one_time(headers, columns)
    problems: list[Problem] = []
    when = pick(headers, _time_name(headers), TIME_HEADER, "times", "time_utc", problems)
    found, ignored = _quantities(headers, when, problems)
    if when is None or problems:
        raise FileProblemsError(path, tuple(problems))
    clock = clock_of(headers[when], columns[when], numbers, zone, problems)
    t, _ = read_times(columns[when], numbers, clock, problems)
    values = {
        quantity: _values(quantity, unit, headers[place], columns[place], numbers, problems)
        for quantity, (place, unit) in found.items()
    }
    made = _made(text, problems)
    if problems:
        raise FileProblemsError(path, tuple(problems))
    order = np.argsort(t, kind="stable")
    t, values = t[order], {quantity: column[order] for quantity, column in values.items()}
    twice = np.flatnonzero(np.diff(t) == 0)
    if len(twice):
        expected = "each time once"
        problems.extend(
            told(
                [numbers[order[i + 1]] for i in twice],
                lambda line: Problem(f"line {line}", "a time that stands in the file twice", expected),
            )
        )
        raise FileProblemsError(path, tuple(problems))
    return Weather(path, t, values, made, ignored)


def _time_name(headers: list[str]) -> str | None:
    """The header of the times where several would do: the one that is nothing but a time."""
    plain = [
        name for name in headers if re.fullmatch(r"(?i)(date|time|datetime|timestamp|valid_time)\W?.*", name)
    ]
    return plain[0] if len(plain) == 1 else None


def _quantities(
    headers: list[str], when: int | None, problems: list[Problem]
) -> tuple[dict[Quantity, tuple[int, tuple[float, float]]], tuple[str, ...]]:
    """Columns with their units by quantity, and headers of what is left out."""
    found: dict[Quantity, tuple[int, tuple[float, float]]] = {}
    ignored: list[str] = []
    for place, header in enumerate(headers):
        if place == when:
            continue
        match = _HEADER.fullmatch(header)
        name = match[1].lower() if match else header.lower()
        if name not in {item.value for item in Quantity}:
            near = difflib.get_close_matches(name, [item.value for item in Quantity], 1, _LOOKS_LIKE)
            if near:
                problems.append(Problem(f"column '{header}'", "an unknown name", f"'{near[0]}'?"))
            else:
                ignored.append(header)
            continue
        quantity = Quantity(name)
        unit = _unit(quantity, header, match[2] if match else None, problems)
        if quantity in found:
            expected = "each quantity once"
            problems.append(Problem(f"column '{header}'", f"a second {quantity.value}", expected))
        elif unit is not None:
            found[quantity] = place, unit
    if not found and not problems:
        names = ", ".join(item.value for item in Quantity)
        columns = f"columns {', '.join(headers)}"
        problems.append(Problem("header", columns, f"one or more of {names}, with the unit in brackets"))
    return found, tuple(ignored)


def _unit(
    quantity: Quantity, header: str, said: str | None, problems: list[Problem]
) -> tuple[float, float] | None:
    units = SCALES[quantity].units
    key = None if said is None else said.strip().lower()
    if key in units:
        return units[key]
    known = dict.fromkeys(units.values())
    names = [next(name for name in units if units[name] == each) for each in known]
    expected = f"one of {', '.join(names)} in brackets, as in '{quantity.value} [{names[0]}]'"
    unit = f"the unit '{said}'" if said else "no unit"
    problems.append(Problem(f"column '{header}'", unit, expected))
    return None


def _values(
    quantity: Quantity,
    unit: tuple[float, float],
    header: str,
    texts: "Texts",
    numbers: Lines,
    problems: list[Problem],
) -> Array:
    import pandas as pd

    values = pd.to_numeric(texts, errors="coerce").to_numpy(dtype=float, copy=True)
    missing = texts.str.lower().isin(MISSING).to_numpy()
    bad = np.flatnonzero(~np.isfinite(values) & ~missing).tolist()
    problems.extend(
        told(
            bad,
            lambda i: Problem(f"line {numbers[i]}", f"'{texts.iloc[i][:40]}'", f"a number under '{header}'"),
        )
    )
    factor, offset = unit
    scale = SCALES[quantity]
    out = values * factor + offset
    wild = np.flatnonzero((out < scale.least) | (out > scale.greatest)).tolist()
    expected = f"{scale.least:g} to {scale.greatest:g} {scale.inside} under '{header}'"
    problems.extend(told(wild, lambda i: Problem(f"line {numbers[i]}", f"'{texts.iloc[i][:40]}'", expected)))
    return np.where(np.isfinite(values), out, np.nan)


def _made(text: str, problems: list[Problem]) -> float | None:
    """When the forecast was made, where a comment says so."""
    match = MADE.search(text)
    if match is None:
        return None
    try:
        at = datetime.fromisoformat(match[1].replace("UTC", "Z").replace(" Z", "Z"))
    except ValueError:
        expected = "a time such as 2026-08-10T06:00Z"
        problems.append(Problem("forecast_reference_time", f"'{match[1][:40]}'", expected))
        return None
    return (at if at.tzinfo is not None else at.replace(tzinfo=UTC)).timestamp()
