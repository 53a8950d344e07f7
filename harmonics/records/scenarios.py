"""What the water did in a season, as departures from the tide of days to come.

A scenario is a stretch of the record within 45 days of the season, whole and in its own order, so that
persistence and tails are the gauge's own. Stretches are moved by whole days: a sea breeze keeps its clock.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from harmonics.arrays import Array, Indices
from harmonics.errors import EbblightError
from harmonics.records.residuals import Residuals
from harmonics.records.slow import YEAR_DAYS, slow_shifts
from harmonics.records.splines import even_curve
from harmonics.stations.types import Station
from harmonics.sums.series import even_sums
from harmonics.sums.waves import HarmonicConstants
from harmonics.units import DAY, HOUR

SEASON_DAYS = 45.0
MOST = 200
FEWEST = 20
"""Fewer stretches tell no chance: one of them is five cases in a hundred."""
ENOUGH = 60
"""Where a season has fewer than FEWEST, the nearest so many stand in for it."""
LEAD_DAYS, TAIL_DAYS = 3.0, 2.0
"""What a stretch holds beyond its span: places ahead of the gauge or behind it, and a bay's memory."""


@dataclass(frozen=True, eq=False)
class Scenarios:
    """Stretches of a record laid over a span.

    Attributes:
        station: whose record.
        start: of the first knot, POSIX seconds, a full hour.
        levels: departures of the level at hourly knots, metres, shape (k, m).
        flows: the same for its rate: nothing that moves levels alone is in it.
        unexplained: `levels` less what the weather of their time explains; None where nothing is known of it.
        origins: time in the record that stands for `start`, shape (k,).
        away: days between the season and the stretch farthest from it.
    """

    station: Station
    start: float
    levels: Array
    flows: Array
    origins: Array
    away: float
    unexplained: Array | None = None

    def __len__(self) -> int:
        return len(self.origins)

    def even_levels(self, start: float, step: float, count: int) -> Array:
        """Departures (metres) at start + step x (0 .. count - 1): shape (k, count)."""
        return even_curve(self.levels, self.start, start, step, count)

    def even_rates(self, start: float, step: float, count: int) -> Array:
        """Their rates (metres a second) at even steps: shape (k, count)."""
        return even_curve(self.flows, self.start, start, step, count, slope=True)

    @property
    def t(self) -> Array:
        """Times of the knots, POSIX seconds, shape (m,)."""
        return self.start + HOUR * np.arange(self.levels.shape[1], dtype=float)

    def chosen(self, index: Indices) -> "Scenarios":
        """Some of them."""
        left = None if self.unexplained is None else self.unexplained[index]
        return replace(
            self,
            levels=self.levels[index],
            flows=self.flows[index],
            origins=self.origins[index],
            unexplained=left,
        )

    def with_levels(self, levels: Array) -> "Scenarios":
        """The same with other departures of the level; its rates stay."""
        return replace(self, levels=levels)


def scenarios_of(
    station: Station, residuals: Residuals, start: float, end: float, explained: Array | None = None
) -> Scenarios:
    """Scenarios for start <= t < end.

    Args:
        station: whose residuals they are.
        residuals: of its record; a stretch that overlaps the span itself is never among them.
        start, end: POSIX seconds; a few days to a few weeks apart.
        explained: what the weather explains of the residuals, nan where it is unknown, shaped as they.

    Raises:
        EbblightError: the record has too few stretches of that length without a long gap.
    """
    first = np.floor((start - LEAD_DAYS * DAY) / HOUR) * HOUR
    length = int(np.ceil((end + TAIL_DAYS * DAY - first) / HOUR)) + 1
    begins = _whole(residuals, first, length)
    if len(begins) < FEWEST:
        raise EbblightError(
            f"found {len(begins)} stretches of {length / 24:.0f} days without a long gap in the record of "
            f"{station.name}; expected at least {FEWEST}"
        )
    origins = residuals.start + HOUR * begins
    away = np.abs(((first - origins) / DAY + YEAR_DAYS / 2) % YEAR_DAYS - YEAR_DAYS / 2)
    chosen = _of_season(away)
    begins, origins = begins[chosen], origins[chosen]
    free, here = _apart_from_tide(station, residuals, float(first), length)
    ahead = (start + end) / 2 - first

    def laid(level: Array) -> tuple[Array, Array]:
        """Stretches over the span, and the same at the slow level of days to come."""
        cut = np.asarray(np.lib.stride_tricks.sliding_window_view(level, length)[begins] + here)
        slow = replace(residuals, level=level)
        return cut, cut + slow_shifts(slow, origins + ahead, first + ahead, start)[:, None]

    flows, levels = laid(free)
    left = None if explained is None else laid(_less(free, explained))[1]
    times = np.asarray(origins, dtype=float)
    return Scenarios(station, float(first), levels, flows, times, float(away[chosen].max()), left)


def _less(level: Array, explained: Array) -> Array:
    """A level less what explains it; where that is unknown, as much smaller as the rest becomes."""
    left = level - explained
    both = left[np.isfinite(left)]
    size = both.std() / max(float(level[np.isfinite(left)].std()), 1e-12) if len(both) else 1.0
    return np.where(np.isfinite(left), left, level * min(size, 1.0))


def _whole(residuals: Residuals, first: float, length: int) -> Indices:
    """Where stretches of that many hours begin that are known throughout, whole days from `first`."""
    unknown = np.concatenate(([0], np.cumsum(np.isnan(residuals.level))))
    offset = round((first - residuals.start) / HOUR)
    begins = np.arange(offset % 24, max(len(residuals.level) - length + 1, 0), 24)
    begins = begins[np.abs(begins - offset) >= length]
    return np.asarray(begins[unknown[begins + length] == unknown[begins]], dtype=np.intp)


def _of_season(away: Array) -> NDArray[np.intp]:
    """Those within the season, evenly thinned where there are many; the nearest where there are too few."""
    chosen = np.flatnonzero(away <= SEASON_DAYS)
    if len(chosen) < FEWEST:
        chosen = np.sort(np.argsort(away, kind="stable")[:ENOUGH])
    if len(chosen) > MOST:
        chosen = chosen[np.linspace(0, len(chosen) - 1, MOST).round().astype(int)]
    return chosen


def _apart_from_tide(
    station: Station, residuals: Residuals, first: float, length: int
) -> tuple[Array, Array]:
    """The record's residuals less what of them goes with the tide, and what goes with the tide to come.

    Where the real tide is some per cent weaker than predicted, or some minutes later, every residual holds a
    copy of the tide that must keep to its own tide and not travel with the stretch. How weak and how late
    is found by least squares on the hourly changes, in which the weather is small.

    Returns:
        Metres at the record's hours, shape (n,), and at hours from `first` on, shape (length,).
    """
    tide, ahead = (
        np.stack([even_sums(tidal, station.practice, start, HOUR, count, order) for order in range(2)])
        for tidal in [_tidal(station.constants)]
        for start, count in ((residuals.start, len(residuals.level)), (first, length))
    )
    change, changes = np.diff(residuals.level), np.diff(tide, axis=1)
    known = np.isfinite(change)
    share = np.linalg.lstsq(changes[:, known].T, change[known], rcond=None)[0]
    return residuals.level - share @ tide, np.asarray(share @ ahead)


def _tidal(constants: HarmonicConstants) -> HarmonicConstants:
    """Those of the tide's own lines: seasons move the level by other laws."""
    fast = [k for k, row in enumerate(constants.constituents) if row.species > 0]
    rows = tuple(constants.constituents[k] for k in fast)
    return HarmonicConstants(rows, constants.amplitude[fast], constants.phase_lag[fast])
