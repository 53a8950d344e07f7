"""The finished forecast: frozen, in SI units and POSIX seconds, everything a renderer needs to explain it."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum, unique
from typing import TYPE_CHECKING, NamedTuple

from harmonics.arrays import Array
from harmonics.stations.events import Turns
from windows.astronomy import SkyEvent
from windows.conditions.bait import BankState, GatheringWindow
from windows.conditions.flow import Flow
from windows.conditions.scoring import Conditions, ScoreCurve
from windows.forecast.leaving import NOT_SAID, Leaving
from windows.forecast.ranking import RankGroup, group_of
from windows.forecast.sessions import Session
from windows.shoreline.gates import Gate
from windows.shoreline.head import Head
from windows.shoreline.hours import ANY_HOURS, Hours, SunMark, SunTimes
from windows.shoreline.spots import Bank, Spot

if TYPE_CHECKING:
    from harmonics.records.observed import Departure
    from windows.forecast.foreseen import SessionWeather

HALF_A_DAY = 43200.0


class Reading(NamedTuple):
    """The water at one moment of a session.

    Attributes:
        t: POSIX seconds.
        level: metres above datum, with today's departure from prediction where readings tell it.
        going: m/s in the direction that is fished, speed or change of level as the flow has it.
        sun_altitude: degrees.
        depth: metres of water; None where the spot's depth is not known.
        lead: kilograms that may hold bottom and that should; None where speed or depth is not known.
        departure: how much of the level is not the tide's, metres.
    """

    t: float
    level: float
    going: float
    sun_altitude: float
    depth: float | None = None
    lead: tuple[float, float] | None = None
    departure: float = 0.0


class Turn(NamedTuple):
    """One high or low water: POSIX seconds, metres above datum."""

    t: float
    height: float
    high: bool


class Slack(NamedTuple):
    """When the flow past a spot turns, POSIX seconds, and whether it then goes out."""

    t: float
    goes_out: bool


class BaitReport(NamedTuple):
    """Bait for a session.

    Attributes:
        bank: where it is gathered.
        state: what the tide does to the bank over the forecast.
        window: the last gathering window before the session; None where there is none.
        temperature: of the water in the middle of the window, degrees Celsius; None where not known.
    """

    bank: Bank
    state: BankState
    window: GatheringWindow | None
    temperature: float | None = None


@unique
class Note(StrEnum):
    """What a session's row must say besides its numbers."""

    ASSUMED_TURN = "assumes the current turns with the tide; check at the spot"
    STARTS_DARK = "starts in the dark: carry a light"
    AFTER_DARK = "ends after dark: carry a light"
    RISING = "the water is rising at the end: watch the way back"
    SHORT = "shorter than the session you want"
    OVERNIGHT = "runs past midnight"
    UNWATCHED = "no speed is known here: the greatest speed can't shut the spot"


@dataclass(frozen=True, eq=False)
class SessionReport:
    """A session and what surrounds it.

    Attributes:
        spot: where.
        flow: how its water is known to move.
        day: the local day it starts in.
        session: times, points and the early-or-late check.
        start, peak, strongest, end: the water at these moments.
        turn_before, turn_after: the high and low water between which the session's peak lies (the spot's lag
            counted).
        stops: when the water next stops going as it should after the peak; None if not within a day.
        sun: the sun's events of the day; one that does not happen is absent.
        sky: events of sun and moon inside the session.
        notes: what the row must say.
        bait: where and when to gather it; None where the file names no bank.
        lead_slips: when the heaviest lead carried may no longer hold; None where it does, or none is known.
        turn_uncertain: standard deviation of the time of the turn before, seconds; None without readings.
        leaving: when to leave for it.
        rank: its place among the sessions that it compares with, 1 the best.
        level: whether others share the rank.
        weather: over it; None where none is known.
    """

    spot: Spot
    flow: Flow
    day: date
    session: Session
    start: Reading
    peak: Reading
    strongest: Reading
    end: Reading
    turn_before: Turn | None
    turn_after: Turn | None
    stops: float | None
    sun: SunTimes
    sky: tuple[SkyEvent, ...]
    notes: tuple[Note, ...]
    bait: BaitReport | None = None
    lead_slips: float | None = None
    turn_uncertain: float | None = None
    leaving: Leaving = NOT_SAID
    rank: int = 0
    level: bool = False
    weather: "SessionWeather | None" = None

    @property
    def leave_by(self) -> float | None:
        """POSIX seconds at which to leave; None where the file does not say how long the way is."""
        return self.start.t - self.leaving.ahead if self.leaving.known else None

    @property
    def range(self) -> float | None:
        """Fall or rise from the turn before to the turn after, metres."""
        if self.turn_before is None or self.turn_after is None:
            return None
        return abs(self.turn_before.height - self.turn_after.height)

    @property
    def hours_after_turn(self) -> float | None:
        """Hours from the turn before to the session's start; less than 0 where the spot turns before it."""
        return None if self.turn_before is None else (self.start.t - self.turn_before.t) / 3600.0

    @property
    def group(self) -> RankGroup:
        """The sessions it compares with."""
        return group_of(self.flow)

    @property
    def order(self) -> tuple[int, bool, float]:
        """Sorts the sessions that compare: by rank, inside one daylight before dark, then the earlier."""
        return (self.rank, self.session.dark, self.session.start)

    @property
    def morning(self) -> bool:
        """Whether its middle lies before that of the day's light; with one edge, half a day from it."""
        middle = (self.session.start + self.session.end) / 2.0
        rise, fall = (self.sun.get(mark) for mark in (SunMark.SUNRISE, SunMark.SUNSET))
        if rise is None:
            return fall is not None and middle < fall - HALF_A_DAY
        return middle < (rise + HALF_A_DAY if fall is None else (rise + fall) / 2.0)


RIM = -0.8333
"""Degrees: the sun's middle when its rim stands in the horizon, with the air's usual bend."""


@unique
class Lack(StrEnum):
    """Why a day has no window."""

    DAY_OFF = "not one of your days"
    STILL = "the water hardly moves"
    STRONG = "the current is too strong"
    INCOMING = "no water that goes as it should"
    SHUT = "the water goes out only while the spot is shut"
    FAINT = "too few points"
    SHORT = "too short"
    TAIL = "only the edge of another day's window"
    OVERLAP = "its good water is part of a session of the day before or after"
    SKIPPED = "the calendar skips this date here"


class NoWindow(NamedTuple):
    """Why nothing ranks on a day.

    Attributes:
        lack: the kind of reason.
        gate: the class of the gate in the way, where one is.
        best_points, best_t: the day's highest score and its time, where there is any.
        strongest: greatest movement of the day in the direction that is fished, m/s (as the flow has it).
        needed: movement from which the flow counts half, m/s.
        crossing: the moon's equator crossing near by, where that is why a diurnal tide fails.
    """

    lack: Lack
    gate: type[Gate] | None
    best_points: float
    best_t: float | None
    strongest: float
    needed: float
    crossing: float | None


@dataclass(frozen=True, eq=False)
class DayReport:
    """One local day at one spot.

    Attributes:
        day: the date.
        start, end: its edges, POSIX seconds.
        turns: high and low waters inside.
        greatest_range: greatest rise or fall that touches the day, metres; None where the tide stands.
        sun: dawn, sunrise, sunset and dusk; absent where they do not happen.
        sky: events of sun and moon inside the day.
        sessions: in order of time.
        no_window: why there is none; None where there is one.
        slacks: when the flow turns.
    """

    day: date
    start: float
    end: float
    turns: tuple[Turn, ...]
    greatest_range: float | None
    sun: SunTimes
    sky: tuple[SkyEvent, ...]
    sessions: tuple[SessionReport, ...]
    no_window: NoWindow | None
    slacks: tuple[Slack, ...] = ()

    @property
    def best(self) -> SessionReport | None:
        """The day's best session."""
        return min(self.sessions, key=lambda item: item.order, default=None)


@unique
class Outside(StrEnum):
    """How a session misses the hours and days one can fish."""

    BEFORE = "before your hours"
    AFTER = "after your hours"
    DAY_OFF = "on a day that is none of yours"


class OutsideWish(NamedTuple):
    """A good session that only a person's hours and days rule out."""

    session: SessionReport
    kind: Outside


@dataclass(frozen=True, eq=False)
class SpotReport:
    """One spot over the whole forecast.

    Attributes:
        spot: where.
        conditions: all that its score depends on.
        days: local days in order.
        curve: the score curve, reaching a day beyond both ends.
        expected: mean of the points over how wrong the water can be, at the curve's steps.
        early_late: points with the water 30 minutes early and late, at the curve's steps; shape (2, n).
        turns: high and low waters over the same span.
        hours: when the person can fish there.
        outside: the best session that only their hours and days rule out, where none inside is as good.
    """

    spot: Spot
    conditions: Conditions
    days: tuple[DayReport, ...]
    curve: ScoreCurve
    expected: Array
    early_late: Array
    turns: Turns
    hours: Hours = ANY_HOURS
    outside: OutsideWish | None = None

    @property
    def flow(self) -> Flow:
        """How its water is known to move."""
        return self.conditions.flow

    @property
    def departure(self) -> "Departure | None":
        """How the water stands against its prediction today; None without readings."""
        return self.conditions.departure

    @property
    def group(self) -> RankGroup:
        """The spots it compares with."""
        return group_of(self.flow)

    def sun_stays_up(self, day: DayReport) -> bool:
        """Whether it does on a day on which it neither rises nor sets."""
        first = int(self.curve.t.searchsorted(day.start))
        return bool(self.curve.sun_altitude[first] > RIM)


@dataclass(frozen=True, eq=False)
class Forecast:
    """Spots over some local days, and their sessions in order.

    Attributes:
        head: of the file.
        made_at: POSIX seconds of the clock passed in.
        first: first local day.
        days: how many.
        spots: in the file's order.
        ranking: sessions of all spots: those with a known speed first, then those known by their fall alone;
            in each of the two groups the best first. Only inside a group do they compare.
    """

    head: Head
    made_at: float
    first: date
    days: int
    spots: tuple[SpotReport, ...]
    ranking: tuple[SessionReport, ...]

    def group(self, group: RankGroup) -> tuple[SessionReport, ...]:
        """The sessions of one group, best first."""
        return tuple(item for item in self.ranking if item.group is group)

    @property
    def firsts(self) -> tuple[SessionReport, ...]:
        """The first of each group that has any."""
        every = (self.group(group) for group in RankGroup)
        return tuple(found[0] for found in every if found)
