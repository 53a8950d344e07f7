"""Scenarios at places that are not the gauge: secondary stations by their differences, currents by timing."""

import numpy as np

from harmonics.arrays import Array
from harmonics.records.scenarios import Scenarios
from harmonics.records.splines import curve
from harmonics.stations.secondary import passed_on
from harmonics.stations.types import Station, TideStation
from harmonics.sums.series import even_sums
from harmonics.units import HOUR

TIDAL_DAY_HOURS = 25
"""Over so long a tide of either kind has all its turns, so that its time can be told."""
GREATEST_DELAY = 3 * HOUR
"""What seems later than this is no delay: half of a semidiurnal tide's fall."""


def levels_at(scenarios: Scenarios, station: TideStation, start: float, step: float, count: int) -> Array:
    """Departures of the level from the tide at a station at even steps, metres: shape (k, count).

    A secondary station has those of its reference at the time there, as large as its differences make a
    change of level.

    Args:
        scenarios: of the station, or of its reference.
        station: where they are wanted.
        start, step, count: even steps, POSIX seconds.
    """
    if isinstance(station, Station):
        return scenarios.even_levels(start, step, count)
    there, _, gain = passed_on(station, start + step * np.arange(count, dtype=float))
    return gain * curve(scenarios.levels, scenarios.start, there)


def rates_at(scenarios: Scenarios, station: TideStation, start: float, step: float, count: int) -> Array:
    """As `levels_at`, of the departures' rates, metres a second."""
    if isinstance(station, Station):
        return scenarios.even_rates(start, step, count)
    there, pace, gain = passed_on(station, start + step * np.arange(count, dtype=float))
    out = gain * pace * curve(scenarios.flows, scenarios.start, there, slope=True)
    change = np.gradient(gain, step) if count > 1 else np.zeros(count)
    if change.any():
        out += change * curve(scenarios.flows, scenarios.start, there)
    return np.asarray(out)


def even_delays(scenarios: Scenarios, start: float, step: float, count: int) -> Array:
    """How much later than predicted the water turns, seconds, of every scenario: shape (k, count).

    Over a tidal day around each time the delay x that best makes h'(t) + r'(t) out of the tide's own rate,
    h'(t - x): the sum of -r' h'' over that of h'' squared. Weather that pushes the level up or down evenly
    leaves it at 0; what delays every turn by x gives x.
    """
    station, (k, knots) = scenarios.station, scenarios.flows.shape
    bend = even_sums(station.constants, station.practice, scenarios.start, HOUR, knots, order=2)[2:-2]
    rate = scenarios.even_rates(scenarios.start + 2 * HOUR, HOUR, knots - 4)
    late = _running(-rate * bend) / np.maximum(_running(bend[None] ** 2), 1e-300)
    t = scenarios.start + 2 * HOUR + HOUR * (np.arange(late.shape[1]) + (TIDAL_DAY_HOURS - 1) / 2)
    wanted = start + step * np.arange(count, dtype=float)
    place = np.clip((wanted - t[0]) / HOUR, 0.0, len(t) - 1.0)
    index = np.minimum(place.astype(np.intp), len(t) - 2)
    share = place - index
    out = late[:, index] * (1.0 - share) + late[:, index + 1] * share
    return np.asarray(np.clip(out, -GREATEST_DELAY, GREATEST_DELAY)).reshape(k, count)


def _running(values: Array) -> Array:
    """Sums over every tidal day, shape (k, n - 24)."""
    sums = np.cumsum(np.concatenate((np.zeros((len(values), 1)), values), axis=1), axis=1)
    return np.asarray(sums[:, TIDAL_DAY_HOURS:] - sums[:, :-TIDAL_DAY_HOURS])
