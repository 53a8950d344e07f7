"""A secondary place's clock against its reference's, and the reference's curve read at many uneven times."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from harmonics.arrays import Array
from harmonics.sums.series import sums_at
from harmonics.sums.waves import HarmonicConstants, NodePractice, waves_by_year, year_of, year_start
from harmonics.units import DAY

NODE_STEP = 600.0
"""Between values and rates at 10-minute steps a cubic stays within A (w step)^4 / 384 of a wave: 1e-7 of an
M2 of any size, 3e-5 of its eighth-diurnal overtide."""
TRIAL = year_start(2020) + 60 * DAY, year_start(2020) + 180 * DAY
"""Differences are tried on the water of March to June 2020: from equinox to solstice, from perigee at springs
to perigee at neaps, the moon's node midway, so that each kind of tide comes at its usual size."""
SPARSE = 8
"""Uneven times fewer than one in this many steps are evaluated one by one: even steps cost far less each."""


class Warp(NamedTuple):
    """Times that correspond at two places, straight between them.

    Attributes:
        reference: POSIX seconds, rising, shape (n,).
        secondary: POSIX seconds, rising, shape (n,).
    """

    reference: Array
    secondary: Array

    def interval(self, t: Array) -> NDArray[np.intp]:
        """Index of the last pair at or before each time at the secondary; -1 before the first."""
        return np.searchsorted(self.secondary, t, side="right") - 1

    def to_reference(self, t: Array) -> tuple[Array, Array]:
        """Times at the reference for times at the secondary, and how fast they run: each of t's shape.

        Before the first pair and after the last the difference stays as it is there.
        """
        if not len(self.reference):
            return t, np.ones(t.shape)
        index = np.clip(self.interval(t), 0, None)
        pace = np.append(np.diff(self.reference) / np.diff(self.secondary), 1.0)[index]
        pace = np.where(t < self.secondary[0], 1.0, pace)
        return self.reference[index] + (t - self.secondary[index]) * pace, pace

    def to_secondary(self, t: Array) -> Array:
        """Times at the secondary for times at the reference, of t's shape."""
        return Warp(self.secondary, self.reference).to_reference(t)[0]


def curve_at(constants: HarmonicConstants, practice: NodePractice, t: Array) -> tuple[Array, Array]:
    """The harmonic sum and its rate at uneven times: each of shape t.shape (one-dimensional).

    Dense times are read off even steps by the cubic through values and rates on either side, each calendar
    year by itself because yearly practice resets the sum.
    """
    if not len(t):
        return np.empty(0), np.empty(0)
    first, last = float(t.min()), float(np.nextafter(t.max(), np.inf))
    if (last - first) / NODE_STEP > SPARSE * len(t):
        return sums_at(constants, practice, t), sums_at(constants, practice, t, order=1)
    value, rate = np.empty(t.shape), np.empty(t.shape)
    for waves in waves_by_year(constants, practice, first, last):
        inside = (t >= waves.start) & (t < waves.end)
        here = slice(None) if inside.all() else np.flatnonzero(inside)
        times = t[here]
        if not len(times):
            continue
        origin = float(times.min())
        count = int((float(times.max()) - origin) / NODE_STEP) + 2
        nodes = waves.even(origin, NODE_STEP, count), waves.even(origin, NODE_STEP, count, order=1)
        value[here], rate[here] = _cubic(*nodes, (times - origin) / NODE_STEP)
    return value, rate


def _cubic(value: Array, rate: Array, position: Array) -> tuple[Array, Array]:
    """Hermite's cubic and its rate at positions counted in steps of NODE_STEP."""
    index = np.minimum(position.astype(np.intp), len(value) - 2)
    x = position - index
    rise = value[1:] - value[:-1]
    start, end = rate[:-1] * NODE_STEP, rate[1:] * NODE_STEP
    second = 3.0 * rise - 2.0 * start - end
    third = start + end - 2.0 * rise
    a, b, c = start[index], second[index], third[index]
    return (
        value[index] + x * (a + x * (b + x * c)),
        (a + x * (2.0 * b + 3.0 * x * c)) / NODE_STEP,
    )


def resets_between(practice: NodePractice, t: Array) -> NDArray[np.bool_]:
    """Whether yearly practice resets the sum between neighbouring times: shape (n - 1,)."""
    if practice is not NodePractice.YEARLY or len(t) < 2:
        return np.zeros(max(len(t) - 1, 0), dtype=bool)
    years = range(year_of(float(t[0])), year_of(float(t[-1])) + 1)
    year = np.searchsorted(np.array([year_start(y) for y in years]), t, side="right")
    return np.asarray(year[1:] != year[:-1])
