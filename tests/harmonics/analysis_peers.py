"""Reference analyses brought to a common footing: f x amplitude and V + u - phase at mid-record.

The references use Foreman's satellite factors, taken from utide; ours are Schureman's. What both must agree
on is the wave itself at mid-record.
"""

from typing import NamedTuple

import numpy as np

from harmonics.sums.waves import HarmonicConstants, NodePractice, drifting_waves, year_of, yearly_waves

ORDINAL_OF_1970 = 719163
"""Days from 1 January of the year 1, counted as 1, to 1970."""


class Wave(NamedTuple):
    """A constituent at mid-record: amplitude in the record's unit, phase in degrees."""

    amplitude: float
    phase: float


def ordinal_days(t):
    """Times as the peer library counts them."""
    return ORDINAL_OF_1970 + np.asarray(t) / 86400.0


def reference_waves(rows, t, latitude, amplitude="amp", phase="phase_deg"):
    """Waves of a published analysis at the middle of the times t, by name."""
    from utide._ut_constants import ut_constants
    from utide.harmonics import FUV

    known = {str(name): i for i, name in enumerate(ut_constants.const.name)}
    rows = [row for row in rows if row["name"] in known]
    index = np.array([known[row["name"]] for row in rows])
    middle = ordinal_days([0.5 * (t[0] + t[-1])])
    f, u, v = FUV(middle, middle, index, latitude, [False, False, False, False])
    return {
        row["name"]: Wave(
            float(row[amplitude]) * float(f[0, i]),
            360.0 * float(u[0, i] + v[0, i]) - float(row[phase]),
        )
        for i, row in enumerate(rows)
    }


def our_wave(line, practice, t):
    """The wave of one line of our analysis at the middle of the times t."""
    middle = 0.5 * (t[0] + t[-1])
    unit = HarmonicConstants((line.constituent,), np.array([line.amplitude]), np.array([line.phase_lag]))
    if practice is NodePractice.YEARLY:
        waves = yearly_waves(unit, year_of(middle))
        angle = waves.phase + waves.speed * (middle - waves.origin)
        return Wave(float(waves.amplitude[0]), float(np.degrees(angle[0])))
    drifting = drifting_waves(unit, year_of(middle))
    node = np.interp(middle, drifting.grid, drifting.nodes[0].real) + 1j * np.interp(
        middle, drifting.grid, drifting.nodes[0].imag
    )
    angle = drifting.phase[0] + drifting.speed[0] * (middle - drifting.start) + np.angle(node)
    return Wave(float(line.amplitude * abs(node)), float(np.degrees(angle)))


def phase_between(a, b):
    """Difference of two phases in degrees, -180 to 180."""
    return (a - b + 180.0) % 360.0 - 180.0
