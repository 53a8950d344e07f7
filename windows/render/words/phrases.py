"""Numbers, times and reasons in the words people read: local clock, their units, plain English."""

import math
from collections.abc import Sequence
from datetime import UTC, date, datetime
from itertools import pairwise
from typing import NamedTuple
from zoneinfo import ZoneInfo

from harmonics.units import METRES_PER_SECOND_PER_KNOT, LengthUnit
from windows.astronomy import SkyEvent, SkyEventKind
from windows.forecast.reports import Forecast, Turn
from windows.shoreline.head import Head
from windows.shoreline.spots import Points

_SKY_WORDS = {
    SkyEventKind.UPPER_TRANSIT: "transit",
    SkyEventKind.LOWER_TRANSIT: "lower transit",
    SkyEventKind.CIVIL_DAWN: "civil dawn",
    SkyEventKind.CIVIL_DUSK: "civil dusk",
    SkyEventKind.NAUTICAL_DAWN: "nautical dawn",
    SkyEventKind.NAUTICAL_DUSK: "nautical dusk",
    SkyEventKind.NEW_MOON: "new moon",
    SkyEventKind.FIRST_QUARTER: "first quarter",
    SkyEventKind.FULL_MOON: "full moon",
    SkyEventKind.LAST_QUARTER: "last quarter",
    SkyEventKind.NORTHMOST: "farthest north",
    SkyEventKind.SOUTHMOST: "farthest south",
}


def zone_name(local: datetime) -> str:
    """As CDT, or UTC+10:30 where the clock has no letters."""
    name = local.tzname() or ""
    return _offset(local) if not name or name.startswith(("+", "-")) else name


def _offset(local: datetime) -> str:
    text = f"{local:%z}"
    return f"UTC{text[:3]}:{text[3:5]}"


class Words(NamedTuple):
    """Formats for one reader: zone of the clock, unit of heights."""

    zone: ZoneInfo
    units: LengthUnit

    def local(self, t: float) -> datetime:
        """Local time of POSIX seconds, to the nearest minute."""
        return datetime.fromtimestamp(math.floor(t / 60 + 0.5) * 60, UTC).astimezone(self.zone)

    def clock(self, t: float) -> str:
        """As 18:05; in an hour that comes twice, as 01:30 CDT and 01:30 CST."""
        local = self.local(t)
        twice = local.replace(fold=1 - local.fold).utcoffset() != local.utcoffset()
        return f"{local:%H:%M} {zone_name(local)}" if twice else f"{local:%H:%M}"

    def day(self, day: date) -> str:
        """As Wed 12 Aug."""
        return f"{day:%a} {day.day} {day:%b}"

    def day_clock(self, t: float, beside: date) -> str:
        """The clock, with its day where that is not the one beside it."""
        local = self.local(t)
        return self.clock(t) if local.date() == beside else f"{self.day(local.date())} {self.clock(t)}"

    def stretch(self, start: float, end: float, beside: date) -> str:
        """As 18:05-20:05, each end with its day where that is not the one beside it."""
        first = self.local(start).date()
        return f"{self.day_clock(start, beside)}-{self.day_clock(end, first)}"

    def short_stretch(self, start: float, end: float, beside: date) -> str:
        """As 22:10-00:10 for a table's cell; only a start on another day than the row's is dated."""
        return f"{self.day_clock(start, beside)}-{self.clock(end)}"

    def zone_words(self, days: Sequence[float]) -> str:
        """As America/Chicago (CDT, UTC-05:00), with the day on which the offset changes.

        Args:
            days: starts of the local days, POSIX seconds, at least one.
        """
        text = self._offset_words(days[0])
        for t, following in pairwise(days):
            if self.local(t).utcoffset() != self.local(following).utcoffset():
                text += (
                    f"; clocks change {self.day(self.local(t).date())}, then {self._offset_words(following)}"
                )
        return f"{self.zone.key} ({text})"

    def _offset_words(self, t: float) -> str:
        name, offset = zone_name(self.local(t)), _offset(self.local(t))
        return offset if name == offset else f"{name}, {offset}"

    def height(self, metres: float, places: int | None = None) -> str:
        """As 1.62 ft or 0.49 m."""
        return f"{self.number(metres, places)} {self.units.symbol}"

    def number(self, metres: float, places: int | None = None) -> str:
        """A height in the reader's unit, without the unit."""
        digits = (1 if self.units is LengthUnit.FEET else 2) if places is None else places
        text = f"{metres / self.units.metres:.{digits}f}"
        return text[1:] if text.startswith("-") and not text.strip("-0.") else text

    def movement(self, going: float, has_speed: bool) -> str:
        """Movement as 0.8 kn, or as 0.45 ft/h of change."""
        if has_speed:
            return f"{going / METRES_PER_SECOND_PER_KNOT:.1f} kn"
        return f"{going * 3600.0 / self.units.metres:.2f} {self.units.symbol}/h"

    def turn(self, turn: Turn, beside: date) -> str:
        """As high water 1.6 ft at 15:03."""
        kind = "high water" if turn.high else "low water"
        return f"{kind} {self.height(turn.height)} at {self.day_clock(turn.t, beside)}"

    def sky(self, event: SkyEvent) -> str:
        """As moon transit 19:12."""
        what = _SKY_WORDS.get(event.kind, event.kind.value.replace("_", " "))
        joined = "" if event.kind in {SkyEventKind.RISE, SkyEventKind.SET} else " "
        who = "" if what.endswith(("moon", "quarter")) else f"{event.body.value}{joined}"
        return f"{who}{what} {self.clock(event.t)}"

    def span(self, forecast: Forecast) -> str:
        """As Mon 10 Aug to Sun 16 Aug 2026."""
        first, last = forecast.spots[0].days[0].day, forecast.spots[0].days[-1].day
        if first == last:
            return f"{self.day(first)} {first.year}"
        year = f" {first.year}" if first.year != last.year else ""
        return f"{self.day(first)}{year} to {self.day(last)} {last.year}"


def cancelled(summary: str) -> str:
    """An entry's title once it no longer holds."""
    mark = "Cancelled: "
    return summary if summary.startswith(mark) else f"{mark}{summary}"


def words_of(head: Head) -> Words:
    """Words for the reader of a file."""
    return Words(head.zone, head.units)


def shares(points: Points, places: int) -> tuple[str, str, str, str]:
    """Total, flow, light and moon as printed numbers that add up to the printed total.

    Each share is rounded down and the places that are left go to the largest remainders, so none is more
    than one last digit from its value.
    """
    scale = 10**places
    total = round(points.total * scale)
    exact = [value * scale for value in (points.flow, points.light, points.moon)]
    whole = [math.floor(value) for value in exact]
    order = sorted(range(3), key=lambda i: whole[i] - exact[i])
    for i in order[: max(0, total - sum(whole))]:
        whole[i] += 1
    flow, light, moon = (f"{value / scale:.{places}f}" for value in whole)
    return f"{sum(whole) / scale:.{places}f}", flow, light, moon
