"""The tables of a station file as forms name them."""

import re
from collections.abc import Mapping

from harmonics.errors import printable
from harmonics.units import LengthUnit

KINDS: Mapping[str, str] = {
    "head": "file",
    "stations": "station",
    "currents": "current",
    "spots": "spot",
    "fishing": "preferences",
    "banks": "bank",
    "landings": "landing",
    "boat": "boat",
    "ways": "way",
    "outing": "day out",
    "quarry": "fish",
    "rules": "rule",
    "log": "place of the log",
}
"""What each table is called, one of it."""
LISTS: Mapping[str, str] = {
    "spots": "Spots",
    "stations": "Stations",
    "currents": "Currents",
    "banks": "Bait banks",
    "landings": "Landings",
    "ways": "Ways",
    "quarry": "Fish you are after",
    "rules": "Rules to keep fish by",
}
SINGLES: Mapping[str, str] = {
    "head": "Title, clock and units",
    "fishing": "Preferences of all spots",
    "boat": "Boat",
    "outing": "A day out",
    "log": "Where trips are kept",
}
ONLY_ODD = "Worth a look"
LOG_EXPECTED = "a name such as trips.db, of a log in this folder or of a new one"
A_LINK, NO_LOG = "a link", "a file that is no log"
GROUPS: Mapping[str, str] = {
    "": "",
    "preferences": "Preferences of this one alone",
    "sill": "The water it needs",
    "flow": "What is known of its current",
    "points": "Points of the factors",
    "speeds": "Speeds that fish well, in knots",
    "high_water": "High water against the reference",
    "low_water": "Low water against the reference",
}
_LABELS = {
    "slack_lag": "Flow turns after high and low water by",
    "least_level": "Least level of the water",
    "greatest_level": "Greatest level of the water",
    "depth_at_datum": "Depth with the level at datum",
    "least_depth": "Least depth",
    "greatest_depth": "Greatest depth",
    "bank_away": "From the bank to the spot",
    "keep": "Keep windows from",
    "session": "Length of a session",
    "hours": "Hours you can fish",
    "days": "Days you can fish",
    "travel": "The way there",
    "speed_kn": "Speed",
    "launch": "From the car to the water, each way",
    "from_home": "From home to the landing",
    "move": "To pack, move and set up",
    "settle": "There before the flow builds by",
    "gather": "To gather bait",
    "longest": "Away from home at most",
    "margin": "Margin before the water shuts a landing or way",
    "move_cost": "What a move costs",
    "home_by": "Home by",
    "leave_after": "Leave after",
    "thunder_from": "Shut from a chance of thunder of",
    "exposed": "Open to the wind",
    "bare_below": "Bare below",
    "length_unit": "Unit of its numbers",
    "from": "From",
    "to": "To",
    "checked": "Looked it up on",
    "path": "File of the log",
}

_UNIT = re.compile("_(mm|m2|m)$")


def add(kind: str) -> str:
    """The way to a new table of a kind."""
    return f"Add a {KINDS[kind]}"


def label_of(key: str) -> str:
    """What a form calls a key."""
    last = key.rpartition(".")[2]
    words = _LABELS.get(last) or _UNIT.sub("", last).replace("_", " ")
    return words[:1].upper() + words[1:]


def kind_words(kind: str) -> str:
    """What a table of that kind is called."""
    return KINDS[kind]


def heading(kind: str, name: str | None) -> str:
    """Of the form of a table; None for a new one."""
    if name is None:
        return f"A new {KINDS[kind]}"
    return name or SINGLES.get(kind, KINDS[kind])


def units_words(units: LengthUnit) -> str:
    """What numbers of a form are in."""
    return (
        f"Heights and depths are in {units.value}, speeds in knots, times of day by the clock of the place. "
        "What is left empty is not said, and what holds then stands on the page of keys."
    )


def hint_of(expected: str) -> str:
    """What a field takes, as a sentence's end."""
    return expected[:1].upper() + expected[1:]


def wrong(found: str, expected: str) -> str:
    """What is wrong with a value."""
    return f"Found {printable(found)}; expected {printable(expected)}."


def trips_stay(count: int, place: str) -> str:
    """That trips do not move with the place of the log; empty where there are none."""
    trips = "The one trip kept so far stays" if count == 1 else f"The {count:,} trips kept so far stay"
    return f"{trips} in {place}." if count else ""


def way_words(start: str, end: str) -> str:
    """A way by its ends."""
    return f"{start} to {end}"
