"""The finished forecast: frozen, in SI units and POSIX seconds, everything a renderer needs to explain it."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum, unique

from harmonics.records.observed import Departure
from harmonics.stations.events import Turns
from windows.astronomy import SkyEvent
from windows.conditions.bait import BankState, GatheringWindow
from windows.conditions.flow import Flow
from windows.conditions.scoring import ScoreCurve
from windows.forecast.planning import Session
from windows.shoreline.gates import Gate
from windows.shoreline.head import Head
from windows.shoreline.hours import ANY_HOURS, Hours, SunTimes
from windows.shoreline.spots import Bank, Spot


@dataclass(frozen=True, slots=True)
class Reading:
    """The water at one moment of a session.

    Attributes:
        t: POSIX seconds.
        level: metres above datum, with today's departure from prediction where readings tell it.
        outgoing: m/s, of speed past the spot or of falling level, as the spot's flow has it.
        sun_altitude: degrees.
        depth: metres of water; None where the spot's depth is not known.
        lead: kilograms that may hold bottom and that should; None where speed or depth is not known.
        departure: how much of the level is not the tide's, metres.
    """

    t: float
    level: float
    outgoing: float
    sun_altitude: float
    depth: float | None = None
    lead: tuple[float, float] | None = None
    departure: float = 0.0


@dataclass(frozen=True, slots=True)
class Turn:
    """One high or low water: POSIX seconds, metres above datum."""

    t: float
    height: float
    high: bool


@dataclass(frozen=True, slots=True)
class Slack:
    """When the flow past a spot turns, POSIX seconds, and whether it then goes out."""

    t: float
    goes_out: bool


@dataclass(frozen=True, slots=True)
class BaitReport:
    """Bait for a session.

    Attributes:
        bank: where it is gathered.
        state: what the tide does to the bank over the forecast.
        window: the last gathering window before the session; None where there is none.
    """

    bank: Bank
    state: BankState
    window: GatheringWindow | None


@dataclass(frozen=True, slots=True)
class Leaving:
    """When to leave for a session.

    Attributes:
        ahead: seconds before it starts.
        travel, rigging: seconds on the way and to be ready, as the file says; None where it does not.
    """

    ahead: float
    travel: float | None
    rigging: float | None

    @property
    def known(self) -> bool:
        """Whether the file says anything of it; else `ahead` is an assumption."""
        return self.travel is not None or self.rigging is not None


ASSUMED_AHEAD = 2700.0
"""Half an hour on the way and a quarter to be ready: an assumption where the file says neither."""
NOT_SAID = Leaving(ASSUMED_AHEAD, None, None)


def leaving_of(spot: Spot) -> Leaving:
    """How long before a session a person leaves for a spot: what its file says, else an assumption."""
    travel, rigging = spot.preferences.travel, spot.preferences.rigging
    if travel is None and rigging is None:
        return NOT_SAID
    return Leaving((travel or 0.0) + (rigging or 0.0), travel, rigging)


@unique
class Note(StrEnum):
    """What a session's row must say besides its numbers."""

    ASSUMED_TURN = "assumes the current turns with the tide; check at the spot"
    AFTER_DARK = "ends after dark: carry a light"
    RISING = "the water is rising at the end: watch the way back"
    SHORT = "the window is shorter than the session"
    OVERNIGHT = "runs past midnight"
    UNWATCHED = "no speed is known here: the greatest speed can't shut the spot"


@dataclass(frozen=True, eq=False)
class SessionReport:
    """A session and what surrounds it.

    Attributes:
        spot: where.
        flow: how its water is known to move.
        day: the local day its window starts in.
        session: times, points and the early-or-late check.
        start, peak, end: the water at these moments.
        last_high, next_low: the high water whose ebb makes the session's peak (the spot's lag counted), and
            the low water after it.
        next_turn: when the water next stops going out after the session's peak; None if not within a day.
        sunset, dusk: of the day; None where the sun does not set or twilight does not end.
        sky: events of sun and moon inside the session.
        notes: what the row must say.
        bait: where and when to gather it; None where the file names no bank.
        lead_slips: when the heaviest lead carried may no longer hold; None where it does, or none is known.
        high_uncertain: standard deviation of the last high water's time, seconds; None without readings.
        leaving: when to leave for it.
        rank: its place among all sessions of the forecast, 1 the best.
    """

    spot: Spot
    flow: Flow
    day: date
    session: Session
    start: Reading
    peak: Reading
    end: Reading
    last_high: Turn | None
    next_low: Turn | None
    next_turn: float | None
    sunset: float | None
    dusk: float | None
    sky: tuple[SkyEvent, ...]
    notes: tuple[Note, ...]
    bait: BaitReport | None = None
    lead_slips: float | None = None
    high_uncertain: float | None = None
    leaving: Leaving = NOT_SAID
    rank: int = 0

    @property
    def leave_by(self) -> float | None:
        """POSIX seconds at which to leave; None where the file does not say how long the way is."""
        return self.start.t - self.leaving.ahead if self.leaving.known else None

    @property
    def range(self) -> float | None:
        """Fall from the last high water to the next low water, metres."""
        if self.last_high is None or self.next_low is None:
            return None
        return self.last_high.height - self.next_low.height

    @property
    def hours_after_high(self) -> float | None:
        """Hours from that high water to the session's start; less than 0 where the spot turns before it."""
        return None if self.last_high is None else (self.start.t - self.last_high.t) / 3600.0


@unique
class Lack(StrEnum):
    """Why a day has no window."""

    DAY_OFF = "not one of your days"
    STILL = "the water hardly moves"
    STRONG = "the current is too strong"
    INCOMING = "no outgoing water"
    SHUT = "the water goes out only while the spot is shut"
    FAINT = "too few points"
    SHORT = "too short"
    TAIL = "only the end of the day before's window"
    OVERLAP = "its good water is part of a session of the day before or after"
    SKIPPED = "the calendar skips this date here"


@dataclass(frozen=True, slots=True)
class NoWindow:
    """Why nothing ranks on a day.

    Attributes:
        lack: the kind of reason.
        gate: the class of the gate in the way, where one is.
        best_points, best_t: the day's highest score and its time, where there is any.
        strongest: greatest outgoing movement of the day, m/s (as the spot's flow has it).
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
        return min(self.sessions, key=lambda item: item.session.rank_key, default=None)


@dataclass(frozen=True, eq=False)
class SpotReport:
    """One spot over the whole forecast.

    Attributes:
        spot: where.
        flow: how its water is known to move.
        days: local days in order.
        curve: the score curve, reaching a day beyond both ends.
        turns: high and low waters over the same span.
        departure: how the water stands against its prediction today; None without readings.
        hours: when the person can fish there.
    """

    spot: Spot
    flow: Flow
    days: tuple[DayReport, ...]
    curve: ScoreCurve
    turns: Turns
    departure: Departure | None = None
    hours: Hours = ANY_HOURS


@dataclass(frozen=True, eq=False)
class Forecast:
    """Spots over some local days, and their sessions in order.

    Attributes:
        head: of the file.
        made_at: POSIX seconds of the clock passed in.
        first: first local day.
        days: how many.
        spots: in the file's order.
        ranking: sessions of all spots, best first.
    """

    head: Head
    made_at: float
    first: date
    days: int
    spots: tuple[SpotReport, ...]
    ranking: tuple[SessionReport, ...]
