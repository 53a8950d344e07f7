"""Units at the edges: what files and readers use, and what the inside counts in."""

from enum import StrEnum

METRES_PER_FOOT = 0.3048
METRES_PER_SECOND_PER_KNOT = 1852.0 / 3600.0
KILOGRAMS_PER_OUNCE = 0.028349523125


class LengthUnit(StrEnum):
    """A unit of heights and depths."""

    METRES = "metres"
    FEET = "feet"

    @property
    def metres(self) -> float:
        """Metres in one of it."""
        return METRES_PER_FOOT if self is LengthUnit.FEET else 1.0

    @property
    def symbol(self) -> str:
        """Short form beside a number."""
        return "ft" if self is LengthUnit.FEET else "m"
