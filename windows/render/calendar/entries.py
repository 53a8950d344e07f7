"""Sessions and bait gathering as calendar entries (RFC 5545), written with the icalendar library.

Times are UTC instants. A tide is an instant, not an agreement about a clock: every reader must understand
UTC (RFC 5545, 3.3.5), shows it on its own clock, over DST too, and no time zone definition inside the file
can be misread or grow old. The local clock stands in the text, and `X-WR-TIMEZONE` names the zone.
"""

import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from windows.conditions.bait import GatheringWindow
from windows.forecast.reports import DayReport, Forecast, SessionReport, SpotReport
from windows.render.words import cautions
from windows.render.words.phrases import Words, shares, words_of
from windows.render.words.reasons import preparations, why
from windows.render.words.safe_text import isolated, plain
from windows.render.words.todays import todays_water

if TYPE_CHECKING:
    from icalendar import Alarm, Event

NAMESPACE = uuid.uuid5(uuid.NAMESPACE_URL, "https://ebblight.invalid/sessions")
"""Of the entries' identifiers; `.invalid` is reserved for names that can lead nowhere (RFC 2606)."""
PRODUCT = "-//Ebblight//Fishing windows//EN"


def calendar(
    forecast: Forecast,
    mark: float | None = None,
    now: float | None = None,
) -> str:
    """An iCalendar file with an entry for each session at or above a mark, and one for the bait it wants.

    An identifier is made of the file's title, the spot's id, the local day, and the session's place counted
    from the end of that day: minutes of change do not touch it, nor do sessions of today that are over.

    Args:
        forecast: finished.
        mark: least points of a session; the keep mark of its spot where None.
        now: POSIX seconds of the time stamp; when the forecast was made where None.
    """
    from icalendar import Calendar

    stamp = forecast.made_at if now is None else now
    words = words_of(forecast.head)
    entries = _Entries(forecast, words)
    out = Calendar()
    out.add("prodid", PRODUCT)
    out.add("version", "2.0")
    out.add("calscale", "GREGORIAN")
    out.add("method", "PUBLISH")
    out.add("x-wr-calname", plain(forecast.head.title))
    out.add("x-wr-timezone", forecast.head.zone.key)
    gathered: set[tuple[str, float]] = set()
    for report, day, place, item in _every(forecast):
        least = report.spot.preferences.keep if mark is None else mark
        if item.session.points.total < least:
            continue
        name: tuple[str, ...] = (forecast.head.title, report.spot.id, day.day.isoformat(), str(place))
        events = {name: entries.session(item)}
        bait = item.bait
        if bait is not None and bait.window is not None:
            tide = (bait.bank.id, bait.window.low_water)
            if tide not in gathered:
                gathered.add(tide)
                events[*name, "bait"] = entries.gathering(item, bait.bank.name, bait.window)
        for key, event in events.items():
            event.add("uid", identifier(key))
            event.add("dtstamp", _instant(stamp))
            event.add("last-modified", _instant(stamp))
            event.add("sequence", max(0, int(stamp // 60.0)))
            out.add_component(event)
    return str(out.to_ical().decode("utf-8"))


def identifier(key: tuple[str, ...]) -> str:
    """Of an entry: title, spot, local day, place from the day's end (0 the last), and "bait" for its bait."""
    return f"{uuid.uuid5(NAMESPACE, chr(10).join(key))}@ebblight.invalid"


def _every(forecast: Forecast) -> Iterator[tuple[SpotReport, DayReport, int, SessionReport]]:
    for report in forecast.spots:
        for day in report.days:
            for place, item in enumerate(reversed(day.sessions)):
                yield report, day, place, item


@dataclass(frozen=True, slots=True)
class _Entries:
    """Makes entries of one forecast; alarms ring when it is time to leave."""

    forecast: Forecast
    words: Words

    def session(self, item: SessionReport) -> "Event":
        session, spot, points = item.session, item.spot, item.session.points
        total, flow, light, moon = shares(points, 0)
        event = self._event(session.start, session.end, f"{_name(spot.name)}, {total} points")
        event.add("location", _name(spot.name))
        event.add("geo", (spot.latitude, spot.longitude))
        event.add(
            "description",
            self._text(
                session.start,
                session.end,
                f"{total} points: flow {flow} + light {light} + moon {moon} ({cautions.UNSEEN})",
                *(note.value[:1].upper() + note.value[1:] for note in item.notes),
                *why(item, self.words),
                *todays_water(self.forecast, self.words),
            ),
        )
        event.add_component(self._alarm(item, f"Leave for {_name(spot.name)}."))
        return event

    def gathering(self, item: SessionReport, bank: str, window: GatheringWindow) -> "Event":
        start, end = (round(t / 60.0) * 60.0 for t in (window.start, window.end))
        event = self._event(start, end, f"Bait at {_name(bank)}")
        event.add("location", _name(bank))
        event.add("description", self._text(start, end, *preparations(item, self.words)[:1]))
        event.add_component(self._alarm(item, f"Leave to gather bait at {_name(bank)}."))
        return event

    def _event(self, start: float, end: float, summary: str) -> "Event":
        from icalendar import Event

        warning = f"{cautions.INVENTED}: " if self.forecast.head.invented else ""
        event = Event()
        event.add("dtstart", _instant(start))
        event.add("dtend", _instant(end))
        event.add("summary", warning + summary)
        event.add("transp", "TRANSPARENT")
        return event

    def _text(self, start: float, end: float, *lines: str) -> str:
        """Local clock, the lines, and every caution."""
        first = self.words.local(start).date()
        when = f"{self.words.day(first)} {self.words.stretch(start, end, first)}"
        warning = [cautions.INVENTED] if self.forecast.head.invented else []
        zone = self.words.zone_words([start, end])
        return "\n".join([*warning, f"{when}, {zone}", *lines, *cautions.FULL, cautions.SHORT])

    def _alarm(self, item: SessionReport, text: str) -> "Alarm":
        from icalendar import Alarm

        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("trigger", -timedelta(seconds=item.leaving.ahead))
        alarm.add("description", f"{text} {cautions.SHORT}")
        return alarm


def _name(name: str) -> str:
    return isolated(plain(name))


def _instant(t: float) -> datetime:
    return datetime.fromtimestamp(round(t), UTC)
