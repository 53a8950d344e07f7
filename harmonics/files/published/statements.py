"""What the lines above and below a table say of its numbers: unit, kind of phase lag, clock."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum, unique

from harmonics.files.published.lines import Line, is_rule, uncommented
from harmonics.files.published.units import PhaseKind, TableUnit, offset_in, phase_kinds_in, units_in
from harmonics.files.zones import zone_named

LONGEST_STATEMENT = 300
MOST_STATEMENTS = 3000


@unique
class Fact(StrEnum):
    """What a line can say."""

    UNIT = "unit"
    HEIGHT_UNIT = "unit of heights"
    PHASE = "phase"
    OFFSET = "offset"
    ZONE = "time zone"
    DATUM = "datum"
    MEAN_LEVEL = "mean level"
    LATITUDE = "latitude"
    LONGITUDE = "longitude"
    STATION = "station"
    MEAN_FLOW = "mean flow"
    FLOOD = "flood direction"
    EBB = "ebb direction"
    ACROSS = "minor axis"


Value = float | str | frozenset[PhaseKind] | TableUnit | tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """One thing that a line says.

    Attributes:
        fact: what of.
        value: degrees, a text, a number in `unit`, the kinds of phase lag that the line names, or the hours
            from UTC that its clock may have.
        line: which says it; None where an option does.
        unit: of a level or a flow; None where the line names none.
    """

    fact: Fact
    value: Value
    line: Line | None
    unit: TableUnit | None = None


NUMBER = r"[+-]?\d+(?:[.,]\d+)?"
_AMPLITUDE_LINE = re.compile(
    r"\b(?:units?|unités?|unidad(?:es)?|einheit(?:en)?|amplitud(?:es?|en)?|amplitudes?|speeds?)\b|\bH\b",
    re.IGNORECASE,
)
_HEIGHT_LINE = re.compile(r"\b(?:heights?|elevations?|hauteurs?|alturas?)\b", re.IGNORECASE)
_COUNTED = re.compile(
    rf"{NUMBER}\s*(?:feet|foot|ft|m|met(?:re|er)s?|[cm]m|in|inch(?:es)?|kn|knots?)\b", re.IGNORECASE
)
_PHASE_LINE = re.compile(
    r"\b(?:phases?|lags?|epochs?|fases?|situations?|harmonic constants|constantes|phasen(?:lagen?)?)\b|\bg\b",
    re.IGNORECASE,
)
_ZONE_LINE = re.compile(
    r"\b(?:time\s*-?\s*zone|zone|time\s+meridian|fuseau(?:\s+horaire)?|huso(?:\s+horario)?|zeitzone|clock)\b",
    re.IGNORECASE,
)
_AFTER_ZONE = re.compile(r"(?P<sign>[+-])\s*(?P<hours>\d{1,2})(?::?(?P<minutes>[03-5]\d))?(?!\d|[.,:]\d)")
_MERIDIAN = re.compile(
    r"meridian\b\W{0,4}(?P<degrees>\d{1,3}(?:\.\d+)?)\s*°?\s*(?P<side>[EW])\b", re.IGNORECASE
)
_IANA = re.compile(r"\b[A-Z][A-Za-z]{2,20}(?:/[A-Z][A-Za-z_+\-0-9]{1,30}){1,2}")
_UTC_ALONE = re.compile(r"\b(?:utc|gmt|ut|universal time|greenwich|z)\b", re.IGNORECASE)
_CLOCKS: dict[str, tuple[float, ...]] = {
    **{"NST": (-3.5,), "AST": (-4.0, 3.0), "EST": (-5.0, 10.0), "CST": (-6.0, 8.0), "MST": (-7.0,)},
    **{"PST": (-8.0, 8.0), "AKST": (-9.0,), "HST": (-10.0,), "WET": (0.0,), "CET": (1.0,), "MEZ": (1.0,)},
    **{"EET": (2.0,), "MSK": (3.0,), "IST": (5.5, 2.0), "JST": (9.0,), "KST": (9.0,), "AWST": (8.0,)},
    **{"ACST": (9.5,), "AEST": (10.0,), "NZST": (12.0,), "BRT": (-3.0,), "ART": (-3.0,), "CLT": (-4.0,)},
}
"""Hours from UTC of clocks by their letters (from memory); some letters are said of several."""
_CLOCK = re.compile(rf"\b(?:{'|'.join(_CLOCKS)})\b")


def number_statements(lines: Iterable[Line]) -> list[Said]:
    """What lines outside a table say of its unit, its phase lags and its clock, in their order."""
    found: list[Said] = []
    for line, text in texts(lines):
        found += _units(text, line)
        kinds = phase_kinds_in(text) if _PHASE_LINE.search(text) else set()
        if kinds:
            found.append(Said(Fact.PHASE, frozenset(kinds), line))
        if kinds or _ZONE_LINE.search(text):
            found += _clock(text, line)
    return found


def texts(lines: Iterable[Line]) -> list[tuple[Line, str]]:
    """Lines that could say something, with what they say: two cells are a key and its value."""
    found: list[tuple[Line, str]] = []
    for line in lines:
        if line.cells is None:
            text = uncommented(line.text)
        else:
            filled = list(dict.fromkeys(cell for cell in line.cells if cell))
            pairs = zip(filled[::2], filled[1::2], strict=False)
            keyed = len(filled) in (2, 4)
            text = "; ".join(map(": ".join, pairs)) if keyed else "   ".join(filled)
        if not is_rule(text) and len(text) <= LONGEST_STATEMENT:
            found.append((line, text))
            if len(found) >= MOST_STATEMENTS:
                break
    return found


def _units(text: str, line: Line) -> list[Said]:
    if not (_AMPLITUDE_LINE.search(text) or _HEIGHT_LINE.search(text)) or _COUNTED.search(text):
        return []
    fact = Fact.UNIT if _AMPLITUDE_LINE.search(text) else Fact.HEIGHT_UNIT
    return [Said(fact, unit, line) for unit in units_in(text)]


def _clock(text: str, line: Line) -> list[Said]:
    """The clock a line names: hours from UTC, several where the words can be read in two ways."""
    found: list[Said] = []
    for match in _IANA.finditer(text):
        if zone_named(match[0]) is not None:
            found.append(Said(Fact.ZONE, match[0], line))
    hours = _hours(text)
    if hours:
        found.append(Said(Fact.OFFSET, hours, line))
    return found


def _hours(text: str) -> tuple[float, ...]:
    if (offset := offset_in(text)) is not None:
        return (offset,)
    if match := _MERIDIAN.search(text):
        side = 1.0 if match["side"].upper() == "E" else -1.0
        return (side * float(match["degrees"]) / 15.0,)
    if match := _CLOCK.search(text):
        return _CLOCKS[match[0]]
    zone = _ZONE_LINE.search(text)
    if zone and (match := _AFTER_ZONE.search(text, zone.end())):
        size = int(match["hours"]) + int(match["minutes"] or 0) / 60.0
        # -0500 is said of clocks behind UTC, and +5 of the hours to add to such a clock.
        return (0.0,) if size == 0.0 else (size, -size) if match["sign"] == "+" else (-size, size)
    return (0.0,) if _UTC_ALONE.search(text) else ()
