"""The stretch to fish in each window, where in it, and what the forecast can say of it.

Where a session lies and how it ranks is decided by expected points: the mean over how wrong the water can be.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array, Flags, Indices
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


class Session(NamedTuple):
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
        predicted: points if the water came as predicted.
        early, late: points if it came 30 minutes earlier, later.
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
    predicted: float
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


def most_points(conditions: Conditions, expected: Expected, starts: Flags) -> float:
    """The most points that a session could have if it began at one of some steps of the curve, window or not.

    Args:
        conditions: of the spot.
        expected: its score.
        starts: whether a step counts, shape (n,).
    """
    finder = _Finder(conditions, expected)
    return float(finder.total[finder.allowed & starts].max(initial=0.0)) / finder.length


class _Stretches(NamedTuple):
    """Stretches that a session may be: steps they start at, seconds of the window inside; shape (n,)."""

    step: Indices
    overlap: Array

    def of(self, flags: Flags) -> "_Stretches":
        return _Stretches(self.step[flags], self.overlap[flags])


class _Finder:
    """Finds and measures the sessions of one spot.

    Every step may start a stretch, as long as one wants to fish or until the water can't be fished: what
    each is worth is known once for all windows.
    """

    def __init__(self, conditions: Conditions, expected: Expected) -> None:
        self.conditions = conditions
        self.expected = expected
        self.curve = expected.curve
        self.length = conditions.spot.preferences.session
        self.keep = conditions.spot.preferences.keep
        self.rounding = ASSUMED_TURN_ROUNDING if conditions.flow.assumed_turn else MINUTE
        self.start = start = self.curve.t
        stops = np.append(np.flatnonzero(~self.curve.fishable), len(start) - 1)
        until = start[stops[np.searchsorted(stops[:-1], np.arange(len(start)))]]
        self.end = np.minimum(start + self.length, np.floor(until / self.rounding) * self.rounding)
        self.allowed = self.curve.fishable & (np.mod(start, max(self.rounding, STEP)) == 0.0)
        points = expected.points(start, self.end)
        self.total = points.sum(axis=0)
        self.earthly = self.total - points[MOON_ROW]
        self.dark = expected.dark(start, self.end) > 0.5 * (self.end - start)
        self.flow = expected.flow(start, self.end)

    def best(self, window: Window, days: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
        """The best stretch of each day that holds enough of the window; none overlaps a better one.

        What a window leaves beside its best stretch must itself be worth keeping.
        """
        every = [self._within(window, *day) for day in days]
        longest = max((float(item.overlap.max(initial=0.0)) for item in every), default=0.0)
        enough = [item.of(item.overlap >= min(LEAST_WINDOW, longest) - TIE) for item in every]
        left = [item for item in enough if item.step.size and longest > 0.0]
        taken: list[tuple[float, float]] = []
        while left:
            choices = [self._choice(item.step) for item in left]
            worths = [round(float(self.total[step]) / self.length, 9) for step in choices]
            best = max(range(len(left)), key=lambda k: (worths[k], -choices[k]))
            step = choices[best]
            start, end = float(self.start[step]), float(self.end[step])
            if taken and self.total[step] < self.keep * self.length:
                break
            taken.append((start, end))
            del left[best]
            free = [item.of((self.end[item.step] <= start) | (self.start[item.step] >= end)) for item in left]
            left = [item for item in free if item.step.size]
        return sorted(taken)

    def _within(self, window: Window, day_start: float, day_end: float) -> _Stretches:
        """Stretches that start in a day, in fishable water, inside the window or shortly before it."""
        ends = [max(window.start - AHEAD_OF_WINDOW, day_start), min(window.end, day_end)]
        first, last = self.start.searchsorted(ends)
        step = first + np.flatnonzero(self.allowed[first:last])
        overlap = np.minimum(self.end[step], window.end) - np.maximum(self.start[step], window.start)
        return _Stretches(step, overlap)

    def _choice(self, steps: Indices) -> int:
        """The step at which the best stretch starts.

        That of most points without the moon's; of those level with it one in the light before one in the
        dark, then by all points, by flow, the earlier.
        """
        earthly, dark = self.earthly[steps], self.dark[steps]
        level = earthly >= earthly.max() - LEVEL_POINTS * self.length
        left = steps[level & ~dark]
        if not left.size:
            left = steps[level]
        for values in (self.total, self.flow):
            here = values[left]
            left = left[here >= here.max() - TIE * self.length]
        return int(left[0])

    def sessions(self, chosen: Sequence[tuple[Window, float, float]]) -> list[Session]:
        """The chosen stretches, cut to the minute where they stop being fishable, and measured."""
        if not chosen:
            return []
        start = np.array([item[1] for item in chosen])
        end, lights = self._to_the_minute(start, np.array([item[2] for item in chosen]))
        points = self.expected.points(start, end) / self.length
        cases = self.expected.totals(start, end) / self.length
        low, high = self.expected.range(cases)
        predicted = self.expected.predicted(start, end) / self.length
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
                    predicted=float(predicted[k]),
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
