"""Today's water: how far recent readings stand from the prediction, and how far to carry that forward.

The departure (weather, river, season) is taken to fade as exp(-age / decay), as in a first-order
autoregressive process: after one decay 37 % is left and the uncertainty nears that of the departures
themselves. The decay is fitted where the readings are many, else common practice's day and a half.
"""

import math
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array
from harmonics.errors import EbblightError
from harmonics.stations.prediction import levels
from harmonics.stations.types import Station
from harmonics.sums.series import sums_at
from harmonics.units import DAY, HOUR, LengthUnit

NOW_HOURS = 3.0
"""The departure is the median of the last three hours: waves and one bad reading fall out."""
DEFAULT_DECAY_HOURS = 36.0
"""Weather set-up fades within one to two days (common practice)."""
SHORTEST_DECAY_HOURS, LONGEST_DECAY_HOURS = 6.0, 120.0
"""Bounds of a fitted decay: one tide, and the passage of a large weather system."""
DAYS_TO_FIT = 15
"""A decay is fitted where the readings span fifteen days or more, ..."""
LEAST_DAYS_READ = 0.8
"""... with readings on four days of five."""
DAYS_LOOKED_BACK = 60.0
"""Older readings belong to another season."""
LEAST_DEVIATION = 0.05
"""Metres: departures of a calm week understate the next."""
LEAST_SCATTER = 0.01
"""Metres: a reading is no better than this."""
STALE_HOURS = 24.0
LARGEST_DEPARTURE = 3.0
"""Metres: more than this is another datum or unit, not weather (the greatest surges reach a few metres)."""


@dataclass(frozen=True, slots=True)
class Departure:
    """How the water stood against the prediction, and how that is carried forward.

    Attributes:
        newest: time of the newest reading, POSIX seconds.
        height: observed less predicted at that time, metres.
        scatter: standard error of that, metres.
        deviation: typical size of departures, metres.
        decay: seconds in which 63 % fades.
        fitted: whether the decay comes from the readings.
        count: readings it rests on.
    """

    newest: float
    height: float
    scatter: float
    deviation: float
    decay: float
    fitted: bool
    count: int

    def at(self, t: ArrayLike) -> Array:
        """The departure carried to times t, metres; shaped as t. Before the newest reading it is constant."""
        age = np.maximum(np.asarray(t, dtype=float) - self.newest, 0.0)
        return np.asarray(self.height * np.exp(-age / self.decay))

    def uncertainty(self, t: ArrayLike) -> Array:
        """Standard deviation of the level at times t, metres; shaped as t."""
        faded = np.exp(-2.0 * np.maximum(np.asarray(t, dtype=float) - self.newest, 0.0) / self.decay)
        return np.asarray(np.sqrt(self.scatter**2 * faded + self.deviation**2 * (1.0 - faded)))

    def stale(self, now: float) -> bool:
        """Whether the newest reading is a day old or more."""
        return now - self.newest >= STALE_HOURS * HOUR


def departure(station: Station, t: Array, level: Array, now: float) -> Departure:
    """The departure that recent readings show.

    Args:
        station: whose prediction they are compared with.
        t, level: readings: POSIX seconds, increasing, and metres above the station's datum; nan is a gap.
        now: POSIX seconds; later readings are an error of the clock.

    Raises:
        EbblightError: no readings, readings from the future, or readings that no weather explains.
    """
    good = np.isfinite(level)
    t, level = t[good], level[good]
    if not len(t):
        raise EbblightError("the observed levels hold no reading")
    if t[-1] > now:
        raise EbblightError(
            f"the newest observed level is of {_utc(t[-1])} UTC, later than now ({_utc(now)} UTC): "
            "its clock or zone is wrong"
        )
    recent = t >= t[-1] - DAYS_LOOKED_BACK * DAY
    t, away = t[recent], level[recent] - levels(station, t[recent])
    last = away[t >= t[-1] - NOW_HOURS * HOUR]
    height = float(np.median(last))
    if abs(height) > LARGEST_DEPARTURE:
        raise EbblightError(
            f"the observed levels stand {height:+.2f} m from the prediction for {station.name}: "
            f"they are in another unit, not above {station.datum}, or not of this place"
        )
    decay = _fitted_decay(t, away)
    spread = float(np.std(last)) / math.sqrt(len(last)) if len(last) > 2 else LEAST_DEVIATION
    return Departure(
        newest=float(t[-1]),
        height=height,
        scatter=max(LEAST_SCATTER, spread),
        deviation=max(LEAST_DEVIATION, abs(height), float(np.sqrt(np.mean(away**2)))),
        decay=HOUR * DEFAULT_DECAY_HOURS if decay is None else decay,
        fitted=decay is not None,
        count=len(last),
    )


def _fitted_decay(t: Array, away: Array) -> float | None:
    """Decay from the covariance of daily means; None where the readings are too few.

    For a first-order process the covariance two days apart over that one day apart is exp(-day / decay),
    whatever the averaging within a day.
    """
    day = np.floor((t - t[0]) / DAY).astype(int)
    count = np.bincount(day)
    if len(count) < DAYS_TO_FIT or (count > 0).mean() < LEAST_DAYS_READ:
        return None
    mean = np.bincount(day, away) / np.maximum(count, 1)
    read = count > 0
    one, two = (float(np.mean((mean[k:] * mean[:-k])[read[k:] & read[:-k]])) for k in (1, 2))
    shortest, longest = SHORTEST_DECAY_HOURS * HOUR, LONGEST_DECAY_HOURS * HOUR
    ratio = two / one if one > 0 else 0.0
    if ratio <= math.exp(-DAY / shortest):
        return shortest
    return longest if ratio >= math.exp(-DAY / longest) else -DAY / math.log(ratio)


def crossing_uncertainty(found: Departure, station: Station, t: ArrayLike) -> Array:
    """Standard deviation (seconds) of the time at which the level passes what it has at t; shaped as t.

    The level's uncertainty over its rate, no more than a quarter of a tidal day.
    """
    rate = np.abs(sums_at(station.constants, station.practice, t, order=1))
    return np.asarray(np.minimum(found.uncertainty(t) / np.maximum(rate, 1e-12), _LONGEST))


def turn_uncertainty(found: Departure, station: Station, t: ArrayLike) -> Array:
    """Standard deviation (seconds) of the times of high and low waters at t; shaped as t.

    The time x by which the tide has left its turn, h'' x^2 / 2, as far as the weather has wandered
    meanwhile, s sqrt(2 x / decay): x^(3/2) = 2 s sqrt(2 / decay) / h''.
    """
    bend = np.abs(sums_at(station.constants, station.practice, t, order=2))
    wander = 2.0 * found.deviation * math.sqrt(2.0 / found.decay)
    return np.asarray(np.minimum((wander / np.maximum(bend, 1e-15)) ** (2.0 / 3.0), _LONGEST))


_LONGEST = 6.21 * HOUR


def departure_words(found: Departure, now: float, unit: LengthUnit) -> tuple[str, ...]:
    """What was done with the readings, in sentences; heights in `unit`."""
    age = max(0, round((now - found.newest) / 60))
    old = (
        f"{age // 60} h {age % 60:02d} min old"
        if age >= 60
        else f"{age} min old"
        if age
        else "of this minute"
    )
    height = abs(found.height) / unit.metres
    side = "above" if found.height >= 0 else "below"
    half = found.decay * math.log(2) / HOUR
    source = "fitted to the readings" if found.fitted else "common practice"
    sentences = [
        f"The newest reading is {old}: the water stood {height:.2f} {unit.symbol} {side} the prediction.",
        f"Levels carry this forward, halving every {half:.0f} h ({source}).",
    ]
    if found.stale(now):
        sentences.append("The readings are more than a day old: today's water may be quite different.")
    return tuple(sentences)


def _utc(t: float) -> str:
    return f"{datetime.fromtimestamp(float(t), UTC):%Y-%m-%d %H:%M}"
