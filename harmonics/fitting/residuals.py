"""What an analysis leaves over: its spectrum by band, and how uncertain each line is under it.

Tidal residuals are coloured: weather fills the low frequencies, and each tidal band has a level of its own.
A line's coefficients are as uncertain as the residual is strong at its own frequency: the noise level under a
line is the mean of the periodogram around it over the bins that the fitted lines left free. The
periodogram has no taper and carries the fit's weights, so that it holds exactly the leakage the fit suffers.
Slow lines lie on the steep red part of the spectrum, where log power is taken as a straight line in log
frequency over the neighbourhood of each.
"""

from dataclasses import dataclass

import numpy as np

from harmonics.arrays import Array
from harmonics.catalogue.constituents import Constituent
from harmonics.units import DAY, HOUR

BAND_HALF_WIDTH = 0.1
"""Cycles a day on each side of a line: narrow enough for the slope of the spectrum across the diurnal band
and for the rise around the lunar lines; a year still has fifty free bins there."""
WIDEST_HALF_WIDTH = 0.45
"""A short record has few bins there; the band grows to this, short of the next species' middle."""
FEWEST_FREE_BINS = 8
"""A band grows until so many bins are free of lines: the noise level is then known to about a third."""
SLOW_LIMIT = 0.7
"""Cycles a day below which the spectrum is taken as sloping."""
FEWEST_SLOPE_BINS = 5
SLOPE_WIDTH = 0.9
"""Width of the neighbourhood, in log frequency: a factor of 2.5 either way."""
SLOPES = (-2.0, 0.0)
"""Log power over log frequency: level spectra redden toward slow periods, seldom more steeply than -2."""
LOG_PERIODOGRAM_BIAS = 0.5772156649
"""A periodogram's log lies Euler's constant below the log of its mean."""


@dataclass(frozen=True, eq=False)
class Spectrum:
    """A periodogram of residuals.

    Attributes:
        frequency: cycles a day, without zero, shape (k,).
        power: |sum r exp(-iwt)|^2 / n, m^2: the variance of white noise that strong; shape (k,).
        count: readings n.
        length: cells N of the even grid the readings lie on, gaps included.
    """

    frequency: Array
    power: Array
    count: int
    length: int

    def variance(self, low: float, high: float) -> float:
        """Residual variance (m^2) between two frequencies, cycles a day."""
        inside = (self.frequency >= low) & (self.frequency < high)
        return float(2.0 * self.power[inside].sum() / self.length)


@dataclass(frozen=True, slots=True)
class Band:
    """Residual of one band: name, limits in cycles a day, standard deviation in metres."""

    name: str
    low: float
    high: float
    deviation: float


BANDS = (
    ("slower than the tide (weather and seasons)", 0.0, 0.7),
    ("diurnal", 0.7, 1.3),
    ("semidiurnal", 1.6, 2.4),
    ("third-diurnal", 2.6, 3.3),
    ("fourth-diurnal", 3.6, 4.4),
    ("faster", 4.4, np.inf),
)


def spectrum(t: Array, residual: Array, step: float) -> Spectrum:
    """Periodogram of residuals (metres) at times t (POSIX seconds) on an even grid of `step` seconds.

    Readings between grid points go to the nearest one; cells without a reading count as zero.
    """
    cell = np.rint((t - t[0]) / step).astype(int)
    length = int(cell[-1]) + 1
    grid = np.bincount(cell, weights=residual, minlength=length)
    power = np.asarray(np.abs(np.fft.rfft(grid)[1:]) ** 2 / len(t), dtype=float)
    frequency = np.arange(1, len(power) + 1, dtype=float) * (DAY / (length * step))
    return Spectrum(frequency, power, len(t), length)


def band_deviations(residuals: Spectrum) -> tuple[Band, ...]:
    """Standard deviation of the residual in each band that the step resolves."""
    highest = float(residuals.frequency[-1])
    return tuple(
        Band(name, low, min(high, highest), float(np.sqrt(residuals.variance(low, high))))
        for name, low, high in BANDS
        if low < highest
    )


@dataclass(frozen=True, eq=False)
class Noise:
    """Noise under each line: equivalent white variance (m^2), and its degrees of freedom; shapes (C,)."""

    variance: Array
    freedom: Array


def noise_at(lines: tuple[Constituent, ...], residuals: Spectrum) -> Noise:
    """Noise level of the residual around each line's frequency.

    Args:
        lines: the fitted lines, shape (C,).
        residuals: spectrum of weighted residuals.
    """
    frequency = cycles_a_day(lines)
    slow = np.array([row.species == 0 for row in lines], dtype=bool)
    variance, freedom = np.empty(len(lines)), np.empty(len(lines))
    if slow.any():
        variance[slow], freedom[slow] = _slow(residuals, frequency, frequency[slow])
    for i in np.flatnonzero(~slow):
        variance[i], freedom[i] = _level(residuals, frequency, float(frequency[i]))
    return Noise(variance, freedom)


def slow_noise(lines: tuple[Constituent, ...], residuals: Spectrum) -> float:
    """Noise level (m^2) at one cycle a record, for the mean and the trend."""
    lowest = residuals.frequency[:1]
    return float(_slow(residuals, cycles_a_day(lines), lowest)[0][0])


def cycles_a_day(lines: tuple[Constituent, ...]) -> Array:
    """Frequencies of the lines, shape (C,)."""
    return np.array([row.speed for row in lines]) * DAY / HOUR / 360.0


def _level(residuals: Spectrum, lines: Array, at: float) -> tuple[float, float]:
    half = BAND_HALF_WIDTH
    while True:
        first, last = np.searchsorted(residuals.frequency, [at - half, at + half])
        free = int(last - first) - int((np.abs(lines - at) <= half).sum())
        if free >= FEWEST_FREE_BINS or half >= WIDEST_HALF_WIDTH:
            break
        half += BAND_HALF_WIDTH / 4
    free = max(free, 1)
    return float(residuals.power[first:last].sum() / free), 2.0 * free


def _slow(residuals: Spectrum, lines: Array, wanted: Array) -> tuple[Array, float]:
    frequency = residuals.frequency
    bin_width = frequency[0]
    near_line = (np.abs(frequency[:, None] - lines[None, lines < SLOW_LIMIT + 0.1]) < 0.75 * bin_width).any(1)
    use = (frequency < SLOW_LIMIT) & ~near_line & (residuals.power > 0)
    free = int(use.sum())
    if free < FEWEST_SLOPE_BINS:
        inside = residuals.power[frequency < SLOW_LIMIT]
        return np.full(len(wanted), float(inside.sum() / max(free, 1)) if len(inside) else 0.0), 2.0 * max(
            free, 1
        )
    x, y = np.log(frequency[use]), np.log(residuals.power[use])
    height = np.empty(len(wanted))
    for i, at in enumerate(np.log(wanted)):
        # bins crowd the fast end: each octave counts alike, near ones most
        weight = np.exp(-x - 0.5 * ((x - at) / SLOPE_WIDTH) ** 2 + at)
        middle = np.average(x, weights=weight)
        away = x - middle
        slope = np.sum(weight * away * y) / np.sum(weight * away**2)
        height[i] = np.average(y, weights=weight) + np.clip(slope, *SLOPES) * (at - middle)
    return np.exp(height + LOG_PERIODOGRAM_BIAS), 2.0 * (free - 1)


def two_sided_95(freedom: Array) -> Array:
    """Student's t for a two-sided 95 % interval at the given degrees of freedom; shaped as given.

    Source: Abramowitz & Stegun, Handbook of Mathematical Functions, eq. 26.7.5.
    """
    z, v = 1.959963985, np.maximum(freedom, 2.0)
    first = (z**3 + z) / 4
    second = (5 * z**5 + 16 * z**3 + 3 * z) / 96
    third = (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384
    fourth = (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / 92160
    return np.asarray(z + first / v + second / v**2 + third / v**3 + fourth / v**4)
