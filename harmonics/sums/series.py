"""A harmonic sum on any times or at even steps, whatever the years it crosses.

sum f H cos(V + u - G) and its derivatives: Schureman, US Coast and Geodetic Survey Special Publication 98,
p. 8 and pp. 118-120. All times are POSIX seconds (UTC).
"""

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array
from harmonics.sums.waves import HarmonicConstants, NodePractice, waves_by_year

POINTS_AT_ONCE = 4096
"""Evaluating scattered times holds constituents x times in memory: this keeps it near 2 MB."""


def sums_at(constants: HarmonicConstants, practice: NodePractice, t: ArrayLike, order: int = 0) -> Array:
    """The harmonic sum's derivative of that order at any times; shaped as t.

    Raises:
        ValueError: a time is not finite.
    """
    times = np.asarray(t, dtype=float)
    flat = times.reshape(-1)
    if not flat.size:
        return np.empty(times.shape)
    out = np.empty(flat.shape)
    for waves in waves_by_year(
        constants, practice, float(flat.min()), float(np.nextafter(flat.max(), np.inf))
    ):
        inside = np.flatnonzero((flat >= waves.start) & (flat < waves.end))
        for part in range(0, len(inside), POINTS_AT_ONCE):
            index = inside[part : part + POINTS_AT_ONCE]
            out[index] = waves.at(flat[index], order)
    return out.reshape(times.shape)


def even_sums(
    constants: HarmonicConstants,
    practice: NodePractice,
    start: float,
    step: float,
    count: int,
    order: int = 0,
) -> Array:
    """The harmonic sum's derivative of that order at start + step x (0 .. count - 1); shape (count,).

    Raises:
        ValueError: the step is not positive, the count is negative, or a time is not finite.
    """
    if not step > 0 or count < 0:
        raise ValueError(f"even steps need a positive step and a count of 0 or more, not {step} and {count}")
    parts: list[Array] = []
    done = 0
    for waves in waves_by_year(constants, practice, start, start + step * count):
        stop = min(count, int(np.ceil((waves.end - start) / step)))
        if stop > done:
            parts.append(waves.even(start + step * done, step, stop - done, order))
            done = stop
    return parts[0] if len(parts) == 1 else np.concatenate(parts or [np.empty(0)])
