"""The fish one is after, frozen: what of light, speed, water, season and temperature suits it."""

from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

from windows.shoreline.rules import species_key
from windows.shoreline.spots import ALL_MONTHS, LightPreference, Preferences, SpeedRange, Spot, WantedWater


class Quarry(NamedTuple):
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
    water: WantedWater | None = None
    months: tuple[int, ...] = ()
    temperature: tuple[float, float] | None = None

    def preferred(self, wanted: Preferences) -> Preferences:
        """Preferences of an outing after this fish: what is said of it takes the place of what they had."""
        return wanted._replace(
            quarry=self.name,
            light=wanted.light if self.light is None else self.light,
            speeds=wanted.speeds if self.speeds is None else self.speeds,
            water=wanted.water if self.water is None else self.water,
            months=self.months or ALL_MONTHS,
            temperature=self.temperature,
        )

    def sought_at(self, spot: Spot) -> Spot:
        """The same spot, fished for this fish."""
        return replace(spot, preferences=self.preferred(spot.preferences))


def named_quarry(name: str, fish: Iterable[Quarry]) -> Quarry | None:
    """The fish of that name, whatever its case; None where there is none."""
    return next((item for item in fish if species_key(item.name) == species_key(name)), None)
