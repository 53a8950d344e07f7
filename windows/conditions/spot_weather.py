"""The weather at a spot: wind, chop by its exposure, thunder, temperatures; unknown where the file is."""

from dataclasses import dataclass

import numpy as np

from harmonics.arrays import Array, Flags, Ints
from harmonics.records.quantities import Quantity
from harmonics.records.weather import Weather
from windows.conditions.chop import Chop, chop_of
from windows.shoreline.spots import Spot

AGAINST = 45.0
"""Degrees either side of straight against the ebb within which wind steepens the chop (common practice)."""
FRESH = 5.0
"""m/s, ten knots: lighter wind raises no dangerous chop against an ebb (common practice)."""


@dataclass(frozen=True, eq=False, slots=True)
class SpotWeather:
    """Weather at a spot at some times: arrays of one shape, nan where it is unknown.

    Attributes:
        wind, gust: m/s.
        wind_from: degrees true.
        chop: significant height as a range; None where the file says nothing of the spot's exposure.
        thunder: probability, 0 to 1.
        air, water: temperatures, °C.
    """

    wind: Array
    gust: Array
    wind_from: Array
    chop: Chop | None
    thunder: Array
    air: Array
    water: Array

    def steps(self, steps: Ints | slice) -> "SpotWeather":
        """Some of its times."""
        chop = self.chop
        return SpotWeather(
            wind=self.wind[steps],
            gust=self.gust[steps],
            wind_from=self.wind_from[steps],
            chop=None if chop is None else Chop(chop.low[steps], chop.high[steps], chop.period[steps]),
            thunder=self.thunder[steps],
            air=self.air[steps],
            water=self.water[steps],
        )

    def against(self, ebb_sets: float) -> Flags:
        """Whether fresh wind blows against an ebb that sets towards those degrees; False where unknown."""
        off = np.abs((self.wind_from - ebb_sets + 180.0) % 360.0 - 180.0)
        return np.asarray((self.wind >= FRESH) & (off <= AGAINST))


def weather_at(spot: Spot, weather: Weather, t: Array) -> SpotWeather:
    """The weather at a spot at times t (POSIX seconds)."""
    wind, wind_from = weather.at(Quantity.WIND_SPEED, t), weather.at(Quantity.WIND_FROM, t)
    return SpotWeather(
        wind=wind,
        gust=weather.at(Quantity.GUST, t),
        wind_from=wind_from,
        chop=chop_of(spot.exposed, wind, wind_from) if spot.exposed else None,
        thunder=weather.at(Quantity.THUNDER, t),
        air=weather.at(Quantity.AIR_TEMPERATURE, t),
        water=weather.at(Quantity.WATER_TEMPERATURE, t),
    )
