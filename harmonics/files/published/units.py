"""Units and phase kinds as the words of a table name them."""

import re
from enum import StrEnum, unique

from harmonics.units import METRES_PER_FOOT, METRES_PER_SECOND_PER_KNOT


@unique
class PhaseKind(StrEnum):
    """What a table's phase lags are reckoned from."""

    GREENWICH = "greenwich"
    LOCAL = "local"


@unique
class TableUnit(StrEnum):
    """A unit in which amplitudes are published."""

    METRES = "metres"
    CENTIMETRES = "centimetres"
    MILLIMETRES = "millimetres"
    FEET = "feet"
    INCHES = "inches"
    KNOTS = "knots"
    METRES_PER_SECOND = "m/s"
    CENTIMETRES_PER_SECOND = "cm/s"
    MILLIMETRES_PER_SECOND = "mm/s"

    @property
    def si(self) -> float:
        """Metres, or metres a second, in one of it."""
        return _SI[self]

    @property
    def of_currents(self) -> bool:
        """True for a unit of speed."""
        return self in _SPEEDS


_SI = {
    TableUnit.METRES: 1.0,
    TableUnit.CENTIMETRES: 0.01,
    TableUnit.MILLIMETRES: 0.001,
    TableUnit.FEET: METRES_PER_FOOT,
    TableUnit.INCHES: METRES_PER_FOOT / 12.0,
    TableUnit.KNOTS: METRES_PER_SECOND_PER_KNOT,
    TableUnit.METRES_PER_SECOND: 1.0,
    TableUnit.CENTIMETRES_PER_SECOND: 0.01,
    TableUnit.MILLIMETRES_PER_SECOND: 0.001,
}
_SPEEDS = frozenset(
    {
        TableUnit.KNOTS,
        TableUnit.METRES_PER_SECOND,
        TableUnit.CENTIMETRES_PER_SECOND,
        TableUnit.MILLIMETRES_PER_SECOND,
    }
)
_A_SECOND = r"\s*(?:/\s*s(?:ec(?:ond)?)?\b|s\^?-1\b|(?:per|a)\s+second\b)"
_METRES = r"m[eè]t(?:re|er|ro)s?"
_WORDS: tuple[tuple[TableUnit, str], ...] = (
    (TableUnit.MILLIMETRES_PER_SECOND, rf"\b(?:mm|milli{_METRES}){_A_SECOND}"),
    (TableUnit.CENTIMETRES_PER_SECOND, rf"\b(?:cm|centi{_METRES}){_A_SECOND}"),
    (TableUnit.METRES_PER_SECOND, rf"\b(?:m|{_METRES}){_A_SECOND}"),
    (TableUnit.KNOTS, r"\b(?:knots?|kts?|kn|n(?:oe|œ)uds?|nudos?|knoten)\b"),
    (TableUnit.MILLIMETRES, rf"\b(?:mm|milli{_METRES})\b"),
    (TableUnit.CENTIMETRES, rf"\b(?:cm|centi{_METRES})\b"),
    (TableUnit.FEET, r"\b(?:ft|foot|feet|english|pieds?|pies)\b"),
    (TableUnit.INCHES, r"(?:\binch(?:es)?\b|[(\[]in\.?[)\]])"),
    (TableUnit.METRES, rf"\b(?:m|metric|{_METRES})\b"),
)
_PATTERNS = tuple((unit, re.compile(pattern, re.IGNORECASE)) for unit, pattern in _WORDS)
_DEGREES_EACH = re.compile(r"(?:deg(?:rees?)?|°)\s*(?:/|per|an?)\s*h\w*", re.IGNORECASE)
_UTC = r"(?:utc|gmt|ut|u\.t\.|g\.m\.t\.|tu|z)"
_OFFSET = re.compile(
    rf"\b{_UTC}\s*(?P<sign>[+-])\s*(?P<hours>\d{{1,2}})(?::?(?P<minutes>[03-5]\d))?(?:\.(?P<half>5))?(?!\d)",
    re.IGNORECASE,
)
_GREENWICH = re.compile(r"\b(?:greenwich|gmt|utc|ut|ut1|universal|g\.m\.t|u\.t)\b", re.IGNORECASE)
_GREENWICH_LETTER = re.compile(r"(?<![\w'])G(?![\w'])")
_LOCAL = re.compile(r"\b(?:local|lst|lmt|zone|standard\s+time|time\s+meridian|locale?s?)\b", re.IGNORECASE)
MERIDIAN = re.compile(r"\bkappa\b|κ", re.IGNORECASE)


def units_in(text: str) -> list[TableUnit]:
    """The units that words name, each once; cm/s is no cm."""
    rest = _DEGREES_EACH.sub(" ", text.replace("_", " "))
    found = []
    for unit, pattern in _PATTERNS:
        rest, count = pattern.subn(" ", rest)
        if count:
            found.append(unit)
    return found


def offset_in(text: str) -> float | None:
    """Hours of the clock that words such as UTC-5 or GMT +0530 name; None where there are none."""
    match = _OFFSET.search(text.replace("_", " "))
    if match is None:
        return None
    hours = int(match["hours"]) + int(match["minutes"] or 0) / 60.0 + (0.5 if match["half"] else 0.0)
    return -hours if match["sign"] == "-" else hours


def phase_kinds_in(text: str) -> set[PhaseKind]:
    """The kinds of phase lag that words name; UTC-5 is a local clock, G alone is Greenwich."""
    kinds = set()
    if (offset := offset_in(text)) is not None:
        kinds.add(PhaseKind.LOCAL if offset else PhaseKind.GREENWICH)
    rest = _OFFSET.sub(" ", text.replace("_", " "))
    if _GREENWICH.search(rest) or _GREENWICH_LETTER.search(rest):
        kinds.add(PhaseKind.GREENWICH)
    if _LOCAL.search(rest):
        kinds.add(PhaseKind.LOCAL)
    return kinds
