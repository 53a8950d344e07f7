"""Constituent tables of a station file: a CSV beside it or a list inside it, as harmonic constants."""

import csv
import io
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from harmonics.catalogue.constituents import Constituent, find
from harmonics.errors import FileProblemsError, Problem, UnknownConstituentError
from harmonics.files.checking import MAXIMUM_SHOWN, join, shown
from harmonics.files.text_files import read_text
from harmonics.sums.waves import HarmonicConstants

COLUMNS = ("name", "amplitude", "phase")
MAXIMUM_BYTES = 2**20
MAXIMUM_AMPLITUDE = 100.0
"""No tide and no current on earth reaches it in any unit a file may use; a larger number is a slip."""


class Row(NamedTuple):
    """One line of a table as found: where it stands, and its three values unchecked."""

    where: str
    name: object
    amplitude: object
    phase: object


def rows_of_csv(path: Path, where: str, problems: list[Problem]) -> list[Row] | None:
    """Rows of a constituent CSV; None when it can't be read as one, with the problems added.

    Comment lines (#) and empty lines may stand anywhere; the header is name,amplitude,phase.
    """
    name = path.name[:MAXIMUM_SHOWN]
    try:
        text = read_text(path, "a constituent table (CSV: name,amplitude,phase)", MAXIMUM_BYTES)
    except FileProblemsError as error:
        problems.extend(Problem(f"{where} ({name})", item.found, item.expected) for item in error.problems)
        return None
    numbered = [
        (number, line)
        for number, line in enumerate(io.StringIO(text), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    try:
        records = [next(csv.reader([line])) for _, line in numbered]
    except (csv.Error, StopIteration) as error:
        problems.append(Problem(f"{where} ({name})", f"text that is not CSV ({error})", ",".join(COLUMNS)))
        return None
    header = [cell.strip().lower() for cell in records[0]] if records else []
    if header != list(COLUMNS):
        found = shown(",".join(header)) if header else "an empty file"
        problems.append(Problem(f"{where} ({name})", found, f"the header {','.join(COLUMNS)}"))
        return None
    rows: list[Row] = []
    for (number, _), record in zip(numbered[1:], records[1:], strict=True):
        place = f"{where} ({name} line {number})"
        if len(record) != len(COLUMNS):
            problems.append(Problem(place, f"{len(record)} values", "3: name,amplitude,phase"))
            continue
        rows.append(Row(place, record[0].strip(), _number(record[1]), _number(record[2])))
    return rows


def _number(text: str) -> object:
    try:
        return float(text)
    except ValueError:
        return text.strip()


def rows_of_list(items: list[Any], where: str, problems: list[Problem]) -> list[Row]:
    """Rows of an inline list of {name, amplitude, phase}."""
    rows: list[Row] = []
    for index, item in enumerate(items):
        place = f"{where}[{index}]"
        if not isinstance(item, dict):
            problems.append(Problem(place, shown(item), "a table {name, amplitude, phase}"))
            continue
        for key in item:
            if key not in COLUMNS:
                problems.append(Problem(join(place, key), "an unknown key", "name, amplitude, phase"))
        if all(key in item for key in COLUMNS):
            rows.append(Row(place, *(item[key] for key in COLUMNS)))
        for key in COLUMNS:
            if key not in item:
                problems.append(Problem(f"{place}.{key}", "nothing (the key is missing)", _EXPECTED[key]))
    return rows


_EXPECTED = {
    "name": "a constituent's name, such as M2",
    "amplitude": f"a number from 0 to {MAXIMUM_AMPLITUDE:g}",
    "phase": "a phase lag in degrees from -360 to 720",
}


def constants_of(
    rows: Iterable[Row], where: str, unit: float, utc_offset: float | None, problems: list[Problem]
) -> HarmonicConstants | None:
    """Checked rows as harmonic constants in SI, or None with every problem added.

    Args:
        rows: as read.
        where: key path of the table.
        unit: metres (or metres a second) in one of the table's units.
        utc_offset: hours of local phases, for which G = g - speed x offset; None for Greenwich phases.
        problems: collects what is wrong; holds what was wrong in reading the rows.
    """
    found: dict[Constituent, tuple[float, float]] = {}
    for row in rows:
        constituent = _constituent(row, problems)
        amplitude = _in_range(row.amplitude, 0.0, MAXIMUM_AMPLITUDE)
        phase = _in_range(row.phase, -360.0, 720.0)
        if amplitude is None:
            problems.append(Problem(f"{row.where} amplitude", shown(row.amplitude), _EXPECTED["amplitude"]))
        if phase is None:
            problems.append(Problem(f"{row.where} phase", shown(row.phase), _EXPECTED["phase"]))
        if constituent is None or amplitude is None or phase is None:
            continue
        if constituent in found:
            problems.append(
                Problem(f"{row.where} name", f"{constituent.name} a second time", "each name once")
            )
            continue
        shift = 0.0 if utc_offset is None else constituent.speed * utc_offset
        found[constituent] = amplitude * unit, (phase - shift) % 360.0
    told = any(problem.where.startswith(where) for problem in problems)
    if told or not found:
        if not told:
            problems.append(Problem(where, "no constituents", "at least one line name,amplitude,phase"))
        return None
    values = np.array(list(found.values()), dtype=float)
    return HarmonicConstants(tuple(found), values[:, 0].copy(), values[:, 1].copy())


def _constituent(row: Row, problems: list[Problem]) -> Constituent | None:
    if not isinstance(row.name, str) or not row.name:
        problems.append(Problem(f"{row.where} name", shown(row.name), _EXPECTED["name"]))
        return None
    try:
        return find(row.name)
    except UnknownConstituentError as error:
        near = f"such as {' or '.join(error.near)}" if error.near else "such as M2, S2, K1 or MS4"
        problems.append(
            Problem(f"{row.where} name", f"unknown constituent {shown(row.name)}", f"a known name {near}")
        )
        return None


def _in_range(value: object, low: float, high: float) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return float(value) if low <= value <= high else None
