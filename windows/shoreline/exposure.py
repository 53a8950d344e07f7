"""How a spot lies open to the wind."""

from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array, Flags


class Exposure(NamedTuple):
    """A sector from which wind reaches a spot over open water.

    Attributes:
        start, end: degrees true that the wind comes from, clockwise; the same twice is all round.
        fetch: metres of open water.
        depth: mean depth along it, metres.
    """

    start: float
    end: float
    fetch: float
    depth: float

    def holds(self, wind_from: Array) -> Flags:
        """Whether wind from each direction (degrees) comes out of it; nowhere where that is unknown."""
        width = (self.end - self.start) % 360.0 or 360.0
        return np.asarray((wind_from - self.start) % 360.0 <= width)
