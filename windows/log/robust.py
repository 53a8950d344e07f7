"""A middle and its 95 % interval from a few notes, one of which may be wild.

The Hodges-Lehmann estimate: the median of the means of all pairs of notes, each with itself too (Walsh
averages). Its interval lies between two of these means, counted in from both ends as Wilcoxon's signed-rank
distribution says: exact whatever the errors' law, so long as it is symmetric. Hollander and Wolfe,
Nonparametric Statistical Methods, section 3.2 and 3.4 (from memory).
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from harmonics.arrays import Array

LEVEL = 0.95
LEAST_NOTES = 6
"""Fewer can't tell an interval of 95 %: with five, both signs agree by chance in 6 of 100 cases."""
MOST_NOTES = 400
"""Later notes than these change nothing; all pairs of more would take long."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """A middle with its interval.

    Attributes:
        value: the estimate.
        low, high: 95 % interval.
        notes: how many it rests on.
    """

    value: float
    low: float
    high: float
    notes: int

    def holds(self, value: float) -> bool:
        """Whether a value lies in the interval."""
        return self.low <= value <= self.high


def middle(notes: Array) -> Estimate | None:
    """The middle of notes, shape (n,); None for fewer than six. Of very many the last ones count."""
    kept = np.asarray(notes, dtype=float)[-MOST_NOTES:]
    count = len(kept)
    if count < LEAST_NOTES:
        return None
    first, second = np.triu_indices(count)
    means = np.sort((kept[first] + kept[second]) / 2.0)
    skipped = rank_sum_limit(count)
    value = float(np.median(means))
    return Estimate(value, float(means[skipped]), float(means[-1 - skipped]), count)


@lru_cache(maxsize=MOST_NOTES)
def rank_sum_limit(count: int) -> int:
    """How many pair means lie outside the interval at each end.

    It is the greatest sum w that Wilcoxon's signed-rank statistic of so many notes stays at or below in no
    more than 2.5 % of cases; -1 where even 0 comes more often.
    """
    ways = np.zeros(count * (count + 1) // 2 + 1)
    ways[0] = 1.0
    for rank in range(1, count + 1):
        ways[rank:] = (ways[rank:] + ways[: len(ways) - rank]) / 2.0
        ways[:rank] /= 2.0
    below = np.cumsum(ways)
    return int(np.searchsorted(below, (1.0 - LEVEL) / 2.0, side="right")) - 1
