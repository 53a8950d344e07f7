"""Clock times as people type them: with their date, or alone and meant for the trip at hand."""

import re
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from windows.shoreline.hours import clock

MOMENT_EXPECTED = 'a time such as "2026-08-15 17:30" or "17:30", by the clock of the place'
_FULL = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})[T ]([0-9]{1,2}:[0-9]{2})(?::([0-9]{2}))? ?(Z|[+-][0-9]{2}:[0-9]{2})?"
)
_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})")


def dated(text: str, zone: ZoneInfo) -> float | None:
    """POSIX seconds of a time with its date; None for a text without one.

    Raises:
        ValueError: there is a date, but no such time.
    """
    match = _FULL.fullmatch(text.strip())
    if match is None:
        return None
    try:
        day, wall = date.fromisoformat(match[1]), _seconds(match[2]) + float(match[3] or 0)
        if match[4] is None:
            return clock(day, wall, zone)
        offset = datetime.fromisoformat(f"{match[1]}T00:00{match[4]}")
        return offset.timestamp() + wall
    except (ValueError, OverflowError):
        raise ValueError(MOMENT_EXPECTED) from None


def _seconds(text: str) -> float:
    """Seconds after midnight of a clock time.

    Raises:
        ValueError: it is none.
    """
    match = _CLOCK.fullmatch(text.strip())
    if match is None or int(match[1]) > 23 or int(match[2]) > 59:
        raise ValueError(MOMENT_EXPECTED)
    return int(match[1]) * 3600.0 + int(match[2]) * 60.0


def on_day(day: date, text: str, zone: ZoneInfo) -> float:
    """A clock time of a local day; errors as for `start_time`."""
    return clock(day, _seconds(text), zone)


def local(t: float, zone: ZoneInfo) -> datetime:
    """The local time of POSIX seconds."""
    return datetime.fromtimestamp(t, UTC).astimezone(zone)


def start_time(text: str, zone: ZoneInfo, now: float, planned: bool) -> float:
    """When a trip starts; a clock time alone is the last there was, or the next of a plan.

    Raises:
        ValueError: no such time; the message says what is expected.
    """
    found = dated(text, zone)
    if found is not None:
        return found
    today = local(now, zone).date()
    t = on_day(today, text, zone)
    if planned and t < now:
        return on_day(today + timedelta(days=1), text, zone)
    return on_day(today - timedelta(days=1), text, zone) if not planned and t > now else t


def end_time(text: str, zone: ZoneInfo, start: float) -> float:
    """When a trip ends; a clock time alone is the first after its start. Errors as for `start_time`."""
    found = dated(text, zone)
    if found is not None:
        return found
    day = local(start, zone).date()
    t = on_day(day, text, zone)
    return t if t > start else on_day(day + timedelta(days=1), text, zone)


def near_time(text: str, zone: ZoneInfo, start: float, end: float) -> float:
    """When something was seen; a clock time alone is the one in the trip or nearest to it."""
    found = dated(text, zone)
    if found is not None:
        return found
    first, last = local(start, zone).date(), local(end, zone).date()
    days = [first + timedelta(days=n) for n in range(-1, (last - first).days + 2)]
    times = [on_day(day, text, zone) for day in days]
    return min(times, key=lambda t: max(start - t, t - end, 0.0))
