"""What is known beyond astronomy when a forecast is made."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from harmonics.records.observed import Departure
from harmonics.stations.types import TideStation, primary_of


@dataclass(frozen=True, eq=False)
class Outlook:
    """What is known beyond astronomy.

    Attributes:
        now: the clock, POSIX seconds.
        departures: how the water stands against its prediction today, by id of station with constituents.
    """

    now: float
    departures: Mapping[str, Departure] = field(default_factory=dict)

    def departure(self, station: TideStation) -> Departure | None:
        """The departure of a station's water; None where nobody has read a gauge."""
        return self.departures.get(primary_of(station).id)
