"""What is known of a level to come beyond its tide: today's readings and the weather, added up once.

A reading says how the water stands now, whatever the reason; weather says what it will do. What the weather
of now explains of the reading is in the weather's part already, so only the rest of the departure is carried
forward, fading. Past the end of the weather what it last did fades the same way.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array, Flags
from harmonics.records.observed import DEFAULT_DECAY_HOURS, Departure
from harmonics.records.quantities import Quantity
from harmonics.records.response import STANDARD_PRESSURE, Response, barometer
from harmonics.records.scenarios import Scenarios
from harmonics.records.weather import Weather
from harmonics.units import HOUR


@dataclass(frozen=True, eq=False)
class LevelAhead:
    """What is known of a station's level beyond its tide.

    Attributes:
        departure: of today's readings; None without any.
        start: of the hours at which the weather's part is known, POSIX seconds.
        weather: what the weather adds, metres, nan where it is unknown, at hours from `start` on.
        fitted: whether that comes from the station's own record, or from pressure alone.
    """

    departure: Departure | None = None
    start: float = 0.0
    weather: Array | None = None
    fitted: bool = False

    def at(self, t: ArrayLike) -> Array:
        """Expected departure from the tide at times t (POSIX seconds), metres; shaped as t."""
        times = np.asarray(t, dtype=float)
        if self.weather is None:
            return np.zeros(times.shape) if self.departure is None else self.departure.at(times)
        wanted = times.reshape(-1)
        known = self._weather_at(wanted)
        part = np.where(np.isfinite(known), known, self._left_of_it(wanted))
        if self.departure is None:
            return part.reshape(times.shape)
        fading = self._fading(wanted)
        now = float(self._weather_at(np.array([self.departure.newest]))[0])
        if np.isfinite(now):
            return np.asarray(part + (self.departure.height - now) * fading).reshape(times.shape)
        return np.asarray(part * (1.0 - fading) + self.departure.height * fading).reshape(times.shape)

    def adjusted(self, scenarios: Scenarios) -> Scenarios:
        """Scenarios whose levels know of it; their rates stay, for weather moves levels and tide the flow."""
        t, levels = scenarios.t, scenarios.levels
        if self.weather is not None:
            known = self._weather_at(t)
            here = np.isfinite(known)
            if self.fitted and scenarios.unexplained is not None:
                moved = np.where(here, np.where(here, known, 0.0) + scenarios.unexplained, levels)
                levels = moved + self._carried(t, here, moved - levels)
            else:
                levels = levels + np.where(here, known, self._left_of_it(t))
        if self.departure is not None:
            place = np.clip((self.departure.newest - scenarios.start) / HOUR, 0.0, len(t) - 1.0)
            low = min(int(place), len(t) - 2)
            share = place - low
            stood = levels[:, low] * (1.0 - share) + levels[:, low + 1] * share
            levels = levels + (self.departure.height - stood)[:, None] * self._fading(t)
        return scenarios if levels is scenarios.levels else scenarios.with_levels(levels)

    def _weather_at(self, t: Array) -> Array:
        """The weather's part, straight between hours, nan where it is unknown: shape (n,)."""
        if self.weather is None or not len(self.weather):
            return np.full(t.shape, np.nan)
        hours = self.start + HOUR * np.arange(len(self.weather), dtype=float)
        return np.asarray(np.interp(t, hours, self.weather, left=np.nan, right=np.nan))

    def _left_of_it(self, t: Array) -> Array:
        """What is left at times of unknown weather of what it last did: shape (n,)."""
        if self.weather is None or not np.isfinite(self.weather).any():
            return np.zeros(t.shape)
        known = np.flatnonzero(np.isfinite(self.weather))
        hours = self.start + HOUR * known
        last = np.searchsorted(hours, t, side="right") - 1
        age = t - hours[np.maximum(last, 0)]
        return np.where(last >= 0, self.weather[known[np.maximum(last, 0)]] * np.exp(-age / self._decay), 0.0)

    def _carried(self, t: Array, here: Flags, moved: Array) -> Array:
        """As `_left_of_it`, of what the last known weather did to each scenario: shape (k, n)."""
        known = np.flatnonzero(here)
        if not len(known):
            return np.zeros(moved.shape)
        last = np.searchsorted(known, np.arange(len(t)), side="right") - 1
        source = known[np.maximum(last, 0)]
        fading = np.where((last >= 0) & ~here, np.exp(-(t - t[source]) / self._decay), 0.0)
        return np.asarray(moved[:, source] * fading)

    def _fading(self, t: Array) -> Array:
        if self.departure is None:
            return np.zeros(t.shape)
        return np.asarray(np.exp(-np.maximum(t - self.departure.newest, 0.0) / self.departure.decay))

    @property
    def _decay(self) -> float:
        return DEFAULT_DECAY_HOURS * HOUR if self.departure is None else self.departure.decay


def level_ahead(
    start: float,
    end: float,
    departure: Departure | None = None,
    weather: Weather | None = None,
    response: Response | None = None,
) -> LevelAhead:
    """What is known of a level between two times.

    Args:
        start, end: POSIX seconds.
        departure: of today's readings.
        weather: observed or forecast.
        response: of the station's record; without one pressure alone moves the level, by 1 cm per hPa, and
            not at all where the record says that weather explains too little.
    """
    wasted = response is not None and not response.used
    if weather is None or wasted or (response is None and not weather.knows(Quantity.PRESSURE)):
        return LevelAhead(departure)
    first = np.floor(start / HOUR) * HOUR
    if departure is not None:
        first = min(first, np.floor(departure.newest / HOUR) * HOUR)
    count = int(np.ceil((end - first) / HOUR)) + 2
    if response is not None:
        return LevelAhead(departure, float(first), response.hourly(weather, float(first), count), True)
    part = barometer(weather, float(first), count, STANDARD_PRESSURE)
    return LevelAhead(departure, float(first), part, False)
