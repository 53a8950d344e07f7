"""Entries of an earlier calendar that a new one has no more, sent once again as cancelled.

RFC 5545, 3.8.1.11: their status says so, under the same identifier and a later sequence.
"""

from collections.abc import Collection
from typing import TYPE_CHECKING

from windows.render.words.phrases import cancelled

if TYPE_CHECKING:
    from icalendar import Component, Event

SPOT = "x-ebblight-spot"
"""The property that holds the id of the spot an entry is for."""


def vanished(
    before: str, kept: Collection[str], start: float, end: float, spots: Collection[str] | None
) -> list["Event"]:
    """What is to be cancelled, without its time stamps.

    Args:
        before: the earlier file; what is no calendar has no entries.
        kept: identifiers of the new one.
        start, end: POSIX seconds between which the new one speaks.
        spots: ids of those it speaks of; all where None.
    """
    from icalendar import Event

    found: list[Event] = []
    for old in _entries(before):
        uid = str(old["uid"])
        starts = old.decoded("dtstart").timestamp()
        asked = spots is None or str(old[SPOT]) in spots
        if uid in kept or not start <= starts < end or not asked:
            continue
        event = Event()
        for name in ("uid", "dtstart", "dtend", "location", "geo", SPOT):
            if name in old:
                event[name] = old[name]
        event.add("summary", cancelled(str(old.get("summary", ""))))
        event.add("status", "CANCELLED")
        event.add("transp", "TRANSPARENT")
        found.append(event)
    return found


def _entries(before: str) -> list["Component"]:
    """Entries of sessions and bait, as this program writes them."""
    from icalendar import Calendar

    try:
        return [item for item in Calendar.from_ical(before).walk("VEVENT") if _whole(item)]
    except (ValueError, KeyError, TypeError, AttributeError):
        return []


def _whole(item: "Component") -> bool:
    """Whether it has all that cancelling needs, its start an instant."""
    if not all(name in item for name in ("uid", "dtstart", "dtend", SPOT)):
        return False
    start = item.decoded("dtstart")
    return getattr(start, "utcoffset", lambda: None)() is not None
