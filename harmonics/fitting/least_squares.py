"""Least squares for a harmonic analysis, robust if wanted, and the covariance under coloured residuals.

Sources: P. J. Huber, Robust Statistics (1981), ch. 7, for the modified residuals and for the covariance of
a fit that caps them.
"""

from dataclasses import dataclass

import numpy as np

from harmonics.arrays import Array
from harmonics.errors import EbblightError
from harmonics.fitting.design import BlockSums, Design, Progress
from harmonics.fitting.even_sums import EvenSums
from harmonics.fitting.residuals import noise_at, slow_noise, spectrum
from harmonics.sums.waves import NodePractice

TUNING = 4.685
"""Tukey's bisquare loses 5 % of efficiency on normal residuals at this many scales (Huber 1981, from
memory)."""
MAD_TO_DEVIATION = 1.4826
"""Standard deviation of a normal variable over its median absolute deviation."""
MAXIMUM_PASSES = 30
SETTLED = 1e-3
"""Reweighting stops once no coefficient moves by more than this share of the residual's scale."""
LEAST_SLOPE = 0.2
"""Bounds a step where many residuals lie beyond the cap; 0.76 on normal residuals."""
EXACT = 1e-9
"""Residuals below a nanometre are rounding: there is nothing to reweight."""
SEPARABLE = 1e-9
"""Least pivot of the scaled normal equations: below it two columns are the same to half the digits."""


@dataclass(frozen=True, eq=False)
class Solution:
    """Coefficients (columns,), residual and weight (n,), and what the covariance needs.

    Attributes:
        bread: inverse of the sum of x x'.
        slope: mean slope of the function that caps the residuals, 1 where nothing is capped.
    """

    coefficients: Array
    residual: Array
    weight: Array
    bread: Array
    slope: float


def solve(design: Design, level: Array, robust: bool, progress: Progress) -> Solution:
    """Least squares, then Newton steps on the capped residuals.

    Each step solves the plain normal equations for the capped residual and divides by the capping's mean
    slope (Huber's modified residuals): the factorization serves every step.
    """
    yearly = design.practice is NodePractice.YEARLY
    sums = (EvenSums if yearly and EvenSums.suits(design) else BlockSums)(
        design, lambda share: progress(0.5 * share)
    )
    offset = float(np.median(level))
    shifted = level - offset
    bread = _inverse(design, sums.gram())
    coefficients = bread @ sums.project(shifted)
    residual = shifted - sums.evaluate(coefficients)
    weight, slope = np.ones(len(level)), 1.0
    for done in range(MAXIMUM_PASSES if robust else 0):
        scale = MAD_TO_DEVIATION * float(np.median(np.abs(residual)))
        if scale < EXACT:
            break
        square = np.minimum((residual / (TUNING * scale)) ** 2, 1.0)
        weight = (1 - square) ** 2
        slope = max(LEAST_SLOPE, float(np.mean((1 - square) * (1 - 5 * square))))
        move = bread @ sums.project(weight * residual) / slope
        coefficients = coefficients + move
        residual = shifted - sums.evaluate(coefficients)
        progress(1.0 - 0.5 * 0.7 ** (done + 1))
        if np.abs(move).max() < SETTLED * scale:
            break
    progress(1.0)
    coefficients[2 * len(design.fitted)] += offset
    return Solution(coefficients, residual, weight, bread, slope)


def _inverse(design: Design, gram: Array) -> Array:
    """Inverse of the normal equations.

    Raises:
        EbblightError: two columns can't be told apart; the error names their lines.
    """
    size = np.sqrt(np.diag(gram))
    scaled = gram / np.outer(size, size)
    try:
        least = float(np.diag(np.linalg.cholesky(scaled)).min()) ** 2
    except np.linalg.LinAlgError:
        least = 0.0
    if least < SEPARABLE:
        _, vectors = np.linalg.eigh(scaled)
        worst = np.argsort(-np.abs(vectors[:, 0]))
        names = list(dict.fromkeys(_column_name(design, int(i)) for i in worst[:4]))
        raise EbblightError(f"the record can't tell {' from '.join(names[:2])}; fit fewer constituents")
    return np.asarray(np.linalg.inv(scaled) / np.outer(size, size))


def _column_name(design: Design, index: int) -> str:
    count = len(design.fitted)
    return (
        design.fitted[index % count].name
        if index < 2 * count
        else ("the mean", "the trend")[index - 2 * count]
    )


def covariance_of(design: Design, solution: Solution) -> tuple[Array, Array]:
    """Covariance of the coefficients (columns, columns), and degrees of freedom of each line's noise (C,).

    Huber 1981, section 7.6 (from memory), with the noise level under each column in place of one variance.
    """
    weighted = spectrum(design.t, solution.weight * solution.residual, design.step)
    noise = noise_at(design.fitted, weighted)
    slow = slow_noise(design.fitted, weighted)
    sigma = np.sqrt(
        np.concatenate(
            (noise.variance, noise.variance, np.full(design.columns - 2 * len(noise.variance), slow))
        )
    )
    bread = solution.bread / solution.slope
    meat = np.linalg.inv(solution.bread)
    return bread @ (sigma[:, None] * meat * sigma) @ bread, noise.freedom
