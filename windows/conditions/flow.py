"""How water moves past a spot: signed outgoing movement, and how much of it fishes well.

Outgoing counts positive. In order of truth a spot is known by a current station, by the water that a basin
sends through an opening, by its falling level scaled to one observed ebb, or by its falling level alone,
which knows no upper limit and compares with no speed.
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array
from harmonics.stations import tides
from harmonics.stations.types import AnyCurrentStation, TideStation
from windows.shoreline.spots import SpeedRange

if TYPE_CHECKING:
    from harmonics.stations.inlet import Inlet

LEAST_SHARE = 0.15
"""Falling water counts from this share of the spot's typical peak rate ..."""
FULL_SHARE = 0.80
"""... and in full from this one."""
LEAST_FALL = 0.015 / 3600.0
"""... but never below 1.5 cm an hour (m/s): such water stands."""


class FlowKind(StrEnum):
    """How a spot's flow is known, in words for its rows."""

    MEASURED = "measured current"
    BASIN = "basin outflow"
    INLET = "inlet with friction"
    SCALED = "scaled fall"
    FALL_ONLY = "fall only"

    @property
    def trust(self) -> str:
        """How far to trust it, in words."""
        return _TRUST[self]


_TRUST = {
    FlowKind.MEASURED: (
        "from a current station's own constants or differences; weather and river flow still change it"
    ),
    FlowKind.BASIN: (
        "by continuity of a basin that follows the level outside; as good as the two areas, and too strong "
        "where the opening holds the basin back"
    ),
    FlowKind.INLET: (
        "a bay level solved from the opening's size and friction; watch one slack there before relying on it"
    ),
    FlowKind.SCALED: (
        "the falling level scaled to one observed ebb; right about that strength, rough elsewhere"
    ),
    FlowKind.FALL_ONLY: (
        "no speed is known: its points compare its own tides and light, and with no measured spot"
    ),
}


class Flow(ABC):
    """Movement of the water past one spot.

    Attributes:
        kind: how it is known.
        has_speed: True when the movement is a speed in m/s, False when it is a falling rate in m/s.
        assumed_turn: True when nobody has said when the current here turns.
    """

    kind: FlowKind
    has_speed: bool
    assumed_turn: bool

    @abstractmethod
    def outgoing(self, t: ArrayLike) -> Array:
        """Movement at times t (POSIX seconds), outgoing positive; shaped as t."""

    @abstractmethod
    def even_outgoing(self, start: float, step: float, count: int) -> Array:
        """Movement at start + step x (0 .. count - 1); shape (count,)."""

    @abstractmethod
    def factor(self, going: Array) -> Array:
        """How well movement fishes, from 0 to 1; 0 for water that goes the other way."""

    @property
    @abstractmethod
    def corners(self) -> SpeedRange:
        """Where the factor leaves 0, reaches 1, leaves it and falls back to 0: m/s; infinite for never."""


@dataclass(frozen=True, eq=False)
class FallingWater(Flow):
    """A spot known by its falling level alone.

    Attributes:
        station: whose level falls.
        lag: seconds after high water when the water here begins to go out.
        nothing_below, full_from: falling rates, m/s.
        assumed_turn: as in Flow.
    """

    station: TideStation
    lag: float
    nothing_below: float
    full_from: float
    assumed_turn: bool
    kind = FlowKind.FALL_ONLY
    has_speed = False

    def outgoing(self, t: ArrayLike) -> Array:
        """Falling rate at times t, m/s."""
        return -tides.rates(self.station, np.asarray(t, dtype=float) - self.lag)

    def even_outgoing(self, start: float, step: float, count: int) -> Array:
        """Falling rate at even steps, m/s."""
        return -tides.even_rates(self.station, start - self.lag, step, count)

    @property
    def corners(self) -> SpeedRange:
        """The rise alone: no fall is too strong."""
        return SpeedRange(self.nothing_below, self.full_from, np.inf, np.inf)

    def factor(self, going: Array) -> Array:
        """A straight rise from nothing_below to full_from."""
        return np.interp(going, [self.nothing_below, self.full_from], [0.0, 1.0])


def trapezoid(speed: Array, speeds: SpeedRange) -> Array:
    """Factor of a speed past the spot: 0, straight up to 1, straight down to 0."""
    corners = [speeds.nothing_below, speeds.full_from, speeds.full_to, speeds.nothing_above]
    return np.interp(speed, corners, [0.0, 1.0, 1.0, 0.0])


class SpeedFlow(Flow):
    """A flow known as a speed, scored on the speeds that fish well.

    Attributes:
        speeds: those speeds.
    """

    speeds: SpeedRange
    has_speed = True

    @property
    def corners(self) -> SpeedRange:
        """The spot's speeds."""
        return self.speeds

    def factor(self, going: Array) -> Array:
        """The trapezoid of the spot's speeds."""
        return trapezoid(going, self.speeds)


@dataclass(frozen=True, eq=False)
class ScaledFall(SpeedFlow):
    """A speed in proportion to the falling level: a basin's outflow, or one observed ebb.

    Attributes:
        kind: FlowKind.BASIN or FlowKind.SCALED.
        station: whose level falls.
        lag: seconds after high water when the water here begins to go out.
        scale: speed over falling rate.
        speeds, assumed_turn: as in SpeedFlow and Flow.
    """

    kind: FlowKind
    station: TideStation
    lag: float
    scale: float
    speeds: SpeedRange
    assumed_turn: bool

    def outgoing(self, t: ArrayLike) -> Array:
        """Speed at times t, m/s."""
        return -self.scale * tides.rates(self.station, np.asarray(t, dtype=float) - self.lag)

    def even_outgoing(self, start: float, step: float, count: int) -> Array:
        """Speed at even steps, m/s."""
        return -self.scale * tides.even_rates(self.station, start - self.lag, step, count)


@dataclass(frozen=True, eq=False)
class MeasuredCurrent(SpeedFlow):
    """The ebb of a current station, carried to the spot by a delay and a factor.

    Attributes:
        station: the current station.
        delay: seconds that the spot is behind it.
        scale: speed at the spot over speed at the station.
        speeds: as in SpeedFlow.
    """

    station: AnyCurrentStation
    delay: float
    scale: float
    speeds: SpeedRange
    kind = FlowKind.MEASURED
    assumed_turn = False

    def outgoing(self, t: ArrayLike) -> Array:
        """Ebb speed at times t, m/s."""
        from harmonics.stations.currents import currents_at

        return -self.scale * currents_at(self.station, np.asarray(t, dtype=float) - self.delay)

    def even_outgoing(self, start: float, step: float, count: int) -> Array:
        """Ebb speed at even steps, m/s."""
        from harmonics.stations.currents import even_currents_of

        return -self.scale * even_currents_of(self.station, start - self.delay, step, count)


@dataclass(frozen=True, eq=False)
class InletFlow(SpeedFlow):
    """The outflow of a bay through an opening with friction, solved beforehand over a span.

    Attributes:
        t: POSIX seconds at even steps, shape (n,); times outside are refused.
        ebb: outgoing speed at these times, m/s, straight between them.
        bay: level of the bay at these times, metres above datum.
        station: whose level is the sea's.
        inlet: what was solved.
        speeds: as in SpeedFlow.
    """

    t: Array
    ebb: Array
    bay: Array
    station: TideStation
    inlet: "Inlet"
    speeds: SpeedRange
    kind = FlowKind.INLET
    assumed_turn = False

    def outgoing(self, t: ArrayLike) -> Array:
        """Outgoing speed at times t, m/s.

        Raises:
            ValueError: a time lies outside the span that was solved.
        """
        times = np.asarray(t, dtype=float)
        if times.size and (times.min() < self.t[0] or times.max() > self.t[-1]):
            raise ValueError("times outside the span that the inlet was solved for")
        return np.asarray(np.interp(times, self.t, self.ebb))

    def even_outgoing(self, start: float, step: float, count: int) -> Array:
        """Outgoing speed at even steps, m/s."""
        return self.outgoing(start + step * np.arange(count, dtype=float))
