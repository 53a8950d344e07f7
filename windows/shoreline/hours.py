"""The hours a person can fish: clock times, or times told from the sun's events of the day."""

import re
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import NamedTuple
from zoneinfo import ZoneInfo


class SunMark(StrEnum):
    """Events of the sun that hours may count from; dawn and dusk are civil."""

    DAWN = "dawn"
    SUNRISE = "sunrise"
    SUNSET = "sunset"
    DUSK = "dusk"


MORNING = (SunMark.DAWN, SunMark.SUNRISE)
EVENING = (SunMark.SUNSET, SunMark.DUSK)
FALLBACK = {SunMark.DAWN: 6, SunMark.SUNRISE: 6, SunMark.SUNSET: 21, SunMark.DUSK: 21}
"""Clock hour that stands in on a day when the event does not happen (polar day or night)."""

SunTimes = Mapping[SunMark, float]
"""POSIX seconds of the sun's events of one local day."""

SECONDS_PER_DAY = 86400.0
LONGEST_NIGHT = 18 * 3600.0
"""A range over midnight with one end told from the sun is meant when it is no longer than this."""
_END = (
    r"(?:(?P<{0}h>\d{{1,2}}):(?P<{0}m>\d{{2}})"
    r"|(?P<{0}hour>\d{{1,2}})(?::(?P<{0}minute>\d{{2}}))?\s?(?P<{0}half>am|pm)"
    r"|(?P<{0}mark>dawn|sunrise|sunset|dusk)(?P<{0}shift>[+-](?:\d{{1,2}}h)?(?:\d{{1,3}}min)?)?)"
)
_RANGE = re.compile(_END.format("a") + r"\s*-\s*" + _END.format("b"))
_DURATION = re.compile(r"(?:(\d{1,3})h)?(?:(\d{1,4})min)?")


class End(NamedTuple):
    """One end of a range: a clock time, or seconds from an event of the sun.

    Attributes:
        mark: the event; None for a clock time.
        seconds: after the event, or after the local midnight's clock 0:00.
    """

    mark: SunMark | None
    seconds: float


class Hours(NamedTuple):
    """A daily range; `start` and `end` None means any hour.

    Attributes:
        text: as the user wrote it.
        start, end: ends of the range; an end before its start belongs to the next day.
    """

    text: str
    start: End | None = None
    end: End | None = None

    @property
    def any(self) -> bool:
        """Whether every hour will do."""
        return self.start is None or self.end is None

    @property
    def marks(self) -> tuple[SunMark, ...]:
        """The sun's events that it hangs on."""
        return tuple(end.mark for end in (self.start, self.end) if end is not None and end.mark is not None)


ANY_HOURS = Hours("any")


def parse_hours(text: str) -> Hours:
    """Hours from "any", "12:00-sunset+1h", "dawn-09:30", "20:00-02:00", "5:30pm-8pm".

    Raises:
        ValueError: the text is neither; the message says what is expected.
    """
    plain = text.strip().lower()
    if plain == "any":
        return ANY_HOURS
    match = _RANGE.fullmatch(plain)
    if match is None:
        raise ValueError('"any" or a range such as "12:00-sunset+1h", "20:00-02:00" or "5pm-8pm"')
    start, end = _end(match, "a"), _end(match, "b")
    if start == end:
        raise ValueError("a range whose ends differ")
    return Hours(text.strip(), start, end)


def parse_time(text: str) -> End:
    """One time of day from "12:30", "5pm" or "sunset+1h".

    Raises:
        ValueError: the text is neither; the message says what is expected.
    """
    match = re.fullmatch(_END.format("a"), text.strip().lower())
    if match is None:
        raise ValueError('a clock or sun time such as "12:30" or "sunset+1h"')
    return _end(match, "a")


def _end(match: re.Match[str], prefix: str) -> End:
    if match[f"{prefix}half"] is not None:
        hour, minute = int(match[f"{prefix}hour"]), int(match[f"{prefix}minute"] or 0)
        if not 1 <= hour <= 12 or minute > 59:
            raise ValueError("times from 1am to 12pm, with minutes as 5:30pm")
        afternoon = 12 if match[f"{prefix}half"] == "pm" else 0
        return End(None, ((hour % 12 + afternoon) * 60 + minute) * 60.0)
    if match[f"{prefix}mark"] is None:
        hour, minute = int(match[f"{prefix}h"]), int(match[f"{prefix}m"])
        if hour * 60 + minute > 24 * 60 or minute > 59:
            raise ValueError("clock times from 0:00 to 24:00")
        return End(None, (hour * 60 + minute) * 60.0)
    shift = match[f"{prefix}shift"] or ""
    if shift in {"+", "-"}:
        raise ValueError('a shift such as "+1h" or "-30min"')
    seconds = parse_duration(shift[1:]) if shift else 0.0
    if seconds > SECONDS_PER_DAY / 2:
        raise ValueError("a shift of at most 12h")
    return End(SunMark(match[f"{prefix}mark"]), -seconds if shift.startswith("-") else seconds)


def parse_duration(text: str) -> float:
    """Seconds from "2h", "90min", "1h30min".

    Raises:
        ValueError: the text is none of these; the message says what is expected.
    """
    match = _DURATION.fullmatch(text.strip().lower())
    if match is None or not (match[1] or match[2]):
        raise ValueError('a length such as "2h", "90min" or "1h30min"')
    return int(match[1] or 0) * 3600.0 + int(match[2] or 0) * 60.0


def clock(day: date, seconds: float, zone: ZoneInfo) -> float:
    """POSIX seconds of a clock time of a local day; 24:00 is the next midnight.

    A time that clocks skip is read on the clock before the change, one that comes twice is the first.
    """
    whole, rest = divmod(seconds, SECONDS_PER_DAY)
    local = datetime(day.year, day.month, day.day, tzinfo=zone) + timedelta(days=whole, seconds=rest)
    return local.timestamp()


def range_of(
    hours: Hours, day: date, zone: ZoneInfo, sun: SunTimes, next_sun: SunTimes
) -> tuple[float, float] | None:
    """The range that starts in one local day as POSIX seconds, or None when it is empty.

    An end that is not after the start belongs to the next day; but where the sun's mark has merely slipped
    past the other end ("14:00-sunset" when the sun sets at 13:30) the range is empty.

    Args:
        hours: a range, not `any`.
        day: the local day it starts in.
        zone: of the clock.
        sun, next_sun: events of the day and of the next; one that does not happen is absent.
    """
    if hours.start is None or hours.end is None:
        raise ValueError("any hour has no range")
    start, end = instant(hours.start, day, zone, sun), instant(hours.end, day, zone, sun)
    if end > start:
        return start, end
    end = instant(hours.end, day + timedelta(days=1), zone, next_sun)
    by_clock = hours.start.mark is None and hours.end.mark is None
    whole_night = hours.start.mark in EVENING and hours.end.mark in MORNING
    longest = SECONDS_PER_DAY * 2 if by_clock or whole_night else LONGEST_NIGHT
    return (start, end) if 0 < end - start <= longest else None


def instant(end: End, day: date, zone: ZoneInfo, sun: SunTimes) -> float:
    """POSIX seconds of a time of a local day; that of `FALLBACK` where the sun's event is absent."""
    if end.mark is None:
        return clock(day, end.seconds, zone)
    if end.mark in sun:
        return sun[end.mark] + end.seconds
    return clock(day, FALLBACK[end.mark] * 3600.0, zone)
