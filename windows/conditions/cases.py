"""How wrong the water can be: cases of equal weight, each a level and a movement on the curve's steps."""

from abc import ABC, abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array

COUNT = 20
"""Cases of a time shift: its distribution at the middles of twenty equal shares, so that results repeat."""
KNOWN_TURN = 20 * 60.0
"""Standard deviation of the water's time where the spot's turn is known, seconds (judgement; a record
replaces it)."""
ASSUMED_TURN = 40 * 60.0
"""The same where nobody has said when the current turns."""


class Water(NamedTuple):
    """The water at even steps; all arrays of one shape (n,).

    Attributes:
        start: of the first step, POSIX seconds.
        step: seconds.
        predicted: level by the tide alone, metres above datum.
        departure: how the water stands against it today, metres.
        outgoing: movement past the spot, outgoing positive, m/s.
    """

    start: float
    step: float
    predicted: Array
    departure: Array
    outgoing: Array


class Cases(ABC):
    """What the water may do in the place of what is predicted.

    Attributes:
        seen: whether the water has been seen to do so, so that a share of the cases is a chance.
    """

    seen: bool = False

    @abstractmethod
    def of(self, water: Water) -> Iterator[tuple[Array, Array]]:
        """Level (metres above datum) and outgoing movement (m/s) of each case, shaped as the water's."""


@dataclass(frozen=True, slots=True)
class TimeShifts(Cases):
    """The same water, earlier or later: shifts at fixed quantiles of a normal distribution.

    Attributes:
        deviation: standard deviation, seconds.
    """

    deviation: float

    def of(self, water: Water) -> Iterator[tuple[Array, Array]]:
        """Level and movement of each case."""
        for shift in self.deviation * quantiles(COUNT):
            steps = float(shift) / water.step
            yield later(water.predicted, steps) + water.departure, later(water.outgoing, steps)


@lru_cache(maxsize=8)
def quantiles(count: int) -> Array:
    """A standard normal variable at the middles of so many equal shares: shape (count,)."""
    from statistics import NormalDist

    normal = NormalDist()
    return np.array([normal.inv_cdf((k + 0.5) / count) for k in range(count)])


def later(values: Array, steps: float) -> Array:
    """Values of even steps, a number of steps later (earlier where negative), straight between steps.

    Beyond the ends they stay as they are there.
    """
    whole = int(np.floor(steps))
    rest = steps - whole
    near = _moved(values, whole)
    return near if rest == 0.0 else near * (1.0 - rest) + _moved(values, whole + 1) * rest


def _moved(values: Array, steps: int) -> Array:
    count = len(values)
    if steps == 0 or count == 0:
        return values
    out = np.empty(count)
    size = min(abs(steps), count)
    if steps > 0:
        out[:size] = values[0]
        out[size:] = values[: count - size]
    else:
        out[count - size :] = values[-1]
        out[: count - size] = values[size:]
    return out
