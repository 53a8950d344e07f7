"""Whether a record is of a station at all: its own tide against the station's constants.

A record of the wrong unit has the station's tide so many times as large, one on the wrong clock has it early
or late by hours, one of another place has another tide altogether.
"""

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array, ComplexArray
from harmonics.fitting.analysis import Analysis
from harmonics.stations.types import Station
from harmonics.units import HOUR

LEAST_LIKENESS = 0.85
"""Correlation of both tides at the best lag: gauges a few kilometres apart are above 0.95, and what a month
leaves uncertain costs less than this."""
GREATEST_LAG = 1200.0
"""Seconds: constants of the gauge itself are right within minutes, a wrong zone is half an hour off."""
ZONE_TOLERANCE = 240.0
"""Seconds: zones lie quarters of an hour apart, and a record tells its lag within minutes."""
LONGEST_LAG = 14 * HOUR
"""Clocks of the world lie this far from UTC."""
SURE_SHARE = 0.1
"""Of the greatest amplitude: lines known better than this count alike, the others less."""
NEARER = 0.02
"""Of lags that fit alike within this, the least is meant: a semidiurnal tide looks the same a tide later."""
GREATEST_GAIN = 1.6
"""A tide so many times as large, or as small, is not this station's."""
UNIT_TOLERANCE = 0.12
_UNITS = {
    1.0 / 0.3048: "feet read as metres",
    0.3048: "metres read as feet",
    100.0: "centimetres read as metres",
    1000.0: "millimetres read as metres",
    0.01: "metres read as centimetres",
    0.001: "metres read as millimetres",
    1000.0 * 0.3048: "millimetres read as feet",
    100.0 * 0.3048: "centimetres read as feet",
}
"""How many times too large a tide is when its unit was mistaken, and for what."""


def why_unlike(station: Station, analysis: Analysis) -> str | None:
    """What is wrong with a record whose analysis shows another tide than the station's; None if it fits."""
    found, expected, speed = _pairs(station, analysis)
    if not any(line.trusted and line.constituent.species for line in analysis.lines) or not expected.any():
        return "found no tide in these levels; expected that of " + station.name
    likeness, lag, gain = _fit(found, expected, speed)
    if likeness < LEAST_LIKENESS:
        return (
            f"these levels have another tide than {station.name} (likeness {max(likeness, 0.0):.2f} of 1, "
            f"{LEAST_LIKENESS:g} expected, at any hour's shift): they look like those of another place"
        )
    problems = [text for text in (_unit_problem(gain), _clock_problem(lag)) if text]
    return f"the tide in these levels is {' and '.join(problems)}" if problems else None


def _pairs(station: Station, analysis: Analysis) -> tuple[ComplexArray, ComplexArray, Array]:
    """Amplitudes with phases of the tidal lines an analysis found and of the station's, and their speeds.

    Both are weighted by how well the record tells each line. Lines that it does not tell apart from their
    neighbours are left out. Speeds are radians a second.
    """
    constants = station.constants
    own = dict(zip(constants.constituents, _vectors(constants.amplitude, constants.phase_lag), strict=True))
    lines = [line for line in analysis.lines if line.constituent.species > 0]
    lines = [line for line in lines if line.trusted or line.constituent in own]
    error = np.array([line.amplitude_error for line in lines])
    weight = 1.0 / np.hypot(error, SURE_SHARE * max(constants.amplitude, default=1.0))
    found = weight * _vectors([line.amplitude for line in lines], [line.phase_lag for line in lines])
    expected = weight * np.array([own.get(line.constituent, 0.0) for line in lines], dtype=complex)
    speed = np.radians([line.constituent.speed for line in lines]) / HOUR
    return found, expected, speed


def _vectors(amplitude: ArrayLike, phase_lag: ArrayLike) -> ComplexArray:
    return np.asarray(np.asarray(amplitude) * np.exp(-1j * np.radians(phase_lag)), dtype=complex)


def _fit(found: ComplexArray, expected: ComplexArray, speed: Array) -> tuple[float, float, float]:
    """Likeness at the best lag, that lag (seconds the record is late), and how many times as large it is."""
    lags = np.arange(-LONGEST_LAG, LONGEST_LAG + 1.0, 60.0)
    size = float(np.sqrt((np.abs(found) ** 2).sum() * (np.abs(expected) ** 2).sum()))
    alike = (np.exp(1j * np.multiply.outer(lags, speed)) @ (found * expected.conj())).real / size
    near = np.flatnonzero(alike >= alike.max() - NEARER)
    around = near[np.abs(lags[near]).argmin()]
    hill = np.flatnonzero(np.abs(lags - lags[around]) <= 3 * HOUR)
    best = int(hill[alike[hill].argmax()])
    gain = float(alike[best] * size / (np.abs(expected) ** 2).sum())
    return float(alike[best]), float(lags[best]), gain


def _unit_problem(gain: float) -> str:
    for factor, meaning in _UNITS.items():
        if abs(gain / factor - 1.0) <= UNIT_TOLERANCE:
            return f"{_times(gain)} as large as predicted: that looks like {meaning}"
    if not 1.0 / GREATEST_GAIN <= gain <= GREATEST_GAIN:
        return f"{_times(gain)} as large as predicted: that looks like another place or unit"
    return ""


def _times(gain: float) -> str:
    return f"{gain:.3g} times" if gain < 10.0 else f"{gain:.0f} times"


def _clock_problem(lag: float) -> str:
    if abs(lag) <= GREATEST_LAG:
        return ""
    minutes = round(abs(lag) / 60.0)
    side = "late" if lag > 0 else "early"
    told = f"{minutes // 60} h {minutes % 60:02d} min {side}"
    quarters = round(abs(lag) / 900.0)
    if abs(abs(lag) - quarters * 900.0) > ZONE_TOLERANCE or quarters < 2:
        return f"{told} against the constants: that looks like another place or a wrong clock"
    hours = quarters / 4.0
    side = "ahead of" if lag > 0 else "behind"
    meaning = f"that looks like a clock {hours:g} h {side} the zone it was read in"
    return f"{told} against the constants: {meaning}"
