"""Which slow lines a record can tell from weather.

Weather fills the low frequencies with a continuous spectrum, and a line fitted there always finds some of it.
A slow line is told from weather only where it stands out from what lies on both sides of it, other slow lines
included: what several of them took out side by side is weather, not tide. The chance that weather alone is as
strong is that of an F ratio of 2 and n degrees of freedom, as for a line in noise estimated beside it
(Priestley, Spectral Analysis and Time Series, section 6.1; from memory). One chance in twenty that any slow
line is taken for tide by mistake is shared out by the strength of the lines in the equilibrium tide, the
likelier ones getting more of it (weighted Bonferroni procedure: Holm 1979, Scandinavian Journal of
Statistics 6, 65; from memory).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from harmonics.arrays import Array, ComplexArray
from harmonics.catalogue.arguments import orbit_angles
from harmonics.catalogue.equilibrium import COEFFICIENTS
from harmonics.fitting.design import Design
from harmonics.fitting.residuals import (
    FEWEST_SLOPE_BINS,
    SLOPE_WIDTH,
    SLOPES,
    SLOW_LIMIT,
    Spectrum,
    cycles_a_day,
    spectrum,
)
from harmonics.sums.series import even_sums
from harmonics.sums.waves import HarmonicConstants, node_corrections

FEWEST_CYCLES = 3.0
"""Of a slower line at most two bins of the spectrum lie on its slow side: the weather there is guessed."""
GUESSED = 0.1
"""Share of its chance of a mistake that such a line gets."""
NEXT_BIN = 0.75
"""Bins nearer to a line than this share of their distance hold the line itself."""
NEAR_WIDTH = 0.5
"""Of the neighbourhood in log frequency whose mean power is the weather's: a factor of 1.6 either way."""
MISTAKES = 0.05
"""Chance that any slow line of a record is taken for tide where there is weather alone."""
LEAST_STRENGTH = 0.002
"""Equilibrium coefficient taken for lines that the equilibrium tide has none of."""


@dataclass(frozen=True, slots=True)
class SlowLine:
    """A slow line beside the weather around it.

    Attributes:
        cycles: of the line in the record.
        chance: that weather alone gives a line as strong.
        allowed: the greatest chance at which the line is still taken for tide.
    """

    cycles: float
    chance: float
    allowed: float

    @property
    def clear(self) -> bool:
        """Whether the record tells the line from weather."""
        return self.chance < self.allowed


def slow_lines(design: Design, z: ComplexArray, residual: Array) -> dict[str, SlowLine]:
    """Every slow line among those fitted, by its name.

    Args:
        design: the model of the record.
        z: H exp(-iG) of each fitted line, metres, shape (C,).
        residual: what the whole fit left, metres, shape (n,).
    """
    slow = np.array([row.species == 0 for row in design.fitted], dtype=bool)
    rows = tuple(row for row in design.fitted if row.species == 0)
    if not rows:
        return {}
    constants = HarmonicConstants(rows, np.abs(z[slow]), np.mod(-np.degrees(np.angle(z[slow])), 360.0))
    with_slow = _put_back(design, constants, residual)
    middle = 0.5 * float(design.t[0] + design.t[-1])
    amplitude = constants.amplitude * node_corrections(rows, orbit_angles(middle))[0]
    strength = np.array([COEFFICIENTS.get(row.name, 0.0) for row in rows]).clip(min=LEAST_STRENGTH)
    allowed = MISTAKES * strength / strength.sum()
    width = float(with_slow.frequency[0])
    found = {}
    for row, size, most in zip(rows, amplitude, allowed, strict=True):
        at = float(cycles_a_day((row,))[0])
        beside = (np.abs(with_slow.frequency - at) >= NEXT_BIN * width) & (with_slow.frequency < SLOW_LIMIT)
        beside &= with_slow.power > 0
        chance = 1.0
        if beside.sum() >= FEWEST_SLOPE_BINS:
            chance = _chance(float(size), *_level(with_slow, beside, at), with_slow.count)
        cycles = at / width
        found[row.name] = SlowLine(cycles, chance, float(most) * (GUESSED if cycles < FEWEST_CYCLES else 1.0))
    return found


def _put_back(design: Design, constants: HarmonicConstants, residual: Array) -> Spectrum:
    """Spectrum of the residual with what the slow lines took put back."""
    cell = np.rint((design.t - design.t[0]) / design.step).astype(int)
    waves = even_sums(constants, design.practice, float(design.t[0]), design.step, int(cell[-1]) + 1)
    whole = residual + waves[cell]
    return spectrum(design.t, whole - whole.mean(), design.step)


def _level(beside: Spectrum, use: NDArray[np.bool_], wanted: float) -> tuple[float, float]:
    """Level of a continuous spectrum (m^2) at a frequency, and the degrees of freedom it is known to.

    The slope of log power over log frequency is taken over a wide neighbourhood, the mean of the power, laid
    flat by that slope, over a narrow one: a line through the wide one lies below the bend of a spectrum.

    Args:
        beside: the periodogram.
        use: which bins, all of power above 0, shape (k,).
        wanted: cycles a day.
    """
    away = np.log(beside.frequency[use] / wanted)
    power = beside.power[use]
    # bins crowd the fast end: each octave counts alike
    wide, near = (np.exp(-away - 0.5 * (away / width) ** 2) for width in (SLOPE_WIDTH, NEAR_WIDTH))
    middle = np.average(away, weights=wide)
    slope = np.sum(wide * (away - middle) * np.log(power)) / np.sum(wide * (away - middle) ** 2)
    flat = power * np.exp(-np.clip(slope, *SLOPES) * away)
    return float(np.average(flat, weights=near)), 2.0 * float(near.sum() ** 2 / np.sum(near**2))


def _chance(amplitude: float, level: float, freedom: float, count: int) -> float:
    """Chance of an F ratio (2 and `freedom` degrees) as large as the line's; closed form for 2."""
    if level <= 0.0:
        return 0.0
    ratio = amplitude**2 * count / (4.0 * level)
    return float((1.0 + 2.0 * ratio / freedom) ** (-freedom / 2.0))
