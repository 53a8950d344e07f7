"""The stretch to fish in each window, where in it, and what the forecast can say of it.

Where a session lies and how it ranks is decided by expected points: the mean over how wrong the water can be.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from harmonics.arrays import Array, Flags
from windows.conditions.assembly import STEP
from windows.conditions.scoring import Conditions
from windows.forecast.expected import TIE, Expected, Seen
from windows.forecast.light import LightLabel, labels_of
from windows.forecast.planning import ASSUMED_TURN_ROUNDING, LEAST_WINDOW, MINUTE, Window
from windows.shoreline.spots import Factor, Points

AHEAD_OF_WINDOW = 900.0
"""A session may begin a quarter of an hour before its window, in water that can be fished."""
LEVEL_POINTS = 2.0
"""Stretches whose points differ by less can't be told apart."""
MOON_ROW = tuple(Factor).index(Factor.MOON)


@dataclass(frozen=True, slots=True)
class Session:
    """The stretch to fish for one window.

    Attributes:
        window: the window it belongs to.
        start, end: POSIX seconds; all of it can be fished.
        peak: time of most points inside, with the water as predicted.
        strongest: time inside at which the water goes most.
        points: by factor, over the length one wants to fish: means over how wrong the water can be.
        low, high: the range of points that eight cases in ten lie in.
        seen: what cases that were seen tell of it; None where there are none.
        deviation: standard deviation of the points over the cases.
        mean_flow: flow factor over the length one wants to fish, 0 to 1, with the water as predicted.
        early, late: points if the water came 30 minutes earlier, later.
        light: the kind that most of it has, or two in their order.
    """

    window: Window
    start: float
    end: float
    peak: float
    strongest: float
    points: Points
    low: float
    high: float
    deviation: float
    mean_flow: float
    early: float
    late: float
    light: tuple[LightLabel, ...]
    seen: Seen | None = None

    @property
    def chance(self) -> float | None:
        """How often it came true in what was seen, 0 to 1; None where nobody knows it."""
        return None if self.seen is None else self.seen.chance

    @property
    def dark(self) -> bool:
        """Whether it is dark for most of it."""
        return self.light == (LightLabel.DARK,)

    @property
    def rank_key(self) -> tuple[float, float, float]:
        """Sorts best first: points, then mean flow, then the earlier."""
        return (-round(self.points.total, 9), -round(self.mean_flow, 9), self.start)


def find_sessions(
    conditions: Conditions, expected: Expected, windows: Sequence[Window], edges: Array
) -> list[Session]:
    """Sessions of some windows: of each, every local day it touches may give one that starts in that day.

    Args:
        conditions: of the spot.
        expected: its score.
        windows: in time order.
        edges: of the local days, POSIX seconds, reaching beyond the windows.

    Returns:
        Sessions in the order of windows and days; they may overlap.
    """
    finder = _Finder(conditions, expected)
    chosen: list[tuple[Window, float, float]] = []
    for window in windows:
        first, last = np.searchsorted(edges, [window.start, window.end], side="right") - 1
        days = [(edges[day], edges[day + 1]) for day in range(int(first), int(last) + 1)]
        chosen += [(window, start, end) for start, end in finder.best(window, days)]
    return finder.sessions(chosen)


@dataclass(frozen=True, eq=False, slots=True)
class _Stretches:
    """Stretches that a session may be: starts, ends, and seconds of the window inside; shape (n,)."""

    start: Array
    end: Array
    overlap: Array

    def of(self, flags: Flags) -> "_Stretches":
        return _Stretches(self.start[flags], self.end[flags], self.overlap[flags])


class _Finder:
    """Finds and measures the sessions of one spot."""

    def __init__(self, conditions: Conditions, expected: Expected) -> None:
        self.conditions = conditions
        self.expected = expected
        self.curve = expected.curve
        self.length = conditions.spot.preferences.session
        self.keep = conditions.spot.preferences.keep
        self.rounding = ASSUMED_TURN_ROUNDING if conditions.flow.assumed_turn else MINUTE
        stops = np.append(np.flatnonzero(~self.curve.fishable), len(self.curve.t) - 1)
        self.until = self.curve.t[stops[np.searchsorted(stops[:-1], np.arange(len(self.curve.t)))]]

    def best(self, window: Window, days: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
        """The best stretch of each day that holds enough of the window; none overlaps a better one.

        What a window leaves beside its best stretch must itself be worth keeping.
        """
        every = [self._within(window, *day) for day in days]
        longest = max((float(item.overlap.max(initial=0.0)) for item in every), default=0.0)
        enough = [item.of(item.overlap >= min(LEAST_WINDOW, longest) - TIE) for item in every]
        left = [item for item in enough if item.start.size and longest > 0.0]
        taken: list[tuple[float, float]] = []
        while left:
            choices = [self._choice(item) for item in left]
            best = max(
                range(len(left)), key=lambda k: (round(choices[k][0] / self.length, 9), -choices[k][1])
            )
            points, start, end = choices[best]
            if taken and points < self.keep * self.length:
                break
            taken.append((start, end))
            del left[best]
            free = [item.of((item.end <= start) | (item.start >= end)) for item in left]
            left = [item for item in free if item.start.size]
        return sorted(taken)

    def _within(self, window: Window, day_start: float, day_end: float) -> _Stretches:
        """Stretches that start in a day, in fishable water, inside the window or shortly before it."""
        ends = [max(window.start - AHEAD_OF_WINDOW, day_start), min(window.end, day_end)]
        near = slice(*np.searchsorted(self.curve.t, ends))
        start = self.curve.t[near]
        allowed = self.curve.fishable[near] & (np.mod(start, max(self.rounding, STEP)) == 0.0)
        start, stop = start[allowed], self.until[near][allowed]
        end = np.minimum(start + self.length, np.floor(stop / self.rounding) * self.rounding)
        overlap = np.minimum(end, window.end) - np.maximum(start, window.start)
        return _Stretches(start, end, overlap)

    def _choice(self, item: _Stretches) -> tuple[float, float, float]:
        """Points, start and end of the best stretch.

        That of most points without the moon's; of those level with it one in the light before one in the
        dark, then by all points, by flow, the earlier.
        """
        points = self.expected.points(item.start, item.end)
        total = points.sum(axis=0)
        earthly = total - points[MOON_ROW]
        dark = self.expected.dark(item.start, item.end) > 0.5 * (item.end - item.start)
        flow = self.expected.flow(item.start, item.end)
        left = np.flatnonzero(earthly >= earthly.max() - LEVEL_POINTS * self.length)
        if not dark[left].all():
            left = left[~dark[left]]
        for values in (total, flow):
            left = left[values[left] >= values[left].max() - TIE * self.length]
        index = int(left[0])
        return float(total[index]), float(item.start[index]), float(item.end[index])

    def sessions(self, chosen: Sequence[tuple[Window, float, float]]) -> list[Session]:
        """The chosen stretches, cut to the minute where they stop being fishable, and measured."""
        if not chosen:
            return []
        start = np.array([item[1] for item in chosen])
        end, lights = self._to_the_minute(start, np.array([item[2] for item in chosen]))
        points = self.expected.points(start, end) / self.length
        cases = self.expected.totals(start, end) / self.length
        low, high = self.expected.range(cases)
        early, late = self.expected.shifted(start, end) / self.length
        flow = self.expected.flow(start, end) / self.length
        out: list[Session] = []
        for k, (window, _, _) in enumerate(chosen):
            inside = slice(*np.searchsorted(self.curve.t, [start[k], end[k] + TIE]))
            t = self.curve.t[inside]
            peak = float(t[self.curve.total[inside].argmax()])
            out.append(
                Session(
                    window=window,
                    start=float(start[k]),
                    end=float(end[k]),
                    peak=peak,
                    strongest=float(t[self.curve.going[inside].argmax()]),
                    points=Points.of(points[:, k]),
                    low=float(low[k]),
                    high=float(high[k]),
                    deviation=float(cases[:, k].std()),
                    mean_flow=float(flow[k]),
                    early=float(early[k]),
                    late=float(late[k]),
                    light=lights[k],
                    seen=self.expected.seen(float(start[k]), float(end[k]), peak),
                )
            )
        return out

    def _to_the_minute(self, start: Array, end: Array) -> tuple[Array, list[tuple[LightLabel, ...]]]:
        """Ends at the first minute that can't be fished, and the light of each stretch until then."""
        counts = np.rint((end - start) / MINUTE).astype(int)
        firsts = np.concatenate(([0], np.cumsum(counts)))
        minutes = np.arange(firsts[-1]) - np.repeat(firsts[:-1], counts)
        curve = self.conditions.at(np.repeat(start, counts) + MINUTE * minutes)
        ends: list[float] = []
        lights: list[tuple[LightLabel, ...]] = []
        for k, count in enumerate(counts.tolist()):
            here = slice(int(firsts[k]), int(firsts[k]) + count)
            lost = np.flatnonzero(~curve.fishable[here])
            stop = float(start[k] + MINUTE * lost[0]) if lost.size else float(end[k])
            rounded = float(np.floor(stop / self.rounding) * self.rounding) if lost.size else stop
            ends.append(rounded if rounded > start[k] else stop)
            kept = max(1, round((ends[-1] - start[k]) / MINUTE))
            lights.append(labels_of(curve.sun_altitude[here][:kept]))
        return np.array(ends), lights


def ranked(sessions: Sequence[Session]) -> list[Session]:
    """Best first; of two sessions of one spot that overlap, only the better stays."""
    kept: list[Session] = []
    for session in sorted(sessions, key=lambda item: item.rank_key):
        if all(session.end <= other.start or session.start >= other.end for other in kept):
            kept.append(session)
    return kept
