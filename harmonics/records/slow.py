"""The slow part of a residual, a month's mean: what season and sea will add to the level of days to come.

Two things tell it. The season does, as other years had it; and the record's newest month, for slow levels
last. Each misses by so much, and the better one it is known, the more it counts.
"""

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from harmonics.arrays import Array
from harmonics.records.residuals import Residuals
from harmonics.units import DAY, HOUR

YEAR_DAYS = 365.2425
MONTH_DAYS = 29.5
"""A mean over so long is free of the tide and of passing weather."""
LEAST_KNOWN = 1.0 / 3.0
"""Share of a month that must be known for its mean."""
FEWEST_PAIRS = 60
"""Days with a month before and one after: fewer don't tell how far slow levels go meanwhile."""
GOLDEN = 0.6180339887498949
"""Steps of this share of a circle never meet, and cover it evenly however many there are."""


@dataclass(frozen=True, eq=False)
class SlowMeans:
    """Running means of residuals over a month.

    Attributes:
        start: of the residuals, POSIX seconds.
        sums, counts: of the known hours before each, shape (n + 1,).
    """

    start: float
    sums: Array
    counts: Array

    @classmethod
    def of(cls, residuals: Residuals) -> "SlowMeans":
        """Those of a record's residuals."""
        known = np.isfinite(residuals.level)
        sums = np.cumsum(np.where(known, residuals.level, 0.0))
        counts = np.cumsum(known.astype(float))
        return cls(residuals.start, *(np.concatenate(([0.0], part)) for part in (sums, counts)))

    def mean(self, t: Array, ahead: float) -> Array:
        """Means (metres) over the month whose share `ahead` lies after each t, nan where little is known.

        Args:
            t: POSIX seconds, any shape.
            ahead: 0 for the month before, 0.5 for the month around.
        """
        last = np.asarray((t - self.start) / HOUR + ahead * MONTH_DAYS * 24.0)
        edges = [
            np.clip(np.rint(x), 0, len(self.sums) - 1).astype(int) for x in (last - MONTH_DAYS * 24.0, last)
        ]
        count = self.counts[edges[1]] - self.counts[edges[0]]
        total = self.sums[edges[1]] - self.sums[edges[0]]
        return np.where(count >= LEAST_KNOWN * MONTH_DAYS * 24.0, total / np.maximum(count, 1.0), np.nan)

    @property
    def days(self) -> Array:
        """A time a day, POSIX seconds."""
        return self.start + DAY * np.arange((len(self.sums) - 1) // 24 + 1, dtype=float)

    @property
    def months(self) -> float:
        """Months of known hours: so many slow levels that have little to do with each other."""
        return float(self.counts[-1]) / 24.0 / MONTH_DAYS


def slow_shifts(residuals: Residuals, middles: Array, middle: float, newest: float) -> Array:
    """What to add to stretches so that their slow part is that of days to come, as far as it is known.

    Of a single year nobody knows how far another year's season stands off: half of what its slow levels
    vary is taken for the seasons', half for the years', so both together for the difference of two years.
    With Y years, whose own spread is in the stretches, s sqrt(2 / Y) remains, s the spread of one season over
    the years. How far the newest month misses is read off all days of the record. As few months tell little,
    variances grow by n / (n - 2), Student's.

    Args:
        residuals: of the record.
        middles: of the stretches, POSIX seconds, shape (k,).
        middle: of the days to come, POSIX seconds.
        newest: where what is known of them ends, POSIX seconds: nothing later tells of the newest month.

    Returns:
        Metres, one a stretch, shape (k,).
    """
    means = SlowMeans.of(residuals)
    known = min(newest, residuals.start + HOUR * len(residuals.level))
    own, now = means.mean(middles, 0.5), float(means.mean(np.array(known), 0.0))
    season = _season_variance(means, middle - middles)
    lasting = _lasting_variance(means, middle - known)
    share = season / (season + lasting) if np.isfinite(now) and season > 0 else 0.0
    share = share if np.isfinite(share) else 0.0
    small = means.months / (means.months - 2.0)
    spread = float(np.sqrt(min(season, lasting) * small))
    count = len(middles)
    normal = np.array([NormalDist().inv_cdf((k + 0.5) / count) for k in range(count)])
    order = np.argsort(np.argsort(np.arange(count) * GOLDEN % 1.0))
    drawn = np.where(np.isfinite(own), share * (now - own), 0.0) if share else np.zeros(count)
    return np.asarray(drawn + spread * normal[order])


def _season_variance(means: SlowMeans, ahead: Array) -> float:
    """Mean square by which the season's slow level of other years misses, square metres."""
    slow = means.mean(means.days, 0.5)
    years = len(np.unique(np.rint(ahead / DAY / YEAR_DAYS)))
    apart = means.mean(means.days + YEAR_DAYS * DAY, 0.5) - slow
    apart = apart[np.isfinite(apart)]
    if years > 1 and len(apart):
        return float(np.mean(apart**2)) / years
    return float(np.nanvar(slow)) if np.isfinite(slow).any() else 0.0


def _lasting_variance(means: SlowMeans, ahead: float) -> float:
    """Mean square by which the month before misses the month around a time so far ahead, square metres."""
    apart = means.mean(means.days + max(ahead, 0.0), 0.5) - means.mean(means.days, 0.0)
    apart = apart[np.isfinite(apart)]
    return float(np.mean(apart**2)) if len(apart) >= FEWEST_PAIRS else np.inf
