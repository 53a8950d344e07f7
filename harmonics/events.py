"""High and low waters of a harmonic station, and the stands too small for a tide table."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from harmonics.arguments import Array
from harmonics.prediction import levels
from harmonics.search import refine, sign_changes
from harmonics.stations import Station
from harmonics.waves import AnyWaves, waves_by_year

GRID_STEP = 600.0
"""Extremes are bracketed on 10 minutes, counted from each 1 January so that no span moves the grid: two
extremes between neighbouring samples differ by far less than the smallest pair that is kept."""
TIME_TOLERANCE = 0.05
"""Newton stops at steps under 0.05 s; printed tables stop at a minute."""
STAND_RANGE = 0.010
"""Neighbouring extremes closer than 10 mm are a stand. Agencies dropped pairs of 2 mm and less, and kept
20 mm."""
STAND_MARGIN = 15 * 86400.0
"""Which pairs are stands depends on their neighbours: searching this far beyond both ends of a span keeps
the answer the same however a long span is cut."""


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


@dataclass(frozen=True, eq=False)
class HighLowWaters:
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
    turns, stands = _without_stands(_all_turns(station, start - STAND_MARGIN, end + STAND_MARGIN))
    inside = stands[(stands[:, 0] < end) & (stands[:, 1] >= start)]
    return HighLowWaters(turns.between(start, end), inside)


class _Extremes(NamedTuple):
    """Zeros of the rate in time order between the ends of a span, which come first and last.

    Columns: times, heights just before and after, and kinds. The ends are no turning points, but a turn
    shows against them.
    """

    t: Array
    before: Array
    after: Array
    high: NDArray[np.bool_]


def _all_turns(station: Station, start: float, end: float) -> _Extremes:
    """Every extreme of the piecewise sum between the ends of the span, heights above datum."""
    found: list[_Extremes] = []
    previous: tuple[AnyWaves, bool] | None = None
    for waves in waves_by_year(station.constants, station.practice, start, end):
        t, high, first_rises, last_rises = _year_turns(waves, max(start, waves.start), min(end, waves.end))
        if previous is not None and previous[1] != first_rises:
            found.append(_reset(previous[0], waves, high=previous[1]))
        height = waves.at(t)
        found.append(_Extremes(t, height, height, high))
        previous = waves, last_rises
    t, before, after, high = (np.concatenate(column) for column in zip(*found, strict=True))
    inside = (t >= start) & (t < end)
    ends = levels(station, [start, end])
    before, after = (
        np.concatenate((ends[:1], height[inside] + station.mean_level, ends[1:]))
        for height in (before, after)
    )
    return _Extremes(np.concatenate(([start], t[inside], [end])), before, after, np.pad(high[inside], 1))


def _year_turns(waves: AnyWaves, start: float, end: float) -> tuple[Array, NDArray[np.bool_], bool, bool]:
    """Zeros of the rate inside one year, whether each is a high water, and whether the ends rise.

    Every sign change of the sampled rate is one zero, and the signs of the end samples decide about a turn
    at the reset: so high and low waters alternate even where a zero falls on 1 January 0 h itself.
    """
    first = np.floor((start - waves.start) / GRID_STEP)
    origin = waves.start + GRID_STEP * first
    count = int(np.ceil((end - origin) / GRID_STEP)) + 1
    rate = waves.even(origin, GRID_STEP, count, order=1)
    index = sign_changes(rate)
    low = origin + GRID_STEP * index
    t = refine(lambda x: waves.pair(x, 1), low, low + GRID_STEP, rate[index], rate[index + 1], TIME_TOLERANCE)
    return t, (rate >= 0)[index], bool(rate[0] >= 0), bool(rate[-1] >= 0)


def _reset(old: AnyWaves, new: AnyWaves, *, high: bool) -> _Extremes:
    """The reset on 1 January as a turning point."""
    edge = np.array([new.start])
    return _Extremes(edge, old.at(edge), new.at(edge), np.array([high]))


def _without_stands(extremes: _Extremes) -> tuple[Turns, Array]:
    """Drop neighbouring pairs closer than a stand's range, smallest first; what stays alternates.

    The range between two extremes counts inside one year's sum: from the height just after the first to
    the height just before the second. A pair without duration is rounding at the reset, not a stand. Where
    nothing but one extreme is left, the water never moved by a stand's range and that one goes too.
    """
    t, before, after, high = extremes
    last = len(t) - 1
    keep = list(range(len(t)))
    dropped: list[tuple[float, float]] = []
    gaps = np.abs(before[1:] - after[:-1])
    while len(keep) > 1 and gaps.min() < STAND_RANGE:
        i = int(gaps.argmin())
        first, second = keep[i : i + 2]
        if 0 < first and second < last and t[second] - t[first] > 2 * TIME_TOLERANCE:
            dropped.append((float(t[first]), float(t[second])))
        del keep[i : i + 2]
        gaps = np.delete(gaps, [j for j in (i - 1, i, i + 1) if 0 <= j < len(gaps)])
        if 0 < i < len(keep):
            gaps = np.insert(gaps, i - 1, abs(before[keep[i]] - after[keep[i - 1]]))
    height = np.where(high, np.maximum(before, after), np.minimum(before, after))
    index = np.array([i for i in keep if 0 < i < last and len(keep) > 1], dtype=int)
    stands = np.array(sorted(dropped)).reshape(-1, 2)
    return Turns(t[index], height[index], high[index]), stands
