"""How many trips it takes to see that better-scored hours catch more.

Of two groups of trips with negative binomial catches of means m1 and m2 = ratio x m1 and size k, the
logarithm of the ratio of mean catches has the variance (1/m1 + 1/m2 + 2/k) / n. So n trips a group show it
with 80 % power at the level of 5 % where n = (z_0.975 + z_0.80)^2 (1/m1 + 1/m2 + 2/k) / ln(ratio)^2: the
usual normal approximation (Zhu and Lakkis, Statistics in Medicine 33 (2014) 376, method 1, from memory).
"""

import math
from dataclasses import dataclass

Z_LEVEL = 1.959963984540054
"""97.5 % quantile of the normal distribution."""
Z_POWER = 0.8416212335729143
"""Its 80 % quantile."""
RATIOS = (2.0, 1.5, 1.25)
"""Catch ratios between the better and the worse half of trips that a report tells numbers of trips for."""
USUAL_MEAN, USUAL_SIZE = 2.0, 1.0
"""Fish a trip and the size k of their negative binomial, while a log is too short to tell (judgement)."""


@dataclass(frozen=True, slots=True)
class Need:
    """Trips, both halves together, that would show a catch ratio with 80 % power."""

    ratio: float
    trips: int


def trips_per_group(ratio: float, mean: float = USUAL_MEAN, size: float = USUAL_SIZE) -> float:
    """Trips in each of two groups.

    Args:
        ratio: of their mean catches, above 0 and not 1.
        mean: fish a trip of the first group.
        size: k of the negative binomial; infinity for Poisson catches.
    """
    variance = 1.0 / mean + 1.0 / (mean * ratio) + 2.0 / size
    return (Z_LEVEL + Z_POWER) ** 2 * variance / math.log(ratio) ** 2


def needs(mean: float = USUAL_MEAN, size: float = USUAL_SIZE, strata: int = 1) -> tuple[Need, ...]:
    """Trips in all for each of RATIOS.

    Args:
        mean: fish a trip of the worse half.
        size: k of the negative binomial.
        strata: spots x months that trips are compared within: each takes up about one trip's worth of what
            is known, beyond the first.
    """
    return tuple(
        Need(ratio, round(2.0 * trips_per_group(ratio, mean, size)) + strata - 1) for ratio in RATIOS
    )
