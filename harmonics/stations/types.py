"""Frozen types of what a station file holds: places with constants, and places that follow another.

Heights and offsets are metres, speeds metres a second, directions degrees true, differences seconds.
"""

from dataclasses import dataclass
from typing import NamedTuple

from harmonics.sums.waves import HarmonicConstants, NodePractice
from harmonics.units import DAY, HOUR


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


HALF_DAY = 0.5 * DAY


@dataclass(frozen=True, slots=True)
class HourPairs:
    """A time difference that depends on the hour of the reference's own high or low water.

    Straight between the two hours, there and back once a period. Tables print each column for two hours
    half a day apart ("0000 and 1200", "0600 and 1800"; from memory): the period follows from it.

    Attributes:
        hours: two hours of the day on the clock the table is printed in, as decimals.
        seconds: the difference at each.
        utc_offset: that clock less UTC, seconds; the table's standard time the whole year.
        period: seconds; 86400 for two hours that are half a day apart.

    Raises:
        ValueError: both hours are the same hour of the period.
    """

    hours: tuple[float, float]
    seconds: tuple[float, float]
    utc_offset: float = 0.0
    period: float = HALF_DAY

    def __post_init__(self) -> None:
        if (self.hours[1] - self.hours[0]) * HOUR % self.period == 0.0:
            raise ValueError(f"two different hours of the tide's day are needed, not {self.hours}")


@dataclass(frozen=True, slots=True)
class HeightPairs:
    """A correction that depends on the reference's height, given at springs and at neaps.

    Straight through both pairs and beyond them.

    Attributes:
        heights: two heights of the reference's high (or low) water above its datum, metres.
        values: the correction at each: metres, or factors.

    Raises:
        ValueError: both heights are the same.
    """

    heights: tuple[float, float]
    values: tuple[float, float]

    def __post_init__(self) -> None:
        if self.heights[0] == self.heights[1]:
            raise ValueError(f"two different heights are needed, not {self.heights}")


class HeightDifference(NamedTuple):
    """How one turning point of a secondary station follows its reference's.

    Attributes:
        seconds: added to the reference's time.
        factor: multiplies the reference's height above its datum.
        offset: metres, added after the factor.
        seconds_by_hour: added to the reference's time as well.
        factor_by_height: multiplies the reference's height as well.
        offset_by_height: metres, added after the factors as well.
    """

    seconds: float = 0.0
    factor: float = 1.0
    offset: float = 0.0
    seconds_by_hour: HourPairs | None = None
    factor_by_height: HeightPairs | None = None
    offset_by_height: HeightPairs | None = None


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


def primary_of(station: TideStation) -> Station:
    """The station with the constituents that a station's water comes from."""
    return station if isinstance(station, Station) else station.reference


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


class CurrentDifferences(NamedTuple):
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


RIGHT_ANGLE_TOLERANCE = 0.15
"""Degrees: files print directions to a tenth, each rounded by itself."""


@dataclass(frozen=True, eq=False)
class TwoComponentStation:
    """A current station with harmonic constants on two axes, so that its set turns through the tide.

    East and north components are `axis_direction=0` with north along and east across; major and minor
    axes take the major's direction along.

    Attributes:
        id, name: as the file has them.
        latitude, longitude: degrees, north and east positive.
        axis_direction: degrees true, where the first component is positive.
        across_direction: degrees true, where the second is positive: a quarter turn either way.
        mean_along, mean_across: mean flow on each axis, metres a second.
        along, across: constants of each component, amplitudes in metres a second.
        flood_direction: degrees true; floods and ebbs are counted along it.
        practice: how node factors follow the years.

    Raises:
        ValueError: the axes do not stand at right angles.
    """

    id: str
    name: str
    latitude: float
    longitude: float
    axis_direction: float
    across_direction: float
    mean_along: float
    mean_across: float
    along: HarmonicConstants
    across: HarmonicConstants
    flood_direction: float
    practice: NodePractice = NodePractice.YEARLY

    def __post_init__(self) -> None:
        turn = (self.across_direction - self.axis_direction) % 360.0
        if abs(turn - 90.0) > RIGHT_ANGLE_TOLERANCE and abs(turn - 270.0) > RIGHT_ANGLE_TOLERANCE:
            raise ValueError(f"the two axes must stand at right angles, not {turn:g} degrees apart")


OwnCurrentStation = CurrentStation | TwoComponentStation
AnyCurrentStation = CurrentStation | TwoComponentStation | SecondaryCurrentStation
