"""The words of the local pages that are no page's own: names of rooms, refusals, what was done."""

from collections.abc import Mapping, Sequence

from harmonics.errors import printable
from windows.render.words.safe_text import plain

MOST_NAMED = 3

REFUSED_HOST = (
    "These pages answer to 127.0.0.1 and localhost alone: open the address that `ebblight serve` printed."
)
REFUSED_ORIGIN = "This came from another site, and these pages take nothing from other sites."
REFUSED_TOKEN = (
    "This form is not of these pages as they run now (they were started anew, perhaps). Nothing was written: "
    "open the form again."
)
REFUSED_SIZE = (
    "That is too much for these pages: a table of constituents has at most 4 MiB, a file of levels or "
    "weather 64 MiB."
)
REFUSED_ADDRESS = "That address is too long."
REFUSED_METHOD = "This page can't be asked in that way."
NOTHING_THERE = "There is no such page, or no such file in this folder."
BUSY = "Too much is being worked out already: try again in a minute."
FAILED = "Something went wrong in the program itself, and nothing was written. The terminal says more."
EXTRA_NEEDED = "the local pages need the extra `pages`: pip install 'ebblight[pages]'"

_WISHED = {
    "landing": "from {}",
    "leave_after": "leave after {}",
    "home_by": "home by {}",
    "longest": "{} at most",
    "margin": "margin {}",
}

WEEK, BEST, COMPARE, PLAN, NOW = "Week", "Best", "Compare", "Plan", "Now"
SHORE, LOG, GUIDE, FILES = "Shore", "Log", "Guide", "Files"
REFUSED_HEAD, FAILED_HEAD, FILES_HEAD, MANUAL = "Not so", "A fault", "Station files", "The manual"
REFUSED_FORM = "What was sent is no form of these pages."
NOTHING_TO_UNDO = "There is nothing left to undo here."
BACK = "Back"
DATE_EXPECTED = "a date as 2026-08-15"
NEW_TRIP, REPORT, LESSONS = "A trip", "Does the score tell?", "What the trips teach"
NEEDED = {
    "spot": "one of the file's spots",
    "start": "when fishing began, such as 17:30",
    "end": "when it ended, such as 20:10",
    "catch": "fish kept, released or sought, or that there was none",
}
CHANGED_TRIP = (
    "The trip was changed elsewhere while this form was open, so nothing was written. Open it again to see "
    "it as it is now."
)
NO_TABLE = "No file came with it: choose one first."
SAVE, BEGIN = "Save", "Make the file"
CHANGED_SINCE = "The file was changed since, so it stays."
UNDONE = "Undone."
CHANGED_MEANWHILE = (
    "The file was changed elsewhere while this form was open, so nothing was written. The form now stands on "
    "the file as it is: look once more, then save again."
)

TO_SHORE, ADD_SPOT = "To the shore", "Add a spot"
NO_SPOTS = "The file has no spots yet; a forecast of windows needs one to fish at."
NOTHING_MADE = "No forecast"
UNDERWAY = "Working it out"
KEEP = {
    "page": "a page for the phone",
    "ics": "calendar entries",
    "png": "a picture",
    "csv": "rows for a spreadsheet",
    "text": "a message",
}


def started(address: str, place: str) -> str:
    """What the command says once the pages are there."""
    return f"Ebblight's pages for {place}: {address} (Ctrl-C ends them)"


def taken_port(port: int) -> str:
    """A port that another program has."""
    return f"port {port} is taken by another program; expected a free one: name another with --port"


def begun(name: str) -> str:
    """That a first file was made."""
    return f"Made {plain(name)}. Hold today's water below beside a printed table, then look at the week."


def saved(kind: str, name: str) -> str:
    """That a place was put into the file."""
    return f"Saved: {_called(kind, name)}."


def deleted(kind: str, name: str) -> str:
    """That a place was taken out of the file."""
    return f"Deleted: {_called(kind, name)}."


def _called(kind: str, name: str) -> str:
    return f"{kind} {plain(name)}" if name else kind


def problems_in(name: str, count: int) -> str:
    """That a file can't be used as it is."""
    problems = "1 problem" if count == 1 else f"{count} problems"
    return f"{plain(name)} has {problems}, so there is no forecast of it:"


def no_place(path: str) -> str:
    """A file or folder that is not there."""
    return (
        f"{path}: no such file or folder; expected a station file, or a folder of them (an empty one will do)"
    )


def table_there(name: str) -> str:
    """A table that would be written over."""
    return (
        f"{plain(name)}: found such a file beside the station file already; expected none: choose another id"
    )


def trip_head(number: int) -> str:
    """Of the page of a trip."""
    return f"Trip {number}"


def trip_done(number: int | None, planned: bool) -> str:
    """That a trip was kept."""
    return f"Trip {number} {'planned' if planned else 'kept'}."


def trip_changed(number: int) -> str:
    """That a trip was changed."""
    return f"Trip {number} changed."


def trip_removed(number: int) -> str:
    """That a trip was taken out."""
    return f"Trip {number} taken out of the log."


def trip_restored(number: int) -> str:
    """That a trip counts again."""
    return f"Trip {number} brought back."


def lessons_written(count: int) -> str:
    """That lessons were written into the file."""
    return f"Written into the file: {'1 setting' if count == 1 else f'{count} settings'}."


def no_such_spot(name: str) -> str:
    """A spot that the file does not hold."""
    return f"The file has no spot '{plain(name)[:60]}': all are shown."


def no_such_fish(name: str) -> str:
    """A fish that the file does not hold."""
    return f"The file has no [[quarry]] '{plain(name)[:60]}': its own preferences hold."


def no_such_landing(name: str) -> str:
    """A landing that the file does not hold."""
    return f"The file has no landing '{plain(name)[:60]}': plans start from its own."


def nameless(names: Sequence[str]) -> str:
    """That files have names which no address can hold; empty without any."""
    if not names:
        return ""
    shown = ", ".join(printable(name)[:60] for name in names[:MOST_NAMED])
    if len(names) == 1:
        return f"One station file has a name that is no text in UTF-8: {shown}. Rename it to open it here."
    more = " and others" if names[MOST_NAMED:] else ""
    what = f"{len(names)} station files have names that are no text in UTF-8: {shown}{more}."
    return f"{what} Rename them to open them here."


def whole_number(most: int) -> str:
    """What a count may be."""
    return f"a whole number from 1 to {most}"


def unreadable(what: str, found: str, expected: str) -> str:
    """Something asked for that means nothing."""
    return f"{what[:1].upper()}{what[1:]}: found '{plain(found)[:60]}'; expected {expected}."


def days_words(days: int) -> str:
    """As 1 day, 7 days."""
    return "1 day" if days == 1 else f"{days} days"


def wished(said: Mapping[str, str]) -> tuple[str, ...]:
    """What is asked of a day out, by key, a part each."""
    return tuple(_WISHED[key].format(text) for key, text in said.items())


def chosen(parts: Sequence[str]) -> str:
    """What a forecast was asked for, in one line."""
    return ", ".join(part for part in parts if part)
