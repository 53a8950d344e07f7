"""Predicted currents set against observed ones, along the flood direction."""

from dataclasses import dataclass

import numpy as np

from harmonics.arrays import Array, Flags
from harmonics.errors import EbblightError
from harmonics.records.verification import spread
from harmonics.stations.currents import CurrentKind, current_events, currents_at
from harmonics.stations.types import AnyCurrentStation
from harmonics.units import HOUR

FEWEST_HOURS = 72
"""Readings of fewer hours judge nothing."""
STILL = 0.1
"""m/s, a fifth of a knot: a slower current has no direction to speak of."""
NEAREST_SLACK = 2 * HOUR
LONGEST_STEP = 1.5 * HOUR
"""Across a longer gap no slack is read."""


@dataclass(frozen=True, eq=False)
class SpeedProof:
    """A current station against observed currents; speeds in m/s along its flood direction, flood positive.

    Attributes:
        station: as it predicts.
        t, observed, predicted: of the readings that count, shape (n,).
        mean, deviation: of observed less predicted.
        drift: standard deviation of the observed.
        strength: observed as a multiple of predicted, by least squares through nothing.
        right: share of readings that run as predicted, flood or ebb, where the prediction is above STILL.
        late, late_spread: mean and standard deviation of slacks against their predicted times, seconds.
        slacks, missing: how many were found within two hours, and were not.
    """

    station: AnyCurrentStation
    t: Array
    observed: Array
    predicted: Array
    mean: float
    deviation: float
    drift: float
    strength: float
    right: float
    late: float
    late_spread: float
    slacks: int
    missing: int


def prove_speeds(station: AnyCurrentStation, t: Array, east: Array, north: Array, where: str) -> SpeedProof:
    """What a station's predictions were worth.

    Args:
        station: of the file.
        t: POSIX seconds, increasing, shape (n,).
        east, north: observed components, m/s, nan where there is no reading, shape (n,).
        where: what messages call the record.

    Raises:
        EbblightError: too few readings.
    """
    flood = np.radians(station.flood_direction)
    along = east * np.sin(flood) + north * np.cos(flood)
    known = np.isfinite(along)
    t, along = t[known], along[known]
    hours = len(np.unique(np.floor(t / HOUR)))
    if hours < FEWEST_HOURS:
        raise EbblightError(f"{where}: found currents of {hours} hours; expected {FEWEST_HOURS} or more")
    predicted = currents_at(station, t)
    mean, deviation, _ = spread(along - predicted)
    moving = np.abs(predicted) >= STILL
    right = float(np.mean((along > 0) == (predicted > 0), where=moving)) if moving.any() else float("nan")
    squares = float(predicted @ predicted)
    late, missing = _slacks(station, t, along)
    late_mean, late_spread, found = spread(late)
    return SpeedProof(
        station,
        t,
        along,
        predicted,
        mean,
        deviation,
        float(along.std()),
        float(along @ predicted) / squares if squares else float("nan"),
        right,
        late_mean,
        late_spread,
        found,
        missing,
    )


def _slacks(station: AnyCurrentStation, t: Array, along: Array) -> tuple[list[float], int]:
    """Seconds by which each predicted slack came late, and how many the readings don't show."""
    times, rising = _crossings(t, along)
    events = current_events(station, float(t[0]) + NEAREST_SLACK, float(t[-1]) - NEAREST_SLACK)
    late: list[float] = []
    missing = 0
    for time, kind in zip(events.t.tolist(), events.kind, strict=True):
        if not kind.is_slack or not _read_around(t, time):
            continue
        away = times[rising == (kind is CurrentKind.SLACK_BEFORE_FLOOD)] - time
        near = away[np.abs(away) <= NEAREST_SLACK]
        if len(near):
            late.append(float(near[np.abs(near).argmin()]))
        else:
            missing += 1
    return late, missing


def _crossings(t: Array, along: Array) -> tuple[Array, Flags]:
    """Times at which readings cross nothing, straight between them, and whether the flood begins there."""
    change = np.flatnonzero((along[1:] > 0) != (along[:-1] > 0))
    change = change[t[change + 1] - t[change] <= LONGEST_STEP]
    before, after = along[change], along[change + 1]
    return t[change] + (t[change + 1] - t[change]) * before / (before - after), np.asarray(after > 0)


def _read_around(t: Array, time: float) -> bool:
    """Whether readings without a long gap lie around a time."""
    first, last = np.searchsorted(t, [time - NEAREST_SLACK, time + NEAREST_SLACK])
    part = t[max(first - 1, 0) : last + 1]
    return len(part) > 2 and float(np.diff(part).max()) <= LONGEST_STEP
