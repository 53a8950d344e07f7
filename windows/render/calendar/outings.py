"""Days out as calendar entries: bait fetched before, when to leave, when to be back at the landing."""

import math
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from windows.outing.reports import LegKind, Plan, PlanList, Plans
from windows.render.calendar.entries import PRODUCT, identifier
from windows.render.calendar.vanished import vanished
from windows.render.words import cautions
from windows.render.words.beside import bait_words, beside
from windows.render.words.foreseen import full_cautions
from windows.render.words.phrases import Words, words_of
from windows.render.words.plans import group_name, leg_note, leg_words, point_hours, stops
from windows.render.words.safe_text import isolated, plain
from windows.shoreline.spots import Bank

if TYPE_CHECKING:
    from icalendar import Component, Event

LEAVES = "x-ebblight-leaves"
"""The property that holds when one leaves for the plan of an entry, POSIX seconds."""
READY = 1800.0
"""Seconds: the alarm to leave comes half an hour before, to pack."""
LEAST_ENTRY = 300.0
"""Seconds: an entry of no length is not shown by every reader."""


def plan_calendar(plans: Plans, before: str = "") -> str:
    """An iCalendar file with entries for the best plan of each list: bait fetched, leaving, back again.

    An identifier is made of the file's title, the list, the local day and which of them it is, so that a
    new file of the same day takes the old entries' place.

    Args:
        plans: made.
        before: the file that this one takes the place of: plans of these days that are no longer in it are
            sent once more as cancelled, but for who has left by then; empty for none.
    """
    from icalendar import Calendar

    made = plans.forecast.made_at
    out = Calendar()
    out.add("prodid", PRODUCT)
    out.add("version", "2.0")
    out.add("calscale", "GREGORIAN")
    out.add("method", "PUBLISH")
    out.add("x-wr-calname", plain(plans.forecast.head.title))
    out.add("x-wr-timezone", plans.forecast.head.zone.key)
    events = _entries(plans)
    days = plans.forecast.spots[0].days
    first, last = max(made, days[0].start), days[-1].end
    kept = {str(event["uid"]) for event in events}
    gone = vanished(before, kept, LEAVES, lambda old: first <= _left(old) < last) if before else []
    for event in (*events, *gone):
        event.add("dtstamp", _instant(made))
        event.add("sequence", max(0, int(made // 60.0)))
        out.add_component(event)
    return str(out.to_ical().decode("utf-8"))


def _entries(plans: Plans) -> list["Event"]:
    """Entries of the best plan of each list, without their time stamps."""
    words = words_of(plans.forecast.head)
    found: list[Event] = []
    for item in plans.lists:
        for plan in item.ranking[:1]:
            for which, event in (
                *_gathering(plans, plan, words),
                ("leave", _leaving(plans, item, plan, words)),
                ("land", _landing(plans, plan, words)),
            ):
                key = (plans.forecast.head.title, "outing", item.group.value, plan.day.isoformat(), which)
                event.add("uid", identifier(key))
                event.add(LEAVES, f"{plan.legs[0].start:.0f}")
                found.append(event)
    return found


def _left(item: "Component") -> float:
    """When one leaves for the plan of an entry, POSIX seconds; long ago where that is not told."""
    told = str(item[LEAVES])
    return float(told) if told.isdecimal() else -math.inf


def _gathering(plans: Plans, plan: Plan, words: Words) -> list[tuple[str, "Event"]]:
    """The entry of bait that is fetched on an outing before, if it is."""
    taken = plan.bait
    if taken is None or taken.bank is None or taken.window is None:
        return []
    name = _name(taken.bank.name)
    lines = [f"For {words.day(plan.day)}, leaving {words.clock(plan.leave)}", *bait_words(plan, words)]
    start, end = (round(t / 60.0) * 60.0 for t in (taken.window.start, taken.window.end))
    event = _event(plans, start, end, f"Bait at {name}", lines, taken.bank)
    _add_alarm(event, READY, f"Pack to gather bait at {name}.")
    return [("bait", event)]


def _leaving(plans: Plans, item: PlanList, plan: Plan, words: Words) -> "Event":
    first = plan.legs[0]
    name = group_name(plans, item)
    lines = [
        f"{point_hours(plan.worth)}{f', {name}' if name else ''}: {', then '.join(stops(plan, words))}",
        *_timetable(plans, plan, words),
        *beside(plans, item, plan, words),
    ]
    event = _event(plans, first.start, first.end, f"Leave for {_name(plans.landing.name)}", lines)
    _add_alarm(event, READY, f"Pack for {_name(plans.landing.name)}.")
    return event


def _landing(plans: Plans, plan: Plan, words: Words) -> "Event":
    index = next(i for i, leg in enumerate(plan.legs) if leg.kind is LegKind.LAND)
    leg, way_back = plan.legs[index], plan.legs[index - 1]
    lines = [leg_note(plans, leg, words)] if leg_note(plans, leg, words) else []
    event = _event(plans, leg.start, leg.end, f"Back at {_name(plans.landing.name)}", lines)
    _add_alarm(event, leg.start - way_back.start, f"Set out for {_name(plans.landing.name)}.")
    return event


def _timetable(plans: Plans, plan: Plan, words: Words) -> list[str]:
    lines: list[str] = []
    for leg in plan.legs:
        if leg.end > leg.start:
            note = leg_note(plans, leg, words)
            when = words.stretch(leg.start, leg.end, plan.day)
            lines.append(f"{when} {leg_words(plans, leg, words)}{f': {note}' if note else ''}")
    return lines


def _event(
    plans: Plans, start: float, end: float, summary: str, lines: Sequence[str], bank: Bank | None = None
) -> "Event":
    """An entry at the landing, or at a bank."""
    from icalendar import Event

    head, words = plans.forecast.head, words_of(plans.forecast.head)
    day = words.local(start).date()
    warning = [cautions.INVENTED] if head.invented else []
    full = full_cautions(plans.forecast, words)
    when = f"{words.day(day)} {words.stretch(start, end, day)}, {words.zone_words([start, end])}"
    event = Event()
    event.add("dtstart", _instant(start))
    event.add("dtend", _instant(max(end, start + LEAST_ENTRY)))
    event.add("summary", ": ".join([*warning, summary]))
    event.add("transp", "TRANSPARENT")
    event.add("location", _name(plans.landing.name if bank is None else bank.name))
    position = (plans.landing.latitude, plans.landing.longitude) if bank is None else bank.position
    if position is not None:
        event.add("geo", position)
    event.add("description", "\n".join([*warning, when, *lines, *full, cautions.SHORT]))
    return event


def _add_alarm(event: "Event", ahead: float, text: str) -> None:
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", -timedelta(seconds=ahead))
    alarm.add("description", f"{text} {cautions.SHORT}")
    event.add_component(alarm)


def _name(name: str) -> str:
    return isolated(plain(name))


def _instant(t: float) -> datetime:
    return datetime.fromtimestamp(round(t), UTC)
