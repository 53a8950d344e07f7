"""Keep or release, by the person's own rules; where these leave it open, look it up.

A limit belongs to what may be kept: a fish of exactly the least or the greatest length, the last day of a
season and the last fish of a bag are within it. What cannot be told counts against keeping: a fish without a
time on a trip over midnight counts into the bag, and needs the season, of both days.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from enum import Enum
from zoneinfo import ZoneInfo

from windows.log.trips import Fish, Trip, same_species
from windows.shoreline.rules import Rule

OLDEST_CHECK = 365
"""Days after which rules may have changed: most are set anew each year (common practice)."""
TOUCH = 1e-6
"""Metres within which two lengths are one: those of centimetres and inches meet only to rounding."""


class Ruling(Enum):
    """What the rules say of a fish."""

    KEEP = "keep"
    RELEASE = "release"
    LOOK_UP = "look it up"


class Why(Enum):
    """A reason of a ruling."""

    NO_RULE = "no rule"
    NEVER_CHECKED = "never checked"
    OLD_CHECK = "checked too long ago"
    NOT_MEASURED = "not measured"
    OTHER_MEASURE = "measured the other way"
    OUT_OF_SEASON = "out of season"
    TOO_SHORT = "too short"
    TOO_LONG = "too long"
    BAG_FULL = "over the bag"


_RULED = {
    Why.OUT_OF_SEASON: Ruling.RELEASE,
    Why.TOO_SHORT: Ruling.RELEASE,
    Why.TOO_LONG: Ruling.RELEASE,
    Why.BAG_FULL: Ruling.RELEASE,
}
"""Reasons that forbid; the others leave it open."""


@dataclass(frozen=True, slots=True)
class Bag:
    """A day's bag of one species: which fish of the day this one is, and how many there may be."""

    day: date
    place: int
    allowed: int


@dataclass(frozen=True, slots=True)
class Judgement:
    """What the rules say of one fish.

    Attributes:
        species, fish: which.
        ruling: keep it, release it, or look the rule up.
        why: reasons against keeping it; empty where it may be kept.
        rule: the one that says so; None where there is none.
        bag: of the fullest day it may belong to; None without a limit.
        checked_days: days since the rule was checked; None where it never was.
    """

    species: str
    fish: Fish
    ruling: Ruling
    why: tuple[Why, ...]
    rule: Rule | None
    bag: Bag | None = None
    checked_days: int | None = None


def judge(trip: Trip, rules: Sequence[Rule], others: Iterable[Trip], today: date) -> tuple[Judgement, ...]:
    """What the rules say of each fish of a trip, in the order of its catches.

    Args:
        trip: with its fish.
        rules: of the file.
        others: trips in the log, of which those of the same days fill the bag; the trip itself is left out.
        today: the local day from which a rule's check is told.
    """
    days = _days(trip, None)
    near = [
        other
        for other in others
        if other.uid != trip.uid and other.fished and not days.isdisjoint(_days(other, None))
    ]
    bags = _Bags(trip, near)
    judged: list[Judgement] = []
    for species, fish in trip.every_fish():
        mine = [rule for rule in rules if same_species(rule.species, species)]
        judged.append(_judged(species, fish, mine, _days(trip, fish), bags, today))
        bags.put(species, fish)
    return tuple(judged)


def _days(trip: Trip, fish: Fish | None) -> set[date]:
    """Local days a fish may belong to: that of its time, else every day its trip touches."""
    zone = ZoneInfo(trip.zone)
    if fish is not None and fish.t is not None:
        return {datetime.fromtimestamp(fish.t, UTC).astimezone(zone).date()}
    first = datetime.fromtimestamp(trip.start, UTC).astimezone(zone).date()
    last = datetime.fromtimestamp(trip.end - 1.0, UTC).astimezone(zone).date()
    return {first + timedelta(days=n) for n in range((last - first).days + 1)}


class _Bags:
    """Fish kept so far by species and day, and how many people fished on each."""

    def __init__(self, trip: Trip, near: Sequence[Trip]) -> None:
        self.trip = trip
        self.anglers: dict[date, int] = {}
        self.kept: list[tuple[str, set[date]]] = []
        for other in (trip, *near):
            for day in _days(other, None):
                self.anglers[day] = max(other.anglers, self.anglers.get(day, 0))
        earlier = [other for other in near if (other.start, other.uid) < (trip.start, trip.uid)]
        for other in earlier:
            for species, fish in other.every_fish():
                if fish.kept:
                    self.kept.append((species, _days(other, fish)))

    def put(self, species: str, fish: Fish) -> None:
        """Count one more of the trip's own."""
        if fish.kept:
            self.kept.append((species, _days(self.trip, fish)))

    def bag(self, species: str, days: set[date], limit: int) -> Bag:
        """The fullest day's bag, this fish in it."""
        found = []
        for day in sorted(days):
            count = sum(day in inside for name, inside in self.kept if same_species(name, species))
            found.append(Bag(day, count + 1, limit * self.anglers.get(day, self.trip.anglers)))
        return max(found, key=lambda bag: bag.place - bag.allowed)


def _judged(
    species: str, fish: Fish, rules: Sequence[Rule], days: set[date], bags: _Bags, today: date
) -> Judgement:
    """By the rules whose season is open on every day it may belong to; each of them has to allow it."""
    if not rules:
        return Judgement(species, fish, Ruling.LOOK_UP, (Why.NO_RULE,), None)
    in_season = [rule for rule in rules if all(rule.open_on(day) for day in days)]
    if not in_season:
        return _ruled(species, fish, [Why.OUT_OF_SEASON], rules[0], None, today)
    every = []
    for rule in in_season:
        bag = None if rule.bag is None else bags.bag(species, days, rule.bag)
        why = _lengths(fish, rule)
        if bag is not None and bag.place > bag.allowed:
            why.append(Why.BAG_FULL)
        every.append(_ruled(species, fish, why, rule, bag, today))
    order = (Ruling.RELEASE, Ruling.LOOK_UP, Ruling.KEEP)
    return min(every, key=lambda judgement: order.index(judgement.ruling))


def _lengths(fish: Fish, rule: Rule) -> list[Why]:
    if rule.least_length is None and rule.greatest_length is None:
        return []
    if fish.length is None:
        return [Why.NOT_MEASURED]
    if fish.measured is not rule.measured:
        return [Why.OTHER_MEASURE]
    if rule.least_length is not None and fish.length < rule.least_length - TOUCH:
        return [Why.TOO_SHORT]
    if rule.greatest_length is not None and fish.length > rule.greatest_length + TOUCH:
        return [Why.TOO_LONG]
    return []


def _ruled(species: str, fish: Fish, why: list[Why], rule: Rule, bag: Bag | None, today: date) -> Judgement:
    """The ruling of these reasons; an old or unchecked rule leaves all open, but says its say."""
    age = None if rule.checked is None else (today - rule.checked).days
    if age is None:
        why = [Why.NEVER_CHECKED, *why]
    elif age > OLDEST_CHECK:
        why = [Why.OLD_CHECK, *why]
    if Why.NEVER_CHECKED in why or Why.OLD_CHECK in why:
        ruling = Ruling.LOOK_UP
    elif any(reason in _RULED for reason in why):
        ruling = Ruling.RELEASE
    else:
        ruling = Ruling.LOOK_UP if why else Ruling.KEEP
    return Judgement(species, fish, ruling, tuple(why), rule, bag, age)
