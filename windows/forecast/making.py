"""The one orchestrator: water, sky and preferences of some spots over some days, as a finished forecast."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from harmonics.arrays import Ints
from harmonics.errors import EbblightError
from harmonics.stations import tides
from harmonics.stations.events import Turns
from windows.astronomy import SkyEvent, SkyRangeError, day_index, events_by_day
from windows.conditions.assembly import MARGIN, SpotSky, conditions_of, curve_of, skies_of
from windows.conditions.clock_gates import OutsideHours
from windows.conditions.outlook import Outlook
from windows.conditions.scoring import Conditions, ScoreCurve
from windows.conditions.span import Span
from windows.forecast.expected import TIE, Expected
from windows.forecast.lacks import no_window
from windows.forecast.leaving import leaving_of
from windows.forecast.planning import Window, find_windows
from windows.forecast.preparations import BaitPlan
from windows.forecast.ranking import RankGroup, level_ranks
from windows.forecast.reports import (
    DayReport,
    Forecast,
    Outside,
    OutsideWish,
    SessionReport,
    SpotReport,
)
from windows.forecast.session_reports import SessionReporter, slacks_between, turn_at
from windows.forecast.sessions import LEVEL_POINTS, Session, find_sessions, most_points, ranked
from windows.shoreline.hours import ANY_HOURS, Hours
from windows.shoreline.shore import Shore
from windows.shoreline.spots import Spot

NEIGHBOURS = 36 * 3600.0
"""Windows this near the span compete with those inside: of sessions that overlap only the better stays, and
the longest last 12 h, so a chain of three reaches no further."""


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
        reports.append(_SpotPlanner(shore, spot, sky, span, outlook, default_hours).report())
        if progress is not None:
            progress(len(reports))
    return Forecast(shore.head, outlook.now, first, days, *_ranked(reports))


def _ranked(reports: Sequence[SpotReport]) -> tuple[tuple[SpotReport, ...], tuple[SessionReport, ...]]:
    """The reports with each session's rank, and all sessions: group by group, best first."""
    places = {report.spot.id: place for place, report in enumerate(reports)}
    ranking: list[SessionReport] = []
    for group in RankGroup:
        every = [item for r in reports if r.group is group for day in r.days for item in day.sessions]
        every.sort(key=lambda item: (item.session.rank_key, places[item.spot.id]))
        ranks = level_ranks([item.session for item in every])
        shared = Counter(ranks)
        placed = [replace(i, rank=rank, level=shared[rank] > 1) for i, rank in zip(every, ranks, strict=True)]
        ranking += sorted(placed, key=lambda item: (item.order, places[item.spot.id]))
    found = {(item.spot.id, item.session.start): item for item in ranking}

    def with_ranks(day: DayReport) -> DayReport:
        return replace(day, sessions=tuple(found[i.spot.id, i.session.start] for i in day.sessions))

    return tuple(replace(r, days=tuple(map(with_ranks, r.days))) for r in reports), tuple(ranking)


class _SpotPlanner:
    """Plans one spot: conditions, curve, windows, sessions, days."""

    def __init__(
        self, shore: Shore, spot: Spot, sky: SpotSky, span: Span, outlook: Outlook, default_hours: Hours
    ) -> None:
        self.spot = spot
        self.leaving = leaving_of(spot, shore)
        self.span = span
        self.sky = sky
        self.hours = spot.preferences.hours or default_hours
        self.conditions = conditions_of(spot, span, outlook, default_hours, sky)
        self.flow = self.conditions.flow
        self.curve = curve_of(self.conditions, span)
        self.expected = Expected(self.conditions, self.curve)
        self.turns = tides.high_low_waters(spot.station, span.start - MARGIN, span.end + MARGIN).turns
        self.bait: BaitPlan | None = None
        if spot.bank is not None:
            first, last = float(span.edges[0]), span.end + NEIGHBOURS
            away = outlook.level_known(spot.bank.station, first, last)
            self.bait = BaitPlan(spot, spot.bank, sky.sky, first, last, away, outlook.weather)

    def report(self) -> SpotReport:
        windows, sessions = self._sessions(self.conditions, self.expected)
        by_day = events_by_day(self.span.edges, self.sky.events)
        filed = day_index(self.span.edges, [item.start for item in sessions])
        reports = self._reports(self.conditions, self.curve, sessions)
        days: list[DayReport] = []
        for index in range(*self.span.asked.indices(len(self.span.edges) - 1)):
            inside = tuple(item for item, day in zip(reports, filed, strict=True) if day == index)
            days.append(self._day(index, inside, windows, by_day[index]))
        return SpotReport(
            self.spot,
            self.conditions,
            tuple(days),
            self.curve,
            self.expected.total,
            self.expected.early_late,
            self.turns,
            self.hours,
            self._outside(reports, filed),
        )

    def _sessions(self, conditions: Conditions, expected: Expected) -> tuple[list[Window], list[Session]]:
        """Windows and sessions, in order of time, over the span and its neighbourhood."""
        near = self.span.start - NEIGHBOURS, self.span.end + NEIGHBOURS
        windows = find_windows(conditions, expected.curve, *near)
        found = find_sessions(conditions, expected, windows, self.span.edges)
        return windows, sorted(ranked(found), key=lambda item: item.start)

    def _reports(
        self, conditions: Conditions, curve: ScoreCurve, sessions: Sequence[Session]
    ) -> list[SessionReport]:
        edges, leaving = self.span.edges, self.leaving
        reporter = SessionReporter(conditions, curve, self.turns, edges, self.bait, leaving)
        return reporter.reports(sessions, self.sky.events, self.sky.marks, self.span.first)

    def _outside(self, reports: Sequence[SessionReport], filed: Ints) -> OutsideWish | None:
        """The best session that only the person's hours and days rule out, where none inside is as good."""
        hours = next((gate for gate in self.conditions.gates if isinstance(gate, OutsideHours)), None)
        if hours is None:
            return None
        conditions = replace(
            self.conditions, gates=tuple(gate for gate in self.conditions.gates if gate is not hours)
        )
        shut = {gate: flags for gate, flags in self.curve.shut.items() if gate is not hours}
        curve = replace(self.curve, shut=shut)
        expected = Expected(conditions, curve)
        asked = range(*self.span.asked.indices(len(self.span.edges) - 1))
        inside = [item.session for item, day in zip(reports, filed, strict=True) if day in asked]
        most = max((item.points.total for item in inside), default=-LEVEL_POINTS)
        worth_telling = max(self.spot.preferences.keep, most + LEVEL_POINTS)
        starts = (curve.t >= self.span.start) & (curve.t < self.span.end) & ~hours.hours.hold(curve.t)
        if most_points(conditions, expected, starts) < worth_telling - TIE:
            return None
        _, sessions = self._sessions(conditions, expected)
        near = [item for item in sessions if self.span.start <= item.start < self.span.end]
        free = [item for item in near if not hours.hours.hold(np.array([item.start])).any()]
        best = min(free, key=lambda item: item.rank_key, default=None)
        if best is None or best.points.total < worth_telling:
            return None
        (report,) = self._reports(conditions, curve, [best])
        return OutsideWish(report, _miss(hours, report, self.span))

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


def _miss(gate: OutsideHours, report: SessionReport, span: Span) -> Outside:
    """How a session misses the hours of its day."""
    index = (report.day - span.first).days
    start, end = float(span.edges[index]), float(span.edges[index + 1])
    hours = gate.hours
    today = hours.starts[(hours.starts >= start) & (hours.starts < end)]
    if report.day.weekday() not in report.spot.preferences.days or not today.size:
        return Outside.DAY_OFF
    return Outside.BEFORE if report.session.start < float(today[0]) else Outside.AFTER


def _greatest_range(turns: Turns, start: float, end: float) -> float | None:
    """Greatest rise or fall between neighbouring turns that touches [start, end), metres."""
    touching = (turns.t[1:] > start) & (turns.t[:-1] < end)
    return float(np.abs(np.diff(turns.height))[touching].max()) if touching.any() else None
