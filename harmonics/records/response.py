"""How a level answers pressure and wind: a linear response with lags, held back and judged before it is used.

Levels answer the air's pressure at once, about 1 cm per hPa, and wind stress over hours to days as water
piles up. The lags reach two days back in five means of growing length; their weights come from ridge
regression whose strength is chosen on blocks of weeks that were held back, and so is the share of the
variance that it explains. Weights are fitted to what departs from the mean of the season around: seasons,
years and a gauge that was put back move the level too, and the weather of two days would get their share.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array, Flags
from harmonics.records.quantities import Quantity
from harmonics.records.residuals import Residuals
from harmonics.records.weather import Weather
from harmonics.units import HOUR

LAGS = ((0, 3), (3, 6), (6, 12), (12, 24), (24, 48))
"""Hours back, first and last: two days in five steps."""
NEEDED_HOURS = 12
"""What lies further back may be unknown, as at the start of a forecast: it is taken as its mean."""
LEAST_SHARE = 0.1
"""A response that explains less of what was held back is not used."""
SEASON_HOURS = 45 * 24
"""Either way: the season as scenarios have it."""
BLOCK_DAYS = 7.0
FOLDS = 8
STRENGTHS = tuple(10.0 ** np.arange(-4.0, 1.5, 0.5))
"""Of the ridge, in units of the predictors' variance."""
FEWEST_HOURS = 60 * 24
PASCAL = 1e-4
"""Metres a Pa lifts a sea at rest: 1 cm per hPa, by hydrostatics (0.99 in sea water)."""
STRONG_WIND = 11.0
"""m/s up to which the drag of the sea is even: W. G. Large and S. Pond, Open ocean momentum flux measurements
in moderate to strong winds, Journal of Physical Oceanography 11 (1981) 324 (from memory)."""
STANDARD_PRESSURE = 101_325.0
"""Pa; ICAO standard atmosphere: the mean where nobody knows a place's own."""


@dataclass(frozen=True, eq=False)
class Response:
    """A level's answer to weather.

    Attributes:
        centre, scale: of each predictor over the record, shape (p,).
        weight: metres per scaled predictor, shape (p,).
        pressure, wind: which predictors it rests on.
        share: of the residual's variance explained in blocks that were held back.
        mean_pressure: Pa, over the record.
    """

    centre: Array
    scale: Array
    weight: Array
    pressure: bool
    wind: bool
    share: float
    mean_pressure: float

    @property
    def used(self) -> bool:
        """Whether it explains enough."""
        return self.share >= LEAST_SHARE

    def hourly(self, weather: Weather, start: float, count: int) -> Array:
        """What the weather adds to the level at full hours from `start` on, metres; nan where it is unknown.

        Shape (count,).
        """
        lagged, near = _predictors(weather, start, count, self.pressure, self.wind)
        known = np.all(np.isfinite(lagged) | ~near, axis=1)
        away = np.where(np.isfinite(lagged), (lagged - self.centre) / self.scale, 0.0)
        return np.where(known, away @ self.weight, np.nan)


def barometer(weather: Weather, start: float, count: int, mean: float = STANDARD_PRESSURE) -> Array:
    """What pressure alone adds to the level at full hours: 1 cm per hPa below the mean, nan where unknown."""
    t = start + HOUR * np.arange(count, dtype=float)
    return np.asarray(-PASCAL * (weather.at(Quantity.PRESSURE, t) - mean))


def fit_response(residuals: Residuals, weather: Weather) -> Response | None:
    """The response of a record's level to the weather of its time.

    Returns:
        None where the weather holds neither pressure nor wind, or both have too few hours in common.
    """
    pressure = weather.knows(Quantity.PRESSURE)
    wind = weather.knows(Quantity.WIND_SPEED, Quantity.WIND_FROM)
    if not (pressure or wind) or not len(residuals.level):
        return None
    lagged, _ = _predictors(weather, residuals.start, len(residuals.level), pressure, wind)
    known = np.isfinite(lagged).all(axis=1) & np.isfinite(residuals.level)
    if known.sum() < FEWEST_HOURS:
        return None
    x, level = lagged[known], residuals.level[known]
    passing = np.column_stack([_less_season(part) for part in lagged.T])[known]
    scale = np.maximum(passing.std(axis=0), 1e-12)
    whole = _Fitted.of(x / scale, level)
    fast = _Fitted.of(passing / scale, _less_season(residuals.level)[known])
    block = np.floor((residuals.t[known] - residuals.start) / (BLOCK_DAYS * 86400.0)).astype(int) % FOLDS
    best = max(STRENGTHS, key=lambda strength: _held_back(fast, fast, block, strength))
    weight = _ridge(fast.x, fast.level, best)
    share = _held_back(fast, whole, block, best)
    mean = float(np.nanmean(weather.values[Quantity.PRESSURE])) if pressure else STANDARD_PRESSURE
    return Response(x.mean(axis=0), scale, weight, pressure, wind, share, mean)


class _Fitted(NamedTuple):
    """Scaled predictors, shape (n, p), and the level that goes with them, metres, shape (n,); means 0."""

    x: Array
    level: Array

    @classmethod
    def of(cls, x: Array, level: Array) -> "_Fitted":
        """These, less their means."""
        return cls(x - x.mean(axis=0), level - level.mean())


def _held_back(learned: _Fitted, judged: _Fitted, block: Array, strength: float) -> float:
    """Share of the judged variance explained in blocks by weights that were learned without them."""
    left = np.empty(len(judged.level))
    for k in range(FOLDS):
        out = block == k
        if not out.any() or out.all():
            return -np.inf
        weight = _ridge(learned.x[~out], learned.level[~out], strength)
        left[out] = judged.level[out] - judged.x[out] @ weight
    return float(1.0 - np.mean(left**2) / np.mean(judged.level**2))


def _less_season(values: Array) -> Array:
    """Hourly values less their mean over the season around, of those known; nan where unknown: shape (n,)."""
    known = np.isfinite(values)
    index = np.arange(len(values))
    first, last = np.maximum(index - SEASON_HOURS, 0), np.minimum(index + SEASON_HOURS + 1, len(values))
    sums, counts = (
        np.concatenate(([0.0], np.cumsum(part)))
        for part in (np.where(known, values, 0.0), known.astype(float))
    )
    return np.asarray(values - (sums[last] - sums[first]) / np.maximum(counts[last] - counts[first], 1.0))


def _ridge(x: Array, y: Array, strength: float) -> Array:
    gram = x.T @ x + strength * len(y) * np.eye(x.shape[1])
    return np.asarray(np.linalg.solve(gram, x.T @ y))


def _predictors(
    weather: Weather, start: float, count: int, pressure: bool, wind: bool
) -> tuple[Array, Flags]:
    """Means of pressure and both parts of the stress over each lag: shape (count, p); and which are near."""
    longest = LAGS[-1][1]
    t = start + HOUR * np.arange(-longest, count, dtype=float)
    series: list[Array] = []
    if pressure:
        series.append(weather.at(Quantity.PRESSURE, t))
    if wind:
        series.extend(stress(weather, t))
    columns = [_mean_before(values, first, last, longest) for values in series for first, last in LAGS]
    near = np.array([first < NEEDED_HOURS for _ in series for first, _ in LAGS])
    return np.stack(columns, axis=1), near


def stress(weather: Weather, t: Array) -> tuple[Array, Array]:
    """Wind stress over the air's density, towards east and north, m2/s2; shaped as t, nan where unknown.

    Large and Pond's drag: 1.2e-3 up to 11 m/s, then (0.49 + 0.065 U) 1e-3.
    """
    speed = weather.at(Quantity.WIND_SPEED, t)
    towards = np.radians(weather.at(Quantity.WIND_FROM, t) + 180.0)
    towards = np.where(speed == 0.0, 0.0, towards)  # a calm has no direction
    drag = 1e-3 * np.where(speed <= STRONG_WIND, 1.2, 0.49 + 0.065 * speed)
    strength = drag * speed**2
    return strength * np.sin(towards), strength * np.cos(towards)


def _mean_before(values: Array, first: int, last: int, lead: int) -> Array:
    """Means over the hours from `first` up to `last` before each, nan where less than half is known."""
    known = np.isfinite(values)
    sums = np.concatenate(([0.0], np.cumsum(np.where(known, values, 0.0))))
    counts = np.concatenate(([0], np.cumsum(known)))
    index = np.arange(lead, len(values))
    total = sums[index + 1 - first] - sums[index + 1 - last]
    count = counts[index + 1 - first] - counts[index + 1 - last]
    return np.where(2 * count >= last - first, total / np.maximum(count, 1), np.nan)
