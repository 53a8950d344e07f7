"""Sessions with what surrounds them: the water at their moments, turns, sun and moon, notes, bait, lead.

Sessions start and end on the score curve's steps, so everything is read off the curve for all of a spot's
sessions at once.
"""

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from harmonics.arrays import Array
from harmonics.records.observed import Departure
from harmonics.stations.events import Turns
from harmonics.sums.search import linear_crossings, sign_changes
from windows.astronomy import SkyEvent, day_index
from windows.conditions.assembly import STEP
from windows.conditions.flow import Flow
from windows.conditions.scoring import ScoreCurve
from windows.conditions.todays_water import seconds_uncertain
from windows.forecast.planning import Session
from windows.forecast.preparations import BaitPlan, lead_slips, readings
from windows.forecast.reports import Note, Reading, SessionReport, Slack, Turn, leaving_of
from windows.shoreline.gates import Limit, Measure
from windows.shoreline.hours import SunMark, SunTimes
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
        spot: Spot,
        flow: Flow,
        curve: ScoreCurve,
        turns: Turns,
        edges: Array,
        bait: BaitPlan | None,
        departure: Departure | None = None,
    ) -> None:
        """Prepare what all sessions share.

        Args:
            spot, flow, curve, turns: of the spot, over the span and beyond.
            edges: of the local days, POSIX seconds, margin included.
            bait: gathering windows; None where the spot has no bank.
            departure: of today's water; None without readings.
        """
        self.spot = spot
        self.flow = flow
        self.curve = curve
        self.turns = turns
        self.edges = edges
        self.bait = bait
        self.departure = departure
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
        moments = np.array([(item.start, item.peak, item.end) for item in sessions])
        index = np.rint((moments - self.curve.t[0]) / STEP).astype(int)
        water = readings(self.spot, self.flow, self.curve, index)
        days = day_index(self.edges, [item.window.start for item in sessions])
        times = np.array([event.t for event in events])
        out: list[SessionReport] = []
        for k, (session, day) in enumerate(zip(sessions, days.tolist(), strict=True)):
            start, peak, end = water[k]
            last_high, next_low = _around(self.turns, session.peak - (self.spot.slack_lag or 0.0))
            inside = slice(*np.searchsorted(times, [session.start, np.nextafter(session.end, np.inf)]))
            out.append(
                SessionReport(
                    spot=self.spot,
                    flow=self.flow,
                    day=first + timedelta(days=day),
                    session=session,
                    start=start,
                    peak=peak,
                    end=end,
                    last_high=last_high,
                    next_low=next_low,
                    next_turn=self._next_turn(session.peak),
                    sunset=marks[day].get(SunMark.SUNSET),
                    dusk=marks[day].get(SunMark.DUSK),
                    sky=tuple(events[inside]),
                    notes=self._notes(session, end, int(index[k, 2])),
                    bait=None if self.bait is None else self.bait.before(session),
                    lead_slips=lead_slips(self.spot, self.flow, self.curve, session.start, session.end),
                    high_uncertain=self._uncertain(last_high),
                    leaving=leaving_of(self.spot),
                )
            )
        return out

    def _uncertain(self, turn: Turn | None) -> float | None:
        if self.departure is None or turn is None:
            return None
        return seconds_uncertain(self.departure, self.spot.station, turn.t)

    def _next_turn(self, t: float) -> float | None:
        """When the water next stops going out after t, to the minute; None within a day."""
        after = int(np.searchsorted(self.stops, t, side="right"))
        if after == len(self.stops) or self.stops[after] > t + TURN_SEARCH:
            return None
        return float(np.ceil(self.stops[after] / MINUTE) * MINUTE)

    def _notes(self, session: Session, end: Reading, index: int) -> tuple[Note, ...]:
        window = session.window
        length = min(session.end, window.end) - max(session.start, window.start)
        midnights = self.edges[(self.edges > session.start) & (self.edges < session.end)]
        said = {
            Note.ASSUMED_TURN: self.flow.assumed_turn,
            Note.SHORT: length < session.end - session.start and window.end - window.start <= length,
            Note.RISING: bool(self.curve.level[index + 1] > self.curve.level[index]),
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
    """Times at which the water stops going out, straight between the curve's steps: sorted."""
    change = sign_changes(curve.outgoing)
    change = change[curve.outgoing[change] >= 0]
    return linear_crossings(curve.t, curve.outgoing, change)


def _around(turns: Turns, t: float) -> tuple[Turn | None, Turn | None]:
    """The last high water at or before t, and the low water that follows it."""
    highs = np.flatnonzero(turns.high & (turns.t <= t))
    if not highs.size:
        return None, None
    index = int(highs[-1])
    return turn_at(turns, index), turn_at(turns, index + 1) if index + 1 < len(turns) else None
