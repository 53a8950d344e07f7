"""A forecast set against what happened: frozen, SI units and POSIX seconds, all that a renderer needs."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from harmonics.arrays import Array, Flags
from harmonics.records.verification import Tenth, brier, climate_brier, coverage, reliability
from harmonics.stations.types import Station
from windows.shoreline.head import Head
from windows.shoreline.spots import Spot


@dataclass(frozen=True, slots=True)
class ProvenSession:
    """A session as it was forecast, and what came.

    Attributes:
        spot: where.
        start, end: POSIX seconds.
        points: expected.
        chance: that was said of it.
        came: whether it came true: a mean flow factor of a half or more, counted where the water opens the
            limits.
        level_low, level_high, level: metres above datum at its peak: the range that was said, and as it was.
    """

    spot: Spot
    start: float
    end: float
    points: float
    chance: float
    came: bool
    level_low: float
    level_high: float
    level: float


@dataclass(frozen=True, eq=False)
class ProvenHours:
    """The full hours of the judged time at the spots, whatever the light; all arrays of one shape (n,).

    Attributes:
        t: POSIX seconds.
        chance: of good water, a flow factor of a half or more with the water's limits open.
        plain: whether the tide alone said so.
        came: whether it came.
        low, high, level: metres above datum: the range of eight cases in ten, and as it was.
    """

    t: Array
    chance: Array
    plain: Flags
    came: Flags
    low: Array
    high: Array
    level: Array

    @classmethod
    def joined(cls, parts: "Sequence[ProvenHours]") -> "ProvenHours":
        """Several as one."""
        names = ("t", "chance", "plain", "came", "low", "high", "level")
        return cls(*(np.concatenate([getattr(part, name) for part in parts]) for name in names))


@dataclass(frozen=True, slots=True)
class TurnTimes:
    """How the real turns lay against the predicted ones.

    Attributes:
        late: mean, seconds; negative is early.
        spread: standard deviation, seconds.
        found: turns that the record shows.
        missing: turns that it does not show within three hours.
    """

    late: float
    spread: float
    found: int
    missing: int


@dataclass(frozen=True, slots=True)
class LevelError:
    """Observed less predicted level over the judged time.

    Attributes:
        mean, deviation: metres.
        with_weather: deviation with the weather as it was, metres; None where that is not known or not used.
        same_hours: deviation without it at the hours whose weather is known, metres; None likewise.
        tide: standard deviation of the predicted level, metres.
    """

    mean: float
    deviation: float
    with_weather: float | None
    same_hours: float | None
    tide: float


@dataclass(frozen=True, slots=True)
class Lead:
    """Root mean square of what is left of the level at one time after a reading, metres.

    Attributes:
        hours: after the reading.
        fading: with the departure carried forward as it fades.
        persistence: with all of it carried forward.
        nothing: with the tide alone.
        count: readings it rests on.
    """

    hours: float
    fading: float
    persistence: float
    nothing: float
    count: int


@dataclass(frozen=True, eq=False)
class Proof:
    """A station's forecasts over one part of its record, by what the part before it tells.

    Attributes:
        head: of the file.
        made_at: POSIX seconds of the clock passed in.
        station: whose record it is, with the constants that were used.
        refitted: whether those come from the first part of the record.
        learned: where the first part begins, POSIX seconds.
        start, end: of the part that is judged, POSIX seconds.
        sessions: in order of spot and time; those that a gap of the record hides are left out.
        hidden: how many those are.
        hours: of all spots.
        turns: timing of high and low waters.
        error: of the level.
        response: share of the level's variance that weather explained in the first part; None without.
        leads: whether today's readings help, by lead time.
    """

    head: Head
    made_at: float
    station: Station
    refitted: bool
    learned: float
    start: float
    end: float
    sessions: tuple[ProvenSession, ...]
    hidden: int
    hours: ProvenHours
    turns: TurnTimes
    error: LevelError
    response: float | None
    leads: tuple[Lead, ...]

    @cached_property
    def came(self) -> int:
        """Sessions that came true."""
        return sum(item.came for item in self.sessions)

    @cached_property
    def session_scores(self) -> "Scores":
        """Of the sessions; the plain forecast says that each comes."""
        chance = np.array([item.chance for item in self.sessions])
        came = np.array([item.came for item in self.sessions], dtype=bool)
        return scores(chance, np.ones_like(came), came)

    @cached_property
    def hour_scores(self) -> "Scores":
        """Of the hours."""
        return scores(self.hours.chance, self.hours.plain, self.hours.came)

    @cached_property
    def in_range(self) -> float:
        """Share of hours whose level lay in the range of eight cases in ten."""
        return coverage(self.hours.low, self.hours.high, self.hours.level)


@dataclass(frozen=True, slots=True)
class Scores:
    """How good chances were.

    Attributes:
        tenths: what was said against what was seen.
        brier: of the chances.
        plain: Brier score of the tide alone, which says yes or no.
        climate: of always saying the share that was seen.
    """

    tenths: tuple[Tenth, ...]
    brier: float
    plain: float
    climate: float


def scores(chance: Array, plain: Flags, came: Flags) -> Scores:
    """Of chances (0 to 1), a plain yes or no, and what came; shapes (n,)."""
    return Scores(reliability(chance, came), brier(chance, came), brier(plain, came), climate_brier(came))
