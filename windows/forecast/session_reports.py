"""Sessions with what surrounds them: the water at their moments, turns, sun and moon, notes, bait, lead.

The moments of all of a spot's sessions are asked for at once.
"""

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from harmonics.arrays import Array
from harmonics.stations.events import Turns
from harmonics.sums.search import linear_crossings, sign_changes
from windows.astronomy import SkyEvent, day_index
from windows.conditions.assembly import STEP
from windows.conditions.flow import Flow
from windows.conditions.scoring import Conditions, ScoreCurve
from windows.conditions.todays_water import seconds_uncertain
from windows.forecast.leaving import Leaving
from windows.forecast.preparations import BaitPlan, lead_slips, readings
from windows.forecast.reports import Note, Reading, SessionReport, Slack, Turn
from windows.forecast.session_weather import session_weather
from windows.forecast.sessions import Session
from windows.shoreline.gates import Limit, Measure
from windows.shoreline.hours import SunTimes
from windows.shoreline.spots import Spot

DUSK_ALTITUDE = -6.0
"""The sun's altitude at the end of civil twilight, degrees: from then on a person needs a light."""
TURN_SEARCH = 86400.0
"""A turn later than a day after the peak belongs to another tide."""
MINUTE = 60.0


class SessionReporter:
    """Reports the sessions of one spot."""

    def __init__(
        self,
        conditions: Conditions,
        curve: ScoreCurve,
        turns: Turns,
        edges: Array,
        bait: BaitPlan | None,
        leaving: Leaving,
    ) -> None:
        """Prepare what all sessions share.

        Args:
            conditions, curve, turns: of the spot, over the span and beyond.
            edges: of the local days, POSIX seconds, margin included.
            bait: gathering windows; None where the spot has no bank.
            leaving: when to leave for any of them.
        """
        self.leaving = leaving
        self.conditions = conditions
        self.spot = conditions.spot
        self.flow = conditions.flow
        self.curve = curve
        self.turns = turns
        self.edges = edges
        self.bait = bait
        self.departure = conditions.departure
        self.stops = _stops(curve)

    def reports(
        self, sessions: Sequence[Session], events: Sequence[SkyEvent], marks: Sequence[SunTimes], first: date
    ) -> list[SessionReport]:
        """A report a session, in the order given.

        Args:
            sessions: of the spot.
            events: of sun and moon there, sorted.
            marks: the sun's of each local day.
            first: date of the first day of `edges` and `marks`.
        """
        if not sessions:
            return []
        moments = np.array([(item.start, item.peak, item.strongest, item.end) for item in sessions])
        water = readings(self.spot, self.flow, self.conditions.at(moments.reshape(-1)), moments.shape[1])
        days = day_index(self.edges, [item.start for item in sessions])
        times = np.array([event.t for event in events])
        out: list[SessionReport] = []
        for k, (session, day) in enumerate(zip(sessions, days.tolist(), strict=True)):
            start, peak, strongest, end = water[k]
            before, after = self._around(session.peak)
            inside = slice(*np.searchsorted(times, [session.start, np.nextafter(session.end, np.inf)]))
            out.append(
                SessionReport(
                    spot=self.spot,
                    flow=self.flow,
                    day=first + timedelta(days=day),
                    session=session,
                    start=start,
                    peak=peak,
                    strongest=strongest,
                    end=end,
                    turn_before=before,
                    turn_after=after,
                    stops=self._next_stop(session.peak),
                    sun=marks[day],
                    sky=tuple(events[inside]),
                    notes=self._notes(session, start, end),
                    bait=None if self.bait is None else self.bait.before(session),
                    lead_slips=lead_slips(self.spot, self.flow, self.curve, session.start, session.end),
                    turn_uncertain=self._uncertain(before),
                    leaving=self.leaving,
                    weather=session_weather(self.spot, self.curve, session.start, session.end),
                )
            )
        return out

    def _uncertain(self, turn: Turn | None) -> float | None:
        if self.departure is None or turn is None:
            return None
        return seconds_uncertain(self.departure, self.spot.station, turn.t)

    def _around(self, peak: float) -> tuple[Turn | None, Turn | None]:
        """The turns around a session's peak: high before low where water goes out, else low before high."""
        out = float(np.interp(peak, self.curve.t, self.curve.outgoing)) > 0.0
        return _around(self.turns, peak - (self.spot.slack_lag or 0.0), high=out)

    def _next_stop(self, t: float) -> float | None:
        """When the water next stops going as it should after t, to the minute; None within a day."""
        after = int(np.searchsorted(self.stops, t, side="right"))
        if after == len(self.stops) or self.stops[after] > t + TURN_SEARCH:
            return None
        return float(np.ceil(self.stops[after] / MINUTE) * MINUTE)

    def _notes(self, session: Session, start: Reading, end: Reading) -> tuple[Note, ...]:
        midnights = self.edges[(self.edges > session.start) & (self.edges < session.end)]
        levels = np.interp([session.end, session.end + STEP], self.curve.t, self.curve.level)
        said = {
            Note.ASSUMED_TURN: self.flow.assumed_turn,
            Note.SHORT: session.end - session.start < self.spot.preferences.session,
            Note.RISING: bool(levels[1] > levels[0]),
            Note.STARTS_DARK: start.sun_altitude < DUSK_ALTITUDE,
            Note.AFTER_DARK: end.sun_altitude < DUSK_ALTITUDE,
            Note.OVERNIGHT: bool(midnights.size),
            Note.UNWATCHED: unwatched(self.spot, self.flow),
        }
        return tuple(note for note, holds in said.items() if holds)


def unwatched(spot: Spot, flow: Flow) -> bool:
    """Whether the spot has a limit of speed that nothing here can hold."""
    speeds = any(isinstance(gate, Limit) and gate.measure is Measure.SPEED for gate in spot.gates)
    return speeds and not flow.has_speed


def turn_at(turns: Turns, index: int) -> Turn:
    """One turn of many."""
    return Turn(float(turns.t[index]), float(turns.height[index]), bool(turns.high[index]))


def slacks_between(curve: ScoreCurve, start: float, end: float) -> tuple[Slack, ...]:
    """When the flow turns in [start, end), straight between the curve's steps."""
    change = sign_changes(curve.outgoing)
    times = linear_crossings(curve.t, curve.outgoing, change)
    goes_out = curve.outgoing[change + 1] > 0
    inside = (times >= start) & (times < end)
    return tuple(map(Slack, times[inside].tolist(), goes_out[inside].tolist()))


def _stops(curve: ScoreCurve) -> Array:
    """Times at which the water stops going as it should, straight between the curve's steps: sorted."""
    change = sign_changes(curve.going)
    change = change[curve.going[change] >= 0]
    return linear_crossings(curve.t, curve.going, change)


def _around(turns: Turns, t: float, high: bool) -> tuple[Turn | None, Turn | None]:
    """The last high water at or before t and the low water that follows it; or low and high."""
    before = np.flatnonzero((turns.high == high) & (turns.t <= t))
    if not before.size:
        return None, None
    index = int(before[-1])
    return turn_at(turns, index), turn_at(turns, index + 1) if index + 1 < len(turns) else None
