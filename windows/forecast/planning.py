"""Windows of a spot, the session to fish in each, and their order.

A window is a stretch at or above the keep mark with the water going well; a session is the stretch of the
length one wants to fish with the best mean points that holds enough of it.
"""

from dataclasses import dataclass
from enum import StrEnum, unique

import numpy as np

from harmonics.arrays import Array, Flags
from windows.conditions.assembly import STEP
from windows.conditions.scoring import Conditions, ScoreCurve
from windows.forecast.edges import LEAST_FLOW_FACTOR, Edge, edge_between
from windows.shoreline.spots import Points

MINUTE = 60.0
LEAST_WINDOW = 1800.0
"""A window lasts at least 30 minutes, and a session holds at least as much of it."""
ASSUMED_TURN_ROUNDING = 600.0
"""Where nobody has said when the current turns, edges are rounded to 10 minutes."""
SHIFT = 1800.0
"""Early-or-late check: the water alone 30 minutes earlier and later."""
LOW_LIGHT = (-6.0, 6.0)
"""Sun altitudes (degrees) of "low light": full points of that preference, civil dusk to a low sun."""
TIE = 1e-9


@unique
class LightLabel(StrEnum):
    """The light at a window's peak."""

    LOW = "low light"
    DAY = "daylight"
    DARK = "dark"


@dataclass(frozen=True, slots=True)
class Window:
    """A stretch of outgoing water worth fishing.

    Attributes:
        start, end: POSIX seconds, to the minute, or to 10 minutes where the turn is assumed.
        peak: time of most points.
        opens, closes: what makes its edges.
        light: at its peak.
    """

    start: float
    end: float
    peak: float
    opens: Edge
    closes: Edge
    light: LightLabel


@dataclass(frozen=True, slots=True)
class Session:
    """The stretch to fish for one window.

    Attributes:
        window: the window it belongs to.
        start, end: POSIX seconds.
        peak: time of most points inside.
        points: means over the stretch, by factor; zeros outside gates and outgoing water count.
        mean_flow: mean flow factor, 0 to 1.
        early, late: mean total if the water came 30 minutes earlier, later.
    """

    window: Window
    start: float
    end: float
    peak: float
    points: Points
    mean_flow: float
    early: float
    late: float

    @property
    def rank_key(self) -> tuple[float, float, float]:
        """Sorts best first: points, then mean flow, then the earlier."""
        return (-round(self.points.total, 9), -round(self.mean_flow, 9), self.start)


def label_of(altitude: float) -> LightLabel:
    """The label of a sun altitude in degrees."""
    if altitude > LOW_LIGHT[1]:
        return LightLabel.DAY
    return LightLabel.LOW if altitude >= LOW_LIGHT[0] else LightLabel.DARK


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
            light = label_of(float(curve.sun_altitude[peak]))
            windows.append(Window(shown_start, shown_end, float(curve.t[peak]), opened, closed, light))
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


def find_session(conditions: Conditions, curve: ScoreCurve, window: Window) -> Session:
    """The best stretch of the wanted length that holds at least 30 minutes of the window.

    The stretch may be longer than the window: what lies outside counts with the points it has. It begins
    while every gate is open, so never in the past or before one's hours.
    """
    length = round(conditions.spot.preferences.session / STEP)
    reach = length * STEP
    near = slice(*np.searchsorted(curve.t, [window.start - reach, window.end + reach]))
    t = curve.t[near]
    total = _means(curve.total[near], length)
    flow = _means(_going_out(curve)[near], length)
    begin = t[: len(total)]
    overlap = np.minimum(begin + reach, window.end) - np.maximum(begin, window.start)
    allowed = curve.open[near][: len(total)] & (overlap > 0)
    if conditions.flow.assumed_turn:
        allowed &= np.mod(begin, ASSUMED_TURN_ROUNDING) == 0
    candidates = np.flatnonzero(allowed & (overlap >= min(LEAST_WINDOW, overlap[allowed].max())))
    tied = candidates[total[candidates] >= total[candidates].max() - TIE]
    index = int(tied[flow[tied] >= flow[tied].max() - TIE][0])
    inside = slice(near.start + index, near.start + index + length + 1)
    shift = round(SHIFT / STEP)
    return Session(
        window=window,
        start=float(t[index]),
        end=float(t[index] + reach),
        peak=float(curve.t[inside][int(curve.total[inside].argmax())]),
        points=Points.of(_means(part, length)[0] for part in curve.points[:, inside]),
        mean_flow=float(flow[index]),
        early=float(_means(curve.total_if_later(-shift, inside), length)[0]),
        late=float(_means(curve.total_if_later(shift, inside), length)[0]),
    )


def _going_out(curve: ScoreCurve) -> Array:
    return np.where(curve.open, curve.flow_factor, 0.0)


def _means(values: Array, length: int) -> Array:
    """Means over every stretch of `length` steps, ends counting half: shape (n - length,)."""
    sums = np.concatenate(([0.0], np.cumsum(0.5 * (values[1:] + values[:-1]))))
    return np.asarray((sums[length:] - sums[:-length]) / length)


def ranked(sessions: list[Session]) -> list[Session]:
    """Best first; of two sessions of one spot that overlap, only the better stays."""
    kept: list[Session] = []
    for session in sorted(sessions, key=lambda item: item.rank_key):
        if all(session.end <= other.start or session.start >= other.end for other in kept):
            kept.append(session)
    return kept
