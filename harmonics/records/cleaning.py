"""A record cleaned: residuals against a station's constants, at full hours, less what is no water.

What an analysis of the record suspects is left out (spikes, a stuck gauge, a shifted clock) or put right (a
shifted datum). Readings become hourly values, short gaps are bridged, long ones stay unknown.
"""

import numpy as np

from harmonics.arrays import Array, Flags
from harmonics.errors import EbblightError
from harmonics.fitting.analysis import Analysis, fit
from harmonics.fitting.suspicions import Finding, Suspicion, stand_out, suspicions
from harmonics.records.likeness import why_unlike
from harmonics.records.residuals import Cleaning, Flaw, Residuals
from harmonics.stations.prediction import levels
from harmonics.stations.types import Station
from harmonics.units import DAY, HOUR

SHORTEST_DAYS = 60.0
"""Two months of readings: less tells neither what weather does nor surely whose tide it is."""
LONGEST_BRIDGE = 6
"""Hours: a straight line over a longer gap would hide a front's passage."""
OTHER_ZERO = 0.3
"""Metres: a mean this far off, and by twice the residual's own spread, is another zero: seas have risen by
less since any datum in use was set, and seasons come and go within the spread."""


def residuals_of(station: Station, t: Array, level: Array, where: str) -> Residuals:
    """Residuals of a record against the station's constants.

    Args:
        station: with constants of its own.
        t, level: readings: POSIX seconds, increasing, and metres; nan is a gap.
        where: what messages call the record.

    Raises:
        EbblightError: the record is too short, or its tide is not this station's; the message says what
            it looks like.
    """
    good = np.isfinite(level)
    t, level = t[good], level[good]
    if (days := _days_read(t)) < SHORTEST_DAYS:
        raise EbblightError(
            f"{where}: found {days:.0f} days of readings; expected at least {SHORTEST_DAYS:.0f}, better "
            "a year or more"
        )
    try:
        analysis = fit(t, level, practice=station.practice)
    except EbblightError as error:
        raise EbblightError(f"{where}: {error}") from None
    unlike = why_unlike(station, analysis)
    if unlike is not None:
        raise EbblightError(f"{where}: {unlike}")
    findings = suspicions(analysis)
    away = level - levels(station, t)
    kept = _kept(analysis, findings)
    for item in findings:
        if item.kind is Suspicion.DATUM:
            away[(t >= item.start) & (t <= item.end)] -= item.size
    start, hourly = _hourly(t[kept], away[kept])
    zero = _zero(hourly)
    missing = float(np.isnan(hourly).mean())
    flaws = tuple(Flaw(item.kind.value, item.start, item.end, item.size) for item in findings)
    days = float(t[-1] - t[0]) / DAY
    return Residuals(start, hourly - zero, Cleaning(days, missing, zero, flaws))


def _days_read(t: Array) -> float:
    """Days that readings cover, longer gaps left out."""
    return len(np.unique(np.floor(t / HOUR / LONGEST_BRIDGE))) * LONGEST_BRIDGE / 24.0


def _kept(analysis: Analysis, findings: tuple[Finding, ...]) -> Flags:
    """Readings that are no fault; of a spike's hours those alone that stand out: storms make spikes too."""
    keep = ~stand_out(analysis)
    for item in findings:
        if item.kind in (Suspicion.STUCK, Suspicion.CLOCK):
            keep &= (analysis.t < item.start) | (analysis.t > item.end)
    return keep


def _hourly(t: Array, away: Array) -> tuple[float, Array]:
    """Means around each full hour, gaps of a few hours bridged straight: the first hour, and values (n,)."""
    hour = np.floor(t / HOUR + 0.5).astype(np.int64)
    first = int(hour[0])
    count = np.bincount(hour - first)
    filled = count > 0
    mean = np.bincount(hour - first, away)[filled] / count[filled]
    middle = np.bincount(hour - first, t - HOUR * first)[filled] / count[filled]
    times = HOUR * np.arange(len(count))
    out = np.interp(times, middle, mean)
    known = np.flatnonzero(filled)
    before = np.maximum.accumulate(np.where(filled, np.arange(len(count)), -1))
    after = np.append(known, len(count))[np.searchsorted(known, np.arange(len(count)))]
    out[after - before > LONGEST_BRIDGE + 1] = np.nan
    return first * HOUR, out


def _zero(hourly: Array) -> float:
    """How far the record's zero lies from the datum, where it must be another one."""
    mean = float(np.nanmean(hourly))
    return mean if abs(mean) > max(OTHER_ZERO, 2.0 * float(np.nanstd(hourly))) else 0.0
