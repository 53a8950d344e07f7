"""The one orchestrator: water, sky and preferences of some spots over some days, as a finished forecast."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from harmonics import tides
from harmonics.arguments import Array
from harmonics.errors import EbblightError
from harmonics.events import Turns
from windows.astronomy import (
    Body,
    Sky,
    SkyEvent,
    SkyEventKind,
    SkyRangeError,
    day_edges,
    day_index,
    events_by_day,
)
from windows.daily import fishing_hours, sun_marks
from windows.flow import Flow
from windows.flow_models import flow_of
from windows.hours import ANY_HOURS, Hours, SunMark
from windows.lacks import no_window
from windows.planning import STEP, Session, Window, find_session, find_windows, ranked
from windows.preparations import BaitPlan, lead_slips, with_depth_and_lead
from windows.reports import DayReport, Forecast, Note, Reading, SessionReport, SpotReport, Turn
from windows.scoring import Conditions, MoonTimes, ScoreCurve
from windows.shore import Shore
from windows.spots import Spot

MARGIN_DAYS = 3
"""Windows that straddle the span, and sessions around them, need the score beyond both ends; one of these
days may be a date that the calendar skips."""
MARGIN = 36 * 3600.0
NEIGHBOURS = 12 * 3600.0
"""Windows this near the span compete with those inside, whose sessions they may overlap (the longest session
lasts as long)."""
DUSK_ALTITUDE = -6.0
TURN_SEARCH = 86400.0


def make_forecast(
    shore: Shore,
    spots: Sequence[Spot],
    first: date,
    days: int,
    now: float,
    default_hours: Hours = ANY_HOURS,
    progress: Callable[[int], None] | None = None,
) -> Forecast:
    """Windows, sessions and their ranking for spots over local days.

    Args:
        shore: the file the spots come from: title, time zone, units.
        spots: at least one of its spots.
        first: first local day.
        days: number of local days, at least 1.
        now: the clock, POSIX seconds; windows of today that are over are left out.
        default_hours: for spots whose file names no hours.
        progress: called with the number of spots done.

    Raises:
        EbblightError: the span reaches beyond the ephemeris of sun and moon.
    """
    try:
        span = _Span.of(first, days, shore.zone)
        sky = Sky(float(span.edges[0]) - 60.0, float(span.edges[-1]) + 60.0)
    except SkyRangeError as error:
        raise EbblightError(f"no forecast of windows there: {error}") from None
    except OverflowError:
        reach = f"{days:,} days from {first} leave the calendar"
        raise EbblightError(f"no forecast of windows there: {reach}") from None
    events = sky.events([spot.latitude for spot in spots], [spot.longitude for spot in spots])
    crossings = sky.moon_equator_crossings()
    reports: list[SpotReport] = []
    for spot, spot_events in zip(spots, events, strict=True):
        planner = _SpotPlanner(spot, sky, spot_events, span, now, default_hours, crossings)
        reports.append(planner.report())
        if progress is not None:
            progress(len(reports))
    every = [session for report in reports for day in report.days for session in day.sessions]
    best = sorted(every, key=lambda item: (item.session.rank_key, [s.id for s in spots].index(item.spot.id)))
    return Forecast(
        title=shore.title,
        invented=shore.invented,
        zone=shore.zone,
        units=shore.units,
        made_at=now,
        first=first,
        days=days,
        spots=tuple(reports),
        ranking=tuple(best),
    )


@dataclass(frozen=True, eq=False)
class _Span:
    """Local days asked for, and a margin of days around them.

    Attributes:
        first: first day of the margin.
        edges: of all days, margin included.
        zone: of the clock.
    """

    first: date
    edges: Array
    zone: ZoneInfo

    @classmethod
    def of(cls, first: date, days: int, zone: ZoneInfo) -> "_Span":
        start = first - timedelta(days=MARGIN_DAYS)
        return cls(start, day_edges(start, days + 2 * MARGIN_DAYS, zone), zone)

    @property
    def asked(self) -> slice:
        """Which of the days were asked for."""
        return slice(MARGIN_DAYS, len(self.edges) - 1 - MARGIN_DAYS)

    @property
    def start(self) -> float:
        return float(self.edges[MARGIN_DAYS])

    @property
    def end(self) -> float:
        return float(self.edges[-1 - MARGIN_DAYS])

    def today(self, now: float) -> tuple[float, float] | None:
        """The part of today that is over, when today is one of the days."""
        index = int(np.searchsorted(self.edges, now, side="right")) - 1
        return (float(self.edges[index]), now) if 0 <= index < len(self.edges) - 1 else None


class _SpotPlanner:
    """Plans one spot: conditions, curve, windows, sessions, days."""

    def __init__(
        self,
        spot: Spot,
        sky: Sky,
        events: list[SkyEvent],
        span: _Span,
        now: float,
        default_hours: Hours,
        crossings: Array,
    ) -> None:
        self.spot = spot
        self.span = span
        self.events = events
        self.crossings = crossings
        self.marks = sun_marks(events, span.first, span.edges, span.zone)
        self.flow: Flow = flow_of(spot, span.start - MARGIN, span.end + MARGIN)
        hours = spot.preferences.hours or default_hours
        self.conditions = Conditions(
            spot=spot,
            flow=self.flow,
            sky=sky,
            moon=_moon_times(events),
            hours=fishing_hours(
                hours, spot.preferences.days, span.first, span.edges, span.zone, list(self.marks)
            ),
            past=span.today(now),
        )
        first_step = np.ceil((span.start - MARGIN) / STEP) * STEP
        count = int((span.end + MARGIN - first_step) // STEP) + 1
        self.curve = self.conditions.even(float(first_step), STEP, count)
        self.turns = tides.high_low_waters(spot.station, span.start - MARGIN, span.end + MARGIN).turns
        self.bait: BaitPlan | None = None
        if spot.bank is not None:
            self.bait = BaitPlan(spot, spot.bank, sky, float(span.edges[0]), span.end)

    def report(self) -> SpotReport:
        near = self.span.start - NEIGHBOURS, self.span.end + NEIGHBOURS
        windows = find_windows(self.conditions, self.curve, *near)
        sessions = ranked([find_session(self.conditions, self.curve, window) for window in windows])
        sessions.sort(key=lambda item: item.window.start)
        by_day = events_by_day(self.span.edges, self.events)
        filed = day_index(self.span.edges, [item.window.start for item in sessions])
        days: list[DayReport] = []
        for index in range(*self.span.asked.indices(len(self.span.edges) - 1)):
            inside = [item for item, day in zip(sessions, filed, strict=True) if day == index]
            days.append(self._day(index, inside, windows, by_day[index]))
        return SpotReport(self.spot, self.flow, tuple(days), self.curve, self.turns)

    def _day(
        self, index: int, sessions: list[Session], windows: list[Window], sky: list[SkyEvent]
    ) -> DayReport:
        start, end = float(self.span.edges[index]), float(self.span.edges[index + 1])
        day = self.span.first + timedelta(days=index)
        here = np.flatnonzero((self.turns.t >= start) & (self.turns.t < end))
        reports = tuple(self._session(day, index, session) for session in sessions)
        lack = None
        if not reports:
            lack = no_window(
                self.conditions, self.curve, day.weekday(), (start, end), windows, self.crossings
            )
        return DayReport(
            day=day,
            start=start,
            end=end,
            turns=tuple(_turn(self.turns, int(i)) for i in here),
            greatest_range=_greatest_range(self.turns, start, end),
            sun=self.marks[index],
            sky=tuple(sky),
            sessions=reports,
            no_window=lack,
        )

    def _session(self, day: date, index: int, session: Session) -> SessionReport:
        moments = np.array([session.start, session.peak, session.end])
        curve = self.conditions.at(moments)
        columns = np.stack((curve.t, curve.level, curve.outgoing, curve.sun_altitude)).T.tolist()
        start, peak, end = (
            with_depth_and_lead(Reading(t, level, outgoing, altitude), self.spot, self.flow)
            for t, level, outgoing, altitude in columns
        )
        last_high, next_low = _around(self.turns, session.peak - (self.spot.slack_lag or 0.0))
        marks = self.marks[index]
        return SessionReport(
            spot=self.spot,
            day=day,
            session=session,
            start=start,
            peak=peak,
            end=end,
            last_high=last_high,
            next_low=next_low,
            next_turn=_next_turn(self.conditions, self.curve, session.peak),
            sunset=marks.get(SunMark.SUNSET),
            dusk=marks.get(SunMark.DUSK),
            sky=tuple(event for event in self.events if session.start <= event.t <= session.end),
            notes=self._notes(session, end),
            bait=None if self.bait is None else self.bait.before(session),
            lead_slips=lead_slips(self.spot, self.flow, self.curve, session),
        )

    def _notes(self, session: Session, end: Reading) -> tuple[Note, ...]:
        window = session.window
        length = min(session.end, window.end) - max(session.start, window.start)
        midnights = self.span.edges[(self.span.edges > session.start) & (self.span.edges < session.end)]
        rising = tides.rates(self.spot.station, [session.end])[0] > 0
        said = {
            Note.ASSUMED_TURN: self.flow.assumed_turn,
            Note.SHORT: length < session.end - session.start and window.end - window.start <= length,
            Note.RISING: bool(rising),
            Note.AFTER_DARK: end.sun_altitude < DUSK_ALTITUDE,
            Note.OVERNIGHT: bool(midnights.size),
        }
        return tuple(note for note, holds in said.items() if holds)


def _moon_times(events: list[SkyEvent]) -> MoonTimes:
    moon = [event for event in events if event.body is Body.MOON]
    transits = {SkyEventKind.UPPER_TRANSIT, SkyEventKind.LOWER_TRANSIT}
    horizons = {SkyEventKind.RISE, SkyEventKind.SET}
    return MoonTimes(
        np.array([event.t for event in moon if event.kind in transits]),
        np.array([event.t for event in moon if event.kind in horizons]),
    )


def _turn(turns: Turns, index: int) -> Turn:
    return Turn(float(turns.t[index]), float(turns.height[index]), bool(turns.high[index]))


def _around(turns: Turns, t: float) -> tuple[Turn | None, Turn | None]:
    """The last high water at or before t, and the low water that follows it."""
    highs = np.flatnonzero(turns.high & (turns.t <= t))
    if not highs.size:
        return None, None
    index = int(highs[-1])
    return _turn(turns, index), _turn(turns, index + 1) if index + 1 < len(turns) else None


def _greatest_range(turns: Turns, start: float, end: float) -> float | None:
    """Greatest rise or fall between neighbouring turns that touches [start, end), metres."""
    touching = (turns.t[1:] > start) & (turns.t[:-1] < end)
    return float(np.abs(np.diff(turns.height))[touching].max()) if touching.any() else None


def _next_turn(conditions: Conditions, curve: ScoreCurve, t: float) -> float | None:
    """When the water next stops going out after t, to the minute."""
    after = slice(*np.searchsorted(curve.t, [t, t + TURN_SEARCH]))
    stopped = np.flatnonzero(curve.outgoing[after] <= 0)
    if not stopped.size:
        return None
    step = float(curve.t[after][stopped[0]])
    minutes = step - STEP + 60.0 * np.arange(1, int(STEP / 60.0) + 1)
    found = np.flatnonzero(conditions.flow.outgoing(minutes) <= 0)
    return float(minutes[found[0]]) if found.size else step
