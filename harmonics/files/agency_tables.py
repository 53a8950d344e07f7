"""Constituent tables as agencies publish them, read into harmonic constants.

Text tables have a header with name, amplitude, phase and perhaps number, speed and description, separated
by tabs, commas or semicolons; JSON documents hold a list of objects with name, amplitude, phase_GMT or
phase_local, and perhaps speed, and say their units. What a table does not say and the caller does not give
is a problem, never a guess; what is assumed is told.
"""

import csv
import json
import math
import re
from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Any, TypeVar

from harmonics.catalogue.constituents import find
from harmonics.errors import UnknownConstituentError
from harmonics.files.constituent_tables import COLUMNS, Row, constants_of
from harmonics.files.problems import Here, Problems, named, shown
from harmonics.sums.waves import HarmonicConstants
from harmonics.units import LENGTH_WORDS, LengthUnit

SPEED_TOLERANCE = 1e-4
"""Degrees an hour. Agencies print four to seven decimals; lines a year apart differ by 0.041."""
MAXIMUM_BYTES = 4 * 2**20
"""Agencies publish a few hundred lines a station."""
UNIT_WORDS = LENGTH_WORDS | {"metric": LengthUnit.METRES, "english": LengthUnit.FEET}
GREENWICH_WORDS = frozenset({"greenwich", "gmt", "utc", "g"})
LOCAL_WORDS = frozenset({"local", "lst"})

T = TypeVar("T", bound=StrEnum)


@unique
class PhaseKind(StrEnum):
    """What a table's phase lags are reckoned from."""

    GREENWICH = "greenwich"
    LOCAL = "local"


@dataclass(frozen=True, eq=False)
class ImportedTable:
    """A published table made ready for a station file.

    Attributes:
        constants: amplitudes in metres, Greenwich lags; lines of no amplitude left out.
        unit: of the table as published.
        phase: of the table as published.
        assumed: what was assumed or left out, in sentences.
    """

    constants: HarmonicConstants
    unit: LengthUnit
    phase: PhaseKind
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Raw:
    """A table's rows before any check: where, name, amplitude, phase, speed; and what its head says."""

    rows: tuple[tuple[str, str, object, object, object], ...]
    unit: LengthUnit | None
    phase: PhaseKind | None
    assumed: tuple[str, ...] = ()


def import_table(
    text: str,
    path: str,
    *,
    unit: LengthUnit | None = None,
    phase: PhaseKind | None = None,
    utc_offset: float | None = None,
) -> ImportedTable:
    """Constants from the text of a published table.

    Args:
        text: CSV, tab-separated or JSON.
        path: how problems name it.
        unit: of the amplitudes, where the table does not say.
        phase: what the lags are reckoned from, where the table does not say.
        utc_offset: hours of the local zone, needed for local lags: G = g - speed x utc_offset.

    Raises:
        FileProblemsError: anything is missing or wrong; every problem is named.
    """
    problems = Problems(path)
    top = Here("", problems)
    prefer = phase if phase is not None else PhaseKind.GREENWICH
    raw = _from_json(text, prefer, top) if text.lstrip()[:1] in ("{", "[") else _from_text(text, prefer, top)
    if raw is None:
        raise problems.error()
    table_unit = _settled(top.at("units"), raw.unit, unit, "the amplitudes' unit")
    kind = _settled(top.at("phase"), raw.phase, phase, "whether lags are Greenwich or local")
    if kind is PhaseKind.LOCAL and (utc_offset is None or not -14 <= utc_offset <= 14):
        found = "no offset" if utc_offset is None else f"{utc_offset:g} hours"
        top.at("utc_offset").say(found, "hours from UTC of the local zone, -14 to 14")
    sentences = [*raw.assumed, *_checked_speeds(raw, top)]
    offset = utc_offset if kind is PhaseKind.LOCAL else None
    rows = [Row(top.line(where), dict(zip(COLUMNS, cells, strict=True))) for where, *cells, _ in raw.rows]
    scale = table_unit.metres if table_unit else 1.0
    constants = constants_of(rows, top.at("table"), scale, offset)
    if problems or constants is None or table_unit is None or kind is None:
        raise problems.error()
    constants, dropped = _without_zeros(constants)
    if dropped:
        sentences.append(f"Left out, of amplitude 0: {', '.join(dropped)}.")
    sentences += _told(raw, table_unit, kind, utc_offset)
    return ImportedTable(constants, table_unit, kind, tuple(sentences))


def _settled(here: Here, said: T | None, asked: T | None, what: str) -> T | None:
    if said is not None and asked is not None and said is not asked:
        here.say(f"{said.value} in the table", f"{asked.value}, as was asked for")
    if said is None and asked is None:
        here.say("nothing in the table", f"{what}, in the header or given")
    return said if said is not None else asked


def _told(raw: _Raw, unit: LengthUnit, kind: PhaseKind, utc_offset: float | None) -> list[str]:
    sentences = [f"Amplitudes in {unit.value}, {'as the table says' if raw.unit else 'as given'}."]
    whence = "as the table says" if raw.phase else "as given"
    if kind is PhaseKind.LOCAL:
        sentences.append(
            f"Phase lags are local, {whence}; turned to Greenwich with G = g - speed x ({utc_offset:+g} h)."
        )
    else:
        sentences.append(f"Phase lags are Greenwich, {whence}.")
    sentences.append("Node factors as US agencies use them (yearly, Schureman) go with these constants.")
    return sentences


def _without_zeros(constants: HarmonicConstants) -> tuple[HarmonicConstants, list[str]]:
    dropped = [name for name, wave in constants.named().items() if not wave.amplitude > 0]
    return constants.keep(constants.amplitude > 0), dropped


def _checked_speeds(raw: _Raw, top: Here) -> list[str]:
    given = [(where, name, speed) for where, name, _, _, speed in raw.rows if speed is not None]
    for where, name, speed in given:
        if not isinstance(speed, float) or not math.isfinite(speed):
            top.line(where).at("speed").say(shown(speed), "degrees an hour")
            continue
        try:
            row = find(name)
        except UnknownConstituentError:
            continue  # the table's own check names it
        if abs(speed - row.speed) > SPEED_TOLERANCE:
            found = f"{name} at {speed:.7f} degrees an hour"
            top.line(where).at("speed").say(found, f"{row.speed:.7f}, the speed of {row.name}")
    if not given:
        return ["The table has no speeds: constituents are taken by their names alone."]
    return [f"Speeds agree with the catalogue to {SPEED_TOLERANCE:g} degrees an hour."]


def _words(text: str) -> set[str]:
    return {word.lower() for word in re.split(r"[^A-Za-z]+", text) if word}


def _kind_of(words: set[str]) -> PhaseKind | None:
    if words & LOCAL_WORDS:
        return PhaseKind.LOCAL
    return PhaseKind.GREENWICH if words & GREENWICH_WORDS else None


def _unit_of(words: set[str]) -> LengthUnit | None:
    return next((UNIT_WORDS[word] for word in sorted(words) if word in UNIT_WORDS), None)


def _number(value: object) -> object:
    """A number or a text of one as a float; anything else as it is."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        return value
    try:
        return float(value)
    except (ValueError, OverflowError):
        return value.strip() if isinstance(value, str) else value


def _column(headers: list[str], starts: tuple[str, ...], prefer: str = "") -> int | None:
    """Index of the column whose header has a word of that kind; the preferred one of several."""
    fits = [i for i, header in enumerate(headers) if any(w.startswith(starts) for w in _words(header))]
    liked = [i for i in fits if prefer and _kind_of(_words(headers[i])) == prefer]
    return next(iter(liked or fits), None)


def _from_text(text: str, prefer: PhaseKind, top: Here) -> _Raw | None:
    numbered = [
        (number, line)
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    expected = "a header with name, amplitude and phase"
    if not numbered:
        top.say("no text", expected)
        return None
    separator = max("\t,;", key=numbered[0][1].count)
    headers = _cells(numbered[0][1], separator)
    name = _column(headers, ("name", "constituent"))
    if (better := _column(headers, ("name",))) is not None:
        name = better
    amplitude, speed = _column(headers, ("amp",)), _column(headers, ("speed",))
    phase = _column(headers, ("phase", "lag"), prefer)
    if name is None or amplitude is None or phase is None:
        top.line(f"line {numbered[0][0]}").say(f"the header {', '.join(headers)[:80]}", expected)
        return None
    rows = []
    for number, line in numbered[1:]:
        cells = _cells(line, separator)
        if len(cells) <= max(name, amplitude, phase, speed or 0):
            top.line(f"line {number}").say(f"{len(cells)} fields", f"{len(headers)}, as in the header")
            continue
        said = _number(cells[speed]) if speed is not None else None
        rows.append((f"line {number}", cells[name], _number(cells[amplitude]), _number(cells[phase]), said))
    return _Raw(tuple(rows), _unit_of(_words(headers[amplitude])), _kind_of(_words(headers[phase])))


def _cells(line: str, separator: str) -> list[str]:
    """The fields of one line; none where it is no CSV."""
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=separator))]
    except csv.Error:
        return []


def _from_json(text: str, prefer: PhaseKind, top: Here) -> _Raw | None:
    try:
        document = json.loads(text)
    except json.JSONDecodeError as error:
        top.say(f"text that is not JSON ({error})", "a JSON table")
        return None
    except (ValueError, RecursionError):
        found = "text that is not JSON (brackets too deep, or a number of thousands of digits)"
        top.say(found, "a JSON table")
        return None
    head: dict[str, Any] = document if isinstance(document, dict) else {}
    lists = [document] if isinstance(document, list) else [v for v in head.values() if isinstance(v, list)]
    tables = [items for items in lists if items and all(isinstance(item, dict) for item in items)]
    if len(tables) != 1:
        top.say(f"{len(tables)} lists of constituents", "one list of objects")
        return None
    items = tables[0]
    keys = {PhaseKind.GREENWICH: "phase_GMT", PhaseKind.LOCAL: "phase_local"}
    other = PhaseKind.LOCAL if prefer is PhaseKind.GREENWICH else PhaseKind.GREENWICH
    kind = next((k for k in (prefer, other) if all(keys[k] in item for item in items)), None)
    key = keys[kind] if kind else "phase"
    rows = []
    for i, item in enumerate(items):
        where = f"constituent {i + 1}"
        if lacking := [k for k in ("name", "amplitude", key) if k not in item]:
            top.line(where).say(f"no {', '.join(lacking)}", "name, amplitude and phase")
            continue
        said = _number(item["speed"]) if item.get("speed") is not None else None
        rows.append((where, named(item["name"]), _number(item["amplitude"]), _number(item[key]), said))
    both = kind is not None and all(keys[other] in item for item in items) and kind is prefer
    assumed = (f"The table has both lags: {key} is used, {keys[other]} is not.",) if both else ()
    return _Raw(tuple(rows), _unit_of(_words(named(head.get("units", "")))), kind, assumed)
