"""Crossings of sampled curves, bracketed on a grid and refined all at once. Knows neither tide nor sky."""

from collections.abc import Callable

import numpy as np

from harmonics.arrays import Array, Indices

Curve = Callable[[Array], tuple[Array, Array]]
"""Values and slopes at times of shape (m,), each of shape (m,)."""
Curves = Callable[[Array, Indices], tuple[Array, Array]]
"""The same where each bracket has a curve of its own: times, and which brackets they lie in."""

MAXIMUM_ITERATIONS = 100
"""Newton needs two or three; zeros close together take some fifty."""


def sign_changes(values: Array) -> Indices:
    """Indices i where values pass zero between samples i and i + 1; a sample of zero counts as positive."""
    positive = values >= 0
    return np.flatnonzero(positive[1:] != positive[:-1])


def linear_crossings(t: Array, values: Array, index: Indices, limit: float = 0.0) -> Array:
    """Times at which the straight line from each sample i to the next passes a limit: shape (n,).

    Args:
        t, values: samples, shape (m,).
        index: the samples i, shape (n,), as from `sign_changes(values - limit)`.
        limit: the value passed.
    """
    share = (limit - values[index]) / (values[index + 1] - values[index])
    return np.asarray(t[index] + share * (t[index + 1] - t[index]))


def refine(curve: Curve, low: Array, high: Array, at_low: Array, at_high: Array, tolerance: float) -> Array:
    """Zeros of a curve, one in each bracket, by Newton steps that never leave their bracket.

    A step that leaves it, or is more than half the last one, becomes a bisection: so zeros that lie close
    together are found as well.

    Args:
        curve: values and slopes at given times.
        low, high: ends of the brackets, shape (n,).
        at_low, at_high: the curve's values there, of opposite sign (zero counts as positive).
        tolerance: a zero is done when its step is smaller.

    Returns:
        Times of the zeros, shape (n,).
    """
    return refine_each(lambda t, _: curve(t), low, high, at_low, at_high, tolerance)


def refine_each(
    curves: Curves, low: Array, high: Array, at_low: Array, at_high: Array, tolerance: float
) -> Array:
    """As `refine`, with a curve of its own for each bracket."""
    low, high = low.copy(), high.copy()
    with np.errstate(divide="ignore", invalid="ignore"):
        share = at_low / (at_low - at_high)
    root = low + np.where(np.isfinite(share), np.clip(share, 0.0, 1.0), 0.5) * (high - low)
    rising = at_low < 0
    step = high - low
    active = np.arange(len(low))
    for _ in range(MAXIMUM_ITERATIONS):
        if not len(active):
            break
        here = root[active]
        value, slope = curves(here, active)
        below = (value < 0) == rising[active]
        low[active] = np.where(below, here, low[active])
        high[active] = np.where(below, high[active], here)
        with np.errstate(divide="ignore", invalid="ignore"):
            guess = here - value / slope
        good = (guess >= low[active]) & (guess <= high[active])
        good &= np.abs(guess - here) <= 0.5 * step[active]
        guess = np.where(good, guess, 0.5 * (low[active] + high[active]))
        root[active], step[active] = guess, np.abs(guess - here)
        active = active[step[active] > tolerance]
    return root
