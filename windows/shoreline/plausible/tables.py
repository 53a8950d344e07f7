"""What constituent tables say of themselves, and stations beside one another: units, kinds of phase lag."""

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from harmonics.catalogue.constituents import find
from harmonics.errors import FileProblemsError
from harmonics.files.constituent_tables import MAXIMUM_BYTES
from harmonics.files.station_keys import length_unit
from harmonics.files.text_files import read_text
from harmonics.stations.types import Station
from harmonics.units import METRES_PER_FOOT
from windows.shoreline.plausible.findings import Finding, Oddity, line
from windows.shoreline.plausible.places import distance
from windows.shoreline.whole import Shore
from windows.shoreline.zones import is_fixed, standard_offset

if TYPE_CHECKING:
    from harmonics.files.published.statements import Fact, Said

NEIGHBOURS = 80.0
"""Kilometres within which two gauges of one coast have much the same tide."""
MAIN = ("M2", "S2", "N2", "K1", "O1")
LEAST_AMPLITUDE = 0.03
"""Metres of constituents that are compared."""
SAME_SHIFT = 0.4
"""Hours within which the constituents of a shifted table agree."""
LEAST_SHIFT = 2.5
"""Hours: between neighbours the tide itself takes less."""
SAME_SCALE = 0.05
"""Of 3.28: amplitudes of neighbours differ by themselves, but not all by the foot."""


def impossible_tables(shore: Shore, document: Mapping[str, object], year: int) -> Iterator[Finding]:
    """Units and phases that can't be; comments are taken apart only where they may contradict the file.

    Args:
        shore, document, year: as for `tables`.
    """
    for key in ("stations", "currents"):
        for i, table in enumerate(_listed(document, key)):
            if not _says_the_same(table, key, shore):
                yield from _comments(f"{key}[{i}]", table, shore)
            yield from _offset(f"{key}[{i}]", table, shore, year)


def tables(shore: Shore, document: Mapping[str, object], year: int) -> Iterator[Finding]:
    """Everything odd about units and phases.

    Args:
        shore: the file, read.
        document: the same as it stands.
        year: whose clock is looked at.
    """
    stations = _listed(document, "stations")
    for i, table in enumerate(stations):
        yield from _comments(f"stations[{i}]", table, shore)
        yield from _offset(f"stations[{i}]", table, shore, year)
    for i, table in enumerate(_listed(document, "currents")):
        yield from _comments(f"currents[{i}]", table, shore)
        yield from _offset(f"currents[{i}]", table, shore, year)
    own = [(i, item) for i, item in enumerate(shore.stations) if isinstance(item, Station)]
    for (_, first), (j, second) in combinations(own, 2):
        positions = (first.latitude, first.longitude), (second.latitude, second.longitude)
        if distance(*positions) <= NEIGHBOURS:
            yield from _neighbours(f"stations[{j}]", first, second, shore, year)


def _listed(document: Mapping[str, object], key: str) -> Sequence[Mapping[str, object]]:
    found = document.get(key, [])
    return found if isinstance(found, list) else []


_UNIT_WORD = (
    r"(?P<feet>\b(?:feet|foot|ft)\b)|(?P<metres>\bmet(?:re|er)s?\b)|(?P<knots>\b(?:knots?|kn)\b)"
    r"|(?P<other>\b_*(?:m|[mc]m|\w*m[eè]t(?:r|er)\w*|metric|english|inch\w*|pieds?|pies|kts?|n\w+uds?|nudos?"
    r"|knoten)_*\b|[(\[]in\b)"
)
_LOCAL_WORD = r"local|\b(?:lst|lmt|zone|standard|meridian)\b|\b(?:utc?|gmt|z)\s*[+-]"
_GREENWICH_WORD = r"greenwich|\b(?:gmt|universal|utc?1?)\b(?!\s*[+-])|\bg\b"


def _says_the_same(table: Mapping[str, object], key: str, shore: Shore) -> bool:
    """Whether the words of a table's comments can't contradict its keys."""
    text = _text_of(table, shore.path.parent)
    comments = "\n".join(line for line in (text or "").splitlines() if line.lstrip().startswith("#"))
    if not comments:
        return True
    written = "knots" if key == "currents" else length_unit(table, shore.head.units.value).value
    if any(word.lastgroup != written for word in re.finditer(_UNIT_WORD, comments, re.IGNORECASE)):
        return False
    others = _GREENWICH_WORD if table.get("phase") == "local" else _LOCAL_WORD
    return re.search(others, comments, re.IGNORECASE) is None


def _text_of(table: Mapping[str, object], folder: Path) -> str | None:
    """The table beside the file that a station names; None where there is none that can be read."""
    name = table.get("constituents")
    if not isinstance(name, str):
        return None
    try:
        return read_text(folder / name, "a constituent table", MAXIMUM_BYTES)
    except FileProblemsError:
        return None  # told where the file was read


class _Word(NamedTuple):
    """What a comment says of its table: a unit or a kind of lag, and its line, counted from 1."""

    value: str
    line: int


_OWN_UNIT = r"# (?:Amplitudes|Speeds) in ([\w/]+)"
_OWN_PHASE = r"# Phase lags are (?:Greenwich|local), "
_WRITTEN = {
    "feet": "feet",
    "inches": "feet",
    "metres": "metres",
    "centimetres": "metres",
    "millimetres": "metres",
}
"""Units of published tables, and those in which `import` writes them; all speeds become knots."""


def _own_words(text: str) -> tuple[_Word | None, _Word | None] | None:
    """Unit and phase of a table that `import` wrote, whose comments tell of the published one; else None."""
    unit = phase = None
    for number, row in enumerate(text.splitlines(), 1):
        if match := re.match(_OWN_UNIT, row):
            unit = _Word(_WRITTEN.get(match[1], "knots"), number)
        elif re.match(_OWN_PHASE, row):
            phase = _Word("greenwich", number)
    return None if phase is None else (unit, phase)


def _words(text: str) -> tuple[_Word | None, _Word | None]:
    """Unit and phase that the comments of any table name; None for what they leave open."""
    from harmonics.files.published.lines import COMMENT, lines_of_text
    from harmonics.files.published.statements import Fact, number_statements
    from harmonics.files.published.units import TableUnit

    said = _first_of_each(
        number_statements([item for item in lines_of_text(text) if COMMENT.match(item.text)])
    )
    unit, phase = said.get(Fact.UNIT), said.get(Fact.PHASE)
    found: list[_Word | None] = [None, None]
    if unit is not None and unit.line is not None and isinstance(unit.value, TableUnit):
        found[0] = _Word(unit.value.value, unit.line.number)
    if phase is not None and phase.line is not None and isinstance(phase.value, frozenset):
        kinds = [kind.value for kind in phase.value]
        found[1] = _Word(kinds[0], phase.line.number) if len(kinds) == 1 else None
    return found[0], found[1]


def _comments(where: str, table: Mapping[str, object], shore: Shore) -> Iterator[Finding]:
    """The comments of a table beside the file against the keys of its station."""
    name, text = table.get("constituents"), _text_of(table, shore.path.parent)
    if text is None or not isinstance(name, str):
        return
    unit, phase = _own_words(text) or _words(text)
    current = where.startswith("currents")
    written = "knots" if current else length_unit(table, shore.head.units.value).value
    if unit is not None and unit.value != written:
        yield Finding(
            Oddity.TABLE_UNIT,
            f"{where}.constituents" if current else f"{where}.length_unit",
            (unit.value, written, name, float(unit.line)),
            _unit_lines(unit.value, where),
            True,
        )
    written = str(table.get("phase", "greenwich"))
    if phase is not None and phase.value != written:
        write = (
            ('phase = "local"', "utc_offset = HOURS") if phase.value == "local" else ('phase = "greenwich"',)
        )
        about = (phase.value, written, name, float(phase.line))
        yield Finding(Oddity.TABLE_PHASE, f"{where}.phase", about, write, True)


def _first_of_each(said: "Sequence[Said]") -> "dict[Fact, Said]":
    """The first line that says each fact in one way; our own tables open with it."""
    found: dict[Fact, Said] = {}
    for item in said:
        found.setdefault(item.fact, item)
    return found


def _unit_lines(unit: str, where: str) -> tuple[str, ...]:
    if where.startswith("stations") and unit in ("feet", "metres"):
        return (line("length_unit", unit),)
    return (f"ebblight import TABLE --units {unit} -o CSV",)


def _offset(where: str, table: Mapping[str, object], shore: Shore, year: int) -> Iterator[Finding]:
    """An offset of local lags that is not the coast's: the sign of west again."""
    offset = table.get("utc_offset")
    if table.get("phase") != "local" or not isinstance(offset, int | float) or is_fixed(shore.head.zone.key):
        return
    clock = standard_offset(shore.head.zone, year)
    if abs(offset - clock) <= 2.0:
        return
    mirrored = abs(offset + clock) <= 0.1 and clock != 0
    yield Finding(
        Oddity.OFFSET_SIGN,
        f"{where}.utc_offset",
        (float(offset), clock, shore.head.zone.key),
        (line("utc_offset", clock),),
        mirrored,
    )


def _neighbours(where: str, first: Station, second: Station, shore: Shore, year: int) -> Iterator[Finding]:
    """Two near gauges whose lags differ by a clock, or whose amplitudes as feet do from metres."""
    one, two = first.constants.named(), second.constants.named()
    names = [
        name for name in MAIN
        if name in one and name in two and min(one[name].amplitude, two[name].amplitude) >= LEAST_AMPLITUDE
    ]  # fmt: skip
    if len(names) < 2:
        return
    ratios = np.array([two[name].amplitude / one[name].amplitude for name in names])
    scale = float(np.exp(np.log(ratios).mean()))
    for factor in (1.0 / METRES_PER_FOOT, METRES_PER_FOOT):
        if np.all(np.abs(ratios / factor - 1.0) <= SAME_SCALE):
            yield Finding(Oddity.AMPLITUDES_SCALED, f"{where}.length_unit", (scale, first.id))
    shift = _shift([(two[name].phase_lag - one[name].phase_lag, find(name).speed) for name in names])
    if shift is None or abs(shift) < LEAST_SHIFT:
        return
    clock = standard_offset(shore.head.zone, year)
    offset = clock if abs(shift - clock) <= 1.0 else float(round(shift))
    write = ('phase = "local"', line("utc_offset", offset))
    yield Finding(Oddity.LAGS_SHIFTED, f"{where}.phase", (shift, first.id), write)


def _shift(differences: Sequence[tuple[float, float]]) -> float | None:
    """Hours of the clock that explains all differences of lags (degrees, degrees an hour); None for none."""
    hours = np.arange(-12.0, 12.0, 0.05)
    turned = np.array(
        [(difference - speed * hours + 180.0) % 360.0 - 180.0 for difference, speed in differences]
    )
    apart = np.abs(turned / np.array([[speed] for _, speed in differences])).max(axis=0)
    best = int(np.argmin(apart))
    return float(hours[best]) if apart[best] <= SAME_SHIFT else None
