"""A trip from what a person types: clock times, fish, wind and drift in the words of a notebook."""

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from harmonics.errors import EbblightError, Problem
from harmonics.files.problems import shown
from harmonics.units import METRES_PER_SECOND_PER_KNOT, LengthUnit
from windows.log.moments import dated, end_time, local, near_time, on_day, start_time
from windows.log.told import Told
from windows.log.trips import (
    MOST_FISH,
    Catch,
    Clarity,
    Fish,
    Seen,
    SeenKind,
    Trip,
    faults,
    new_uid,
    same_species,
)
from windows.shoreline.hours import parse_duration
from windows.shoreline.preferences_file import parse_lead
from windows.shoreline.quarry_file import parse_temperature
from windows.shoreline.rules import Measured
from windows.shoreline.rules_file import parse_length
from windows.shoreline.shore import Shore

AHEAD = 300.0
"""Seconds that a clock may be behind another before a trip lies in the future."""
FISH_EXPECTED = 'a species with lengths or a count: "flounder 38 41.5", "flounder 38@18:40" or "bass x3"'
WIND_EXPECTED = '"calm", or a speed and where it comes from, such as "12kn SW", "5m/s 225" or "12kn"'
DRIFT_EXPECTED = 'knots, with the time of the drift, such as "0.8" or "0.8@18:20"'
CLEARED: dict[str, dict[str, Any]] = {
    "fished_for": {"fished_for": None},
    "quarry": {"quarry": ""},
    "bait": {"bait": ""},
    "lead": {"lead_held": None},
    "temperature": {"temperature": None},
    "wind": {"wind_speed": None, "wind_from": None},
    "clarity": {"clarity": None},
    "words": {"words": ""},
}
"""Attributes of a trip that says no more of what `Told.cleared` names, and what they hold then."""
_POINTS = "n nne ne ene e ese se sse s ssw sw wsw w wnw nw nnw".split()
_COMPASS = {name: 22.5 * i for i, name in enumerate(_POINTS)}
_FISH_PART = re.compile(r"(?:x([0-9]{1,4})|([0-9][0-9.]*(?:mm|cm|m|in)?))?(?:@([0-9:]{4,5}))?")
V = TypeVar("V")


class EntryError(EbblightError):
    """What was typed makes no trip; every problem is told, each under its option."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, self.problems)))


def entered(told: Told, shore: Shore, now: float, planned: bool) -> Trip:
    """A new trip, without its forecast; nothing in `told.missing` may be missing.

    Raises:
        EntryError: every problem in what was typed.
        UnknownNameError: the file has no such spot.
    """
    spot = shore.spots[0] if told.spot is None else shore.spot(told.spot)
    zone = shore.head.zone
    entry = _Entry(zone, shore)
    start = entry.read("start", told.start or "", lambda text: start_time(text, zone, now, planned))
    end = None
    if start is not None:
        end = entry.read("end", told.end or "", lambda text: end_time(text, zone, start))
    if start is None or end is None:
        entry.plain(told)
        raise EntryError(entry.problems)
    trip = Trip(
        uid=new_uid(),
        spot=spot.id,
        spot_name=spot.name,
        shore=shore.head.title,
        zone=zone.key,
        start=start,
        end=end,
        logged_at=float(round(now)),
        planned_start=start if planned else None,
        planned_end=end if planned else None,
        fished=not planned,
        quarry=spot.preferences.quarry or "",
    )
    return entry.finished(trip, told, now)


def edited(trip: Trip, told: Told, shore: Shore, now: float) -> Trip:
    """The trip with what was typed in place of what it said; its forecast is left to the caller.

    The catch is replaced as a whole, what was seen by its kind. A planned trip whose catch is told is fished.

    Raises:
        EntryError: every problem in what was typed.
        UnknownNameError: the file has no such spot.
    """
    zone = ZoneInfo(trip.zone)
    entry = _Entry(zone, shore)
    if told.spot is not None:
        spot = shore.spot(told.spot)
        trip = replace(trip, spot=spot.id, spot_name=spot.name, shore=shore.head.title)
    if told.start is not None:
        day = local(trip.start, zone).date()
        start = entry.read("start", told.start, lambda text: dated(text, zone) or on_day(day, text, zone))
        trip = trip if start is None else replace(trip, start=start)
    if told.end is not None:
        start = trip.start
        end = entry.read("end", told.end, lambda text: end_time(text, zone, start))
        trip = trip if end is None else replace(trip, end=end)
    if told.says_catch:
        trip = replace(trip, fished=True)
    return entry.finished(trip, told, now)


class _Entry:
    """Reads options, collecting problems."""

    def __init__(self, zone: ZoneInfo, shore: Shore) -> None:
        self.zone = zone
        self.quarry = shore.quarry
        self.fish_unit = "in" if shore.head.units is LengthUnit.FEET else "cm"
        self.problems: list[Problem] = []

    def read(self, option: str, text: str, parse: Callable[[str], V]) -> V | None:
        """The value; None with a problem told where it can't be read."""
        try:
            return parse(text)
        except ValueError as error:
            self.problems.append(Problem(f"--{option}", shown(text) if text else "nothing", str(error)))
            return None

    def finished(self, trip: Trip, told: Told, now: float) -> Trip:
        """The trip with everything told, checked.

        Raises:
            EntryError: with every problem.
        """
        changes = self.plain(told)
        if told.says_catch:
            changes["catches"] = self._catches(told, trip)
        seen = self._seen(told, trip)
        kinds = {item.kind for item in seen} | {kind for kind in SeenKind if kind.value in told.cleared}
        changes["seen"] = (*(item for item in trip.seen if item.kind not in kinds), *seen)
        trip = replace(trip, **changes)
        if trip.fished and trip.end > now + AHEAD:
            expected = "a time that is over, or --planned for a trip to come"
            self.problems.append(Problem("--end", "an end in the future", expected))
        named = {"fished_for": "fished", "species": "kept", "length": "kept", "lead_held": "lead"}
        named |= {"wind_speed": "wind", "wind_from": "wind"}
        for fault in faults(trip):
            where = named.get(fault.where, fault.where).replace("_", "-")
            self.problems.append(fault._replace(where=f"--{where}"))
        if self.problems:
            raise EntryError(self.problems)
        return trip

    def plain(self, told: Told) -> dict[str, Any]:
        """What does not hang on the trip's time, by attribute; None where it can't be read."""
        changes: dict[str, Any] = {}
        for key in told.cleared & CLEARED.keys():
            changes |= CLEARED[key]
        if told.anglers is not None:
            changes["anglers"] = told.anglers
        if told.quarry is not None:
            changes["quarry"] = self.read("quarry", told.quarry, self._quarry) or ""
        for key in ("bait", "words"):
            text = getattr(told, key)
            if text is not None:
                changes[key] = " ".join(text.split())
        for option, text, attribute, parse in (
            ("fished", told.fished_for, "fished_for", parse_duration),
            ("lead", told.lead, "lead_held", parse_lead),
            ("temperature", told.temperature, "temperature", parse_temperature),
            ("clarity", told.clarity, "clarity", Clarity),
        ):
            if text is not None:
                changes[attribute] = self.read(option, text, parse)
        if told.wind is not None:
            wind = self.read("wind", told.wind, parse_wind)
            changes |= {"wind_speed": wind and wind[0], "wind_from": wind and wind[1]}
        return changes

    def _quarry(self, text: str) -> str:
        """The fish one was after, as the file spells it where it speaks of fish at all."""
        name = " ".join(text.split())
        known = [item.name for item in self.quarry]
        if not known or not name:
            return name
        found = next((other for other in known if same_species(other, name)), None)
        if found is None:
            raise ValueError(f"one of the file's [[quarry]]: {', '.join(known)}")
        return found

    def _catches(self, told: Told, trip: Trip) -> tuple[Catch, ...]:
        measured = None if told.measured is None else Measured(told.measured)
        if told.nothing and (told.kept or told.released):
            self.problems.append(Problem("--nothing", "it beside fish", "one or the other"))
        found: list[Catch] = []
        for option, kept, texts in (("kept", True, told.kept), ("released", False, told.released)):
            for text in texts:
                catch = self.read(option, text, partial(self._catch, kept, measured, trip))
                if catch is not None:
                    _put(found, catch)
        for text in told.sought:
            _put(found, Catch(" ".join(text.split())))
        return tuple(found)

    def _catch(self, kept: bool, measured: Measured | None, trip: Trip, text: str) -> Catch:
        words = text.split()
        first = next((i for i, word in enumerate(words) if _is_fish(word)), len(words))
        name, parts = " ".join(words[:first]), words[first:]
        if not name or not all(map(_is_fish, parts)):
            raise ValueError(FISH_EXPECTED)
        fish: list[Fish] = []
        for part in parts or ["x1"]:
            fish += self._fish(part, kept, measured, trip)
        return Catch(name, tuple(fish))

    def _fish(self, part: str, kept: bool, measured: Measured | None, trip: Trip) -> list[Fish]:
        match = _FISH_PART.fullmatch(part)
        assert match is not None
        count, length, when = match.groups()
        t = None if when is None else near_time(when, self.zone, trip.start, trip.end)
        if length is None:
            if count is not None and not 0 < int(count) <= MOST_FISH:
                raise ValueError(FISH_EXPECTED)
            return [Fish(kept, t=t)] * int(count or 1)
        return [Fish(kept, parse_length(length, self.fish_unit), measured, t)]

    def _seen(self, told: Told, trip: Trip) -> list[Seen]:
        seen: list[Seen] = []
        for kind in SeenKind:
            option = kind.value.replace("_", "-")
            for text in getattr(told, kind.value):
                item = self.read(option, text, partial(self._one_seen, kind, trip))
                if item is not None:
                    seen.append(item)
        return seen

    def _one_seen(self, kind: SeenKind, trip: Trip, text: str) -> Seen:
        if kind is not SeenKind.DRIFT:
            return Seen(kind, near_time(text, self.zone, trip.start, trip.end))
        match = re.fullmatch(r"([0-9]{1,2}(?:\.[0-9]{1,3})?) ?(?:kn)? ?(?:@ ?([0-9T: -]+))?", text.strip())
        if match is None:
            raise ValueError(DRIFT_EXPECTED)
        middle = float(round((trip.start + trip.end) / 2))
        t = middle if match[2] is None else near_time(match[2], self.zone, trip.start, trip.end)
        return Seen(kind, t, float(match[1]) * METRES_PER_SECOND_PER_KNOT)


def _is_fish(word: str) -> bool:
    """Whether a word tells fish: a length, a count, or a time."""
    return bool(word) and _FISH_PART.fullmatch(word) is not None


def _put(found: list[Catch], catch: Catch) -> None:
    """Add to the same species where it is there."""
    for place, other in enumerate(found):
        if same_species(other.species, catch.species):
            found[place] = replace(other, fish=(*other.fish, *catch.fish))
            return
    found.append(catch)


def parse_wind(text: str) -> tuple[float, float | None]:
    """Speed in m/s and where it comes from, degrees or None.

    Raises:
        ValueError: it is no wind; the message says what is expected.
    """
    plain = text.strip().lower()
    if plain == "calm":
        return 0.0, None
    match = re.fullmatch(r"([0-9]{1,3}(?:\.[0-9]{1,2})?) ?(kn|m/s)(?: ([a-z]{1,3}|[0-9]{1,3}))?", plain)
    if match is None:
        raise ValueError(WIND_EXPECTED)
    speed = float(match[1]) * (METRES_PER_SECOND_PER_KNOT if match[2] == "kn" else 1.0)
    if match[3] is None:
        return speed, None
    if match[3].isdigit():
        return speed, float(match[3])
    if match[3] not in _COMPASS:
        raise ValueError(WIND_EXPECTED)
    return speed, _COMPASS[match[3]]
