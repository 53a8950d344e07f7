"""Whether better-scored hours catch more: a permutation test inside spot and month, and what it may say.

The statistic is the derivative of the negative binomial likelihood by the effect of the points, at no effect:
sum of points x (caught - expected) / (1 + a expected), expected from the rate of each spot and month, drawn
towards that of all by one trip's worth. Points are shuffled among trips of one spot and month, so that a good
season or a good spot that happens to score well proves nothing, and the test's size is exact.
"""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from harmonics.arrays import Array, Flags
from windows.log.counts import Counts, Indices

LEAST_TRIPS = 30
"""No verdict from fewer comparable trips, whatever they seem to show."""
PERMUTATIONS = 4999
SEED = 30
"""The same log gives the same answer."""
LEVEL_FOR, LEVEL_AGAINST = 0.0375, 0.0025
"""Chances of a verdict where the points mean nothing: 4 % together. Most is spent on the side that one asks
about; that a score misleads takes more to be believed."""
BLOCK = 4_000_000
"""Shuffled points held at a time."""


class Verdict(Enum):
    """What the log may say of the score."""

    TOO_FEW = "too few trips"
    NO_FISH = "no fish"
    OPEN = "open"
    BETTER = "better hours catch more"
    WORSE = "better hours catch less"


@dataclass(frozen=True, slots=True)
class PermutationTest:
    """How often chance alone does as well.

    Attributes:
        above, below: chances of a statistic at least as high, and at most as low.
        spearman: rank correlation of points with catch an angler-hour.
        spearman_chance: chance of one as far from its mean under shuffling, either way.
        permutations: how many shufflings.
    """

    above: float
    below: float
    spearman: float
    spearman_chance: float
    permutations: int


def verdict_of(counts: Counts, test: PermutationTest | None) -> Verdict:
    """What a test allows to be said; None stands for one that was not done."""
    if counts.comparable < LEAST_TRIPS:
        return Verdict.TOO_FEW
    if not counts.caught.any():
        return Verdict.NO_FISH
    if test is not None and test.above <= LEVEL_FOR:
        return Verdict.BETTER
    if test is not None and test.below <= LEVEL_AGAINST:
        return Verdict.WORSE
    return Verdict.OPEN


def permutation_test(counts: Counts, permutations: int = PERMUTATIONS, seed: int = SEED) -> PermutationTest:
    """The test of a log of at least two trips."""
    from scipy.stats import rankdata

    rng = np.random.default_rng(seed)
    residual = residuals(counts)
    ranks = rankdata(counts.points) - (len(counts) + 1) / 2.0
    catch_ranks = rankdata(counts.caught / counts.effort) - (len(counts) + 1) / 2.0
    score, tie = float(counts.points @ residual), 1e-9 * float(np.abs(counts.points) @ np.abs(residual))
    rank_score = float(ranks @ catch_ranks)
    sums, rank_sums = np.empty(permutations), np.empty(permutations)
    block = max(1, BLOCK // max(len(counts), 1))
    for first in range(0, permutations, block):
        part = slice(first, min(first + block, permutations))
        order = shuffled(counts.stratum, part.stop - part.start, rng)
        sums[part] = counts.points[order] @ residual
        rank_sums[part] = ranks[order] @ catch_ranks
    away = np.abs(rank_sums - rank_sums.mean()) >= abs(rank_score - rank_sums.mean()) - 1e-9
    size = float(np.sqrt((ranks @ ranks) * (catch_ranks @ catch_ranks)))
    return PermutationTest(
        above=_chance(sums >= score - tie),
        below=_chance(sums <= score + tie),
        spearman=rank_score / size if size > 0 else float("nan"),
        spearman_chance=_chance(away),
        permutations=permutations,
    )


def _chance(as_far: Flags) -> float:
    """The share of shufflings as far out, the log as it is counted as one of them."""
    return (1.0 + float(as_far.sum())) / (1.0 + len(as_far))


def residuals(counts: Counts) -> Array:
    """What each trip caught beyond its spot's and month's rate, weighed as a negative binomial is."""
    rate = counts.caught.sum() / counts.effort.sum()
    drawn = counts.effort.mean()
    fish = np.bincount(counts.stratum, counts.caught) + drawn * rate
    hours = np.bincount(counts.stratum, counts.effort) + drawn
    expected = counts.effort * (fish / hours)[counts.stratum]
    return np.asarray((counts.caught - expected) / (1.0 + excess(counts.caught, expected) * expected))


def excess(caught: Array, expected: Array) -> float:
    """The a of a variance m + a m^2, by moments; 0 where the counts spread no more than Poisson's do."""
    spread = float(((caught - expected) ** 2 - expected).sum())
    square = float((expected**2).sum())
    return max(0.0, spread / square) if square > 0 else 0.0


def shuffled(stratum: Indices, count: int, rng: np.random.Generator) -> Indices:
    """Indices that put trips in random order among those of their own stratum; shape (count, n)."""
    order = np.broadcast_to(np.arange(len(stratum)), (count, len(stratum))).copy()
    for number in np.unique(stratum):
        inside = np.flatnonzero(stratum == number)
        if len(inside) > 1:
            order[:, inside] = inside[np.argsort(rng.random((count, len(inside))), axis=1)]
    return order
