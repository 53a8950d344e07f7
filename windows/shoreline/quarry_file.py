"""The [[quarry]] tables of a file, read and checked; and degrees as people write them."""

import re
from collections.abc import Sequence
from typing import Annotated, Literal

from pydantic import Field

from harmonics.files.checking import Name, Table, checked
from harmonics.files.problems import Here, shown
from windows.shoreline.preferences_file import read_speeds
from windows.shoreline.quarry import Quarry
from windows.shoreline.rules import species_key
from windows.shoreline.spot_models import SpeedsTable
from windows.shoreline.spots import LightPreference, WantedWater

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH_NUMBERS = {name: number for number, name in enumerate(MONTHS, start=1)}
TEMPERATURE_EXPECTED = 'degrees such as "18C" or "64F", of liquid sea water'
COLDEST, WARMEST = -3.0, 45.0


class QuarryTable(Table):
    """[[quarry]]."""

    name: Name
    light: Annotated[
        Literal["low", "day", "night", "any"] | None, Field(description='"low", "day", "night" or "any"')
    ] = None
    speeds: Annotated[
        SpeedsTable | None,
        Field(description="a table { nothing_below, full_from, full_to, nothing_above } in knots"),
    ] = None
    water: Annotated[
        Literal["outgoing", "incoming", "moving"] | None,
        Field(description='"outgoing", "incoming" or "moving"'),
    ] = None
    months: Annotated[
        list[str] | None,
        Field(min_length=1, max_length=12, description='a list of months such as ["sep", "oct"]'),
    ] = None
    temperature: Annotated[
        list[str] | None,
        Field(min_length=2, max_length=2, description='from and to, as ["12C", "24C"] or ["54F", "75F"]'),
    ] = None


def read_quarry(tables: object, place: Here) -> tuple[Quarry, ...]:
    """The fish a file speaks of."""
    if not isinstance(tables, list):
        place.say(shown(tables), "[[quarry]] tables")
        return ()
    found: dict[str, Quarry] = {}
    for index, table in enumerate(tables):
        here = place.at(index)
        model = checked(QuarryTable, table, here)
        if model is None:
            continue
        key = species_key(model.name)
        if key in found:
            here.at("name").say(f"{shown(model.name)} a second time", "each fish once")
            continue
        found[key] = Quarry(
            model.name,
            None if model.light is None else LightPreference(model.light),
            None if model.speeds is None else read_speeds(model.speeds, here.at("speeds")),
            None if model.water is None else WantedWater(model.water),
            _months(model.months or (), here.at("months")),
            _temperatures(model.temperature or (), here.at("temperature")),
        )
    return tuple(found.values())


def _months(names: Sequence[str], here: Here) -> tuple[int, ...]:
    numbers: set[int] = set()
    for place, name in enumerate(names):
        number = _MONTH_NUMBERS.get(name.strip().lower()[:3]) if name.strip().isalpha() else None
        if number is None:
            here.at(place).say(shown(name), f"one of {', '.join(MONTHS)}")
        else:
            numbers.add(number)
    return tuple(sorted(numbers))


def _temperatures(texts: Sequence[str], here: Here) -> tuple[float, float] | None:
    ends = [here.at(place).parsed(parse_temperature, text) for place, text in enumerate(texts)]
    if not ends or ends[0] is None or ends[1] is None:
        return None
    if ends[0] >= ends[1]:
        here.say(f"{texts}", "the lower end first")
        return None
    return ends[0], ends[1]


def parse_temperature(text: str) -> float:
    """Degrees Celsius from "18C", "64F" or a bare number of Celsius.

    Raises:
        ValueError: it is none of these; the message says what is expected.
    """
    match = re.fullmatch(r"(-?[0-9]{1,3}(?:\.[0-9]{1,3})?)\s*°?\s*([cf])?", text.strip().lower())
    if match is None:
        raise ValueError(TEMPERATURE_EXPECTED)
    degrees = float(match[1])
    if match[2] == "f":
        degrees = (degrees - 32.0) / 1.8
    elif match[2] is None and degrees > WARMEST:
        raise ValueError(f'{TEMPERATURE_EXPECTED}; write "{match[1]}F" if it is Fahrenheit')
    if not COLDEST <= degrees <= WARMEST:
        raise ValueError(TEMPERATURE_EXPECTED)
    return degrees
