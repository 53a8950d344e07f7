"""Frozen types of what a station file holds: places with constants, and places that follow another.

Heights and offsets are metres, speeds metres a second, directions degrees true, differences seconds.
"""

from dataclasses import dataclass

from harmonics.waves import HarmonicConstants, NodePractice


@dataclass(frozen=True, eq=False)
class Station:
    """A tide station with harmonic constants of its own.

    Attributes:
        id, name: as the file has them.
        latitude, longitude: degrees, north and east positive.
        datum: what heights are counted from, free text.
        mean_level: Z0, mean sea level above the datum, metres.
        constants: amplitudes in metres.
        practice: how node factors follow the years.
    """

    id: str
    name: str
    latitude: float
    longitude: float
    datum: str
    mean_level: float
    constants: HarmonicConstants
    practice: NodePractice = NodePractice.YEARLY


@dataclass(frozen=True, slots=True)
class HeightDifference:
    """How one turning point of a secondary station follows its reference's.

    Attributes:
        seconds: added to the reference's time.
        factor: multiplies the reference's height above its datum.
        offset: metres, added after the factor.
    """

    seconds: float = 0.0
    factor: float = 1.0
    offset: float = 0.0


@dataclass(frozen=True, eq=False)
class SecondaryStation:
    """A tide station known by its differences from a reference station.

    Attributes:
        id, name: as the file has them.
        latitude, longitude: degrees; None where the file gives none.
        reference: the station whose high and low waters it follows.
        high_water, low_water: differences of each.
    """

    id: str
    name: str
    latitude: float | None
    longitude: float | None
    reference: Station
    high_water: HeightDifference
    low_water: HeightDifference

    @property
    def datum(self) -> str:
        """Chart datum, of the same kind as the reference's."""
        return self.reference.datum


TideStation = Station | SecondaryStation


@dataclass(frozen=True, eq=False)
class CurrentStation:
    """A current station with harmonic constants along its flood axis.

    Attributes:
        id, name: as the file has them.
        latitude, longitude: degrees, north and east positive.
        flood_direction, ebb_direction: degrees true, the set of each.
        mean_flow: metres a second along the axis, flood positive.
        constants: amplitudes in metres a second.
        practice: how node factors follow the years.
    """

    id: str
    name: str
    latitude: float
    longitude: float
    flood_direction: float
    ebb_direction: float
    mean_flow: float
    constants: HarmonicConstants
    practice: NodePractice = NodePractice.YEARLY


@dataclass(frozen=True, slots=True)
class CurrentDifferences:
    """Time differences (seconds) and speed ratios of a secondary current station."""

    slack_before_flood: float = 0.0
    flood: float = 0.0
    slack_before_ebb: float = 0.0
    ebb: float = 0.0
    flood_ratio: float = 1.0
    ebb_ratio: float = 1.0


@dataclass(frozen=True, eq=False)
class SecondaryCurrentStation:
    """A current station known by its differences from a reference station's total current."""

    id: str
    name: str
    latitude: float | None
    longitude: float | None
    flood_direction: float
    ebb_direction: float
    reference: CurrentStation
    differences: CurrentDifferences


AnyCurrentStation = CurrentStation | SecondaryCurrentStation
