"""The flow of a spot from what its file says of it."""

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from harmonics.arrays import Array
from harmonics.stations import tides
from harmonics.stations.types import TideStation, primary_of
from harmonics.sums.waves import year_of, year_start
from windows.conditions.flow import (
    FULL_SHARE,
    LEAST_FALL,
    LEAST_SHARE,
    FallingWater,
    Flow,
    FlowKind,
    InletFlow,
    MeasuredCurrent,
    ScaledFall,
)
from windows.shoreline.spots import BasinSource, CurrentSource, InletSource, ScaledSource, Spot

if TYPE_CHECKING:
    from harmonics.stations.inlet import Inlet, InletResponse

STEP = 300.0
LEAST_RISE = 2.0
"""Full flow is at least this many times what counts for nothing, however small the tide."""
INLET_RUN_UP = 20 * 86400.0
"""A bay is solved this long before it matters: it has forgotten its start by then, unless all but closed."""
INLET_MARGIN = 2 * 86400.0
SEMIDIURNAL_PERIOD = 44714.16
"""Of M2, seconds."""
DIURNAL_PERIOD = 86164.09
"""Of K1, seconds."""


def flow_of(spot: Spot, start: float, end: float) -> Flow:
    """How water moves past the spot, good for times in [start, end] and a day around (POSIX seconds).

    Where it is measured by a year's tide, the year is that of the span's middle.
    """
    source, speeds = spot.flow, spot.preferences.speeds
    middle = (start + end) / 2
    lag, assumed = spot.slack_lag or 0.0, spot.slack_lag is None
    if isinstance(source, CurrentSource):
        return MeasuredCurrent(source.station, source.delay, source.factor, speeds)
    if isinstance(source, InletSource):
        inlet = inlet_of(source, spot.station, middle)
        t, bay, ebb = solved_inlet(spot.station, inlet, start, end)
        return InletFlow(t, ebb, bay, spot.station, inlet, speeds)
    if isinstance(source, BasinSource):
        scale = source.basin_area / source.opening_area
        return ScaledFall(FlowKind.BASIN, spot.station, lag, scale, speeds, assumed)
    if isinstance(source, ScaledSource):
        scale = source.strong_ebb / mean_peak_fall(spot.station, year_of(middle))
        return ScaledFall(FlowKind.SCALED, spot.station, lag, scale, speeds, assumed)
    return falling_water(spot, year_of(middle))


def falling_water(spot: Spot, year: int) -> FallingWater:
    """The flow of a spot that has neither a current nor a scale, its limits from that year's tide."""
    peak = tides.peak_rate(spot.station, year)
    nothing = max(LEAST_SHARE * peak, LEAST_FALL)
    return FallingWater(
        spot.station,
        spot.slack_lag or 0.0,
        nothing_below=nothing,
        full_from=max(FULL_SHARE * peak, LEAST_RISE * nothing),
        assumed_turn=spot.slack_lag is None,
    )


@lru_cache(maxsize=128)
def mean_peak_fall(station: TideStation, year: int) -> float:
    """Mean over a year's falls of each one's greatest rate, m/s: the strong ebb of a mean range.

    Never below the fall that counts as standing water, so that a dead tide can't divide by nothing.
    """
    start, end = year_start(year), year_start(year + 1)
    turns = tides.high_low_waters(station, start, end).turns
    fall = -tides.even_rates(station, start, STEP, int((end - start) / STEP))
    edges = np.searchsorted(start + STEP * np.arange(len(fall)), turns.t)
    peaks = [
        float(fall[first:last].max())
        for first, last, high in zip(edges[:-1], edges[1:], turns.high[:-1], strict=True)
        if high and last > first
    ]
    return max(float(np.mean(peaks)) if peaks else 0.0, LEAST_FALL)


def mean_tide(station: TideStation, year: int) -> tuple[float, float]:
    """Amplitude (half the mean range, m) and period (s) of the tide that an inlet's coefficient refers to."""
    from harmonics.stations.datums import Regime, mean_range, regime

    turns = tides.high_low_waters(station, year_start(year), year_start(year + 1)).turns
    primary = primary_of(station)
    diurnal = regime(primary.constants) in {Regime.DIURNAL, Regime.MIXED_DIURNAL}
    half_range = mean_range(turns) / 2
    return (half_range if half_range > 0 else 0.01), DIURNAL_PERIOD if diurnal else SEMIDIURNAL_PERIOD


def inlet_of(source: InletSource, station: TideStation, start: float) -> "Inlet":
    """The inlet of a source: from its throat's losses, or from Keulegan's coefficient at the mean tide."""
    from harmonics.stations.inlet import Inlet, inlet_of_repletion

    if source.losses is not None:
        return Inlet(source.basin_area, source.opening_area, source.losses)
    amplitude, period = mean_tide(station, year_of(start))
    repletion = 1.0 if source.repletion is None else source.repletion
    return inlet_of_repletion(repletion, source.basin_area, source.opening_area, amplitude, period)


def solved_inlet(
    station: TideStation, inlet: "Inlet", start: float, end: float
) -> tuple[Array, Array, Array]:
    """Times at 5-minute steps, bay level (m above datum) and outgoing speed (m/s) of one inlet.

    The bay starts from the sea's mean level of the run-up, near which a nearly closed one stays.
    """
    from harmonics.stations.inlet import solve_inlets

    first = np.floor((start - INLET_RUN_UP) / STEP) * STEP
    count = int(np.ceil((end + INLET_MARGIN - first) / STEP)) + 1
    sea = tides.even_levels(station, float(first), STEP, count)
    sea[0] = sea[: int(INLET_RUN_UP / STEP)].mean()
    series = solve_inlets((inlet,), sea, STEP)
    keep = int((INLET_RUN_UP - INLET_MARGIN) / STEP)
    t = first + STEP * np.arange(count, dtype=float)
    return t[keep:], series.bay_level[0, keep:], -series.speed[0, keep:]


def response_of(spot: Spot, source: InletSource, year: int) -> "tuple[InletResponse, float]":
    """How the bay answers its sea over the first two months of a year, and its greatest ebb then, m/s."""
    from harmonics.stations.inlet import inlet_response

    start = year_start(year)
    t, bay, ebb = solved_inlet(
        spot.station, inlet_of(source, spot.station, start), start, start + 60 * 86400.0
    )
    sea = tides.even_levels(spot.station, float(t[0]), STEP, len(t))
    return inlet_response(sea, bay, STEP), float(ebb.max())
