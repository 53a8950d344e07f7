"""Why a day has no window, in kind; renderers put it in words."""

from collections.abc import Sequence

import numpy as np

from harmonics.arrays import Array, Flags
from harmonics.stations.datums import Regime, regime
from harmonics.stations.types import primary_of
from windows.conditions.clock_gates import OutsideHours
from windows.conditions.scoring import Conditions, ScoreCurve
from windows.forecast.edges import LEAST_FLOW_FACTOR
from windows.forecast.planning import LEAST_WINDOW, Window
from windows.forecast.reports import Lack, NoWindow
from windows.shoreline.gates import Gate

CROSSING_REACH = 3.5 * 86400.0
"""Equatorial tides of a diurnal coast come within about three days of the moon's equator crossing: its age
there is mostly a day or two, and the tide is small for some days around it (common practice)."""
PROBE = np.geomspace(1e-7, 10.0, 4000)


def no_window(
    conditions: Conditions,
    curve: ScoreCurve,
    weekday: int,
    edges: tuple[float, float],
    windows: Sequence[Window],
    crossings: Array,
) -> NoWindow:
    """The reason why a local day has no session.

    Args:
        conditions: of the spot.
        curve: its score curve.
        weekday: of the day, 0 is Monday.
        edges: start and end of the day, POSIX seconds.
        windows: all of the spot, also those whose session gave way to a better one.
        crossings: times of the moon's equator crossings, sorted.
    """
    start, end = edges
    day = slice(*np.searchsorted(curve.t, [start, end]))
    total, going = curve.total[day], curve.going[day] > 0
    moving = going & (curve.flow_factor[day] >= LEAST_FLOW_FACTOR)
    is_open = curve.open[day]
    lack, gate = _lack(conditions, curve, day, moving, is_open)
    inside = [min(window.end, end) - max(window.start, start) for window in windows]
    if end <= start:
        lack = Lack.SKIPPED
    elif any(part >= LEAST_WINDOW for part in inside):
        lack = Lack.OVERLAP
    elif any(part > 0.0 for part in inside):
        lack = Lack.TAIL
    if gate is OutsideHours and weekday not in conditions.spot.preferences.days:
        lack = Lack.DAY_OFF
    counted = np.where(moving & is_open, total, 0.0) if lack is Lack.FAINT else total
    best = int(counted.argmax()) if counted.size and counted.max() > 0 else None
    still = lack in {Lack.STILL, Lack.INCOMING}
    return NoWindow(
        lack=lack,
        gate=gate,
        best_points=float(counted[best]) if best is not None else 0.0,
        best_t=float(curve.t[day][best]) if best is not None else None,
        strongest=float(max(0.0, curve.going[day].max())) if total.size else 0.0,
        needed=_needed(conditions),
        crossing=_crossing(conditions, (start + end) / 2, crossings) if still else None,
    )


def _lack(
    conditions: Conditions, curve: ScoreCurve, day: slice, moving: Flags, is_open: Flags
) -> tuple[Lack, type[Gate] | None]:
    if not moving.any():
        strongest = curve.going[day].max(initial=0.0)
        if strongest <= 0:
            return Lack.INCOMING, None
        return (Lack.STRONG if strongest >= _needed(conditions) else Lack.STILL), None
    if not (moving & is_open).any():
        lost = {gate: int((shut[day] & moving).sum()) for gate, shut in curve.shut.items()}
        return Lack.SHUT, type(max(lost, key=lambda gate: lost[gate]))
    keep = conditions.spot.preferences.keep
    worth = moving & is_open & (curve.total[day] >= keep)
    return (Lack.SHORT if worth.any() else Lack.FAINT), None


def _needed(conditions: Conditions) -> float:
    """Least movement whose factor reaches what a window needs."""
    enough = conditions.flow.factor(PROBE) >= LEAST_FLOW_FACTOR
    return float(PROBE[enough.argmax()]) if enough.any() else float("nan")


def _crossing(conditions: Conditions, middle: float, crossings: Array) -> float | None:
    """The equator crossing near a still day, on coasts whose tide follows the moon's declination."""
    station = conditions.spot.station
    primary = primary_of(station)
    if regime(primary.constants) not in {Regime.DIURNAL, Regime.MIXED_DIURNAL} or not crossings.size:
        return None
    nearest = float(crossings[np.abs(crossings - middle).argmin()])
    return nearest if abs(nearest - middle) <= CROSSING_REACH else None
