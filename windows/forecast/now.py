"""The water at one instant: what it does at each spot now, since when and until when, and what comes next."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from windows.conditions.clock_gates import Past
from windows.conditions.outlook import Outlook
from windows.conditions.scoring import Conditions, ScoreCurve
from windows.forecast.expected import Expected
from windows.forecast.making import NEIGHBOURS, make_forecast
from windows.forecast.planning import Window, find_windows
from windows.forecast.preparations import readings
from windows.forecast.reports import Forecast, Reading, SessionReport, Slack, SpotReport
from windows.forecast.session_reports import slacks_between
from windows.shoreline.gates import Gate
from windows.shoreline.head import Head
from windows.shoreline.hours import ANY_HOURS, Hours
from windows.shoreline.shore import Shore
from windows.shoreline.spots import Points, Spot

COMING_DAYS = 8
"""The next session is looked for in today and the week after it."""


@dataclass(frozen=True, eq=False)
class SpotNow:
    """One spot at the instant.

    Attributes:
        report: the spot over the coming days.
        reading: its water; `going` is at least 0.
        outgoing: movement, outgoing positive: m/s of speed or of falling level, as the flow has it.
        since, until: when the water began to go this way and when it turns; None where that is days away.
        points: now, by factor.
        shut: what shuts the spot now; None where it is open. That one can't be there yet is not counted.
        window: the window that holds the instant; None between windows.
        chance: how often such a window came true in the gauge's record, 0 to 1; None between windows, and
            where no record tells it.
        next: the next session that one can still reach, of another window than that; None in these days.
    """

    report: SpotReport
    reading: Reading
    outgoing: float
    since: Slack | None
    until: Slack | None
    points: Points
    shut: Gate | None
    window: Window | None
    chance: float | None
    next: SessionReport | None

    @property
    def spot(self) -> Spot:
        """Where."""
        return self.report.spot

    @property
    def left(self) -> float | None:
        """Seconds that are left of the window; None between windows."""
        return None if self.window is None else self.window.end - self.reading.t


@dataclass(frozen=True, eq=False)
class NowReport:
    """Spots at one instant.

    Attributes:
        t: the instant, POSIX seconds.
        forecast: of the coming days.
        spots: in the file's order.
    """

    t: float
    forecast: Forecast
    spots: tuple[SpotNow, ...]

    @property
    def head(self) -> Head:
        """Of the file."""
        return self.forecast.head


def make_now(
    shore: Shore, spots: Sequence[Spot], outlook: Outlook, default_hours: Hours = ANY_HOURS
) -> NowReport:
    """What the water does at each spot at the outlook's instant.

    Args:
        shore: the file the spots come from.
        spots: at least one of its spots.
        outlook: the clock, and what is known beyond astronomy.
        default_hours: for spots whose file names no hours.

    Raises:
        EbblightError: the coming days reach beyond the ephemeris of sun and moon.
    """
    today = datetime.fromtimestamp(outlook.now, shore.head.zone).date()
    forecast = make_forecast(shore, spots, today, COMING_DAYS, outlook, default_hours)
    return NowReport(
        outlook.now, forecast, tuple(_spot_now(report, outlook.now) for report in forecast.spots)
    )


def _spot_now(report: SpotReport, now: float) -> SpotNow:
    conditions = replace(report.conditions, gates=_without_past(report.conditions.gates))
    curve = replace(report.curve, shut={gate: report.curve.shut[gate] for gate in conditions.gates})
    here = conditions.at(np.array([now]))
    slacks = slacks_between(curve, float(curve.t[0]), float(curve.t[-1]))
    windows = find_windows(conditions, curve, now - NEIGHBOURS, now + NEIGHBOURS)
    window = next((item for item in windows if item.start <= now < item.end), None)
    free = now if window is None else window.end
    sessions = (item for day in report.days for item in day.sessions)
    return SpotNow(
        report=report,
        reading=readings(report.spot, conditions.flow, here, 1)[0][0],
        outgoing=float(here.outgoing[0]),
        since=next((item for item in reversed(slacks) if item.t <= now), None),
        until=next((item for item in slacks if item.t > now), None),
        points=Points.of(here.points[:, 0]),
        shut=next((gate for gate, flags in here.shut.items() if flags[0]), None),
        window=window,
        chance=None if window is None else _chance(conditions, curve, window),
        next=next((item for item in sessions if item.session.start >= free), None),
    )


def _chance(conditions: Conditions, curve: ScoreCurve, window: Window) -> float | None:
    """How often a window came true in cases that were seen."""
    if not conditions.cases.seen:
        return None
    seen = Expected(conditions, curve).seen(window.start, window.end, window.peak)
    return None if seen is None else seen.chance


def _without_past(gates: Sequence[Gate]) -> tuple[Gate, ...]:
    """The gates, but for that one can't be there yet."""
    return tuple(gate for gate in gates if not isinstance(gate, Past))
