"""High and low waters of a harmonic station, and the stands too small for a tide table."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from harmonics.arrays import Array
from harmonics.stations.types import Station
from harmonics.sums.extremes import STAND_MARGIN, Sum, extremes, outermost, without_stands

STAND_RANGE = 0.010
"""Neighbouring extremes closer than 10 mm are a stand. Agencies dropped pairs of 2 mm and less, and kept
20 mm."""


@dataclass(frozen=True, eq=False)
class Turns:
    """Turning points of a water level, in time order, high and low alternating.

    Attributes:
        t: POSIX seconds, shape (n,).
        height: metres above datum, shape (n,).
        high: True for high water, shape (n,).
    """

    t: Array
    height: Array
    high: NDArray[np.bool_]

    def between(self, start: float, end: float) -> "Turns":
        """Those with start <= t < end."""
        first, last = np.searchsorted(self.t, [start, end])
        return Turns(self.t[first:last], self.height[first:last], self.high[first:last])

    def __len__(self) -> int:
        return len(self.t)


class HighLowWaters(NamedTuple):
    """High and low waters of a span, and the pairs left out of it because the water hardly moved.

    Attributes:
        turns: the high and low waters.
        stands: starts and ends (POSIX seconds) of stands, shape (m, 2), in time order.
    """

    turns: Turns
    stands: Array


def high_low_waters(station: Station, start: float, end: float) -> HighLowWaters:
    """High and low waters with start <= t < end (POSIX seconds).

    Each calendar year (UTC) is searched by itself, for yearly practice resets the sum on 1 January; where
    the rate changes sign across that reset the reset itself is the turning point, so that high and low
    waters alternate.
    """
    curve = Sum(station.mean_level, station.constants, station.practice)
    found = extremes(curve, start - STAND_MARGIN, end + STAND_MARGIN)
    kept, stands = without_stands(found, STAND_RANGE)
    inside = stands[(stands[:, 0] < end) & (stands[:, 1] >= start)]
    return HighLowWaters(Turns(kept.t, outermost(kept), kept.high).between(start, end), inside)
