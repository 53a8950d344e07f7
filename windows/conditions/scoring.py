"""The score curve of a spot: points by factor at every step, and what shuts it where it is 0.

Points go to flow, light and moon; they count only while water goes the way that is fished (out, unless the
spot wants it otherwise) and every gate is open.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from harmonics.arrays import Array, Flags, Ints
from harmonics.stations import tides
from windows.astronomy import Sky
from windows.conditions.cases import KNOWN_TURN, Cases, TimeShifts
from windows.conditions.flow import Flow
from windows.shoreline.gates import Gate, Moment, of_water
from windows.shoreline.spots import Factor, LightPreference, Spot

if TYPE_CHECKING:
    from harmonics.records.ahead import LevelAhead
    from harmonics.records.observed import Departure
    from harmonics.records.store import StationRecord
    from harmonics.records.weather import Weather
    from windows.conditions.spot_weather import SpotWeather

MAJOR_HALF_WIDTH = 3600.0
"""A major lasts 2 h around the moon's upper or lower transit, a minor 1 h around rise or set (tradition)."""
MINOR_HALF_WIDTH = 1800.0
MINOR_FACTOR = 0.6
WATER_TIME = TimeShifts(KNOWN_TURN)
FLOW_ROW = tuple(Factor).index(Factor.FLOW)

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


class MoonTimes(NamedTuple):
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
        level: metres above datum, with the departure from the tide that readings and weather tell.
        departure: that departure, metres; 0 without them.
        outgoing: movement past the spot, outgoing positive: m/s of speed or of falling level.
        going: the same, positive in the direction that is fished.
        sun_altitude: degrees.
        flow_factor: 0 to 1, whatever the gates.
        shares: points that each factor has to give, in the order of `Factor`; shape (factors, n).
        shut: for each gate, where it is shut; in the order in which a reason is looked for.
        weather: at these times; None without any.
    """

    t: Array
    level: Array
    departure: Array
    outgoing: Array
    going: Array
    sun_altitude: Array
    flow_factor: Array
    shares: Array
    shut: dict[Gate, Flags]
    weather: "SpotWeather | None" = None

    @cached_property
    def open(self) -> Flags:
        """Where every gate is open."""
        return _none_of(self.t, self.shut.values())

    @cached_property
    def clock_open(self) -> Flags:
        """Where every gate is open that shuts whatever the water does."""
        return _none_of(self.t, (flags for gate, flags in self.shut.items() if not of_water(gate)))

    @cached_property
    def fishable(self) -> Flags:
        """Where the water goes as it should, neither too weakly nor too strongly, and every gate is open."""
        return np.asarray((self.flow_factor > 0.0) & self.open)

    @cached_property
    def points(self) -> Array:
        """Points by factor, 0 where the water does not go as it should or a gate is shut; as `shares`."""
        return np.where((self.going > 0) & self.open, self.shares, 0.0)

    @cached_property
    def total(self) -> Array:
        """Points, 0 to 100."""
        return np.asarray(self.points.sum(axis=0))

    def steps(self, index: Ints) -> "ScoreCurve":
        """The curve at some of its steps; shape (n,)."""
        return ScoreCurve(
            t=self.t[index],
            level=self.level[index],
            departure=self.departure[index],
            outgoing=self.outgoing[index],
            going=self.going[index],
            sun_altitude=self.sun_altitude[index],
            flow_factor=self.flow_factor[index],
            shares=self.shares[:, index],
            shut={gate: flags[index] for gate, flags in self.shut.items()},
            weather=None if self.weather is None else self.weather.steps(index),
        )


def _none_of(t: Array, flags: Iterable[Flags]) -> Flags:
    return np.asarray(~np.any([np.zeros(t.shape, dtype=bool), *flags], axis=0))


class InCase(NamedTuple):
    """A spot in one case of how wrong the water can be, at a curve's steps.

    Attributes:
        points: by factor, shape (factors, n).
        worth: the flow factor where the limits are open that the water decides, else 0, shape (n,).
        open: where those limits are open, shape (n,).
    """

    points: Array
    worth: Array
    open: Flags


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
        cases: how wrong the water can be.
        ahead: what readings and weather together tell of the level; None without weather.
        weather: observed or forecast; None where nobody knows any.
        record: what the gauge's record tells; None without one.
        no_chance: why it tells no chance, in words; empty where it does, or there is none.
    """

    spot: Spot
    flow: Flow
    sky: Sky
    moon: MoonTimes
    gates: tuple[Gate, ...]
    departure: "Departure | None" = None
    cases: Cases = WATER_TIME
    ahead: "LevelAhead | None" = None
    weather: "Weather | None" = None
    record: "StationRecord | None" = None
    no_chance: str = ""

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

    def in_case(self, curve: ScoreCurve, level: Array, outgoing: Array) -> InCase:
        """Other water under the same sky, clock and weather."""
        going = self._going(outgoing)
        factor = self._factor(going)
        shares = curve.shares.copy()
        shares[FLOW_ROW] = self._flow_points * factor
        moment = self._moment(curve.t, level, going, curve.sun_altitude, curve.weather)
        limits = _none_of(curve.t, (gate.shut(moment) for gate in self.gates if of_water(gate)))
        points = np.where((going > 0) & curve.clock_open & limits, shares, 0.0)
        return InCase(points, np.where(limits, factor, 0.0), limits)

    @property
    def _flow_points(self) -> float:
        points = self.spot.preferences.points
        return points.flow + points.light if self.spot.preferences.any_light else points.flow

    def _going(self, outgoing: Array) -> Array:
        """Movement, positive in the direction that is fished."""
        return self.spot.preferences.water.going(outgoing)

    def _factor(self, going: Array) -> Array:
        return np.where(going > 0, self.flow.factor(going), 0.0)

    def _moment(
        self, t: Array, level: Array, going: Array, altitude: Array, weather: "SpotWeather | None"
    ) -> Moment:
        at_datum = self.spot.depth_at_datum
        return Moment(
            t=t,
            level=level,
            depth=None if at_datum is None else level + at_datum,
            speed=going if self.flow.has_speed else None,
            sun_altitude=altitude,
            wind=None if weather is None else weather.wind,
            chop=None if weather is None or weather.chop is None else weather.chop.high,
            thunder=None if weather is None else weather.thunder,
        )

    def _weather(self, t: Array) -> "SpotWeather | None":
        if self.weather is None:
            return None
        from windows.conditions.spot_weather import weather_at

        return weather_at(self.spot, self.weather, t)

    def _score(self, t: Array, predicted: Array, outgoing: Array, altitude: Array) -> ScoreCurve:
        preferences = self.spot.preferences
        known = self.departure if self.ahead is None else self.ahead
        departure = np.zeros(t.shape) if known is None else known.at(t)
        level, going = predicted + departure, self._going(outgoing)
        factor = self._factor(going)
        points = preferences.points
        light_points = 0.0 if preferences.any_light else points.light
        given = {
            Factor.FLOW: self._flow_points * factor,
            Factor.LIGHT: light_points * light_factor(altitude, preferences.light),
            Factor.MOON: points.moon * self.moon.factor(t),
        }
        weather = self._weather(t)
        moment = self._moment(t, level, going, altitude, weather)
        return ScoreCurve(
            t=t,
            level=level,
            departure=departure,
            outgoing=outgoing,
            going=going,
            sun_altitude=altitude,
            flow_factor=factor,
            shares=np.stack([given[each] for each in Factor]),
            shut={gate: gate.shut(moment) for gate in self.gates},
            weather=weather,
        )
