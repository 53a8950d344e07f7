"""The fields of a trip as a form asks for them."""

from collections.abc import Mapping
from typing import NamedTuple


class TripField(NamedTuple):
    """A field of the form.

    Attributes:
        key: of `told.Told`.
        label: what is asked.
        hint: how to write it.
        lines: whether it takes several values, a line each.
        choices: to choose from; empty for text.
    """

    key: str
    label: str
    hint: str = ""
    lines: bool = False
    choices: tuple[str, ...] = ()


_TIMES = "A time a line: 18:20"
FIELDS: Mapping[str, tuple[TripField, ...]] = {
    "When and where": (
        TripField("spot", "Spot"),
        TripField("start", "From", "2026-08-15 17:30, or 17:30 for the last there was"),
        TripField("end", "To", "20:10 is the first after it"),
        TripField("anglers", "How many fished", "1 where nothing is said"),
        TripField("fished_for", "Lines in the water", "1h30min; the whole time where nothing is said"),
    ),
    "Catch": (
        TripField("nothing", "No fish at all: zeros are what honest counts rest on", choices=("yes",)),
        TripField("kept", "Kept", "A species a line: flounder 38 41.5, or bass x2", lines=True),
        TripField("released", "Released", "Alike", lines=True),
        TripField("sought", "Sought and not caught", "A species a line", lines=True),
        TripField("measured", "Lengths were taken", choices=("total", "fork")),
    ),
    "What the water did": (
        TripField("turned_out", "The current began to go out", _TIMES, lines=True),
        TripField("turned_in", "The current began to come in", _TIMES, lines=True),
        TripField("drift", "Drift over the ground", "Knots, and when: 0.8@18:20", lines=True),
        TripField("bared", "The bait bank bared", _TIMES, lines=True),
        TripField("covered", "The bait bank was covered", _TIMES, lines=True),
        TripField("lead", "Lead that held bottom", "6oz or 170g"),
        TripField("temperature", "Temperature of the water", "18C or 64F"),
        TripField("wind", "Wind", "12kn SW, 5m/s 225 or calm"),
        TripField("clarity", "Water", choices=("clear", "cloudy", "muddy")),
    ),
    "And": (
        TripField("quarry", "The fish you were after"),
        TripField("bait", "Bait"),
        TripField("words", "Anything else", "On one line"),
    ),
}
"""By heading, in the order in which one fills them in."""
