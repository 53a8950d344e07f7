"""What a session asks for beforehand: bait from a bank, and lead that holds."""

from typing import TYPE_CHECKING

import numpy as np

from harmonics.arrays import Array
from harmonics.stations import tides
from harmonics.sums.search import linear_crossings, sign_changes
from windows.astronomy import Sky
from windows.conditions.bait import (
    BankState,
    GatheringWindow,
    bank_state,
    gathering_before,
    gathering_windows,
    night_ebb_windows,
)
from windows.conditions.flow import Flow
from windows.conditions.lead import holding_speed, lead_to_hold, slip_time
from windows.conditions.scoring import ScoreCurve
from windows.forecast.reports import BaitReport, Reading
from windows.forecast.sessions import Session
from windows.shoreline.gates import SUNRISE_ALTITUDE
from windows.shoreline.spots import BaitKind, Bank, Spot

if TYPE_CHECKING:
    from harmonics.records.ahead import LevelAhead
    from harmonics.records.observed import Departure
    from harmonics.records.weather import Weather

STEP = 300.0
YEAR = 366 * 86400.0
YEAR_STEP = 1800.0


class BaitPlan:
    """Gathering windows of a spot's bank over a span, and the one that serves a session."""

    def __init__(
        self,
        spot: Spot,
        bank: Bank,
        sky: Sky,
        start: float,
        end: float,
        departure: "Departure | LevelAhead | None" = None,
        weather: "Weather | None" = None,
    ) -> None:
        """Find the windows.

        Args:
            spot: that the bait is for; daylight is taken there.
            bank: where bait is gathered.
            sky: sun over the span.
            start, end: POSIX seconds, from two days before the first session, for bait keeps overnight.
            departure: what readings and weather tell of the bank's water; None without either.
            weather: None where nobody knows any.
        """
        self.bank = bank
        self.weather = weather
        self.away = spot.bank_away
        count = int((end - start) // STEP) + 1
        t = start + STEP * np.arange(count, dtype=float)
        level = tides.even_levels(bank.station, start, STEP, count)
        if departure is not None:
            level = level + departure.at(t)
        self.state = state_of(bank, start)
        altitude = sky.even_sun_altitude(spot.latitude, spot.longitude, start, STEP, count)
        self.windows = windows_of(bank, t, level, altitude)

    def before(self, session: Session) -> BaitReport:
        """The bait of a session; a bank that lies above high water ranks nothing."""
        if self.state is BankState.ABOVE_HIGH_WATER:
            return BaitReport(self.bank, self.state, None)
        window = gathering_before(self.windows, session.start, self.away)
        return BaitReport(self.bank, self.state, window, self._temperature(window))

    def _temperature(self, window: GatheringWindow | None) -> float | None:
        if self.weather is None or window is None:
            return None
        from harmonics.records.quantities import Quantity

        middle = (window.start + window.end) / 2.0
        found = float(self.weather.at(Quantity.WATER_TEMPERATURE, np.array([middle]))[0])
        return found if np.isfinite(found) else None


def state_of(bank: Bank, start: float) -> BankState:
    """What the tide does to a bank over the year from start (POSIX seconds)."""
    year = tides.even_levels(bank.station, start, YEAR_STEP, int(YEAR / YEAR_STEP))
    return bank_state(year, bank.level)


def windows_of(bank: Bank, t: Array, level: Array, sun_altitude: Array) -> tuple[GatheringWindow, ...]:
    """Gathering windows of a bank.

    Args:
        bank: where bait is gathered.
        t: POSIX seconds at even steps, shape (n,).
        level: of its water there, metres above datum.
        sun_altitude: degrees there; bait is gathered by daylight, shrimp in the dark.
    """
    start, end = float(t[0]), float(t[-1])
    turns = tides.high_low_waters(bank.station, start, end).turns
    daylight = _stretches_above(t, sun_altitude, SUNRISE_ALTITUDE)
    highs, lows = turns.t[turns.high], turns.t[~turns.high]
    if bank.bait is BaitKind.SHRIMP:
        return night_ebb_windows(start, end, highs, lows, daylight)
    return gathering_windows(t, level, lows, daylight, bank.level)


def _stretches_above(t: Array, values: Array, limit: float) -> Array:
    """Starts and ends of the stretches where a sampled curve lies above a limit, shape (d, 2)."""
    change = sign_changes(values - limit)
    edges = linear_crossings(t, values, change, limit)
    ends = [t[:1] if values[0] >= limit else t[:0], t[-1:] if values[-1] >= limit else t[:0]]
    return np.concatenate((ends[0], edges, ends[1])).reshape(-1, 2)


def readings(spot: Spot, flow: Flow, curve: ScoreCurve, moments: int) -> list[list[Reading]]:
    """The water at some moments of sessions, with depth and lead where they can be known.

    Args:
        spot, flow: of the spot.
        curve: the score at the moments, session by session.
        moments: how many each session has.

    Returns:
        Readings by session and moment.
    """
    going = np.maximum(curve.going, 0.0)
    depth = least = most = None
    if spot.depth_at_datum is not None:
        depth = curve.level + spot.depth_at_datum
        if flow.has_speed:
            tackle = spot.preferences.tackle
            found = lead_to_hold(going, np.maximum(depth, 0.0), tackle.line_diameter, tackle.sinker)
            least, most = found.least, found.most
    every: list[Reading] = []
    for k in range(len(curve.t)):
        deep = None if depth is None else float(depth[k])
        lead = None
        if least is not None and most is not None and deep is not None and deep > 0:
            lead = float(least[k]), float(most[k])
        every.append(
            Reading(
                t=float(curve.t[k]),
                level=float(curve.level[k]),
                going=float(going[k]),
                sun_altitude=float(curve.sun_altitude[k]),
                depth=deep,
                lead=lead,
                departure=float(curve.departure[k]),
            )
        )
    return [every[first : first + moments] for first in range(0, len(every), moments)]


def lead_slips(spot: Spot, flow: Flow, curve: ScoreCurve, start: float, end: float) -> float | None:
    """When between two times the heaviest lead may no longer hold, gripping as poorly as its kind does."""
    tackle = spot.preferences.tackle
    if spot.depth_at_datum is None or tackle.heaviest_lead is None or not flow.has_speed:
        return None
    part = slice(*np.searchsorted(curve.t, [start, end + 1.0]))
    depth = np.maximum(curve.level[part] + spot.depth_at_datum, 0.0)
    limit = holding_speed(tackle.heaviest_lead, depth, tackle.line_diameter, tackle.sinker.poorest)
    return slip_time(curve.t[part], np.maximum(curve.going[part], 0.0), limit)
