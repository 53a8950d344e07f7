"""How 100 points should be shared between the factors, where the catches say so clearly.

Two models of the catch are held against each other: the file's, in which every point counts alike whichever
factor gave it, and a free one in which each factor has an effect of its own. The file changes only where the
free one is clearly better, with any one of the best days left out too; then the shares are drawn from the
free model's towards the file's, the more the weaker the evidence: by 1 - q / L (q effects more, L twice the
gain in log-likelihood; the Stein rule, Judge and Bock 1978, from memory) and by n / (n + 100).
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

import numpy as np

from harmonics.arrays import Array
from windows.log.counts import Counts, Indices, counts_of
from windows.log.extra import MissingExtraError, extra_needed
from windows.log.lessons import Lesson, Part, Setting, Standing
from windows.log.regression import negative_binomial
from windows.log.robust import Estimate
from windows.log.trips import Trip
from windows.shoreline.shore import Shore
from windows.shoreline.spots import Preferences

LEAST_TRIPS = 60
"""Trips with a forecast, before shares are spoken of (judgement: twice what a verdict takes)."""
LEVEL = 0.01
"""Chance of a change where the file's shares are right."""
PRIOR_TRIPS = 100.0
BEST_DAYS = 5
"""Each of the trips with most fish is left out once: the evidence has to stand without it."""
DRAWS = 4000
SEED = 35


@dataclass(frozen=True, eq=False)
class _Fit:
    effects: Array
    spread: Array
    gain: float


def learn_points(shore: Shore, trips: Sequence[Trip]) -> Lesson | None:
    """The shares of the factors over all spots that share them; None where no trip has a forecast."""
    present = _general(shore)
    names = tuple(present)
    of_all = {spot.id for spot in shore.spots if asdict(spot.preferences.points) == present}
    whole = [trip for trip in trips if trip.spot in of_all and _factors(trip, names) is not None]
    if not whole:
        return None
    if len(whole) < LEAST_TRIPS:
        return Lesson(Setting.POINTS, "", "", Standing.FEW, len(whole), LEAST_TRIPS)
    try:
        with extra_needed():
            return _shared(whole, names, present)
    except MissingExtraError:
        return Lesson(Setting.POINTS, "", "", Standing.UNTRIED, len(whole), LEAST_TRIPS)


def _shared(whole: Sequence[Trip], names: Sequence[str], present: dict[str, float]) -> Lesson:
    """The lesson of enough trips that all have a forecast."""
    counts = counts_of(whole)
    factors = np.array([_factors(trip, names) for trip in whole])
    now = np.array([present[name] for name in names])
    fit = _evidence(counts, factors, now)
    if fit is None:
        return Lesson(Setting.POINTS, "", "", Standing.AGREES, len(whole), LEAST_TRIPS)
    weight = (1.0 - (len(names) - 1) / fit.gain) * len(whole) / (len(whole) + PRIOR_TRIPS)
    rng = np.random.default_rng(SEED)
    drawn = rng.multivariate_normal(fit.effects, fit.spread, DRAWS, method="eigh")
    spread = np.quantile(_hundred(np.maximum(drawn, 0.0)), (0.025, 0.975), axis=0)
    free = _hundred(np.maximum(fit.effects, 0.0)[None, :])[0]
    shares = _whole(weight * free + (1.0 - weight) * now)
    parts = tuple(
        Part(name, old, Estimate(value, low, high, len(whole)), share)
        for name, old, value, low, high, share in zip(
            names, now.tolist(), free.tolist(), *spread.tolist(), shares, strict=True
        )
    )
    value = {part.key: part.proposed for part in parts}
    changed = any(abs(part.proposed - (part.present or 0.0)) >= 1.0 for part in parts)
    standing = Standing.CHANGE if changed else Standing.AGREES
    return Lesson(
        Setting.POINTS, "", "", standing, len(whole), LEAST_TRIPS, parts, value if changed else None
    )


def _general(shore: Shore) -> dict[str, float]:
    """The shares most spots have: those of the file's [fishing] table, or the defaults."""
    every = [asdict(spot.preferences.points) for spot in shore.spots]
    return max(every, key=every.count, default=asdict(Preferences().points))


def _factors(trip: Trip, names: Sequence[str]) -> list[float] | None:
    """Each factor's mean over the trip, 0 to 1; None where the forecast lacks one."""
    if trip.forecast is None:
        return None
    given = {item.factor: item for item in trip.forecast.factors}
    if any(name not in given or given[name].most <= 0 for name in names):
        return None
    return [given[name].points / given[name].most for name in names]


def _evidence(counts: Counts, factors: Array, now: Array) -> _Fit | None:
    """The free model's effects, where they are clearly better than the file's with or without a best day."""
    from scipy.stats import chi2

    needed = float(chi2.ppf(1.0 - LEVEL, factors.shape[1] - 1))
    whole = _fit(counts, factors, now, np.arange(len(counts)))
    if whole is None or whole.gain <= needed or not (whole.effects > 0).any():
        return None
    for lucky in np.argsort(-counts.caught, kind="stable")[:BEST_DAYS]:
        fit = _fit(counts, factors, now, np.delete(np.arange(len(counts)), lucky))
        if fit is None or fit.gain <= needed:
            return None
    return whole


def _fit(counts: Counts, factors: Array, now: Array, kept: Indices) -> _Fit | None:
    """Both models on some trips; every column less its mean of spot and month, and that mean beside it."""
    stratum = np.unique(counts.stratum[kept], return_inverse=True)[1].astype(np.int64)
    within, between = _apart(factors[kept], stratum)
    caught, offset = counts.caught[kept], np.log(counts.effort[kept])
    ones, places = np.ones((len(kept), 1)), between @ now[:, None]
    file_s = negative_binomial(caught, np.hstack((ones, places, within @ now[:, None])), offset)
    free = negative_binomial(caught, np.hstack((ones, places, within)), offset)
    if file_s is None or free is None:
        return None
    last = slice(2, 2 + factors.shape[1])
    return _Fit(free.effects[last], free.covariance[last, last], 2.0 * (free.likelihood - file_s.likelihood))


def _apart(columns: Array, stratum: Indices) -> tuple[Array, Array]:
    sizes = np.bincount(stratum)
    means = np.column_stack([np.bincount(stratum, column) / sizes for column in columns.T])[stratum]
    return columns - means, means - means.mean(axis=0)


def _hundred(effects: Array) -> Array:
    """Shares of 100 in proportion to effects, by rows; rows without any effect are left out."""
    total = effects.sum(axis=1, keepdims=True)
    some = total[:, 0] > 0
    return np.asarray(100.0 * effects[some] / total[some])


def _whole(shares: Array) -> list[float]:
    """Whole points that sum to 100, the largest remainders rounded up."""
    down = np.floor(shares)
    order = np.argsort(down - shares, kind="stable")
    down[order[: round(100.0 - down.sum())]] += 1.0
    return [float(share) for share in down]
