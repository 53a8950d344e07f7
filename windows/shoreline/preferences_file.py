"""The [fishing] table and the preferences of a spot, read and checked."""

import re
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from harmonics.files.problems import Here, shown
from harmonics.units import KILOGRAMS_PER_OUNCE, METRES_PER_SECOND_PER_KNOT
from windows.shoreline.gates import LIMITS, Gate, Limit, Measure, SunDown
from windows.shoreline.hours import parse_duration, parse_hours
from windows.shoreline.spot_models import (
    LEAD_EXPECTED,
    SESSION_EXPECTED,
    WAY_EXPECTED,
    FishingTable,
    PointsTable,
    SpeedsTable,
)
from windows.shoreline.spots import WEEKDAYS, LightPreference, Points, Preferences, SpeedRange, WantedWater
from windows.shoreline.tackle import SinkerKind, Tackle

if TYPE_CHECKING:
    from windows.shoreline.quarry import Quarry

SHORTEST_SESSION, LONGEST_SESSION = 1800.0, 12 * 3600.0
SESSION_STEP = 300.0
LONGEST_WAY = 86400.0
_PREFERRED = (((Measure.SPEED, Measure.WIND), METRES_PER_SECOND_PER_KNOT), ((Measure.THUNDER,), 0.01))
"""Limits that people set for themselves, and the inside's unit for one of the table's."""
HEAVIEST = 2.0
"""Kilograms: nobody carries a heavier lead."""
_DAY_NUMBERS = {
    name: number
    for number, day in enumerate(
        ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
    )
    for name in (day, day[:3])
}


def read_preferences(
    table: FishingTable, base: Preferences, fish: "Sequence[Quarry]", here: Here
) -> Preferences:
    """The base with the fish that the table names, of those the file speaks of, and what it sets on top."""
    if table.quarry is not None:
        from windows.shoreline.quarry import named_quarry

        found = named_quarry(table.quarry, fish)
        if found is None:
            known = ", ".join(item.name for item in fish) or "this file has none"
            here.at("quarry").say(shown(table.quarry), f"the name of one of [[quarry]] ({known})")
        else:
            base = found.preferred(base)
    changes: dict[str, Any] = {"tackle": _tackle(table, base.tackle, here)}
    changes["keep"] = table.keep
    changes["gates"] = _gates(table, base.gates, here)
    for key, parse in _TEXTS.items():
        text = getattr(table, key)
        changes[key] = None if text is None else here.at(key).parsed(parse, text)
    for key, read in _TABLES.items():
        value = getattr(table, key)
        changes[key] = None if value is None else read(value, here.at(key))
    if table.light is not None:
        changes["light"] = LightPreference(table.light)
    if table.water is not None:
        changes["water"] = WantedWater(table.water)
    return base._replace(**{key: value for key, value in changes.items() if value is not None})


def _gates(table: FishingTable, base: tuple[Gate, ...], here: Here) -> tuple[Gate, ...]:
    """The base's gates with the table's in their place."""
    gates = {type(gate): gate for gate in base}
    for measures, unit in _PREFERRED:
        gates |= {type(gate): gate for gate in read_limits(table, measures, unit)}
    if table.daylight_only is not None:
        gates.pop(SunDown, None)
        if table.daylight_only:
            gates[SunDown] = SunDown()
    found = tuple(gates.values())
    check_limits(found, table, METRES_PER_SECOND_PER_KNOT, here)
    return found


def read_limits(table: FishingTable, measures: tuple[Measure, ...], unit: float) -> tuple[Limit, ...]:
    """Limits of some measures that a table sets; `unit` is the inside's for one of the table's."""
    every = ((kind, getattr(table, kind.key)) for kind in LIMITS if kind.measure in measures)
    return tuple(kind(value * unit) for kind, value in every if value is not None)


def check_limits(gates: Sequence[Gate], table: FishingTable, unit: float, here: Here) -> None:
    """A least value must lie below the greatest one of its measure; said where the table sets one of them."""
    for low, high in pairwise(LIMITS):
        if low.measure is not high.measure:
            continue
        least, greatest = (
            next((g.value for g in gates if isinstance(g, kind)), None) for kind in (low, high)
        )
        if least is None or greatest is None or least < greatest:
            continue
        if getattr(table, high.key) is not None:
            found, key, expected = greatest, high.key, f"more than {low.key}, {least / unit:g}"
        else:
            found, key, expected = least, low.key, f"less than {high.key}, {greatest / unit:g}"
        if getattr(table, key) is not None:
            here.at(key).say(f"{found / unit:g}", expected)


def _tackle(table: FishingTable, base: Tackle, here: Here) -> Tackle:
    lead = None
    if table.heaviest_lead is not None:
        lead = here.at("heaviest_lead").parsed(parse_lead, table.heaviest_lead)
    diameter = table.line_diameter_mm
    return Tackle(
        base.line_diameter if diameter is None else diameter / 1000.0,
        base.sinker if table.sinker is None else SinkerKind(table.sinker),
        base.heaviest_lead if lead is None else lead,
    )


def parse_lead(text: str) -> float:
    """Kilograms from "8oz" or "230g".

    Raises:
        ValueError: neither, or not between nothing and 2 kg.
    """
    match = re.fullmatch(r"(\d{1,4}(?:\.\d{1,3})?)\s*(oz|g)", text.strip().lower())
    kilograms = 0.0
    if match is not None:
        kilograms = float(match[1]) * (KILOGRAMS_PER_OUNCE if match[2] == "oz" else 0.001)
    if not 0.0 < kilograms <= HEAVIEST:
        raise ValueError(LEAD_EXPECTED)
    return kilograms


def parse_way(text: str) -> float:
    """Seconds of a way or of rigging.

    Raises:
        ValueError: not a length, or longer than a day.
    """
    seconds = parse_duration(text)
    if seconds > LONGEST_WAY:
        raise ValueError(WAY_EXPECTED)
    return seconds


def parse_session(text: str) -> float:
    """Seconds of a session's length.

    Raises:
        ValueError: not a length from 30 minutes to 12 hours in steps of 5 minutes.
    """
    seconds = parse_duration(text)
    if not SHORTEST_SESSION <= seconds <= LONGEST_SESSION or seconds % SESSION_STEP:
        raise ValueError(SESSION_EXPECTED)
    return seconds


def _weekdays(names: list[str], here: Here) -> tuple[int, ...] | None:
    plain = [name.strip().lower() for name in names]
    wrong = [name for name, key in zip(names, plain, strict=True) if key not in _DAY_NUMBERS]
    if wrong or not names:
        found = ", ".join(shown(name) for name in wrong) or "an empty list"
        here.say(found, f"weekdays: {', '.join(WEEKDAYS)}")
        return None
    return tuple(sorted({_DAY_NUMBERS[key] for key in plain}))


def _points(table: PointsTable, here: Here) -> Points | None:
    total = table.flow + table.light + table.moon
    if abs(total - 100.0) > 1e-6:
        found = f"flow {table.flow:g} + light {table.light:g} + moon {table.moon:g} = {total:g}"
        here.say(found, "points that sum to 100")
        return None
    return Points(table.flow, table.light, table.moon)


def read_speeds(table: SpeedsTable, here: Here) -> SpeedRange | None:
    """Speeds in m/s from knots; None with a problem reported where they do not grow."""
    corners = (table.nothing_below, table.full_from, table.full_to, table.nothing_above)
    if not corners[0] < corners[1] <= corners[2] < corners[3]:
        found = ", ".join(f"{corner:g}" for corner in corners)
        expected = "knots that grow: nothing_below < full_from <= full_to < nothing_above"
        here.say(found, expected)
        return None
    return SpeedRange(*(corner * METRES_PER_SECOND_PER_KNOT for corner in corners))


_TEXTS: dict[str, Callable[[str], Any]] = {
    "hours": parse_hours,
    "session": parse_session,
    "travel": parse_way,
    "rigging": parse_way,
}
_TABLES: dict[str, Callable[[Any, Here], Any]] = {
    "days": _weekdays,
    "points": _points,
    "speeds": read_speeds,
}
