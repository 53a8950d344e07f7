"""How good a forecast was: small pure scores, each with its paper.

Chances are numbers from 0 to 1, outcomes True where the thing came to pass; shapes (n,) alike.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array


@dataclass(frozen=True, slots=True)
class Tenth:
    """Cases of about one chance.

    Attributes:
        said: mean of the chances.
        seen: share that came to pass.
        count: of cases.
    """

    said: float
    seen: float
    count: int


def brier(chance: ArrayLike, came: ArrayLike) -> float:
    """Mean square of chance less outcome; 0 is perfect, nan of no case.

    G. W. Brier, Verification of forecasts expressed in terms of probability, Monthly Weather Review 78
    (1950) 1, in the half form for two outcomes.
    """
    said, seen = np.asarray(chance, dtype=float), np.asarray(came, dtype=float)
    return float(np.mean((said - seen) ** 2)) if said.size else float("nan")


def climate_brier(came: ArrayLike) -> float:
    """The Brier score of always saying the share that was seen: p (1 - p)."""
    seen = np.asarray(came, dtype=float)
    share = float(seen.mean()) if seen.size else float("nan")
    return share * (1.0 - share)


def reliability(chance: ArrayLike, came: ArrayLike, parts: int = 10) -> tuple[Tenth, ...]:
    """What was said against what was seen, by tenths of the chance; parts without a case are left out.

    A. H. Murphy and R. L. Winkler, Reliability of subjective probability forecasts of precipitation and
    temperature, Applied Statistics 26 (1977) 41.
    """
    said, seen = np.asarray(chance, dtype=float), np.asarray(came, dtype=float)
    part = np.minimum((said * parts).astype(int), parts - 1)
    return tuple(
        Tenth(float(said[here].mean()), float(seen[here].mean()), int(here.sum()))
        for here in (part == k for k in range(parts))
        if here.any()
    )


def coverage(low: ArrayLike, high: ArrayLike, value: ArrayLike) -> float:
    """Share of values inside their range, ends included; unknown values don't count, nan of no case.

    T. Gneiting, F. Balabdaoui and A. E. Raftery, Probabilistic forecasts, calibration and sharpness, Journal
    of the Royal Statistical Society B 69 (2007) 243.
    """
    seen = np.asarray(value, dtype=float)
    inside = (seen >= np.asarray(low)) & (seen <= np.asarray(high))
    known = np.isfinite(seen) & np.isfinite(np.asarray(low, dtype=float))
    return float(inside[known].mean()) if known.any() else float("nan")


def spread(values: ArrayLike) -> tuple[float, float, int]:
    """Mean, standard deviation and number of the known values; nan of none."""
    every = np.asarray(values, dtype=float)
    known = every[np.isfinite(every)]
    if not known.size:
        return float("nan"), float("nan"), 0
    return float(known.mean()), float(known.std()), int(known.size)


def range_of_eight_in_ten(values: Array) -> tuple[Array, Array]:
    """The range over the first axis in which another of the same kind lies eight times in ten.

    Of n values the k-th has k / (n + 1) of others below it on average: R. J. Hyndman and Y. Fan, Sample
    quantiles in statistical packages, American Statistician 50 (1996) 361, definition 6. The usual
    definition 7 holds but 0.8 (n - 1) / (n + 1) of them: 74 of 100 where 27 were seen.
    """
    low, high = np.quantile(values, (0.1, 0.9), axis=0, method="weibull")
    return np.asarray(low), np.asarray(high)
