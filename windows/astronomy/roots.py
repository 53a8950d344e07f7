"""Roots and extrema of many smooth functions at once, refined from brackets."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array, Ints

# Illinois settles altitudes within 8 rounds. Where the curve is flat at its root (an inflection, near a pole)
# it crawls, so from then on every other round halves the bracket: half an hour takes 40 rounds to 5 ms.
SECANT_ROUNDS = 8
MOST_ROUNDS = 100
# Three-point parabolas shrink sixfold a round: four rounds take a 6 h step to 100 s, where the parabola
# through a month-long sine is exact to a millisecond.
EXTREMUM_ROUNDS = 4
EXTREMUM_SHRINK = 6.0


def refine_brackets(
    f: Callable[[Ints, Array], Array],
    ends: tuple[ArrayLike, ArrayLike],
    values: tuple[ArrayLike, ArrayLike],
    tolerance: float,
) -> Array:
    """Roots of n functions by the Illinois variant of regula falsi, all brackets at once.

    f(i, x) evaluates function i[j] at x[j]. ends and values there, each a pair of (n,), the values of
    opposite sign (zero counts as negative). Returns (n,) roots; each bracket ends narrower than `tolerance`
    (in units of x). A short step is no proof: next to a graze the secant crawls, so the width decides.
    Source: Dowell and Jarratt 1971, BIT 11:168-174.
    """
    kept, newest = (np.array(end, np.float64) for end in ends)
    f_kept, f_newest = (np.array(value, np.float64) for value in values)
    active = np.flatnonzero(f_newest != 0)
    for turn in range(MOST_ROUNDS):
        if not active.size:
            return _secant(kept, newest, f_kept, f_newest)
        x0, x1, f0, f1 = kept[active], newest[active], f_kept[active], f_newest[active]
        if turn >= SECANT_ROUNDS and turn % 2 == 0:
            x2 = 0.5 * (x0 + x1)
        else:
            # At least half a tolerance, so that a newest point as good as the root is passed, not approached.
            step = np.maximum(f1 / (f1 - f0) * np.abs(x1 - x0), 0.5 * tolerance)
            x2 = x1 + np.copysign(np.minimum(step, np.abs(x1 - x0)), x0 - x1)
        f2 = f(active, x2)
        crossed = (f2 > 0) != (f1 > 0)
        x0 = np.where(crossed, x1, x0)
        kept[active], f_kept[active] = x0, np.where(crossed, f1, 0.5 * f0)
        newest[active], f_newest[active] = x2, f2
        active = active[(np.abs(x2 - x0) > tolerance) & (f2 != 0)]
    raise ArithmeticError(f"{active.size} of {newest.size} roots did not settle in {MOST_ROUNDS} rounds")


def _secant(x0: Array, x1: Array, f0: Array, f1: Array) -> Array:
    """Where the chords through (x0, f0) and (x1, f1), of opposite sign, are zero."""
    return x1 - np.where(f1 == 0, 0.0, f1 / np.where(f1 == f0, 1.0, f1 - f0)) * (x1 - x0)


def refine_extrema(f: Callable[[Ints, Array], Array], centre: Array, step: float) -> Array:
    """Abscissae (n,) of the extrema nearest to `centre`, by shrinking three-point parabolas.

    f(i, x) evaluates function i[j] at x[j]; centre: (n,) sampled extrema of samples `step` apart.
    """
    x = np.array(centre, np.float64)
    if not x.size:
        return x
    each = np.tile(np.arange(x.size), 3)
    for _ in range(EXTREMUM_ROUNDS):
        before, here, after = f(each, np.concatenate((x - step, x, x + step))).reshape(3, -1)
        curvature = before - 2.0 * here + after
        flat = curvature == 0
        shift = 0.5 * (before - after) / np.where(flat, 1.0, curvature)
        x = x + step * np.where(flat, 0.0, np.clip(shift, -1.0, 1.0))
        step /= EXTREMUM_SHRINK
    return x
