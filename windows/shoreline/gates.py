"""What shuts a spot: each gate is one frozen class with its limit and its test.

A limit that a file can set is a `Limit`: its key, its unit and its class are all that reading, scoring and
reporting need; renderers add its words (`windows.render.words.gates`).
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass
from enum import Enum, unique
from typing import ClassVar

import numpy as np

from harmonics.arrays import Array, Flags

SUNRISE_ALTITUDE = -50 / 60
"""Geometric altitude of the sun's centre at rise and set, degrees (almanac convention)."""


@dataclass(frozen=True, eq=False, slots=True)
class Moment:
    """What gates look at: arrays of one shape.

    Attributes:
        t: POSIX seconds.
        level: metres above datum, with the departure from the tide that readings and weather tell.
        depth: metres of water; None where the spot's depth is not known.
        speed: m/s past the spot in the direction that is fished; None where no speed is known.
        sun_altitude: degrees.
        wind: m/s; None without weather, nan where it is unknown.
        chop: metres, the upper end of its range; as wind.
        thunder: probability of thunder, 0 to 1; as wind.
    """

    t: Array
    level: Array
    depth: Array | None
    speed: Array | None
    sun_altitude: Array
    wind: Array | None = None
    chop: Array | None = None
    thunder: Array | None = None


@unique
class Measure(Enum):
    """What a limit counts, and so in which unit a file gives it."""

    LEVEL = "level"
    DEPTH = "depth"
    SPEED = "speed"
    WIND = "wind"
    CHOP = "chop"
    THUNDER = "thunder"


class Gate(ABC):
    """Something that shuts a spot."""

    @abstractmethod
    def shut(self, moment: Moment) -> Flags:
        """Where it is shut; shaped as the moment's arrays."""


@dataclass(frozen=True, slots=True)
class SunDown(Gate):
    """Shut while the sun is down."""

    def shut(self, moment: Moment) -> Flags:
        """Where the sun's upper limb is below the horizon."""
        return np.asarray(moment.sun_altitude < SUNRISE_ALTITUDE)


@dataclass(frozen=True, slots=True)
class Limit(Gate):
    """A least or greatest value that a file sets.

    Attributes:
        value: metres, or metres a second.
        key: in the file.
        measure: what it counts.
        least: True for a least value, False for a greatest.
    """

    value: float
    key: ClassVar[str]
    measure: ClassVar[Measure]
    least: ClassVar[bool]

    def shut(self, moment: Moment) -> Flags:
        """Where the measure is beyond the limit; nowhere where it is not known."""
        found = self.measured(moment)
        if found is None:
            return np.zeros(moment.t.shape, dtype=bool)
        return np.asarray(found < self.value if self.least else found > self.value)

    def measured(self, moment: Moment) -> Array | None:
        """What the limit looks at."""
        found: Array | None = getattr(moment, self.measure.value)
        return found


class LeastLevel(Limit):
    """Shut while the water stands below a level."""

    key, measure, least = "least_level", Measure.LEVEL, True


class GreatestLevel(Limit):
    """Shut while the water stands above a level."""

    key, measure, least = "greatest_level", Measure.LEVEL, False


class LeastDepth(Limit):
    """Shut while there is less water than a depth."""

    key, measure, least = "least_depth", Measure.DEPTH, True


class GreatestDepth(Limit):
    """Shut while there is more water than a depth."""

    key, measure, least = "greatest_depth", Measure.DEPTH, False


class LeastSpeed(Limit):
    """Shut while the current is slower than a speed."""

    key, measure, least = "least_speed", Measure.SPEED, True


class GreatestSpeed(Limit):
    """Shut while the current is faster than a speed."""

    key, measure, least = "greatest_speed", Measure.SPEED, False


class GreatestWind(Limit):
    """Shut while the wind is stronger than a speed."""

    key, measure, least = "greatest_wind", Measure.WIND, False


class GreatestChop(Limit):
    """Shut while the chop is higher than a height."""

    key, measure, least = "greatest_chop", Measure.CHOP, False


class ThunderFrom(Limit):
    """Shut from a probability of thunder on."""

    key, measure, least = "thunder_from", Measure.THUNDER, False

    def shut(self, moment: Moment) -> Flags:
        """Where thunder is as likely, or more."""
        if moment.thunder is None:
            return np.zeros(moment.t.shape, dtype=bool)
        return np.asarray(moment.thunder >= self.value)


LIMITS: tuple[type[Limit], ...] = tuple(Limit.__subclasses__())
"""Every limit a file can set, in the order in which a reason is looked for."""


WATER = (Measure.LEVEL, Measure.DEPTH, Measure.SPEED)


def of_water(gate: Gate) -> bool:
    """Whether the water decides of a gate: not the clock, the sky or the weather."""
    return isinstance(gate, Limit) and gate.measure in WATER


def order_of(gate: Gate) -> int:
    """Where a gate stands in the order in which a reason is looked for: first what is no limit."""
    return LIMITS.index(type(gate)) + 1 if isinstance(gate, Limit) else 0
