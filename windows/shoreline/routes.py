"""The way between two places of a file: as the file gives it, else by the straight line and a speed."""

import math
from collections.abc import Mapping
from enum import StrEnum
from typing import NamedTuple

from windows.shoreline.outings import DETOUR, WALKING_SPEED, Boat, Landing, Sill, Way
from windows.shoreline.spots import Bank, Spot

EARTH_RADIUS = 6_371_008.8
"""Mean radius of WGS 84, metres (NGA.STND.0036)."""

Place = Landing | Bank | Spot


class RouteSource(StrEnum):
    """Where a way's time comes from."""

    GIVEN = "given"
    BANK_AWAY = "bank_away"
    DISTANCE = "distance"


class Route(NamedTuple):
    """A way from one place to another.

    Attributes:
        seconds: on the way.
        source: where that comes from.
        metres: of the straight line; None where the time is given.
        sill: the water it wants; None where it wants none.
    """

    seconds: float
    source: RouteSource
    metres: float | None = None
    sill: Sill | None = None


def position_of(place: Place) -> tuple[float, float] | None:
    """Latitude and longitude in degrees; None for a bank that has none."""
    return place.position if isinstance(place, Bank) else (place.latitude, place.longitude)


def route(one: Place, other: Place, ways: Mapping[frozenset[str], Way], boat: Boat | None) -> Route | None:
    """The way between two places; None where neither a way nor positions tell it.

    A way that the file gives comes first, then the distance over the speed of the boat or of walking, then
    the minutes that a spot's file gives to its own bank.
    """
    way = ways.get(frozenset((one.id, other.id)))
    sill = None if way is None else way.sill
    if way is not None and way.seconds is not None:
        return Route(way.seconds, RouteSource.GIVEN, None, sill)
    start, end = position_of(one), position_of(other)
    if start is not None and end is not None:
        metres = great_circle(start, end)
        speed = WALKING_SPEED if boat is None else boat.speed
        return Route(metres * DETOUR / speed, RouteSource.DISTANCE, metres, sill)
    spot, bank = (one, other) if isinstance(one, Spot) else (other, one)
    if isinstance(spot, Spot) and isinstance(bank, Bank) and spot.bank is bank:
        return Route(spot.bank_away, RouteSource.BANK_AWAY, None, sill)
    return None


def great_circle(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Metres between two positions (degrees) on a sphere, by the haversine formula."""
    (phi, lam), (phi2, lam2) = ((math.radians(a), math.radians(b)) for a, b in (one, other))
    chord = math.sin((phi2 - phi) / 2) ** 2
    chord += math.cos(phi) * math.cos(phi2) * math.sin((lam2 - lam) / 2) ** 2
    return 2 * EARTH_RADIUS * math.asin(math.sqrt(min(chord, 1.0)))
