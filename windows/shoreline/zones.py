"""Clocks of places: the zone at a position, and whether two zones read the same."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

FIXED = frozenset({"UTC", "GMT", "UCT", "Zulu", "Universal", "Greenwich", "GMT0"})
"""Names of no place's clock; those under Etc/ are fixed too."""


def zone_at(latitude: float, longitude: float) -> str | None:
    """IANA name of the clock at a position, Etc/GMT+6 and the like at sea; None where nobody knows."""
    from tzfpy import get_tz

    name = get_tz(longitude, latitude)
    try:
        return ZoneInfo(name).key if name else None
    except (ZoneInfoNotFoundError, ValueError):
        return None  # newer than this machine's tables of clocks


def is_fixed(zone: str) -> bool:
    """Whether a zone is no place's: UTC, or an offset by itself."""
    return zone in FIXED or zone.startswith("Etc/")


def same_clock(first: str, second: str, year: int) -> bool:
    """Whether two zones read the same in the middle of every month of a year.

    At sea a zone has no summer time: one whose standard time is the same will do.
    """
    if first == second:
        return True
    one, two = ZoneInfo(first), ZoneInfo(second)
    if is_fixed(first) or is_fixed(second):
        return abs(standard_offset(one, year) - standard_offset(two, year)) <= 1.0
    return all(
        moment.astimezone(one).utcoffset() == moment.astimezone(two).utcoffset() for moment in _months(year)
    )


def standard_offset(zone: ZoneInfo, year: int) -> float:
    """Hours from UTC of the clock without summer time, which is never behind it."""
    offsets = [moment.astimezone(zone).utcoffset() or timedelta() for moment in _months(year)]
    return min(offsets).total_seconds() / 3600.0


def hours_from_sun(zone: ZoneInfo, longitude: float, year: int) -> float:
    """How far a zone's standard time is from the sun's of a longitude, hours from -12 to 12."""
    return (standard_offset(zone, year) - longitude / 15.0 + 12.0) % 24.0 - 12.0


def _months(year: int) -> list[datetime]:
    return [datetime(year, month, 15, 12, tzinfo=UTC) for month in range(1, 13)]
