"""Points over how wrong the water can be: their mean, their range, and how often good water came true."""

from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array
from harmonics.records.verification import range_of_eight_in_ten
from windows.conditions.assembly import STEP
from windows.conditions.cases import Water, later
from windows.conditions.scoring import Conditions, ScoreCurve
from windows.forecast.edges import LEAST_FLOW_FACTOR
from windows.forecast.light import LOW_LIGHT

SHIFT = 1800.0
"""Early-or-late check: the water alone 30 minutes earlier and later."""
EIGHT_IN_TEN = (0.1, 0.9)
"""Shares of the cases below the range that is stated."""
TIE = 1e-9


class Seen(NamedTuple):
    """What the cases of a gauge's record tell of a session.

    Attributes:
        chance: share of them in which it would have come true: a mean flow factor of a half or more while it
            lasts, counted where the limits are open that the water decides.
        level_low, level_high: metres above datum at its peak, the range that eight cases in ten lie in.
        cases: how many.
    """

    chance: float
    level_low: float
    level_high: float
    cases: int


class Expected:
    """A score curve over how wrong the water can be, summed up so that any stretch has its integral.

    Attributes:
        curve: with the water as predicted.
        total: mean of the points over the cases, at the curve's steps.
        early_late: points with the water 30 minutes early and late, at the curve's steps; shape (2, n).
    """

    def __init__(self, conditions: Conditions, curve: ScoreCurve) -> None:
        """Score every case."""
        self.curve = curve
        water = Water(float(curve.t[0]), STEP, curve.level - curve.departure, curve.departure, curve.outgoing)
        mean = np.zeros(curve.shares.shape)
        totals: list[Array] = []
        worths: list[Array] = []
        self._levels: list[Array] = []
        for level, outgoing in conditions.cases.of(water):
            points, worth, _ = conditions.in_case(curve, level, outgoing)
            mean += points
            totals.append(summed(points.sum(axis=0)))
            if conditions.cases.seen:
                worths.append(summed(worth))
                self._levels.append(level)
        mean /= len(totals)
        self.total = mean.sum(axis=0)
        self._points = summed(mean)
        self._totals = np.stack(totals)
        self._worths = np.stack(worths) if worths else None
        self._flow = summed(np.where(curve.open, curve.flow_factor, 0.0))
        self._predicted = summed(curve.total)
        self._dark = summed((curve.sun_altitude < LOW_LIGHT[0]).astype(float))
        shifts = (-SHIFT / STEP, SHIFT / STEP)
        moved = [(later(water.predicted, n) + water.departure, later(water.outgoing, n)) for n in shifts]
        self.early_late = np.stack([conditions.in_case(curve, *case)[0].sum(axis=0) for case in moved])
        self._shifted = summed(self.early_late)

    def points(self, start: Array, end: Array) -> Array:
        """Points by factor times seconds over stretches; shape (factors, stretches)."""
        return between(self._points, self.curve.t, start, end)

    def totals(self, start: Array, end: Array) -> Array:
        """Points times seconds of each case; shape (cases, stretches)."""
        return between(self._totals, self.curve.t, start, end)

    def seen(self, start: float, end: float, peak: float) -> Seen | None:
        """What cases that were seen tell of a stretch; None where there are none."""
        if self._worths is None:
            return None
        worth = between(self._worths, self.curve.t, np.array([start]), np.array([end]))[:, 0]
        place = round((peak - float(self.curve.t[0])) / STEP)
        low, high = range_of_eight_in_ten(np.array([level[place] for level in self._levels]))
        return Seen(chance_of(worth, end - start), float(low), float(high), len(worth))

    def range(self, cases: Array) -> tuple[Array, Array]:
        """The range that eight in ten lie in, of values that each case has; shape (cases, ..)."""
        return eight_in_ten(cases, self._worths is not None)

    def shifted(self, start: Array, end: Array) -> Array:
        """Points times seconds with the water 30 minutes early and late; shape (2, stretches)."""
        return between(self._shifted, self.curve.t, start, end)

    def predicted(self, start: Array, end: Array) -> Array:
        """Points times seconds with the water as predicted; shape (stretches,)."""
        return between(self._predicted, self.curve.t, start, end)

    def flow(self, start: Array, end: Array) -> Array:
        """Flow factor times seconds with the water as predicted; shape (stretches,)."""
        return between(self._flow, self.curve.t, start, end)

    def dark(self, start: Array, end: Array) -> Array:
        """Seconds in the dark; shape (stretches,)."""
        return between(self._dark, self.curve.t, start, end)


def chance_of(worth: Array, length: float) -> float:
    """The share of cases, 0 to 1, in which a stretch came true.

    Args:
        worth: flow factor times seconds over it in each case, counted where the limits are open.
        length: of the stretch, seconds.
    """
    return float((worth >= (LEAST_FLOW_FACTOR - TIE) * length).mean())


def summed(values: Array) -> Array:
    """The integral of even samples up to each step, straight between them; shaped as the values."""
    out = np.zeros(values.shape)
    np.cumsum(0.5 * STEP * (values[..., 1:] + values[..., :-1]), axis=-1, out=out[..., 1:])
    return out


def between(summed: Array, t: Array, start: Array, end: Array) -> Array:
    """Integrals over stretches; between two steps they grow evenly."""

    def up_to(times: Array) -> Array:
        place = (times - t[0]) / STEP
        index = np.minimum(np.maximum(np.floor(place).astype(int), 0), len(t) - 2)
        rest = place - index
        return np.asarray(summed[..., index] * (1.0 - rest) + summed[..., index + 1] * rest)

    return np.asarray(up_to(end) - up_to(start))


def eight_in_ten(cases: Array, seen: bool) -> tuple[Array, Array]:
    """The range over the first axis that eight in ten lie in.

    Args:
        cases: of one value or several.
        seen: whether they were seen, a sample of what may come, or stand at fixed shares of all of it.
    """
    if seen:
        return range_of_eight_in_ten(cases)
    return quantile(cases, EIGHT_IN_TEN[0]), quantile(cases, EIGHT_IN_TEN[1])


def quantile(cases: Array, share: float) -> Array:
    """Each column's quantile, straight between its order statistics.

    numpy's own loads its masked arrays: 7 ms of a start.
    """
    whole, rest = divmod(share * (len(cases) - 1), 1.0)
    ordered = np.sort(cases, axis=0)
    low, high = ordered[int(whole)], ordered[min(int(whole) + 1, len(cases) - 1)]
    return np.asarray(low + rest * (high - low))
