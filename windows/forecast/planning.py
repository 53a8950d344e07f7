"""Windows of a spot: stretches at or above the keep mark with the water going well."""

from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array, Flags
from windows.conditions.assembly import STEP
from windows.conditions.scoring import Conditions, ScoreCurve
from windows.forecast.edges import LEAST_FLOW_FACTOR, Edge, edge_between

MINUTE = 60.0
LEAST_WINDOW = 1800.0
"""A window lasts at least 30 minutes, and a session holds as much of it where it can."""
ASSUMED_TURN_ROUNDING = 600.0
"""Where nobody has said when the current turns, edges are rounded to 10 minutes."""


class Window(NamedTuple):
    """A stretch of water worth fishing.

    Attributes:
        start, end: POSIX seconds, to the minute, or to 10 minutes where the turn is assumed.
        peak: time of most points.
        opens, closes: what makes its edges.
    """

    start: float
    end: float
    peak: float
    opens: Edge
    closes: Edge


def _worthwhile(curve: ScoreCurve, keep: float) -> Flags:
    moving = (curve.flow_factor >= LEAST_FLOW_FACTOR) & curve.open
    return np.asarray((curve.total >= keep) & moving)


def find_windows(conditions: Conditions, curve: ScoreCurve, first: float, last: float) -> list[Window]:
    """Windows that start in [first, last), in time order.

    Args:
        conditions: of the spot.
        curve: its score at even steps, reaching beyond both ends.
        first, last: POSIX seconds.
    """
    inside = _worthwhile(curve, conditions.spot.preferences.keep)
    inside[0] = inside[-1] = False
    change = np.flatnonzero(inside[1:] != inside[:-1])
    starts = _edges(conditions, curve.t[change[::2]], opening=True)
    ends = _edges(conditions, curve.t[change[1::2]], opening=False)
    keep = ends - starts >= LEAST_WINDOW
    starts, ends = starts[keep], ends[keep]
    opens = _edge_reasons(conditions, starts - MINUTE, starts)
    closes = _edge_reasons(conditions, ends, ends - MINUTE)
    rounding = ASSUMED_TURN_ROUNDING if conditions.flow.assumed_turn else MINUTE
    windows: list[Window] = []
    for start, end, opened, closed in zip(starts, ends, opens, closes, strict=True):
        shown_start, shown_end = (float(np.floor(x / rounding + 0.5) * rounding) for x in (start, end))
        within = slice(*np.searchsorted(curve.t, [max(start, shown_start), min(end, shown_end)]))
        peak = within.start + int(curve.total[within].argmax())
        if first <= shown_start < last:
            windows.append(Window(shown_start, shown_end, float(curve.t[peak]), opened, closed))
    return windows


def _edges(conditions: Conditions, before: Array, opening: bool) -> Array:
    """To the minute: first minute inside after an opening's last outside step, or first outside at an end."""
    if not before.size:
        return before
    minutes = np.arange(1, int(STEP / MINUTE) + 1)
    times = before[:, None] + MINUTE * minutes
    curve = conditions.at(times.reshape(-1))
    inside = _worthwhile(curve, conditions.spot.preferences.keep).reshape(times.shape)
    wanted = inside if opening else ~inside
    wanted[:, -1] = True
    return np.asarray(times[np.arange(len(before)), wanted.argmax(axis=1)])


def _edge_reasons(conditions: Conditions, outside: Array, inside: Array) -> list[Edge]:
    """What differs between the last minute outside and the first inside, for each edge."""
    if not outside.size:
        return []
    curve = conditions.at(np.concatenate((outside, inside)))
    count = len(outside)
    return [edge_between(curve, i, i + count) for i in range(count)]
