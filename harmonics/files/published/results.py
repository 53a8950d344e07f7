"""What a published table was read into: constants, where each fact stands in it, and what to know of it."""

from dataclasses import dataclass
from enum import StrEnum, unique

from harmonics.files.published.statements import Said
from harmonics.files.published.units import PhaseKind, TableUnit
from harmonics.sums.waves import HarmonicConstants
from harmonics.units import LengthUnit


@unique
class NoteKind(StrEnum):
    """Something to know of a table as it was read."""

    NO_SPEEDS = "no speeds"
    SPEEDS_AGREE = "speeds agree"
    OTHER_MEANING = "a name with another meaning"
    NO_AMPLITUDE = "left out, of amplitude 0"
    NO_NUMBERS = "left out, without numbers"
    BOTH_PHASES = "two columns of lags"
    BOTH_AMPLITUDES = "two columns of amplitudes"
    PASSED_OVER = "lines that are no rows"
    TWO_READINGS = "two readings, neither taken"
    ONE_AXIS = "minor axis left out"
    ROTATION = "sign of the minor axis"
    FLOOD_IS_AXIS = "flood taken to set along the axis"
    NOT_UTF8 = "text of an older encoding"


@dataclass(frozen=True, slots=True)
class Note:
    """One such thing: names, titles or lines that it speaks of."""

    kind: NoteKind
    about: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Place:
    """What a table says of its station; None where it says nothing, or two things.

    Attributes:
        station, latitude, longitude, datum, zone: as printed; degrees, north and east positive.
        mean_level: in its own unit, or else the table's.
    """

    station: Said | None = None
    latitude: Said | None = None
    longitude: Said | None = None
    datum: Said | None = None
    zone: Said | None = None
    mean_level: Said | None = None


@dataclass(frozen=True, slots=True)
class TableFacts:
    """What holds for every row of a table.

    Attributes:
        published: unit of the amplitudes.
        phase: kind of its lags.
        utc_offset: hours of the clock of local lags; None for Greenwich lags.
        sources: the facts above with the line that says each, None for an option.
        notes: what else to know.
        place: what it says of its station.
    """

    published: TableUnit
    phase: PhaseKind
    utc_offset: float | None
    sources: tuple[Said, ...]
    notes: tuple[Note, ...]
    place: Place


@dataclass(frozen=True, eq=False)
class ImportedTable:
    """A tide's constants made ready for a station file.

    Attributes:
        constants: amplitudes in metres, Greenwich lags; lines of no amplitude left out.
        unit: in which to write them: that of the table, or metres for its parts.
        mean_level: metres above the datum; None where the table does not say.
        facts: where all this was taken from.
    """

    constants: HarmonicConstants
    unit: LengthUnit
    mean_level: float | None
    facts: TableFacts


@dataclass(frozen=True, eq=False)
class ImportedCurrent:
    """A current's constants made ready for a station file.

    Attributes:
        along: amplitudes in m/s along the axis, Greenwich lags.
        across: the same across it; None for a current on one axis.
        axis_direction: degrees true of the axis, where `along` is positive; None where not said.
        across_direction: degrees true where `across` is positive; None for a current on one axis.
        flood_direction, ebb_direction: degrees true; None where the table does not say.
        mean_along, mean_across: m/s.
        facts: where all this was taken from.
    """

    along: HarmonicConstants
    across: HarmonicConstants | None
    axis_direction: float | None
    across_direction: float | None
    flood_direction: float | None
    ebb_direction: float | None
    mean_along: float
    mean_across: float
    facts: TableFacts
