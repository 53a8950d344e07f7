"""How water moves past a spot: signed outgoing movement, and how much of it fishes well.

Outgoing counts positive. A spot with a speed is scored on knots past it; a spot with none on how fast its
level falls, which knows no upper limit and compares with no measured inlet.
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from harmonics import tides
from harmonics.arguments import Array
from harmonics.stations import TideStation
from windows.spots import SpeedRange, Spot

LEAST_SHARE = 0.15
"""Falling water counts from this share of the spot's typical peak rate ..."""
FULL_SHARE = 0.80
"""... and in full from this one."""
LEAST_FALL = 0.015 / 3600.0
"""... but never below 1.5 cm an hour (m/s): such water stands."""


class FlowKind(StrEnum):
    """How a spot's flow is known, in words for its rows."""

    MEASURED = "measured current"
    SCALED = "scaled fall"
    FALL_ONLY = "fall only"


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
    def factor(self, outgoing: Array) -> Array:
        """How well movement fishes, from 0 to 1; 0 for incoming water."""


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

    def factor(self, outgoing: Array) -> Array:
        """A straight rise from nothing_below to full_from."""
        return np.interp(outgoing, [self.nothing_below, self.full_from], [0.0, 1.0])


def trapezoid(speed: Array, speeds: SpeedRange) -> Array:
    """Factor of a speed past the spot: 0, straight up to 1, straight down to 0."""
    corners = [speeds.nothing_below, speeds.full_from, speeds.full_to, speeds.nothing_above]
    return np.interp(speed, corners, [0.0, 1.0, 1.0, 0.0])


def falling_water(spot: Spot, year: int) -> FallingWater:
    """The flow of a spot that has neither a current nor a scale, its limits from that year's tide."""
    peak = tides.peak_rate(spot.station, year)
    nothing = max(LEAST_SHARE * peak, LEAST_FALL)
    return FallingWater(
        spot.station,
        spot.slack_lag or 0.0,
        nothing_below=nothing,
        full_from=max(FULL_SHARE * peak, nothing * FULL_SHARE / LEAST_SHARE),
        assumed_turn=spot.slack_lag is None,
    )
