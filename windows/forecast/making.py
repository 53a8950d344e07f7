"""The one orchestrator: water, sky and preferences of some spots over some days, as a finished forecast."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from harmonics.errors import EbblightError
from harmonics.stations import tides
from harmonics.stations.events import Turns
from windows.astronomy import SkyEvent, SkyRangeError, day_index, events_by_day
from windows.conditions.assembly import MARGIN, SpotSky, conditions_of, curve_of, skies_of
from windows.conditions.outlook import Outlook
from windows.conditions.span import Span
from windows.forecast.lacks import no_window
from windows.forecast.planning import Window, find_session, find_windows, ranked
from windows.forecast.preparations import BaitPlan
from windows.forecast.reports import DayReport, Forecast, SessionReport, SpotReport
from windows.forecast.session_reports import SessionReporter, slacks_between, turn_at
from windows.shoreline.hours import ANY_HOURS, Hours
from windows.shoreline.shore import Shore
from windows.shoreline.spots import Spot

NEIGHBOURS = 12 * 3600.0
"""Windows this near the span compete with those inside, whose sessions they may overlap (the longest session
lasts as long)."""


def make_forecast(
    shore: Shore,
    spots: Sequence[Spot],
    first: date,
    days: int,
    outlook: Outlook,
    default_hours: Hours = ANY_HOURS,
    progress: Callable[[int], None] | None = None,
) -> Forecast:
    """Windows, sessions and their ranking for spots over local days.

    Args:
        shore: the file the spots come from.
        spots: at least one of its spots.
        first: first local day.
        days: number of local days, at least 1.
        outlook: the clock, and what is known beyond astronomy; windows of today that are over are left out.
        default_hours: for spots whose file names no hours.
        progress: called with the number of spots done.

    Raises:
        EbblightError: the span reaches beyond the ephemeris of sun and moon.
    """
    try:
        span = Span.of(first, days, shore.head.zone)
        skies = skies_of(spots, span)
    except SkyRangeError as error:
        raise EbblightError(f"no forecast of windows there: {error}") from None
    except OverflowError:
        reach = f"{days:,} days from {first} leave the calendar"
        raise EbblightError(f"no forecast of windows there: {reach}") from None
    reports: list[SpotReport] = []
    for spot, sky in zip(spots, skies, strict=True):
        reports.append(_SpotPlanner(spot, sky, span, outlook, default_hours).report())
        if progress is not None:
            progress(len(reports))
    ranked_reports, ranking = _ranked(reports)
    return Forecast(shore.head, outlook.now, first, days, ranked_reports, ranking)


def _ranked(reports: Sequence[SpotReport]) -> tuple[tuple[SpotReport, ...], tuple[SessionReport, ...]]:
    """The reports with each session's rank, and all sessions best first."""
    places = {report.spot.id: place for place, report in enumerate(reports)}
    every = [session for report in reports for day in report.days for session in day.sessions]
    every.sort(key=lambda item: (item.session.rank_key, places[item.spot.id]))
    ranking = tuple(replace(item, rank=rank) for rank, item in enumerate(every, start=1))
    placed = {(item.spot.id, item.session.start): item for item in ranking}

    def with_ranks(day: DayReport) -> DayReport:
        return replace(day, sessions=tuple(placed[item.spot.id, item.session.start] for item in day.sessions))

    return tuple(replace(r, days=tuple(map(with_ranks, r.days))) for r in reports), ranking


class _SpotPlanner:
    """Plans one spot: conditions, curve, windows, sessions, days."""

    def __init__(self, spot: Spot, sky: SpotSky, span: Span, outlook: Outlook, default_hours: Hours) -> None:
        self.spot = spot
        self.span = span
        self.sky = sky
        self.hours = spot.preferences.hours or default_hours
        self.conditions = conditions_of(spot, span, outlook, default_hours, sky)
        self.flow = self.conditions.flow
        self.curve = curve_of(self.conditions, span)
        self.turns = tides.high_low_waters(spot.station, span.start - MARGIN, span.end + MARGIN).turns
        self.bait: BaitPlan | None = None
        if spot.bank is not None:
            self.bait = BaitPlan(spot, spot.bank, sky.sky, float(span.edges[0]), span.end + NEIGHBOURS)

    def report(self) -> SpotReport:
        near = self.span.start - NEIGHBOURS, self.span.end + NEIGHBOURS
        windows = find_windows(self.conditions, self.curve, *near)
        sessions = ranked([find_session(self.conditions, self.curve, window) for window in windows])
        sessions.sort(key=lambda item: item.window.start)
        by_day = events_by_day(self.span.edges, self.sky.events)
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
        reports = reporter.reports(sessions, self.sky.events, self.sky.marks, self.span.first)
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
                self.conditions, self.curve, day.weekday(), (start, end), windows, self.sky.crossings
            )
        return DayReport(
            day=day,
            start=start,
            end=end,
            turns=tuple(turn_at(self.turns, int(i)) for i in here),
            greatest_range=_greatest_range(self.turns, start, end),
            sun=self.sky.marks[index],
            sky=tuple(sky),
            sessions=reports,
            no_window=lack,
            slacks=slacks_between(self.curve, start, end),
        )


def _greatest_range(turns: Turns, start: float, end: float) -> float | None:
    """Greatest rise or fall between neighbouring turns that touches [start, end), metres."""
    touching = (turns.t[1:] > start) & (turns.t[:-1] < end)
    return float(np.abs(np.diff(turns.height))[touching].max()) if touching.any() else None
