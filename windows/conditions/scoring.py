"""The score curve of a spot: points by factor at every step, and what shuts it where it is 0.

Points go to outgoing flow, light and moon; they count only while water goes out and every gate is open.
"""

from dataclasses import dataclass
from enum import Enum
from functools import cached_property

import numpy as np

from harmonics.arrays import Array, Flags
from harmonics.records.observed import Departure
from harmonics.stations import tides
from windows.astronomy import Sky
from windows.conditions.flow import Flow
from windows.shoreline.spots import LightPreference, Spot

SUNRISE_ALTITUDE = -50 / 60
"""Geometric altitude of the sun's centre at rise and set, degrees (almanac convention)."""
MAJOR_HALF_WIDTH = 3600.0
"""A major lasts 2 h around the moon's upper or lower transit, a minor 1 h around rise or set (tradition)."""
MINOR_HALF_WIDTH = 1800.0
MINOR_FACTOR = 0.6

_LIGHT: dict[LightPreference, tuple[list[float], list[float]]] = {
    LightPreference.LOW: ([-12.0, -6.0, 6.0, 20.0], [0.3, 1.0, 1.0, 0.15]),
    LightPreference.DAY: ([-6.0, 6.0], [0.15, 1.0]),
    LightPreference.NIGHT: ([-12.0, 6.0], [1.0, 0.15]),
    LightPreference.ANY: ([0.0, 1.0], [0.0, 0.0]),
}


class Gate(Enum):
    """What can shut a spot, in the order in which a reason is looked for: why, and words for its edges."""

    PAST = ("already past", "from now on", "already past")
    HOURS = ("outside your hours", "your hours begin", "your hours end")
    DAYLIGHT = ("the sun is down", "the sun rises", "the sun sets")
    LEVEL_LOW = (
        "the water is below the spot's least level",
        "the water reaches the spot's least level",
        "the water falls below the spot's least level",
    )
    LEVEL_HIGH = (
        "the water is above the spot's greatest level",
        "the water falls to the spot's greatest level",
        "the water rises above the spot's greatest level",
    )
    DEPTH_LOW = (
        "there is less water than the spot's least depth",
        "the water reaches the spot's least depth",
        "the water falls below the spot's least depth",
    )
    DEPTH_HIGH = (
        "there is more water than the spot's greatest depth",
        "the water falls to the spot's greatest depth",
        "the water rises above the spot's greatest depth",
    )
    SPEED = (
        "the current is above the spot's greatest speed",
        "the current eases to the spot's greatest speed",
        "the current passes the spot's greatest speed",
    )

    def __init__(self, shut: str, opens: str, closes: str) -> None:
        self.shut = shut
        self.opens = opens
        self.closes = closes


def light_factor(altitude: Array, preference: LightPreference) -> Array:
    """Factor of the sun's altitude (degrees), straight lines between the corners."""
    corners, values = _LIGHT[preference]
    return np.interp(altitude, corners, values)


@dataclass(frozen=True, eq=False)
class MoonTimes:
    """Moon events that traditional solunar periods hang on, sorted POSIX seconds.

    Attributes:
        transits: upper and lower transits.
        horizons: rises and sets.
    """

    transits: Array
    horizons: Array

    def factor(self, t: Array) -> Array:
        """1 in a major, 0.6 in a minor, else 0; overlaps take the larger. Shaped as t."""
        major = _near(self.transits, t, MAJOR_HALF_WIDTH)
        minor = _near(self.horizons, t, MINOR_HALF_WIDTH)
        return np.where(major, 1.0, np.where(minor, MINOR_FACTOR, 0.0))


def _near(events: Array, t: Array, half_width: float) -> Flags:
    """Whether each time lies in [event - half width, event + half width) of any event."""
    index = np.searchsorted(events + half_width, t, side="right")
    padded = np.append(events, np.inf)
    return np.asarray(t >= padded[index] - half_width)


@dataclass(frozen=True, eq=False)
class Intervals:
    """Half-open stretches of time, sorted and apart: starts and ends in POSIX seconds, shape (n,)."""

    starts: Array
    ends: Array

    def hold(self, t: Array) -> Flags:
        """Whether each time lies in one of them."""
        index = np.searchsorted(self.starts, t, side="right") - 1
        padded = np.append(self.ends, -np.inf)
        return np.asarray((index >= 0) & (t < padded[index]))

    @staticmethod
    def merged(pairs: list[tuple[float, float]]) -> "Intervals":
        """Stretches given in any order, joined where they touch."""
        starts: list[float] = []
        ends: list[float] = []
        for start, end in sorted(pairs):
            if ends and start <= ends[-1]:
                ends[-1] = max(ends[-1], end)
            else:
                starts.append(start)
                ends.append(end)
        return Intervals(np.array(starts, dtype=float), np.array(ends, dtype=float))


@dataclass(frozen=True, eq=False)
class ScoreCurve:
    """Points of a spot at given times, each factor's share beside the total; all arrays of one shape (n,).

    Attributes:
        t: POSIX seconds.
        level: metres above datum, with today's departure from prediction where readings tell it.
        departure: that departure, metres; 0 without readings.
        outgoing: movement past the spot, outgoing positive: m/s of speed or of falling level.
        sun_altitude: degrees.
        flow_factor: 0 to 1, whatever the gates.
        shares: points that flow, light and moon have to give; shape (3, n).
        shut: for each gate, where it is shut.
    """

    t: Array
    level: Array
    departure: Array
    outgoing: Array
    sun_altitude: Array
    flow_factor: Array
    shares: Array
    shut: dict[Gate, Flags]

    @cached_property
    def open(self) -> Flags:
        """Where every gate is open."""
        return np.asarray(~np.any([np.zeros(self.t.shape, dtype=bool), *self.shut.values()], axis=0))

    @cached_property
    def points(self) -> Array:
        """Points of flow, light and moon, 0 where water is not going out or a gate is shut; shape (3, n)."""
        return np.where((self.outgoing > 0) & self.open, self.shares, 0.0)

    @cached_property
    def total(self) -> Array:
        """Points, 0 to 100."""
        return np.asarray(self.points.sum(axis=0))

    def total_if_later(self, steps: int, part: slice) -> Array:
        """The total of a part with the water's movement alone coming that many steps later.

        Clock, gates and sky stay. Beyond the curve's ends the movement stays as it was at the end.
        """
        index = np.clip(np.arange(part.start, part.stop) - steps, 0, len(self.t) - 1)
        fishable = (self.outgoing[index] > 0) & self.open[part]
        flow, light, moon = self.shares
        return np.where(fishable, flow[index] + light[part] + moon[part], 0.0)


@dataclass(frozen=True, eq=False)
class Conditions:
    """Everything a spot's score depends on; makes score curves for any times inside the sky's span.

    Attributes:
        spot: place, limits and preferences.
        flow: how water moves past it.
        sky: sun and moon over the span.
        moon: the spot's moon events.
        hours: when the person can fish; None for any time.
        past: stretch of today that is over; None where nothing is.
        departure: how the water stands against its prediction today; None where nobody has read a gauge.
    """

    spot: Spot
    flow: Flow
    sky: Sky
    moon: MoonTimes
    hours: Intervals | None
    past: tuple[float, float] | None
    departure: Departure | None = None

    def even(self, start: float, step: float, count: int) -> ScoreCurve:
        """The curve at start + step x (0 .. count - 1)."""
        t = start + step * np.arange(count, dtype=float)
        level = tides.even_levels(self.spot.station, start, step, count)
        altitude = self.sky.even_sun_altitude(self.spot.latitude, self.spot.longitude, start, step, count)
        return self._score(t, level, self.flow.even_outgoing(start, step, count), altitude)

    def at(self, t: Array) -> ScoreCurve:
        """The curve at times t (POSIX seconds, shape (n,))."""
        altitude = self.sky.sun_altitude(self.spot.latitude, self.spot.longitude, t)[0]
        return self._score(t, tides.levels(self.spot.station, t), self.flow.outgoing(t), altitude)

    def _score(self, t: Array, predicted: Array, outgoing: Array, altitude: Array) -> ScoreCurve:
        preferences = self.spot.preferences
        departure = np.zeros(t.shape) if self.departure is None else self.departure.at(t)
        level = predicted + departure
        factor = np.where(outgoing > 0, self.flow.factor(outgoing), 0.0)
        points = preferences.points
        any_light = preferences.light is LightPreference.ANY
        flow_points = points.flow + points.light if any_light else points.flow
        light_points = 0.0 if any_light else points.light
        return ScoreCurve(
            t=t,
            level=level,
            departure=departure,
            outgoing=outgoing,
            sun_altitude=altitude,
            flow_factor=factor,
            shares=np.stack(
                (
                    flow_points * factor,
                    light_points * light_factor(altitude, preferences.light),
                    points.moon * self.moon.factor(t),
                )
            ),
            shut=self._gates(t, level, outgoing, altitude),
        )

    def _gates(self, t: Array, level: Array, outgoing: Array, altitude: Array) -> dict[Gate, Flags]:
        spot, preferences = self.spot, self.spot.preferences
        shut: dict[Gate, Flags] = {}
        if self.past is not None:
            shut[Gate.PAST] = (t >= self.past[0]) & (t < self.past[1])
        if self.hours is not None:
            shut[Gate.HOURS] = ~self.hours.hold(t)
        if preferences.daylight_only:
            shut[Gate.DAYLIGHT] = altitude < SUNRISE_ALTITUDE
        if spot.least_level is not None:
            shut[Gate.LEVEL_LOW] = level < spot.least_level
        if spot.greatest_level is not None:
            shut[Gate.LEVEL_HIGH] = level > spot.greatest_level
        if spot.depth_at_datum is not None:
            if spot.least_depth is not None:
                shut[Gate.DEPTH_LOW] = level + spot.depth_at_datum < spot.least_depth
            if spot.greatest_depth is not None:
                shut[Gate.DEPTH_HIGH] = level + spot.depth_at_datum > spot.greatest_depth
        if preferences.greatest_speed is not None and self.flow.has_speed:
            shut[Gate.SPEED] = outgoing > preferences.greatest_speed
        return shut
