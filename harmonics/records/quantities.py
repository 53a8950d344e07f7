"""Quantities of the weather by their CF standard names, and the units they may have in a file.

Names: CF conventions, standard name table (cfconventions.org).
"""

from enum import StrEnum, unique
from typing import NamedTuple

from harmonics.units import METRES_PER_SECOND_PER_KNOT


@unique
class Quantity(StrEnum):
    """What is known of the weather, by standard name."""

    WIND_SPEED = "wind_speed"
    GUST = "wind_speed_of_gust"
    WIND_FROM = "wind_from_direction"
    PRESSURE = "air_pressure_at_mean_sea_level"
    AIR_TEMPERATURE = "air_temperature"
    WATER_TEMPERATURE = "sea_surface_temperature"
    THUNDER = "thunderstorm_probability"
    PRECIPITATION = "precipitation_amount"


class Scale(NamedTuple):
    """Units a quantity may have, as factor and offset to the inside's, and the values that can be.

    Attributes:
        units: spellings in small letters, and how it is written.
        least, greatest: in the inside's unit, whose name is `inside`.
    """

    units: dict[str, tuple[float, float]]
    least: float
    greatest: float
    inside: str


def _units(*groups: tuple[str, float, float]) -> dict[str, tuple[float, float]]:
    return {name: (factor, offset) for names, factor, offset in groups for name in names.split("|")}


_SPEED = Scale(
    _units(
        ("m/s|m s-1|mps|m.s-1", 1.0, 0.0),
        ("kn|kt|kts|knot|knots", METRES_PER_SECOND_PER_KNOT, 0.0),
        ("km/h|km h-1|kmh|kph", 1000.0 / 3600.0, 0.0),
        ("mph|mi/h", 0.44704, 0.0),
    ),
    *(0.0, 120.0, "m/s"),
)
_DIRECTION = Scale(_units(("degree|degrees|deg|°|degree_true|degt", 1.0, 0.0)), 0.0, 360.0, "degrees")
_PRESSURE = Scale(
    _units(
        ("hPa|hpa|mbar|mb|millibar", 100.0, 0.0),
        ("Pa|pa", 1.0, 0.0),
        ("kPa|kpa", 1000.0, 0.0),
        ("inHg|inhg|in hg", 3386.389, 0.0),
        ("mmHg|mmhg|mm hg", 133.3224, 0.0),
    ),
    *(85_000.0, 110_000.0, "Pa"),
)
_TEMPERATURE = Scale(
    _units(
        ("degC|degc|°c|c|celsius|degree_celsius", 1.0, 0.0),
        ("degF|degf|°f|f|fahrenheit", 5.0 / 9.0, -160.0 / 9.0),
        ("K|k|kelvin", 1.0, -273.15),
    ),
    *(-60.0, 60.0, "°C"),
)
_SHARE = Scale(_units(("%|percent", 0.01, 0.0), ("1|fraction", 1.0, 0.0)), 0.0, 1.0, "of 1")
_RAIN = Scale(
    _units(("mm|kg m-2|kg/m2", 1.0, 0.0), ("cm", 10.0, 0.0), ("in|inch|inches", 25.4, 0.0)),
    *(0.0, 2000.0, "mm"),
)
SCALES = {
    Quantity.WIND_SPEED: _SPEED,
    Quantity.GUST: _SPEED,
    Quantity.WIND_FROM: _DIRECTION,
    Quantity.PRESSURE: _PRESSURE,
    Quantity.AIR_TEMPERATURE: _TEMPERATURE,
    Quantity.WATER_TEMPERATURE: _TEMPERATURE,
    Quantity.THUNDER: _SHARE,
    Quantity.PRECIPITATION: _RAIN,
}
"""Inside: m/s, degrees true that the wind comes from, Pa, °C, shares of 1, mm."""
