"""What every result of a file opens with."""

from typing import NamedTuple
from zoneinfo import ZoneInfo

from harmonics.units import LengthUnit


class Head(NamedTuple):
    """The head of a file.

    Attributes:
        title: of the shoreline.
        invented: whether the coast is a demo that exists nowhere.
        zone: of the clock that people there read.
        units: of heights and depths that people read.
    """

    title: str
    invented: bool
    zone: ZoneInfo
    units: LengthUnit
