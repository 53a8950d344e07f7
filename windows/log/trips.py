"""A trip as it is kept: frozen, UTC POSIX seconds, SI units, degrees Celsius. Zeros are part of it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from uuid import NAMESPACE_OID, uuid4, uuid5

from harmonics.errors import Problem
from windows.shoreline.rules import Measured, species_key

SECONDS_PER_HOUR = 3600.0
FIRST_YEAR, LAST_YEAR = 1000, 2999
EARLIEST, LATEST = -30610224000.0, 32503680000.0
"""1000-01-01 and 3000-01-01 UTC: what lies between has a local time in every zone."""
LONGEST_TRIP = 7 * 86400.0
MOST_ANGLERS = 50
MOST_FISH = 1000
"""Of one species on one trip."""
LONGEST_FISH = 10.0
MOST_LEAD = 5.0
COLDEST, WARMEST = -3.0, 45.0
"""Of water, degrees Celsius: a larger number is one of Fahrenheit without its letter."""
STRONGEST_WIND = 80.0
FASTEST_WATER = 10.0
LONGEST_WORDS = 2000
LONGEST_NAME = 200
MOST_SHOWN = 60


class Clarity(StrEnum):
    """How far one sees into the water, in the words people note."""

    CLEAR = "clear"
    CLOUDY = "cloudy"
    MUDDY = "muddy"


class SeenKind(StrEnum):
    """What the water was seen to do at a time."""

    TURNED_OUT = "turned_out"
    TURNED_IN = "turned_in"
    DRIFT = "drift"
    BARED = "bared"
    COVERED = "covered"


class Made(StrEnum):
    """When a trip's forecast was made: before it, with its entry, or by hindsight."""

    PLANNED = "planned"
    LOGGED = "logged"
    LATER = "later"


@dataclass(frozen=True, slots=True)
class Fish:
    """One fish.

    Attributes:
        kept: False where it was released.
        length: metres; None where not measured.
        measured: how; None where not said.
        t: when it was landed; None where not noted.
    """

    kept: bool
    length: float | None = None
    measured: Measured | None = None
    t: float | None = None


@dataclass(frozen=True, slots=True)
class Catch:
    """The fish of one species; none where it was sought and not caught."""

    species: str
    fish: tuple[Fish, ...] = ()

    @property
    def kept(self) -> int:
        """How many were kept."""
        return sum(fish.kept for fish in self.fish)

    @property
    def released(self) -> int:
        """How many went back."""
        return len(self.fish) - self.kept


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen of the water.

    Attributes:
        kind: what; TURNED_OUT where the current began to go out, BARED and COVERED of the bait bank.
        t: when.
        speed: of a drift over the ground, m/s; None for the others.
    """

    kind: SeenKind
    t: float
    speed: float | None = None


@dataclass(frozen=True, slots=True)
class FactorPoints:
    """What one factor gave, and the most it could have given."""

    factor: str
    points: float
    most: float


@dataclass(frozen=True, slots=True)
class FrozenForecast:
    """The forecast of a trip's hours as it stood when it was made.

    Attributes:
        points: of 100, the mean over the trip's hours.
        factors: how they came about.
        version: of the program that made it.
        made_at: POSIX seconds.
        made: before the trip, with its entry, or later.
        chance: how often such water comes true, 0 to 1; None where no record tells.
    """

    points: float
    factors: tuple[FactorPoints, ...]
    version: str
    made_at: float
    made: Made
    chance: float | None = None


@dataclass(frozen=True)
class Trip:
    """A trip, planned or fished.

    Attributes:
        uid: its own for good, in whatever log it stands.
        spot, spot_name, shore: id and name of the spot, title of its file, as they stood.
        zone: IANA name of the clock the trip was lived by.
        start, end: of fishing; of the plan while it is only planned.
        anglers: how many fished.
        fished_for: seconds that lines were in the water; None for the whole time.
        bait, quarry: words; empty where not said.
        catches: by species; empty for a trip without any fish.
        seen: what was seen of the water.
        lead_held: kilograms that held bottom.
        temperature: of the water, degrees Celsius.
        wind_speed, wind_from: m/s, and the degrees it came from.
        clarity: of the water.
        words: whatever else is worth keeping, on one line.
        forecast: frozen; None where there is none.
        planned_start, planned_end: as planned before; None where it was not.
        fished: False while it is only planned.
        logged_at: when it was entered.
        removed_at: when it was taken out of the log; None while it counts.
        number: its number in the log it was read from; None before it is kept.
    """

    uid: str
    spot: str
    spot_name: str
    shore: str
    zone: str
    start: float
    end: float
    logged_at: float
    anglers: int = 1
    fished_for: float | None = None
    bait: str = ""
    quarry: str = ""
    catches: tuple[Catch, ...] = ()
    seen: tuple[Seen, ...] = ()
    lead_held: float | None = None
    temperature: float | None = None
    wind_speed: float | None = None
    wind_from: float | None = None
    clarity: Clarity | None = None
    words: str = ""
    forecast: FrozenForecast | None = None
    planned_start: float | None = None
    planned_end: float | None = None
    fished: bool = True
    removed_at: float | None = None
    number: int | None = None

    @property
    def angler_hours(self) -> float:
        """Effort: anglers x hours that lines were in the water."""
        seconds = self.end - self.start if self.fished_for is None else self.fished_for
        return self.anglers * seconds / SECONDS_PER_HOUR

    def caught(self, species: str | None = None) -> int:
        """Fish of one species, or of all."""
        return sum(len(c.fish) for c in self.catches if species is None or same_species(c.species, species))

    def every_fish(self) -> Iterator[tuple[str, Fish]]:
        """Each fish with its species."""
        for catch in self.catches:
            for fish in catch.fish:
                yield catch.species, fish

    def without_number(self) -> "Trip":
        """The trip apart from the log it stands in."""
        return replace(self, number=None)


def new_uid() -> str:
    """An identifier that no other trip has."""
    return uuid4().hex


def uid_of(*parts: object) -> str:
    """An identifier told from a trip's own data, for logs that give none: the same each time."""
    return uuid5(NAMESPACE_OID, "\x1f".join(map(str, parts))).hex


def same_species(one: str, other: str) -> bool:
    """Whether two names mean one species: case and blanks do not matter."""
    return species_key(one) == species_key(other)


def faults(trip: Trip) -> list[Problem]:
    """Everything about a trip that can't be: `where` names the attribute."""
    found: list[Problem] = []

    def expect(holds: bool, where: str, shown: str, expected: str) -> None:
        if not holds:
            found.append(Problem(where, shown, expected))

    years = f"a year from {FIRST_YEAR} to {LAST_YEAR}"
    expect(EARLIEST <= trip.start < LATEST, "start", "a year of another age", years)
    expect(trip.end > trip.start, "end", "an end that is not after the start", "a later time")
    expect(
        trip.end - trip.start <= LONGEST_TRIP, "end", "a trip of more than a week", "one of 7 days or less"
    )
    expect(1 <= trip.anglers <= MOST_ANGLERS, "anglers", str(trip.anglers), f"1 to {MOST_ANGLERS}")
    if trip.fished_for is not None:
        holds = 0 < trip.fished_for <= trip.end - trip.start
        shown = f"{trip.fished_for / 60:g} min"
        expect(holds, "fished_for", shown, "more than nothing, at most the whole trip")
    for where, value, least, most, unit in (
        ("lead_held", trip.lead_held, 0.0, MOST_LEAD, "kg"),
        ("temperature", trip.temperature, COLDEST, WARMEST, "degrees Celsius"),
        ("wind_speed", trip.wind_speed, 0.0, STRONGEST_WIND, "m/s"),
        ("wind_from", trip.wind_from, 0.0, 360.0, "degrees"),
    ):
        if value is not None:
            expect(least <= value <= most, where, f"{value:g} {unit}", f"{least:g} to {most:g} {unit}")
    for where, text, longest in (
        ("bait", trip.bait, LONGEST_NAME),
        ("quarry", trip.quarry, LONGEST_NAME),
        ("words", trip.words, LONGEST_WORDS),
    ):
        expect(_tidy(text, longest), where, _shown(text), f"one line of at most {longest} characters")
    found += _catch_faults(trip)
    for seen in trip.seen:
        near = trip.start - 86400.0 <= seen.t <= trip.end + 86400.0
        expect(near, seen.kind.value, "a time more than a day from the trip", "the day of the trip")
        speed = seen.speed is not None and 0 <= seen.speed <= FASTEST_WATER
        given = speed if seen.kind is SeenKind.DRIFT else seen.speed is None
        expect(given, seen.kind.value, f"a speed of {seen.speed}", "a speed with a drift, up to 10 m/s")
    return found


def _tidy(text: str, longest: int) -> bool:
    """Whether a text stands on one line, without blanks at its ends or in a row."""
    return len(text) <= longest and text.isprintable() and text == " ".join(text.split())


def _shown(text: str) -> str:
    return repr(text if len(text) <= MOST_SHOWN else f"{text[:MOST_SHOWN]}...")


def _catch_faults(trip: Trip) -> list[Problem]:
    found: list[Problem] = []
    names = [species_key(catch.species) for catch in trip.catches]
    for place, (catch, name) in enumerate(zip(trip.catches, names, strict=True)):
        if not name or not _tidy(catch.species, LONGEST_NAME):
            found.append(Problem("species", _shown(catch.species), "a name on one line"))
        if name in names[:place]:
            found.append(Problem("species", f"'{catch.species}' twice", "each species once"))
        if len(catch.fish) > MOST_FISH:
            found.append(Problem("species", f"{len(catch.fish)} fish", f"at most {MOST_FISH} of a species"))
        for fish in catch.fish:
            if fish.length is not None and not 0 < fish.length <= LONGEST_FISH:
                found.append(Problem("length", f"{fish.length:g} m", f"up to {LONGEST_FISH:g} m"))
            if fish.t is not None and not trip.start <= fish.t <= trip.end:
                found.append(Problem("species", "a fish landed outside the trip", "a time within it"))
    return found
