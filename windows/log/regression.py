"""Catch against points by negative binomial regression: the ratio inside spot and month, with its interval.

log(expected catch) = log(angler-hours) + a + b (points - mean of their spot and month) + c (that mean): the
within part is what one's choice of hours did, the between part what spots and seasons did (Mundlak,
Econometrica 46 (1978) 69). Catches of an angler are counts with more spread than Poisson's (Terceiro, Fishery
Bulletin 101 (2003) 653). Fitted by statsmodels.
"""

import warnings
from dataclasses import dataclass

import numpy as np

from harmonics.arrays import Array
from windows.log.counts import Counts
from windows.log.power import Z_LEVEL

STEP = 20.0
"""Points that a ratio is told for: about what lies between a fair and a good session."""
MOST_STEPS = 200
LARGEST_SIZE = 1e4
"""A larger k is Poisson's law to any number of trips that anyone makes."""
LEAST_COMPARED = 10
"""Comparable trips: of fewer the fit goes through nearly every point, and its interval means nothing."""
LEAST_SPREAD = 1e-9
"""Of a column in STEPs: less is no spread at all."""


@dataclass(frozen=True, slots=True)
class CatchRatio:
    """How the catch grows with the points.

    Attributes:
        ratio: of expected catches, STEP points apart, at one spot in one month.
        low, high: 95 % interval.
        size: k of the negative binomial; infinity where catches spread as Poisson's do.
    """

    ratio: float
    low: float
    high: float
    size: float


def within_and_between(counts: Counts) -> Array:
    """Columns: 1, points less the mean of their spot and month in STEPs, that mean in STEPs; shape (n, 3)."""
    means = np.bincount(counts.stratum, counts.points) / np.bincount(counts.stratum)
    between = means[counts.stratum]
    return np.column_stack(
        (np.ones(len(counts)), (counts.points - between) / STEP, (between - between.mean()) / STEP)
    )


def catch_ratio(counts: Counts) -> CatchRatio | None:
    """The fit; None where trips do not tell one: too few, no fish, all of one kind, or no convergence."""
    if counts.comparable < LEAST_COMPARED:
        return None
    columns = within_and_between(counts)
    varies = np.ptp(columns, axis=0) > LEAST_SPREAD
    if not counts.caught.any() or not varies[1]:
        return None
    kept = columns[:, [0, 1, 2] if varies[2] else [0, 1]]
    fit = negative_binomial(counts.caught, kept, np.log(counts.effort))
    if fit is None:
        return None
    reach = Z_LEVEL * float(np.sqrt(fit.covariance[1, 1]))
    ends = np.exp(fit.effects[1] + np.array([0.0, -reach, reach]))
    if not np.isfinite(ends).all():
        return None
    return CatchRatio(float(ends[0]), float(ends[1]), float(ends[2]), fit.size)


@dataclass(frozen=True, eq=False)
class Fit:
    """A negative binomial regression.

    Attributes:
        effects: of the columns, on the logarithm of the expected catch.
        covariance: of the effects.
        size: k; infinity where catches spread as Poisson's do.
        likelihood: logarithm of it.
    """

    effects: Array
    covariance: Array
    size: float
    likelihood: float


def negative_binomial(caught: Array, columns: Array, offset: Array) -> Fit | None:
    """Catches against columns with a fixed offset; None where the fit does not settle.

    Catches that spread no more than Poisson's are fitted as such, their intervals from the trips themselves.
    """
    from statsmodels.discrete.discrete_model import NegativeBinomial
    from statsmodels.genmod.families import Poisson
    from statsmodels.genmod.generalized_linear_model import GLM

    width = columns.shape[1]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            fit = NegativeBinomial(caught, columns, offset=offset).fit(disp=0, maxiter=MOST_STEPS)
            size = 1.0 / float(fit.params[-1]) if fit.params[-1] > 0 else np.inf
            if not fit.mle_retvals["converged"] or not np.isfinite(fit.bse).all() or size > LARGEST_SIZE:
                fit = GLM(caught, columns, Poisson(), offset=offset).fit(cov_type="HC0")
                size = np.inf
        except (ValueError, FloatingPointError, np.linalg.LinAlgError):
            return None
        covariance = np.asarray(fit.cov_params(), dtype=float)[:width, :width]
        effects = np.asarray(fit.params, dtype=float)[:width]
    if not (np.isfinite(effects).all() and np.isfinite(covariance).all()):
        return None
    return Fit(effects, covariance, size, float(fit.llf))
