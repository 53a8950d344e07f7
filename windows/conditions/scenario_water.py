"""How the water moves past a spot in every scenario of its gauge's record, by the arithmetic of its flow.

A fall or a basin goes by the scenario's rate, an inlet has its bay solved again, a measured current takes the
timing alone.
"""

import numpy as np

from harmonics.arrays import Array
from harmonics.records.places import even_delays, levels_at, rates_at
from harmonics.records.scenarios import Scenarios
from harmonics.stations import tides
from harmonics.stations.inlet import solve_inlets
from harmonics.stations.types import TideStation
from windows.conditions.flow import FallingWater, Flow, InletFlow, MeasuredCurrent, ScaledFall

INLET_STEP = 900.0
"""A bay answers slowly: between quarters of an hour it runs straight."""
INLET_RUN_UP = 2 * 86400.0
"""The bay starts from the astronomical one, moved by the scenario; it forgets what is wrong in that."""


def scenario_outgoing(flow: Flow, scenarios: Scenarios, start: float, step: float, count: int) -> Array:
    """Movement past a spot in every scenario, outgoing positive, at even steps: shape (k, count).

    Raises:
        TypeError: a kind of flow that takes no scenarios.
    """
    if isinstance(flow, FallingWater | ScaledFall):
        scale = flow.scale if isinstance(flow, ScaledFall) else 1.0
        rates = rates_at(scenarios, flow.station, start - flow.lag, step, count)
        return np.asarray(flow.even_outgoing(start, step, count) - scale * rates)
    if isinstance(flow, MeasuredCurrent):
        return _later(flow, even_delays(scenarios, start, step, count), start, step, count)
    if isinstance(flow, InletFlow):
        return _inlet(flow, scenarios, start, step, count)
    raise TypeError(f"{type(flow).__name__} takes no scenarios")


def _later(flow: Flow, delay: Array, start: float, step: float, count: int) -> Array:
    """The current with every scenario's delay, straight between steps."""
    reach = int(np.ceil(np.abs(delay).max() / step)) + 1 if delay.size else 1
    base = flow.even_outgoing(start - reach * step, step, count + 2 * reach + 1)
    place = np.arange(count) + reach - delay / step
    index = place.astype(np.intp)
    share = place - index
    return np.asarray(base[index] * (1.0 - share) + base[index + 1] * share)


def _inlet(flow: InletFlow, scenarios: Scenarios, start: float, step: float, count: int) -> Array:
    """The outflow of a bay solved again under every scenario's sea."""
    first = start - INLET_RUN_UP
    steps = int(np.ceil((start + step * count - first) / INLET_STEP)) + 1
    station: TideStation = flow.station
    sea = tides.even_levels(station, first, INLET_STEP, steps)
    away = levels_at(scenarios, station, first, INLET_STEP, steps)
    day = round(86400.0 / INLET_STEP)
    seas = sea + away
    seas[:, 0] = np.interp(first, flow.t, flow.bay) + away[:, :day].mean(axis=1)
    speed = -solve_inlets((flow.inlet,) * len(seas), seas, INLET_STEP).speed
    place = (start - first + step * np.arange(count)) / INLET_STEP
    index = np.minimum(place.astype(np.intp), steps - 2)
    share = place - index
    return np.asarray(speed[:, index] * (1.0 - share) + speed[:, index + 1] * share)
