"""The light of a stretch of time, in kind."""

from enum import StrEnum, unique

import numpy as np

from harmonics.arrays import Array

LOW_LIGHT = (-6.0, 6.0)
"""Sun altitudes (degrees) of "low light": full points of that preference, civil dusk to a low sun."""
BOTH = 1.0 / 3.0
"""A stretch is named by two kinds of light where each has a third of it."""


@unique
class LightLabel(StrEnum):
    """A kind of light."""

    DAY = "daylight"
    LOW = "low light"
    DARK = "dark"


def label_of(altitude: float) -> LightLabel:
    """The label of a sun altitude in degrees."""
    if altitude > LOW_LIGHT[1]:
        return LightLabel.DAY
    return LightLabel.LOW if altitude >= LOW_LIGHT[0] else LightLabel.DARK


def labels_of(altitude: Array) -> tuple[LightLabel, ...]:
    """The kind of light that most of even moments have; two in their order where both have a third.

    Args:
        altitude: of the sun, degrees, at least one.
    """
    low, high = LOW_LIGHT
    holds = {
        LightLabel.DAY: altitude > high,
        LightLabel.LOW: (altitude >= low) & (altitude <= high),
        LightLabel.DARK: altitude < low,
    }
    share = {label: float(flags.mean()) for label, flags in holds.items()}
    most = sorted(share, key=lambda label: share[label], reverse=True)[:2]
    if share[most[1]] < BOTH:
        return (most[0],)
    at = {label: np.flatnonzero(holds[label]) for label in most}
    return tuple(sorted(most, key=lambda label: (float(at[label].mean()), int(at[label][0]))))
