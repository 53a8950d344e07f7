"""Hourly values as smooth curves: uniform cubic B-splines whose coefficients are the values themselves.

The curve passes near its knots, (1 4 1)/6 of three neighbours, and its slope at a knot is the difference of
the two beside it over two hours: what one would read off hourly levels by hand, with half the noise of a
curve through every value. Source: C. de Boor, A Practical Guide to Splines (1978), ch. IX to XI.
"""

import numpy as np

from harmonics.arrays import Array
from harmonics.units import HOUR

REACH = 2
"""Knots needed beyond either end of the times asked for."""


def weights(share: Array) -> Array:
    """Weights of the knots before, at, after and two after, at a share of the hour: shape (4, *share)."""
    x = np.asarray(share, dtype=float)
    y = 1.0 - x
    return np.stack((y**3, 3 * x**3 - 6 * x**2 + 4, 3 * y**3 - 6 * y**2 + 4, x**3)) / 6.0


def slope_weights(share: Array) -> Array:
    """As `weights`, for the slope a second."""
    x = np.asarray(share, dtype=float)
    y = 1.0 - x
    return np.stack((-(y**2), 3 * x**2 - 4 * x, 4 * y - 3 * y**2, x**2)) / (2.0 * HOUR)


def curve(knots: Array, start: float, t: Array, slope: bool = False) -> Array:
    """Values or slopes at any times.

    Args:
        knots: at full hours from `start` on, shape (..., m).
        start: of the first knot, POSIX seconds.
        t: POSIX seconds, shape (n,).
        slope: whether the slope (a second) is wanted.

    Returns:
        Shape (..., n).

    Raises:
        ValueError: a time nearer an end of the knots than they reach.
    """
    place = (np.asarray(t, dtype=float) - start) / HOUR
    index = np.floor(place).astype(np.intp)
    if index.size and (index.min() < 1 or index.max() + REACH >= knots.shape[-1]):
        raise ValueError("times beyond the knots of the curve")
    weight = (slope_weights if slope else weights)(place - index)
    out = knots[..., index - 1] * weight[0]
    for k in range(1, 4):
        out += knots[..., index - 1 + k] * weight[k]
    return np.asarray(out)


def even_curve(
    knots: Array, start: float, first: float, step: float, count: int, slope: bool = False
) -> Array:
    """As `curve`, at first + step x (0 .. count - 1): where the step divides the hour, one matrix product."""
    inside = round(HOUR / step)
    if not count or abs(inside * step - HOUR) > 1e-6:
        return curve(knots, start, first + step * np.arange(count, dtype=float), slope)
    place = (first - start) / step
    base = int(np.floor(place))
    lead, skipped = divmod(base, inside)
    hours = -(-(skipped + count) // inside)
    if lead < 1 or lead + hours + 1 >= knots.shape[-1]:
        raise ValueError("times beyond the knots of the curve")
    weight = (slope_weights if slope else weights)((place - base + np.arange(inside)) / inside)
    near = np.lib.stride_tricks.sliding_window_view(knots, 4, axis=-1)[..., lead - 1 : lead - 1 + hours, :]
    table = np.ascontiguousarray(near) @ weight
    return table.reshape(*knots.shape[:-1], -1)[..., skipped : skipped + count]
