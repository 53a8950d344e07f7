"""Extremes and zeros of a harmonic sum, and the pairs of extremes too close to count.

Knows the two practices of node factors, not what the sum measures: levels and currents share it.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from harmonics.arguments import Array
from harmonics.prediction import sums_at
from harmonics.search import refine, sign_changes
from harmonics.waves import AnyWaves, HarmonicConstants, NodePractice, waves_by_year

GRID_STEP = 600.0
"""Crossings are bracketed on 10 minutes, counted from each 1 January so that no span moves the grid: two
extremes between neighbouring samples differ by far less than the smallest pair that is kept."""
TIME_TOLERANCE = 0.05
"""Newton stops at steps under 0.05 s; printed tables stop at a minute."""
STAND_MARGIN = 15 * 86400.0
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
        t, high, first_rises, last_rises = _in_year(waves, max(start, waves.start), min(end, waves.end))
        if previous is not None and previous[1] != first_rises:
            edge = np.array([waves.start])
            found.append(Extremes(edge, previous[0].at(edge), waves.at(edge), np.array([previous[1]])))
        value = waves.at(t)
        found.append(Extremes(t, value, value, high))
        previous = waves, last_rises
    t, before, after, high = (np.concatenate(column) for column in zip(*found, strict=True))
    inside = (t >= start) & (t < end)
    ends = sums_at(curve.constants, curve.practice, [start, end])
    before, after = (
        np.concatenate((ends[:1], value[inside], ends[1:])) + curve.mean for value in (before, after)
    )
    return Extremes(np.concatenate(([start], t[inside], [end])), before, after, np.pad(high[inside], 1))


def _in_year(waves: AnyWaves, start: float, end: float) -> tuple[Array, NDArray[np.bool_], bool, bool]:
    """Zeros of the rate inside one year, whether each is a maximum, and whether the ends rise.

    Every sign change of the sampled rate is one zero, and the signs of the end samples decide about a turn
    at the reset: so maxima and minima alternate even where a zero falls on 1 January 0 h itself.
    """
    first = np.floor((start - waves.start) / GRID_STEP)
    origin = waves.start + GRID_STEP * first
    count = int(np.ceil((end - origin) / GRID_STEP)) + 1
    rate = waves.even(origin, GRID_STEP, count, order=1)
    index = sign_changes(rate)
    low = origin + GRID_STEP * index
    t = refine(lambda x: waves.pair(x, 1), low, low + GRID_STEP, rate[index], rate[index + 1], TIME_TOLERANCE)
    return t, (rate >= 0)[index], bool(rate[0] >= 0), bool(rate[-1] >= 0)


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
    t, before, after, _ = found
    last = len(t) - 1
    keep = list(range(len(t)))
    dropped: list[tuple[float, float]] = []
    gaps = np.abs(before[1:] - after[:-1])
    while len(keep) > 1 and gaps.min() < least:
        i = int(gaps.argmin())
        first, second = keep[i : i + 2]
        if 0 < first and second < last and t[second] - t[first] > 2 * TIME_TOLERANCE:
            dropped.append((float(t[first]), float(t[second])))
        del keep[i : i + 2]
        gaps = np.delete(gaps, [j for j in (i - 1, i, i + 1) if 0 <= j < len(gaps)])
        if 0 < i < len(keep):
            gaps = np.insert(gaps, i - 1, abs(before[keep[i]] - after[keep[i - 1]]))
    index = np.array([i for i in keep if 0 < i < last and len(keep) > 1], dtype=int)
    return Extremes(*(column[index] for column in found)), np.array(sorted(dropped)).reshape(-1, 2)


def outermost(found: Extremes) -> Array:
    """The value of each extreme: at a reset the greater of both for a maximum, the lesser for a minimum."""
    lower, upper = np.minimum(found.before, found.after), np.maximum(found.before, found.after)
    return np.where(found.high, upper, lower)
