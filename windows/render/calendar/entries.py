"""Sessions and bait gathering as calendar entries (RFC 5545), written with the icalendar library.

Times are UTC instants. A tide is an instant, not an agreement about a clock: every reader must understand
UTC (RFC 5545, 3.3.5), shows it on its own clock, over DST too, and no time zone definition inside the file
can be misread or grow old. The local clock stands in the text, and `X-WR-TIMEZONE` names the zone.
"""

import uuid
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

from windows.conditions.bait import GatheringWindow
from windows.forecast.ranking import RankGroup
from windows.forecast.reports import BaitReport, Forecast, SessionReport
from windows.render.calendar.vanished import SPOT, starts, vanished
from windows.render.words import cautions
from windows.render.words.foreseen import full_cautions, not_considered
from windows.render.words.phrases import Words, shares, words_of
from windows.render.words.reasons import preparations, why
from windows.render.words.safe_text import isolated, plain
from windows.render.words.todays import todays_water

if TYPE_CHECKING:
    from icalendar import Alarm, Component, Event

NAMESPACE = uuid.uuid5(uuid.NAMESPACE_URL, "https://ebblight.invalid/sessions")
"""Of the entries' identifiers; `.invalid` is reserved for names that can lead nowhere (RFC 2606)."""
PRODUCT = "-//Ebblight//Fishing windows//EN"


def calendar(
    forecast: Forecast,
    mark: float | None = None,
    all_sessions: bool = False,
    before: str = "",
    whole: bool = True,
    now: float | None = None,
) -> str:
    """An iCalendar file with an entry for each session at or above a mark, and one for the bait it wants.

    A session's identifier is made of its spot and station, the high water whose ebb it fishes, and the half
    of that ebb; that of bait, of its bank and station and of the low water. So neither another title nor
    another start or order gives the same tide a second entry, nor do sessions that are over move those to
    come.

    Args:
        forecast: finished.
        mark: least points of a session; the keep mark of its spot where None.
        all_sessions: every session, not only the best of each day among the spots that compare.
        before: the file that this one takes the place of: what it had in these days, is still to come and is
            no longer there is sent once more as cancelled; empty for none.
        whole: the forecast is of every spot one asks for; else entries of other spots are left alone.
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
    every = [item for report in forecast.spots for day in report.days for item in day.sessions]
    firsts: dict[tuple[date, RankGroup], SessionReport] = {}
    for item in forecast.ranking:
        firsts.setdefault((item.day, item.group), item)
    chosen = {
        key: item
        for key, item in session_keys(every).items()
        if (all_sessions or item is firsts[item.day, item.group])
        and item.session.points.total >= (item.spot.preferences.keep if mark is None else mark)
    }
    events = {key: entries.session(item) for key, item in chosen.items()}
    for key, (item, bait, window) in _gatherings(chosen.values()).items():
        events[key] = entries.gathering(item, bait.bank.name, window)
    for key, event in events.items():
        event.add("uid", identifier(key))
    days = forecast.spots[0].days
    spots = None if whole else {report.spot.id for report in forecast.spots}
    kept = {str(event["uid"]) for event in events.values()}
    first, last = max(stamp, days[0].start), days[-1].end

    def told(old: "Component") -> bool:
        return first <= starts(old) < last and (spots is None or str(old[SPOT]) in spots)

    gone = vanished(before, kept, SPOT, told) if before else []
    for event in (*events.values(), *gone):
        event.add("dtstamp", _instant(stamp))
        event.add("last-modified", _instant(stamp))
        event.add("sequence", max(0, int(stamp // 60.0)))
        out.add_component(event)
    return str(out.to_ical().decode("utf-8"))


def identifier(key: tuple[str, ...]) -> str:
    """Of an entry, from what it is about."""
    return f"{uuid.uuid5(NAMESPACE, chr(10).join(key))}@ebblight.invalid"


def session_keys(sessions: Iterable[SessionReport]) -> dict[tuple[str, ...], SessionReport]:
    """Sessions by what each is about: spot, station, high water, half of its ebb.

    Where two share all of that a number follows, counted from the last.
    """
    keys: dict[tuple[str, ...], SessionReport] = {}
    for item in sorted(sessions, key=lambda item: -item.session.start):
        name = ("session", item.spot.id, item.spot.station.id, *_ebb(item))
        place = 0
        while (*name, str(place)) in keys:
            place += 1
        keys[*name, str(place)] = item
    return {key: keys[key] for key in sorted(keys, key=lambda key: keys[key].session.start)}


def _ebb(item: SessionReport) -> tuple[str, str]:
    """The turn before the session, and the half of the tide; a spot without one goes by the clock."""
    peak = item.session.peak - (item.spot.slack_lag or 0.0)
    turn, after = item.turn_before, item.turn_after
    if turn is None:
        return _near(peak), "no turn"
    late = after is not None and peak > (turn.t + after.t) / 2.0
    return _near(turn.t), "late" if late else "early"


def _gatherings(
    sessions: Iterable[SessionReport],
) -> dict[tuple[str, ...], tuple[SessionReport, BaitReport, GatheringWindow]]:
    """Each time to gather bait once, with the first session it is for."""
    found: dict[tuple[str, ...], tuple[SessionReport, BaitReport, GatheringWindow]] = {}
    for item in sorted(sessions, key=lambda item: item.session.start):
        bait = item.bait
        if bait is not None and bait.window is not None:
            key = ("bait", bait.bank.id, bait.bank.station.id, _near(bait.window.low_water))
            found.setdefault(key, (item, bait, bait.window))
    return found


def _near(t: float) -> str:
    """The hour nearest to a high or low water: minutes of change seldom leave it, no two turns share it."""
    return str(round(t / 3600.0))


class _Entries(NamedTuple):
    """Makes entries of one forecast; alarms ring when it is time to leave."""

    forecast: Forecast
    words: Words

    def session(self, item: SessionReport) -> "Event":
        session, spot, points = item.session, item.spot, item.session.points
        total, flow, light, moon = shares(points, 0)
        unseen = not_considered(self.forecast, self.words)
        event = self._event(session.start, session.end, f"{_name(spot.name)}, {total} points")
        event.add("location", _name(spot.name))
        event.add(SPOT, item.spot.id)
        event.add("geo", (spot.latitude, spot.longitude))
        event.add(
            "description",
            self._text(
                session.start,
                session.end,
                f"{total} points: flow {flow} + light {light} + moon {moon} ({unseen})",
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
        event.add(SPOT, item.spot.id)
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
        full = full_cautions(self.forecast, self.words)
        return "\n".join([*warning, f"{when}, {zone}", *lines, *full, cautions.SHORT])

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
