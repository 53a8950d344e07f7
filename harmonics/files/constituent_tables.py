"""Constituent tables of a station file: a CSV beside it or a list inside it, as harmonic constants."""

import csv
import io
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Any, NamedTuple

import numpy as np
from pydantic import Field

from harmonics.bounds import AMPLITUDE
from harmonics.catalogue.constituents import Constituent, find
from harmonics.errors import FileProblemsError, UnknownConstituentError
from harmonics.files.checking import Table, checked
from harmonics.files.problems import MAXIMUM_SHOWN, Here, shown
from harmonics.files.text_files import read_text
from harmonics.sums.waves import HarmonicConstants

MAXIMUM_BYTES = 2**20


class ConstituentTable(Table):
    """One constituent, as a list has it or as the columns of a CSV."""

    name: Annotated[str, Field(min_length=1, description="a constituent's name, such as M2")]
    amplitude: Annotated[
        float, Field(ge=AMPLITUDE.least, le=AMPLITUDE.greatest, description=f"a number from {AMPLITUDE}")
    ]
    phase: Annotated[float, Field(ge=-360, le=720, description="a phase lag in degrees from -360 to 720")]


COLUMNS = tuple(ConstituentTable.model_fields)


class Row(NamedTuple):
    """One line of a table as found: where it stands, and its values unchecked."""

    here: Here
    values: object


def rows_of_csv(path: Path, here: Here) -> list[Row] | None:
    """Rows of a constituent CSV; None when it can't be read as one, with the problems reported.

    Comment lines (#) and empty lines may stand anywhere; the header is name,amplitude,phase.
    """
    name = path.name[:MAXIMUM_SHOWN]
    file = here.line(f"({name})")
    try:
        text = read_text(path, "a constituent table (CSV: name,amplitude,phase)", MAXIMUM_BYTES)
    except FileProblemsError as error:
        for item in error.problems:
            file.say(item.found, item.expected)
        return None
    numbered = [
        (number, line)
        for number, line in enumerate(io.StringIO(text), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    try:
        records = [next(csv.reader([line])) for _, line in numbered]
    except (csv.Error, StopIteration) as error:
        file.say(f"text that is not CSV ({error})", ",".join(COLUMNS))
        return None
    header = [cell.strip().lower() for cell in records[0]] if records else []
    if header != list(COLUMNS):
        found = shown(",".join(header)) if header else "an empty file"
        file.say(found, f"the header {','.join(COLUMNS)}")
        return None
    rows: list[Row] = []
    for (number, _), record in zip(numbered[1:], records[1:], strict=True):
        line = here.line(f"({name} line {number})")
        if len(record) != len(COLUMNS):
            line.say(f"{len(record)} values", "3: name,amplitude,phase")
            continue
        cells = record[0].strip(), _number(record[1]), _number(record[2])
        rows.append(Row(line, dict(zip(COLUMNS, cells, strict=True))))
    return rows


def _number(text: str) -> object:
    try:
        return float(text)
    except ValueError:
        return text.strip()


def rows_of_list(items: list[Any], here: Here) -> list[Row]:
    """Rows of an inline list of {name, amplitude, phase}."""
    return [Row(here.at(index), item) for index, item in enumerate(items)]


def constants_of(
    rows: Iterable[Row], here: Here, unit: float, utc_offset: float | None
) -> HarmonicConstants | None:
    """Checked rows as harmonic constants in SI, or None with every problem reported.

    Args:
        rows: as read.
        here: place of the table; what was wrong in reading the rows is reported inside it already.
        unit: metres (or metres a second) in one of the table's units.
        utc_offset: hours of local phases, for which G = g - speed x offset; None for Greenwich phases.
    """
    found: dict[Constituent, tuple[float, float]] = {}
    for row in rows:
        constituent = _constituent(row)
        model = checked(ConstituentTable, row.values, row.here)
        if model is None or constituent is None:
            continue
        if constituent in found:
            row.here.at("name").say(f"{constituent.name} a second time", "each name once")
            continue
        shift = 0.0 if utc_offset is None else constituent.speed * utc_offset
        found[constituent] = model.amplitude * unit, (model.phase - shift) % 360.0
    if not here.clean:
        return None
    if not found:
        here.say("no constituents", "at least one line name,amplitude,phase")
        return None
    values = np.array(list(found.values()), dtype=float)
    return HarmonicConstants(tuple(found), values[:, 0].copy(), values[:, 1].copy())


def _constituent(row: Row) -> Constituent | None:
    """The constituent of a row, as far as it has a name; a name that nothing explains is reported."""
    name = row.values.get("name") if isinstance(row.values, dict) else None
    if not isinstance(name, str) or not name:
        return None
    try:
        return find(name)
    except UnknownConstituentError as error:
        near = f"such as {' or '.join(error.near)}" if error.near else "such as M2, S2, K1 or MS4"
        row.here.at("name").say(f"unknown constituent {shown(name)}", f"a known name {near}")
        return None
