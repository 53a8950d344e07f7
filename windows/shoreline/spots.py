"""Where and how a person fishes: spots and preferences, frozen. Inside: SI units, seconds, degrees."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum, unique
from typing import TYPE_CHECKING, NamedTuple

from harmonics.arrays import Array
from harmonics.stations.types import AnyCurrentStation, TideStation
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.shoreline.gates import Gate, Limit, order_of
from windows.shoreline.hours import Hours
from windows.shoreline.tackle import Tackle

if TYPE_CHECKING:
    from windows.shoreline.exposure import Exposure


@unique
class LightPreference(StrEnum):
    """When the fish one is after feed; species differ in sign, so it is a setting."""

    LOW = "low"
    DAY = "day"
    NIGHT = "night"
    ANY = "any"


@unique
class WantedWater(StrEnum):
    """Which way the water goes when a spot fishes."""

    OUTGOING = "outgoing"
    INCOMING = "incoming"
    MOVING = "moving"

    def going(self, outgoing: Array) -> Array:
        """Movement of the water, outgoing positive, as movement that is positive where it is this."""
        if self is WantedWater.MOVING:
            return abs(outgoing)
        return -outgoing if self is WantedWater.INCOMING else outgoing


@unique
class Factor(StrEnum):
    """What points are given for; each is a field of `Points`."""

    FLOW = "flow"
    LIGHT = "light"
    MOON = "moon"


@dataclass(frozen=True, slots=True)
class Points:
    """Points by factor: how 100 are shared between them, or what a stretch has of them."""

    flow: float = 60.0
    light: float = 35.0
    moon: float = 5.0

    @classmethod
    def of(cls, values: Iterable[float]) -> "Points":
        """From one value a factor, in the order of `Factor`."""
        return cls(**dict(zip(Factor, map(float, values), strict=True)))

    def __getitem__(self, factor: Factor) -> float:
        return float(getattr(self, factor.value))

    @property
    def total(self) -> float:
        """Of 100."""
        return sum(self[factor] for factor in Factor)


class SpeedRange(NamedTuple):
    """Speeds past the spot (m/s) that fish well: nothing, rising, full, falling, nothing."""

    nothing_below: float = 0.1 * METRES_PER_SECOND_PER_KNOT
    full_from: float = 0.4 * METRES_PER_SECOND_PER_KNOT
    full_to: float = 1.2 * METRES_PER_SECOND_PER_KNOT
    nothing_above: float = 2.0 * METRES_PER_SECOND_PER_KNOT


WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
ALL_MONTHS = tuple(range(1, 13))


class Preferences(NamedTuple):
    """What a person wants of an outing.

    Attributes:
        light: preferred light.
        water: which way it goes when one fishes.
        hours: daily range in which one can fish; None where the file leaves it to the command.
        days: weekdays one can fish, 0 is Monday.
        session: length one wants to fish, seconds.
        points: shares of the factors.
        keep: points from which a window is kept.
        speeds: speeds that fish well.
        gates: what shuts a spot besides its own limits: speeds, and darkness where only daylight will do.
        tackle: line and lead.
        travel: seconds on the way to the spot; None where not said.
        rigging: seconds from arriving to fishing; None where not said.
        quarry: name of the fish one is after, which brought light, speeds and months; None for no one fish.
        months: of the year, 1 to 12, in which that fish is about.
        temperature: of the water that it likes, from and to, degrees Celsius; None where not said.
    """

    light: LightPreference = LightPreference.LOW
    water: WantedWater = WantedWater.OUTGOING
    hours: Hours | None = None
    days: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)
    session: float = 7200.0
    points: Points = Points()
    keep: float = 50.0
    speeds: SpeedRange = SpeedRange()
    gates: tuple[Gate, ...] = ()
    tackle: Tackle = Tackle()
    travel: float | None = None
    rigging: float | None = None
    quarry: str | None = None
    months: tuple[int, ...] = ALL_MONTHS
    temperature: tuple[float, float] | None = None

    @property
    def any_light(self) -> bool:
        """Whether the light's points go to the flow."""
        return self.light is LightPreference.ANY

    @property
    def lightless(self) -> bool:
        """Whether the light counts for nothing."""
        return self.any_light or self.points.light == 0.0

    @property
    def ahead(self) -> float:
        """Seconds on the way and to be ready, as far as they are known."""
        return (self.travel or 0.0) + (self.rigging or 0.0)


@dataclass(frozen=True, eq=False)
class CurrentSource:
    """The flow of a current station, a delay (s) behind it and a factor times as strong."""

    station: AnyCurrentStation
    delay: float = 0.0
    factor: float = 1.0


class BasinSource(NamedTuple):
    """The outflow of a basin that follows the level outside: areas in square metres."""

    basin_area: float
    opening_area: float


class InletSource(NamedTuple):
    """The outflow of a bay held back by its opening's friction.

    Attributes:
        basin_area, opening_area: square metres.
        losses: velocity heads lost in the throat; None where the coefficient is given instead.
        repletion: Keulegan's coefficient at the mean tide; None where the throat is given.
    """

    basin_area: float
    opening_area: float
    losses: float | None
    repletion: float | None


class ScaledSource(NamedTuple):
    """The falling level scaled to one observation: the strong ebb (m/s) of a mean range."""

    strong_ebb: float


FlowSource = CurrentSource | BasinSource | InletSource | ScaledSource


@unique
class BaitKind(StrEnum):
    """What is gathered at a bank: when, and how it keeps, follow from it."""

    CRAB = "crab"
    WORM = "worm"
    SHRIMP = "shrimp"
    OTHER = "other"


@dataclass(frozen=True, eq=False)
class Bank:
    """Where bait is gathered: a bank that bares at low water, or, for shrimp, any place the ebb runs past.

    Attributes:
        id, name: as the file has them.
        station: whose level covers it.
        level: the bank is bare while the water is below it, metres above datum; infinite where it need not
            be bare.
        warm_only: whether cold keeps the bait away.
        bait: its kind.
        position: latitude and longitude in degrees; None where not known.
    """

    id: str
    name: str
    station: TideStation
    level: float
    warm_only: bool = True
    bait: BaitKind = BaitKind.CRAB
    position: tuple[float, float] | None = None


@dataclass(frozen=True, eq=False)
class Spot:
    """A place to fish from.

    Attributes:
        id, name: as the file has them.
        latitude, longitude: degrees, north and east positive.
        station: whose level the spot has.
        slack_lag: seconds after high or low water when the flow here turns; None where not known.
        preferences: of the file, with the spot's own on top.
        flow: what is known of the current here; None for the falling level alone.
        depth_at_datum: metres of water when the level is at datum; None where not known.
        limits: levels (metres above datum) and depths (metres; with a depth known, the least is at least 0)
            between which the spot can be fished.
        bank: where bait for it is gathered; None for nowhere.
        bank_away: seconds from the bank to the spot.
        exposed: sectors from which wind reaches it over open water.
        ebb_sets: degrees true that the ebb sets towards here; None where the file does not say.
    """

    id: str
    name: str
    latitude: float
    longitude: float
    station: TideStation
    slack_lag: float | None
    preferences: Preferences
    flow: FlowSource | None = None
    depth_at_datum: float | None = None
    limits: tuple[Limit, ...] = ()
    bank: Bank | None = None
    bank_away: float = 1800.0
    exposed: tuple["Exposure", ...] = ()
    ebb_sets: float | None = None

    @property
    def gates(self) -> tuple[Gate, ...]:
        """Everything that shuts the spot, in the order in which a reason is looked for."""
        every = (*self.limits, *self.preferences.gates)
        return tuple(sorted(every, key=order_of))

    def limit(self, kind: type[Limit]) -> float | None:
        """The value of a limit; None where the file sets none."""
        return next((gate.value for gate in self.gates if isinstance(gate, kind)), None)

    def fished_in(self, hours: Hours) -> "Spot":
        """The same spot with other hours."""
        return replace(self, preferences=self.preferences._replace(hours=hours))
