"""The frozen vocabulary of the sky: bodies, kinds of event, events."""

from enum import StrEnum, unique
from typing import NamedTuple

from harmonics.arrays import Array, Flags, Ints


@unique
class Body(StrEnum):
    """The two bodies a fishing day depends on."""

    SUN = "sun"
    MOON = "moon"


@unique
class SkyEventKind(StrEnum):
    """What happens. Times of rise and set follow the almanac convention (upper limb, 34' of refraction)."""

    RISE = "rise"
    SET = "set"
    UPPER_TRANSIT = "upper_transit"
    LOWER_TRANSIT = "lower_transit"
    CIVIL_DAWN = "civil_dawn"
    CIVIL_DUSK = "civil_dusk"
    NAUTICAL_DAWN = "nautical_dawn"
    NAUTICAL_DUSK = "nautical_dusk"
    NEW_MOON = "new_moon"
    FIRST_QUARTER = "first_quarter"
    FULL_MOON = "full_moon"
    LAST_QUARTER = "last_quarter"
    PERIGEE = "perigee"
    APOGEE = "apogee"
    NORTHMOST = "northmost"
    SOUTHMOST = "southmost"


@unique
class DayState(StrEnum):
    """Whether a body crosses the horizon within a local day, or stays on one side of it."""

    CROSSES = "crosses"
    UP_ALL_DAY = "up_all_day"
    DOWN_ALL_DAY = "down_all_day"


class SkyEvent(NamedTuple):
    """One event of the sky.

    t: POSIX seconds. value: azimuth in degrees from true north (rise, set, dawn, dusk), airless topocentric
    altitude in degrees (transits), geocentric distance in km (perigee, apogee), apparent geocentric
    declination in degrees, north + (northmost, southmost), None for phases. unit: "deg", "km" or "".
    """

    t: float
    body: Body
    kind: SkyEventKind
    value: float | None
    unit: str


class OpposedInstants(NamedTuple):
    """Instants of two opposed kinds at many spots: spot index, TT, whether of the first kind; each (n,)."""

    spot: Ints
    tt: Array
    first: Flags
