"""The columns of a published table, by the words that head them.

Words are those of hydrographic tables in English, French, Spanish, Portuguese and German (common practice).
"""

import re
from dataclasses import dataclass, replace
from enum import StrEnum, unique

from harmonics.files.published.units import (
    MERIDIAN,
    PhaseKind,
    TableUnit,
    offset_in,
    phase_kinds_in,
    units_in,
)


@unique
class Role(StrEnum):
    """What a column holds."""

    NUMBER = "number"
    NAME = "name"
    AMPLITUDE = "amplitude"
    PHASE = "phase lag"
    SPEED = "speed"
    AZIMUTH = "azimuth"
    MEAN = "mean flow"
    OTHER = "not used"


@unique
class Axis(StrEnum):
    """The axis a column of a current table belongs to."""

    NONE = ""
    MAJOR = "major"
    MINOR = "minor"
    EAST = "east"
    NORTH = "north"


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Attributes:
        index: its place in the row, from 0.
        title: as printed.
        role, axis: what it holds.
        units: of amplitudes, as the title names them.
        phases: kinds of phase lag that the title names.
        offset: hours of the clock that the title names.
        meridian: True for lags on the meridian of the place (kappa).
    """

    index: int
    title: str
    role: Role
    axis: Axis = Axis.NONE
    units: tuple[TableUnit, ...] = ()
    phases: frozenset[PhaseKind] = frozenset()
    offset: float | None = None
    meridian: bool = False


LONGEST_TITLE = 120
_CAMEL = re.compile(r"(?<=[a-z])(?=[A-Z])")
_JOINED = re.compile(r"[_/.,:;()\[\]\s-]+")
_BRACKETS = re.compile(r"[(\[][^()\[\]]*[)\]]")
_NUMBER = frozenset("# no nr num number n° № nº index order rank const_no".split())
_NAME = frozenset("name names nom nombre nome symbol code".split())
_CONSTITUENT = frozenset(
    "constituent constituents const harmonic component wave tide line onde ondes composante constituant "
    "componente constituyente constituinte armonico armónico onda tiden partialtide konst konstituent "
    "konstituente".split()
)
_AMPLITUDE = ("amp", "semirange", "sema")
_PHASE = frozenset(
    "phase phases lag lags pha fase fases epoch situation kappa κ φ phasenlage phasenwinkel phi".split()
)
_SPEED = frozenset(
    "speed speeds frequency freq period periods vitesse velocidad geschwindigkeit rate".split()
)
_ERROR = frozenset(
    "err error errors std sd sigma σ stdev uncertainty ci interval snr erreur accuracy ± +/- 95%".split()
)
_AZIMUTH = frozenset("azimuth inclination inc bearing orientation direction azimut inclinaison".split())
_DESCRIPTION = frozenset("description remark remarks comment origin meaning nature note notes".split())
_AXES = {
    **dict.fromkeys(("major", "sema", "along", "semimajor"), Axis.MAJOR),
    **dict.fromkeys(("minor", "across", "semiminor"), Axis.MINOR),
    **dict.fromkeys(("east", "eastward", "u", "zonal"), Axis.EAST),
    **dict.fromkeys(("north", "northward", "v", "meridional"), Axis.NORTH),
}


def column(index: int, title: str) -> Column:
    """A column from the words above it."""
    printed = " ".join(title[:LONGEST_TITLE].split())
    title = _CAMEL.sub(" ", printed)
    words = [word for word in _JOINED.split(title) if word]
    lower = [word.lower().strip("'′*") for word in words]
    bare = _BRACKETS.sub(" ", title).strip(" .:*")
    role = _role(bare, lower, title)
    found = Column(index, printed, role, _axis(lower))
    if role is Role.PHASE:
        kinds = frozenset(phase_kinds_in(title))
        if bare.lower() in ("g", "g°"):  # a symbol: lower case is said of Greenwich and of local lags alike
            kinds = (
                frozenset(phase_kinds_in(title[1:])) if bare[0] == "g" else frozenset({PhaseKind.GREENWICH})
            )
        return replace(
            found, phases=kinds, offset=offset_in(title), meridian=MERIDIAN.search(title) is not None
        )
    return replace(found, units=tuple(units_in(title))) if role is not Role.OTHER else found


def _role(bare: str, words: list[str], title: str) -> Role:
    """The first of these that the words fit."""
    have = set(words)
    units = units_in(title)
    flow = any(unit.of_currents for unit in units)
    if have & _ERROR or have & _DESCRIPTION:
        return Role.OTHER
    if "mean" in have and (flow or have & _SPEED or have & {"flow", "current"}):
        return Role.MEAN
    if have & _NUMBER and not have & _NAME:
        return Role.NUMBER
    rules = (
        (Role.PHASE, bool(have & _PHASE) or bare.lower() in ("g", "g°")),
        (Role.AMPLITUDE, any(word.startswith(_AMPLITUDE) for word in words) or bare in ("H", "h")),
        (Role.AZIMUTH, bool(have & _AZIMUTH)),
        (Role.AMPLITUDE, flow or bool(have & {"major", "minor"}) or words == ["semi"]),
        (Role.SPEED, bool(have & _SPEED)),
        (Role.NAME, bool(have & (_NAME | _CONSTITUENT))),
    )
    return next((role for role, fits in rules if fits), Role.OTHER)


def _axis(words: list[str]) -> Axis:
    if words == ["semi"]:
        return Axis.MINOR
    return next((_AXES[word] for word in words if word in _AXES), Axis.NONE)


_UNDER = re.compile(
    r"(?:(?:utc|gmt)\s*[+-]\d{1,2}(?::?\d\d)?|deg(?:rees?)?|°|true|per|an?|hours?|hr|utc|gmt|greenwich|local|"
    r"lst|in|m|cm|mm|ft|feet|met(?:re|er)s?|kn|knots?|g|h|s|[/(),.\[\]\s])+",
    re.IGNORECASE,
)


def only_units(titles: list[str]) -> bool:
    """True for a line under a header that names units and phase kinds alone."""
    filled = [title for title in titles if title.strip()]
    return bool(filled) and all(len(title) <= 40 and _UNDER.fullmatch(title) for title in filled)
