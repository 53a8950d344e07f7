"""Chop from wind, fetch and depth: a lower and an upper curve that the trade prints, taken as a range.

Lower: I. R. Young and L. A. Verhagen, The growth of fetch limited waves in water of finite depth, Part 1,
Coastal Engineering 29 (1996) 47, with the depth limits of I. R. Young and A. V. Babanin, Journal of
Geophysical Research 111 (2006) C06013. Upper: US Army, Shore Protection Manual (1984), equation 3-39 with the
adjusted wind of 3-28a (from memory). Both are for a steady wind at 10 m that has blown long enough.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array
from harmonics.stations.inlet import GRAVITY
from windows.shoreline.exposure import Exposure

FULL_GROWN = 0.2433
"""g H over the square of the adjusted wind: the Manual's fully developed sea."""
CALM = 0.5
"""m/s: below this the formulas divide by next to nothing, and there is no chop."""


@dataclass(frozen=True, eq=False, slots=True)
class Chop:
    """Significant height of the chop as a range, and its peak period; arrays of one shape.

    Attributes:
        low, high: metres; nan where the wind is unknown.
        period: seconds; nan where there is no chop or the wind is unknown.
    """

    low: Array
    high: Array
    period: Array


def young_verhagen(wind: ArrayLike, fetch: float, depth: float) -> tuple[Array, Array]:
    """Significant height Hm0 (m) and peak period (s) of waves limited by fetch and depth; shaped as wind.

    Args:
        wind: m/s at 10 m, above 0.
        fetch, depth: metres.
    """
    speed = np.asarray(wind, dtype=float)
    x, d = GRAVITY * fetch / speed**2, GRAVITY * depth / speed**2
    a, b = np.tanh(0.493 * d**0.75), np.tanh(0.331 * d**1.01)
    energy = 3.64e-3 * (a * np.tanh(3.13e-3 * x**0.57 / a)) ** 1.74
    frequency = 0.133 * (b * np.tanh(5.215e-4 * x**0.73 / b)) ** -0.37
    energy = np.minimum(energy, 1e-3 * d**1.2)
    frequency = np.maximum(frequency, 0.2 * d**-0.375)
    return np.asarray(4.0 * speed**2 * np.sqrt(energy) / GRAVITY), np.asarray(speed / (GRAVITY * frequency))


def shore_protection_manual(wind: ArrayLike, fetch: float, depth: float) -> Array:
    """Significant height (m) by the Shore Protection Manual's shallow-water curves; shaped as wind.

    At most the height of a full-grown sea, and that which C. L. Bretschneider, Revisions in wave forecasting:
    deep and shallow water, Coastal Engineering Proceedings 6 (1958), lets so little water carry.
    """
    speed = np.asarray(wind, dtype=float)
    adjusted = 0.71 * speed**1.23
    x, d = GRAVITY * fetch / adjusted**2, GRAVITY * depth / adjusted**2
    deep = np.tanh(0.530 * d**0.75)
    grown = np.minimum(0.283 * deep * np.tanh(0.00565 * np.sqrt(x) / deep), FULL_GROWN) * adjusted**2
    carried = 4.0 * speed**2 * np.sqrt(1.4e-3 * (GRAVITY * depth / speed**2) ** 1.5)
    return np.asarray(np.minimum(grown, carried) / GRAVITY)


def chop_of(exposed: Sequence[Exposure], speed: ArrayLike, wind_from: ArrayLike) -> Chop:
    """Chop at a spot.

    Args:
        exposed: sectors from which wind has a fetch; of those that overlap the roughest counts.
        speed: m/s at 10 m; nan where unknown.
        wind_from: degrees true; nan where unknown, which matters unless it is calm.
    """
    wind, source = np.broadcast_arrays(np.asarray(speed, dtype=float), np.asarray(wind_from, dtype=float))
    unknown = np.isnan(wind) | (np.isnan(source) & (wind >= CALM))
    blows = np.where(np.nan_to_num(wind) >= CALM, wind, CALM)
    low, high = (np.where(unknown, np.nan, 0.0) for _ in range(2))
    period = np.full(wind.shape, np.nan)
    for sector in exposed:
        reached = ~unknown & (wind >= CALM) & sector.holds(source)
        height, seconds = young_verhagen(blows, sector.fetch, sector.depth)
        upper = np.maximum(shore_protection_manual(blows, sector.fetch, sector.depth), height)
        rougher = reached & (upper > high)
        low, high = np.where(rougher, height, low), np.where(rougher, upper, high)
        period = np.where(rougher, seconds, period)
    return Chop(low, high, period)
