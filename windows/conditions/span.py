"""The local days of a forecast, with a margin around them."""

from datetime import date, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

import numpy as np

from harmonics.arrays import Array
from windows.astronomy import day_edges

MARGIN_DAYS = 4
"""Windows that straddle the span, and sessions around them, need the score beyond both ends; one of these
days may be a date that the calendar skips."""


class Span(NamedTuple):
    """Local days asked for, and a margin of days around them.

    Attributes:
        first: first day of the margin.
        edges: of all days, margin included.
        zone: of the clock.
    """

    first: date
    edges: Array
    zone: ZoneInfo

    @classmethod
    def of(cls, first: date, days: int, zone: ZoneInfo) -> "Span":
        """The days from `first` on, and the margin.

        Raises:
            OverflowError: the days leave the calendar.
        """
        start, end = first - timedelta(days=MARGIN_DAYS), first + timedelta(days=days + MARGIN_DAYS)
        return cls(start, day_edges(start, (end - start).days, zone), zone)

    @property
    def asked(self) -> slice:
        """Which of the days were asked for."""
        return slice(MARGIN_DAYS, len(self.edges) - 1 - MARGIN_DAYS)

    @property
    def start(self) -> float:
        """Where the first day asked for begins, POSIX seconds."""
        return float(self.edges[MARGIN_DAYS])

    @property
    def end(self) -> float:
        """Where the last day asked for ends, POSIX seconds."""
        return float(self.edges[-1 - MARGIN_DAYS])

    def today(self, now: float) -> tuple[float, float] | None:
        """The part of today that is over, when today is one of the days."""
        index = int(np.searchsorted(self.edges, now, side="right")) - 1
        return (float(self.edges[index]), now) if 0 <= index < len(self.edges) - 1 else None
