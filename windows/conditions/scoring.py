"""The score curve of a spot: points by factor at every step, and what shuts it where it is 0.

Points go to outgoing flow, light and moon; they count only while water goes out and every gate is open.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from harmonics.arrays import Array, Flags
from harmonics.records.observed import Departure
from harmonics.stations import tides
from windows.astronomy import Sky
from windows.conditions.flow import Flow
from windows.shoreline.gates import Gate, Moment
from windows.shoreline.spots import Factor, LightPreference, Spot

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
class ScoreCurve:
    """Points of a spot at given times, each factor's share beside the total; all arrays of one shape (n,).

    Attributes:
        t: POSIX seconds.
        level: metres above datum, with today's departure from prediction where readings tell it.
        departure: that departure, metres; 0 without readings.
        outgoing: movement past the spot, outgoing positive: m/s of speed or of falling level.
        sun_altitude: degrees.
        flow_factor: 0 to 1, whatever the gates.
        shares: points that each factor has to give, in the order of `Factor`; shape (factors, n).
        shut: for each gate, where it is shut; in the order in which a reason is looked for.
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
        """Points by factor, 0 where water is not going out or a gate is shut; shaped as `shares`."""
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
        moved = sum(
            share[index] if factor is Factor.FLOW else share[part]
            for factor, share in zip(Factor, self.shares, strict=True)
        )
        return np.where(fishable, moved, 0.0)


@dataclass(frozen=True, eq=False)
class Conditions:
    """Everything a spot's score depends on; makes score curves for any times inside the sky's span.

    Attributes:
        spot: place, limits and preferences.
        flow: how water moves past it.
        sky: sun and moon over the span.
        moon: the spot's moon events.
        gates: what can shut it, in the order in which a reason is looked for.
        departure: how the water stands against its prediction today; None where nobody has read a gauge.
    """

    spot: Spot
    flow: Flow
    sky: Sky
    moon: MoonTimes
    gates: tuple[Gate, ...]
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
        given = {
            Factor.FLOW: flow_points * factor,
            Factor.LIGHT: light_points * light_factor(altitude, preferences.light),
            Factor.MOON: points.moon * self.moon.factor(t),
        }
        at_datum = self.spot.depth_at_datum
        moment = Moment(
            t=t,
            level=level,
            depth=None if at_datum is None else level + at_datum,
            speed=outgoing if self.flow.has_speed else None,
            sun_altitude=altitude,
        )
        return ScoreCurve(
            t=t,
            level=level,
            departure=departure,
            outgoing=outgoing,
            sun_altitude=altitude,
            flow_factor=factor,
            shares=np.stack([given[each] for each in Factor]),
            shut={gate: gate.shut(moment) for gate in self.gates},
        )
