"""Currents and what fishes: directions, speeds, areas, lags and limits that leave nothing."""

from collections.abc import Iterator

from harmonics.stations.types import AnyCurrentStation, CurrentStation, SecondaryCurrentStation
from harmonics.units import HOUR, METRES_PER_SECOND_PER_KNOT
from windows.shoreline.gates import GreatestSpeed, LeastSpeed
from windows.shoreline.plausible.findings import Finding, Oddity, line
from windows.shoreline.spots import BasinSource, CurrentSource, InletSource, ScaledSource, Spot
from windows.shoreline.whole import Shore

KNOT = METRES_PER_SECOND_PER_KNOT
STRONGEST = 30.0 * KNOT
"""No tidal current on earth is as strong."""
STRONG = 10.0 * KNOT
"""A handful of straits are as strong; centimetres a second taken for knots give more."""
STRONG_EBB = 8.0 * KNOT
LEAST_APART = 1.0
"""Degrees between flood and ebb; less is one direction written twice."""
TURNS_BY = 90.0
"""Degrees: an ebb that sets on the flood's side of the channel is odd."""
LONG_LAG = 3.5 * HOUR
"""Behind a long channel the current turns three hours after the tide; later it is nearer to the next turn."""
LONG_WAY = 6 * HOUR


def flows(shore: Shore) -> Iterator[Finding]:
    """Everything odd about currents and about how spots fish."""
    for i, current in enumerate(shore.currents):
        yield from _current(f"currents[{i}]", current)
    for i, spot in enumerate(shore.spots):
        yield from _source(f"spots[{i}]", spot)
        yield from _preferences(f"spots[{i}]", spot)


def _current(where: str, current: AnyCurrentStation) -> Iterator[Finding]:
    if isinstance(current, CurrentStation | SecondaryCurrentStation):
        flood, ebb = current.flood_direction, current.ebb_direction
        apart = abs((ebb - flood + 180.0) % 360.0 - 180.0)
        if apart < TURNS_BY:
            write = (line("ebb_direction", (flood + 180.0) % 360.0, 1),)
            yield Finding(
                Oddity.SAME_DIRECTIONS, f"{where}.ebb_direction", (flood, ebb), write, apart <= LEAST_APART
            )
    if not isinstance(current, CurrentStation):
        return
    total = float(current.constants.amplitude.sum())
    if total > STRONG:
        write = ("ebblight import TABLE --units cm/s -o CSV",)
        yield Finding(Oddity.CURRENT_TOO_STRONG, f"{where}.constituents", (total,), write, total > STRONGEST)
    if abs(current.mean_flow) > total:
        yield Finding(Oddity.NEVER_TURNS, f"{where}.mean_flow", (current.mean_flow, total))


def strongest(current: AnyCurrentStation) -> float | None:
    """m/s that a current on one axis never exceeds; None where its sums do not tell."""
    if isinstance(current, CurrentStation):
        return float(current.constants.amplitude.sum()) + abs(current.mean_flow)
    if isinstance(current, SecondaryCurrentStation):
        most = strongest(current.reference)
        ratio = max(current.differences.flood_ratio, current.differences.ebb_ratio)
        return None if most is None else most * ratio
    return None


def _source(where: str, spot: Spot) -> Iterator[Finding]:
    source = spot.flow
    if isinstance(source, ScaledSource) and source.strong_ebb > STRONG_EBB:
        yield Finding(Oddity.STRONG_EBB, f"{where}.flow.strong_ebb", (source.strong_ebb,))
    if isinstance(source, BasinSource | InletSource) and source.basin_area < source.opening_area:
        write = (f"basin_area_m2 = {source.opening_area:g}", f"opening_area_m2 = {source.basin_area:g}")
        about = (source.basin_area, source.opening_area)
        yield Finding(Oddity.AREAS_SWAPPED, f"{where}.flow.basin_area_m2", about, write, True)
    if spot.slack_lag is not None and abs(spot.slack_lag) > LONG_LAG:
        yield Finding(Oddity.LONG_LAG, f"{where}.slack_lag", (spot.slack_lag,))
    if isinstance(source, CurrentSource):
        most = strongest(source.station)
        speeds = spot.preferences.speeds
        if most is not None and most * source.factor <= speeds.nothing_below:
            about = (most * source.factor, speeds.nothing_below)
            half = most * source.factor / KNOT / 2
            slower = (f"speeds = {{ nothing_below = 0, full_from = {half:.2g} }}",)
            yield Finding(Oddity.NEVER_FAST_ENOUGH, f"{where}.speeds", about, slower)


def _preferences(where: str, spot: Spot) -> Iterator[Finding]:
    wanted = spot.preferences
    least, greatest = spot.limit(LeastSpeed), spot.limit(GreatestSpeed)
    low, high = wanted.speeds.nothing_below, wanted.speeds.nothing_above
    if least is not None and least >= high:
        about = (least, high)
        write = (line("least_speed", wanted.speeds.full_from / KNOT),)
        yield Finding(Oddity.SPEED_GATES, f"{where}.least_speed", about, write, True)
    if greatest is not None and greatest <= low:
        write = (line("greatest_speed", high / KNOT),)
        yield Finding(Oddity.SPEED_GATES, f"{where}.greatest_speed", (greatest, low), write, True)
    if wanted.travel is not None and wanted.travel > LONG_WAY:
        yield Finding(Oddity.LONG_WAY, f"{where}.travel", (wanted.travel,))
