"""The fish one is after, frozen: what of light, speed, water, season and temperature suits it."""

from dataclasses import dataclass
from enum import StrEnum

from windows.shoreline.spots import LightPreference, SpeedRange


class QuarryWater(StrEnum):
    """Which water a fish feeds in."""

    OUTGOING = "outgoing"
    INCOMING = "incoming"
    MOVING = "moving"


@dataclass(frozen=True, slots=True)
class Quarry:
    """A fish one is after; what is None or empty says nothing.

    Attributes:
        name: of the species, as rules and trips call it.
        light: in which it feeds.
        speeds: past the spot at which it does, m/s.
        water: going out, coming in, or both.
        months: 1 to 12.
        temperature: of the water, from and to, degrees Celsius.
    """

    name: str
    light: LightPreference | None = None
    speeds: SpeedRange | None = None
    water: QuarryWater | None = None
    months: tuple[int, ...] = ()
    temperature: tuple[float, float] | None = None
