"""How the real water stood from the tide: a record's residuals against a station's constants."""

from dataclasses import dataclass, replace

import numpy as np

from harmonics.arrays import Array
from harmonics.units import HOUR


@dataclass(frozen=True, slots=True)
class Flaw:
    """A suspicious stretch of a record, left out or put right.

    Attributes:
        kind: as in `harmonics.fitting.suspicions.Suspicion`.
        start, end: POSIX seconds.
        size: as there.
    """

    kind: str
    start: float
    end: float
    size: float


@dataclass(frozen=True, slots=True)
class Cleaning:
    """What was done to a record.

    Attributes:
        days: from its first reading to its last.
        missing: share of its hours without a value.
        zero: metres that its zero lies above the station's datum, taken off; 0 where both are the same.
        flaws: suspicious stretches.
    """

    days: float
    missing: float
    zero: float
    flaws: tuple[Flaw, ...]


@dataclass(frozen=True, eq=False)
class Residuals:
    """Observed less predicted levels at full hours.

    Attributes:
        start: of the first hour, POSIX seconds.
        level: metres, nan where unknown, shape (n,).
        cleaning: how they came about.
    """

    start: float
    level: Array
    cleaning: Cleaning

    @property
    def end(self) -> float:
        """An hour after the last one, POSIX seconds."""
        return self.start + HOUR * len(self.level)

    @property
    def t(self) -> Array:
        """The hours, POSIX seconds, shape (n,)."""
        return self.start + HOUR * np.arange(len(self.level), dtype=float)

    def between(self, start: float, end: float) -> "Residuals":
        """Those with start <= t < end."""
        first, last = (
            int(np.clip(np.ceil((t - self.start) / HOUR), 0, len(self.level))) for t in (start, end)
        )
        return replace(self, start=self.start + HOUR * first, level=self.level[first:last])
