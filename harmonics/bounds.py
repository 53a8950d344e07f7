"""What no water on earth passes: readers refuse a number outside and say between which it may lie.

The bounds are wide on purpose (common practice, no measured extreme stands close to one): they catch slips of
unit, of column and of typing, not unusual water.
"""

from typing import NamedTuple


class Bound(NamedTuple):
    """The least and the greatest value that a reader takes."""

    least: float
    greatest: float

    def holds(self, value: float) -> bool:
        """Whether the value lies within; nan does not."""
        return self.least <= value <= self.greatest

    def __str__(self) -> str:
        """As a message says it."""
        return f"{self.least:.12g} to {self.greatest:.12g}"


AMPLITUDE = Bound(0.0, 100.0)
"""Of a constituent, in any unit that a station file may use."""
HEIGHT = Bound(-100.0, 100.0)
"""Above a datum, in feet or metres."""
FARTHEST_LEVEL = 1000.0
"""Metres either way: further from any zero in use no tide gauge reads (judgement)."""
MEAN_FLOW = Bound(-20.0, 20.0)
"""Knots, flood positive."""
READ_SPEED = 20.0
"""Metres a second that a meter read; the strongest tidal streams run at half of it."""
