"""Where and how a person fishes: spots and preferences, frozen. Inside: SI units, seconds, degrees."""

from dataclasses import dataclass, field, replace
from enum import StrEnum

from harmonics.stations import TideStation
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.hours import Hours


class LightPreference(StrEnum):
    """When the fish one is after feed; species differ in sign, so it is a setting."""

    LOW = "low"
    DAY = "day"
    NIGHT = "night"
    ANY = "any"


@dataclass(frozen=True, slots=True)
class PointShares:
    """How 100 points are shared between the factors."""

    flow: float = 60.0
    light: float = 35.0
    moon: float = 5.0


@dataclass(frozen=True, slots=True)
class SpeedRange:
    """Speeds past the spot (m/s) that fish well: nothing, rising, full, falling, nothing."""

    nothing_below: float = 0.1 * METRES_PER_SECOND_PER_KNOT
    full_from: float = 0.4 * METRES_PER_SECOND_PER_KNOT
    full_to: float = 1.2 * METRES_PER_SECOND_PER_KNOT
    nothing_above: float = 2.0 * METRES_PER_SECOND_PER_KNOT


WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True, slots=True)
class Preferences:
    """What a person wants of an outing.

    Attributes:
        light: preferred light.
        hours: daily range in which one can fish; None where the file leaves it to the command.
        days: weekdays one can fish, 0 is Monday.
        session: length one wants to fish, seconds.
        points: shares of the factors.
        keep: points from which a window is kept.
        speeds: speeds that fish well.
        daylight_only: True closes the gate while the sun is down.
        greatest_speed: m/s above which the spot is closed; None for no limit.
    """

    light: LightPreference = LightPreference.LOW
    hours: Hours | None = None
    days: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)
    session: float = 7200.0
    points: PointShares = field(default_factory=PointShares)
    keep: float = 50.0
    speeds: SpeedRange = field(default_factory=SpeedRange)
    daylight_only: bool = False
    greatest_speed: float | None = None


@dataclass(frozen=True, eq=False)
class Spot:
    """A place to fish from.

    Attributes:
        id, name: as the file has them.
        latitude, longitude: degrees, north and east positive.
        station: whose level the spot has.
        slack_lag: seconds after high or low water when the flow here turns; None where not known.
        least_level, greatest_level: metres above datum between which the spot can be fished.
        preferences: of the file, with the spot's own on top.
    """

    id: str
    name: str
    latitude: float
    longitude: float
    station: TideStation
    slack_lag: float | None
    least_level: float | None
    greatest_level: float | None
    preferences: Preferences

    def fished_in(self, hours: Hours) -> "Spot":
        """The same spot with other hours."""
        return replace(self, preferences=replace(self.preferences, hours=hours))
