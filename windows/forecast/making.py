"""The one orchestrator: water, sky and preferences of some spots over some days, as a finished forecast."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta

import numpy as np

from harmonics.arrays import Array
from harmonics.errors import EbblightError
from harmonics.records.observed import Departure
from harmonics.stations import tides
from harmonics.stations.events import Turns
from windows.astronomy import (
    Body,
    Sky,
    SkyEvent,
    SkyEventKind,
    SkyRangeError,
    day_index,
    events_by_day,
)
from windows.conditions.daily import fishing_hours, sun_marks
from windows.conditions.flow import Flow
from windows.conditions.flow_models import flow_of
from windows.conditions.scoring import Conditions, MoonTimes
from windows.conditions.span import Span
from windows.conditions.todays_water import departure_of
from windows.forecast.lacks import no_window
from windows.forecast.planning import STEP, Window, find_session, find_windows, ranked
from windows.forecast.preparations import BaitPlan
from windows.forecast.reports import DayReport, Forecast, SessionReport, SpotReport
from windows.forecast.session_reports import SessionReporter, turn_at
from windows.shoreline.hours import ANY_HOURS, Hours
from windows.shoreline.shore import Shore
from windows.shoreline.spots import Spot

MARGIN = 36 * 3600.0
NEIGHBOURS = 12 * 3600.0
"""Windows this near the span compete with those inside, whose sessions they may overlap (the longest session
lasts as long)."""


def make_forecast(
    shore: Shore,
    spots: Sequence[Spot],
    first: date,
    days: int,
    now: float,
    default_hours: Hours = ANY_HOURS,
    progress: Callable[[int], None] | None = None,
    departures: Mapping[str, Departure] | None = None,
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
        departures: how the water stands against its prediction today, by id of station with constituents.

    Raises:
        EbblightError: the span reaches beyond the ephemeris of sun and moon.
    """
    try:
        span = Span.of(first, days, shore.zone)
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
        found = departure_of(spot, departures or {})
        planner = _SpotPlanner(spot, sky, spot_events, span, now, default_hours, crossings, found)
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


class _SpotPlanner:
    """Plans one spot: conditions, curve, windows, sessions, days."""

    def __init__(
        self,
        spot: Spot,
        sky: Sky,
        events: list[SkyEvent],
        span: Span,
        now: float,
        default_hours: Hours,
        crossings: Array,
        departure: Departure | None,
    ) -> None:
        self.spot = spot
        self.span = span
        self.events = events
        self.crossings = crossings
        self.marks = sun_marks(events, span.first, span.edges, span.zone)
        self.flow: Flow = flow_of(spot, span.start - MARGIN, span.end + MARGIN)
        self.hours = spot.preferences.hours or default_hours
        self.conditions = Conditions(
            spot=spot,
            flow=self.flow,
            sky=sky,
            moon=_moon_times(events),
            hours=fishing_hours(
                self.hours, spot.preferences.days, span.first, span.edges, span.zone, list(self.marks)
            ),
            past=span.today(now),
            departure=departure,
        )
        first_step = np.ceil((span.start - MARGIN) / STEP) * STEP
        count = int((span.end + MARGIN - first_step) // STEP) + 1
        self.curve = self.conditions.even(float(first_step), STEP, count)
        self.turns = tides.high_low_waters(spot.station, span.start - MARGIN, span.end + MARGIN).turns
        self.bait: BaitPlan | None = None
        if spot.bank is not None:
            self.bait = BaitPlan(spot, spot.bank, sky, float(span.edges[0]), span.end + NEIGHBOURS)

    def report(self) -> SpotReport:
        near = self.span.start - NEIGHBOURS, self.span.end + NEIGHBOURS
        windows = find_windows(self.conditions, self.curve, *near)
        sessions = ranked([find_session(self.conditions, self.curve, window) for window in windows])
        sessions.sort(key=lambda item: item.window.start)
        by_day = events_by_day(self.span.edges, self.events)
        filed = day_index(self.span.edges, [item.window.start for item in sessions])
        reporter = SessionReporter(
            self.spot,
            self.flow,
            self.curve,
            self.turns,
            self.span.edges,
            self.bait,
            self.conditions.departure,
        )
        reports = reporter.reports(sessions, self.events, self.marks, self.span.first)
        days: list[DayReport] = []
        for index in range(*self.span.asked.indices(len(self.span.edges) - 1)):
            inside = tuple(item for item, day in zip(reports, filed, strict=True) if day == index)
            days.append(self._day(index, inside, windows, by_day[index]))
        return SpotReport(
            self.spot,
            self.flow,
            tuple(days),
            self.curve,
            self.turns,
            self.conditions.departure,
            self.hours,
        )

    def _day(
        self, index: int, reports: tuple[SessionReport, ...], windows: list[Window], sky: list[SkyEvent]
    ) -> DayReport:
        start, end = float(self.span.edges[index]), float(self.span.edges[index + 1])
        day = self.span.first + timedelta(days=index)
        here = np.flatnonzero((self.turns.t >= start) & (self.turns.t < end))
        lack = None
        if not reports:
            lack = no_window(
                self.conditions, self.curve, day.weekday(), (start, end), windows, self.crossings
            )
        return DayReport(
            day=day,
            start=start,
            end=end,
            turns=tuple(turn_at(self.turns, int(i)) for i in here),
            greatest_range=_greatest_range(self.turns, start, end),
            sun=self.marks[index],
            sky=tuple(sky),
            sessions=reports,
            no_window=lack,
        )


def _moon_times(events: list[SkyEvent]) -> MoonTimes:
    moon = [event for event in events if event.body is Body.MOON]
    transits = {SkyEventKind.UPPER_TRANSIT, SkyEventKind.LOWER_TRANSIT}
    horizons = {SkyEventKind.RISE, SkyEventKind.SET}
    return MoonTimes(
        np.array([event.t for event in moon if event.kind in transits]),
        np.array([event.t for event in moon if event.kind in horizons]),
    )


def _greatest_range(turns: Turns, start: float, end: float) -> float | None:
    """Greatest rise or fall between neighbouring turns that touches [start, end), metres."""
    touching = (turns.t[1:] > start) & (turns.t[:-1] < end)
    return float(np.abs(np.diff(turns.height))[touching].max()) if touching.any() else None
