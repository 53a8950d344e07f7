"""Units at the edges: what files and readers use, and what the inside counts in."""

from enum import StrEnum, unique

MINUTE = 60.0
HOUR = 3600.0
DAY = 86400.0
"""Seconds in each."""
METRES_PER_FOOT = 0.3048
METRES_PER_SECOND_PER_KNOT = 1852.0 / HOUR
KILOGRAMS_PER_OUNCE = 0.028349523125


@unique
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


LENGTH_WORDS = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), LengthUnit.METRES),
    **dict.fromkeys(("ft", "foot", "feet"), LengthUnit.FEET),
}
"""What headers of tables call each unit, in lower case."""

DATUM_NAMES = ("hat", "mhhw", "mhw", "mtl", "dtl", "msl", "mlw", "mllw", "lat")
"""Tidal datums, highest first; `harmonics.stations.datums.Datums` has each."""
