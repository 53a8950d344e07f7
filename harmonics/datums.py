"""What kind of tide a coast has: form number, regime, typical rate, and ranges of its turning points."""

import math
from enum import StrEnum

import numpy as np

from harmonics.arguments import SECONDS_PER_HOUR, Array
from harmonics.events import Turns
from harmonics.waves import HarmonicConstants


class Regime(StrEnum):
    """Kinds of tide by form number F (Courtier 1938, from memory); the text is what people read."""

    SEMIDIURNAL = "semidiurnal"
    MIXED_SEMIDIURNAL = "mixed, mainly semidiurnal"
    MIXED_DIURNAL = "mixed, mainly diurnal"
    DIURNAL = "diurnal"


REGIME_LIMITS = (
    (0.25, Regime.SEMIDIURNAL),
    (1.5, Regime.MIXED_SEMIDIURNAL),
    (3.0, Regime.MIXED_DIURNAL),
)
"""A regime holds below its form number; from 3 on the tide is diurnal (Courtier 1938, from memory)."""


def amplitude_of(constants: HarmonicConstants, name: str) -> float:
    """Amplitude of the constituent with that canonical name, 0 where the constants have none."""
    for row, amplitude in zip(constants.constituents, constants.amplitude, strict=True):
        if row.name == name:
            return float(amplitude)
    return 0.0


def form_number(constants: HarmonicConstants) -> float:
    """(K1 + O1) / (M2 + S2) by amplitude: inf without a semidiurnal part, nan with neither part.

    Source: Courtier 1938 (from memory).
    """
    diurnal = amplitude_of(constants, "K1") + amplitude_of(constants, "O1")
    semidiurnal = amplitude_of(constants, "M2") + amplitude_of(constants, "S2")
    if semidiurnal > 0:
        return diurnal / semidiurnal
    return math.inf if diurnal > 0 else math.nan


def regime(constants: HarmonicConstants) -> Regime | None:
    """The kind of tide; None where the constants have none of K1, O1, M2 and S2."""
    number = form_number(constants)
    if math.isnan(number):
        return None
    return next((kind for limit, kind in REGIME_LIMITS if number < limit), Regime.DIURNAL)


def typical_peak_rate(constants: HarmonicConstants, factor: Array | None = None) -> float:
    """sqrt(sum (w f H)^2): how fast the level moves when it moves, in the amplitude's unit a second.

    It is sqrt(2) times the rate's root mean square, the peak rate of the sine that has the same.

    Args:
        constants: amplitudes in metres.
        factor: node factors f, shape (C,); 1 where not given.
    """
    speed = np.radians([row.speed for row in constants.constituents]) / SECONDS_PER_HOUR
    weight = constants.amplitude if factor is None else factor * constants.amplitude
    return float(np.sqrt(np.sum((speed * weight) ** 2)))


def mean_range(turns: Turns) -> float:
    """Mean height of the high waters less that of the low waters, metres; nan without both."""
    if turns.high.all() or not turns.high.any():
        return math.nan
    return float(turns.height[turns.high].mean() - turns.height[~turns.high].mean())


def greatest_range(turns: Turns) -> float:
    """Greatest rise or fall between neighbouring turning points, metres; nan with fewer than two."""
    if len(turns) < 2:
        return math.nan
    return float(np.abs(np.diff(turns.height)).max())
