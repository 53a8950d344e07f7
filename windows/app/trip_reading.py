"""What the form of a trip says, as `Told`: all of it for a new trip, what differs for one that is kept."""

import hashlib
from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from harmonics.errors import Problem
from windows.log.entry import EntryError
from windows.log.retold import retold
from windows.log.told import Told
from windows.log.trips import Trip
from windows.shoreline.shore import Shore

LINES = frozenset({"kept", "released", "sought", "turned_out", "turned_in", "drift", "bared", "covered"})
"""Fields that take a value a line."""
CATCH = ("nothing", "kept", "released", "sought", "measured")
"""Fields that are told together: a catch is replaced as a whole."""
CHOICES = {"measured": ("", "total", "fork"), "clarity": ("", "clear", "cloudy", "muddy")}


def told_in(given: Mapping[str, str]) -> Told:
    """All that the form says.

    Raises:
        EntryError: a number that is none, or a choice that is not offered.
    """
    typed = (field.name for field in fields(Told) if field.name != "cleared")
    return _told({name: given[name] for name in typed if name in given})


def differing(trip: Trip, shore: Shore, given: Mapping[str, str]) -> Told:
    """What the form says otherwise than the trip; errors as for `told_in`."""
    said = retold(trip, shore.head.units)
    other = {key: given[key] for key in said if key in given and _same(given[key]) != _same(said[key])}
    if any(key in other for key in CATCH):
        other |= {key: given.get(key, said[key]) for key in CATCH}
    cleared = {key for key, text in other.items() if not text.strip() and key not in CATCH}
    return _told({key: text for key, text in other.items() if key not in cleared}, frozenset(cleared))


def fingerprint(trip: Trip) -> str:
    """Of a trip's state: a form that was made from another state would undo what was written since."""
    return hashlib.sha256(repr(trip).encode()).hexdigest()[:32]


def _same(text: str) -> str:
    return "\n".join(" ".join(line.split()) for line in text.splitlines() if line.strip())


def _told(given: Mapping[str, str], cleared: frozenset[str] = frozenset()) -> Told:
    problems: list[Problem] = []
    values: dict[str, Any] = {}
    for key, text in given.items():
        if key in LINES:
            values[key] = tuple(line.strip() for line in text.splitlines() if line.strip())
        elif key == "nothing":
            values[key] = bool(text.strip())
        elif not text.strip():
            continue
        elif key == "anglers":
            values[key] = _anglers(text, problems)
        elif key in CHOICES and text not in CHOICES[key]:
            problems.append(Problem(f"--{key}", f"'{text[:60]}'", " or ".join(CHOICES[key][1:])))
        else:
            values[key] = text.strip()
    if problems:
        raise EntryError(problems)
    return Told(**values, cleared=cleared)


def _anglers(text: str, problems: list[Problem]) -> int | None:
    plain = text.strip()
    if plain.isascii() and plain.isdigit() and len(plain) < 4:
        return int(plain)
    problems.append(Problem("--anglers", f"'{plain[:60]}'", "a whole number"))
    return None
