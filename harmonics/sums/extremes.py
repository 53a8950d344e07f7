"""Extremes and zeros of a harmonic sum, and the pairs of extremes too close to count.

Knows the two practices of node factors, not what the sum measures: levels and currents share it.
"""

from functools import lru_cache
from heapq import heapify, heappop, heappush
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from harmonics.arrays import Array
from harmonics.sums.search import refine, refine_each, sign_changes
from harmonics.sums.series import sums_at
from harmonics.sums.waves import AnyWaves, HarmonicConstants, NodePractice, waves_by_year
from harmonics.units import DAY

GRID_STEP = 600.0
"""Crossings are bracketed on 10 minutes, counted from each 1 January so that no span moves the grid: two
extremes between neighbouring samples differ by far less than the smallest pair that is kept."""
TIME_TOLERANCE = 0.05
"""Newton stops at steps under 0.05 s; printed tables stop at a minute."""
SAMPLES = 10
"""Inside its bracket the rate is the polynomial through so many samples, which misses a wave as fast as M12
by 3e-7 of its amplitude: no zero moves by a hundredth of a second."""
REACH = SAMPLES // 2 - 1
"""Samples needed beyond either end of a bracket."""
STAND_MARGIN = 15 * DAY
"""Which pairs are stands depends on their neighbours: searching this far beyond both ends of a span keeps
the answer the same however a long span is cut."""


class Sum(NamedTuple):
    """A steady value and the waves on top of it, in one unit."""

    mean: float
    constants: HarmonicConstants
    practice: NodePractice


class Extremes(NamedTuple):
    """Zeros of the rate in time order between the ends of a span, which come first and last.

    Columns: times, values just before and after, and whether each is a maximum. The ends are no turning
    points, but a turn shows against them.
    """

    t: Array
    before: Array
    after: Array
    high: NDArray[np.bool_]


def extremes(curve: Sum, start: float, end: float) -> Extremes:
    """Every extreme of the piecewise sum between the ends of the span.

    Each calendar year (UTC) is searched by itself. Where the rate changes sign across a yearly reset the
    reset itself is the extreme, so that maxima and minima alternate.
    """
    found: list[Extremes] = []
    previous: tuple[AnyWaves, bool] | None = None
    for waves in waves_by_year(curve.constants, curve.practice, start, end):
        turns, first_rises, last_rises = _in_year(waves, max(start, waves.start), min(end, waves.end))
        if previous is not None and previous[1] != first_rises:
            edge = np.array([waves.start])
            found.append(Extremes(edge, previous[0].at(edge), waves.at(edge), np.array([previous[1]])))
        found.append(turns)
        previous = waves, last_rises
    t, before, after, high = (np.concatenate(column) for column in zip(*found, strict=True))
    inside = (t >= start) & (t < end)
    ends = sums_at(curve.constants, curve.practice, [start, end])
    before, after = (
        np.concatenate((ends[:1], value[inside], ends[1:])) + curve.mean for value in (before, after)
    )
    return Extremes(np.concatenate(([start], t[inside], [end])), before, after, np.pad(high[inside], 1))


def _in_year(waves: AnyWaves, start: float, end: float) -> tuple[Extremes, bool, bool]:
    """Zeros of the rate inside one year, values without the mean, and whether the span's ends rise.

    Every sign change of the sampled rate is one zero, and the signs of the end samples decide about a turn
    at the reset: so maxima and minima alternate even where a zero falls on 1 January 0 h itself.
    """
    first = np.floor((start - waves.start) / GRID_STEP)
    origin = waves.start + GRID_STEP * first
    count = int(np.ceil((end - origin) / GRID_STEP)) + 1
    sampled = waves.even(origin - GRID_STEP * REACH, GRID_STEP, count + 2 * REACH, order=1)
    rate = sampled[REACH : REACH + count]
    index = sign_changes(rate)
    terms = _polynomials() @ sampled[index + np.arange(SAMPLES)[:, None]]
    ends = np.full(len(index), 0.5)
    share = refine_each(
        lambda x, which: _horner(terms[:, which], x),
        *(-ends, ends, rate[index], rate[index + 1]),
        tolerance=TIME_TOLERANCE / GRID_STEP,
    )
    t = origin + GRID_STEP * (index + 0.5 + share)
    value = waves.at(t)
    return Extremes(t, value, value, (rate >= 0)[index]), bool(rate[0] >= 0), bool(rate[-1] >= 0)


@lru_cache(maxsize=1)
def _polynomials() -> Array:
    """From even samples to the terms of their polynomial in steps from their middle: (SAMPLES, SAMPLES)."""
    places = np.arange(SAMPLES) - (SAMPLES - 1) / 2
    return np.asarray(np.linalg.inv(np.vander(places, increasing=True)), dtype=float)


def _horner(terms: Array, x: Array) -> tuple[Array, Array]:
    """Values and slopes at x, shape (m,), of polynomials of terms (N, m), the constant ones first."""
    value, slope = terms[-1], np.zeros(len(x))
    for term in terms[-2::-1]:
        slope = slope * x + value
        value = value * x + term
    return value, slope


def zeros_between(curve: Sum, low: Array, high: Array, at_low: Array, at_high: Array) -> Array:
    """Times at which the sum passes zero, one in each bracket whose ends have values of opposite sign."""

    def values(t: Array) -> tuple[Array, Array]:
        value = curve.mean + sums_at(curve.constants, curve.practice, t)
        return value, sums_at(curve.constants, curve.practice, t, order=1)

    return refine(values, low, high, at_low, at_high, TIME_TOLERANCE)


def without_stands(found: Extremes, least: float) -> tuple[Extremes, Array]:
    """Drop neighbouring pairs closer than `least`, smallest first; what stays alternates.

    The difference between two extremes counts inside one year's sum: from the value just after the first
    to the value just before the second. A pair without duration is rounding at the reset, not a stand.
    Where nothing but one extreme is left, the curve never moved by as much and that one goes too.

    Returns:
        The extremes that stay, without the span's ends; starts and ends of the pairs dropped, shape (m, 2).
    """
    t, before, after = (column.tolist() for column in found[:3])
    last = len(t) - 1
    earlier, later = list(range(-1, last + 1)), list(range(1, last + 3))  # beyond the ends lies a spare place
    stays = np.ones(last + 1, dtype=bool)
    gaps = np.abs(found.before[1:] - found.after[:-1])
    close = [(float(gaps[i]), int(i), int(i) + 1) for i in np.flatnonzero(gaps < least)]
    heapify(close)
    dropped: list[tuple[float, float]] = []
    while close:
        _, first, second = heappop(close)
        if not (stays[first] and stays[second]):
            continue
        if 0 < first and second < last and t[second] - t[first] > 2 * TIME_TOLERANCE:
            dropped.append((t[first], t[second]))
        stays[[first, second]] = False
        left, right = earlier[first], later[second]
        later[left], earlier[right] = right, left
        if 0 <= left and right <= last:
            gap = abs(before[right] - after[left])
            if gap < least:
                heappush(close, (gap, left, right))
    if stays.sum() == 1:
        stays[:] = False
    stays[[0, last]] = False
    kept = Extremes(found.t[stays], found.before[stays], found.after[stays], found.high[stays])
    return kept, np.array(sorted(dropped)).reshape(-1, 2)


def outermost(found: Extremes) -> Array:
    """The value of each extreme: at a reset the greater of both for a maximum, the lesser for a minimum."""
    lower, upper = np.minimum(found.before, found.after), np.maximum(found.before, found.after)
    return np.where(found.high, upper, lower)
