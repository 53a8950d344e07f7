"""Entries of an earlier calendar that a new one has no more, sent once again as cancelled.

RFC 5545, 3.8.1.11: their status says so, under the same identifier and a later sequence.
"""

from collections.abc import Callable, Collection
from typing import TYPE_CHECKING

from windows.render.words.phrases import cancelled

if TYPE_CHECKING:
    from icalendar import Component, Event

SPOT = "x-ebblight-spot"
"""The property that holds the id of the spot an entry is for."""


def vanished(
    before: str, kept: Collection[str], mark: str, told: Callable[["Component"], bool]
) -> list["Event"]:
    """What is to be cancelled, without its time stamps.

    Args:
        before: the earlier file; what is no calendar has no entries.
        kept: identifiers of the new one.
        mark: the property that entries of this kind carry; others are left alone.
        told: whether the new one speaks of what an entry is about.
    """
    from icalendar import Event

    found: list[Event] = []
    for old in _entries(before, mark):
        if str(old["uid"]) in kept or not told(old):
            continue
        event = Event()
        for name in ("uid", "dtstart", "dtend", "location", "geo", mark):
            if name in old:
                event[name] = old[name]
        event.add("summary", cancelled(str(old.get("summary", ""))))
        event.add("status", "CANCELLED")
        event.add("transp", "TRANSPARENT")
        found.append(event)
    return found


def starts(item: "Component") -> float:
    """POSIX seconds."""
    return float(item.decoded("dtstart").timestamp())


def _entries(before: str, mark: str) -> list["Component"]:
    """Entries of a kind, as this program writes them."""
    from icalendar import Calendar

    try:
        return [item for item in Calendar.from_ical(before).walk("VEVENT") if _whole(item, mark)]
    except (ValueError, KeyError, TypeError, AttributeError):
        return []


def _whole(item: "Component", mark: str) -> bool:
    """Whether it has all that cancelling needs, its start an instant."""
    if not all(name in item for name in ("uid", "dtstart", "dtend", mark)):
        return False
    start = item.decoded("dtstart")
    return getattr(start, "utcoffset", lambda: None)() is not None
