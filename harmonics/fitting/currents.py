"""Constituents of an observed current on its principal axes.

The axis is that along which the tidal part of the current varies most; each axis is analysed by itself as
levels are, in metres a second. Which way along it is the flood no record of a current tells.
"""

from dataclasses import dataclass

import numpy as np

from harmonics.arrays import Array
from harmonics.errors import EbblightError
from harmonics.fitting.analysis import Analysis, fit
from harmonics.fitting.design import Progress
from harmonics.sums.waves import HarmonicConstants, NodePractice

LEAST_WIDTH = 0.05
"""Of the tide along the axis: at strength the current then sets within three degrees of it."""
NO_WIDTH = 1e-6
"""Of the current along the axis: rounding in speed and direction leaves more."""


@dataclass(frozen=True, eq=False)
class CurrentAnalysis:
    """What a record of a current gives.

    Attributes:
        axis_direction: degrees true of the principal axis, where `along` is positive.
        across_direction: a quarter turn to its right, where `across` is positive.
        along, across: analyses in m/s; `across` None where the current has no width: it runs to and fro.
        share: of the variance that lies along the axis.
    """

    axis_direction: float
    across_direction: float
    along: Analysis
    across: Analysis | None
    share: float

    @property
    def turns(self) -> bool:
        """Whether the trusted tide across the axis is worth a second table: the current turns through it."""
        if self.across is None:
            return False
        widths = [_size(item.constants(trusted_only=True)) for item in (self.along, self.across)]
        return widths[1] > LEAST_WIDTH * widths[0]


def fit_current(
    t: Array,
    east: Array,
    north: Array,
    *,
    flood_direction: float | None = None,
    practice: NodePractice = NodePractice.YEARLY,
    names: list[str] | None = None,
    robust: bool = True,
    infer: bool = True,
    progress: Progress | None = None,
) -> CurrentAnalysis:
    """Harmonic analysis of an observed current.

    Args:
        t: POSIX seconds (UTC), increasing, shape (n,).
        east, north: m/s, shape (n,); nan is a gap.
        flood_direction: degrees true; the axis then points to its side. Without it the axis points to the
            eastern half.
        practice, names, robust, infer, progress: as for `fit`.

    Raises:
        EbblightError: too short a record, or one without a current.
    """
    good = np.isfinite(east) & np.isfinite(north)
    if good.sum() < 2 or not (np.ptp(east[good]) > 0 or np.ptp(north[good]) > 0):
        raise EbblightError("found no current that changes; expected a tide's")
    axis, share = _principal_axis(east[good], north[good])
    if flood_direction is not None and np.cos(np.radians(axis - flood_direction)) < 0:
        axis = (axis + 180.0) % 360.0
    angle = np.radians(axis)
    along = east * np.sin(angle) + north * np.cos(angle)
    across = east * np.cos(angle) - north * np.sin(angle)

    def analysed(values: Array) -> Analysis:
        return fit(t, values, names=names, practice=practice, robust=robust, infer=infer, progress=progress)

    one_way = np.ptp(across[good]) <= NO_WIDTH * np.ptp(along[good])
    second = None if one_way else analysed(across)
    return CurrentAnalysis(axis, (axis + 90.0) % 360.0, analysed(along), second, share)


def _size(constants: HarmonicConstants) -> float:
    return float(np.sqrt(np.sum(constants.amplitude**2)))


def _principal_axis(east: Array, north: Array) -> tuple[float, float]:
    """Degrees true, 0 to below 180, of the greatest variance, and its share of the whole."""
    covariance = np.cov(east, north)
    values, vectors = np.linalg.eigh(covariance)
    direction = float(np.degrees(np.arctan2(vectors[0, 1], vectors[1, 1]))) % 180.0
    return direction, float(values[1] / values.sum())
