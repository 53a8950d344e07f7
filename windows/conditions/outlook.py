"""What is known beyond astronomy when a forecast is made."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from harmonics.stations.types import TideStation, primary_of

if TYPE_CHECKING:
    from harmonics.records.ahead import LevelAhead
    from harmonics.records.observed import Departure
    from harmonics.records.store import StationRecord
    from harmonics.records.weather import Weather


@dataclass(frozen=True, eq=False)
class Outlook:
    """What is known beyond astronomy.

    Attributes:
        now: the clock, POSIX seconds.
        departures: how the water stands against its prediction today, by id of station with constituents.
        records: what the stations' records tell, by id.
        weather: observed or forecast; None where nobody knows any.
    """

    now: float
    departures: Mapping[str, "Departure"] = field(default_factory=dict)
    records: Mapping[str, "StationRecord"] = field(default_factory=dict)
    weather: "Weather | None" = None

    def departure(self, station: TideStation) -> "Departure | None":
        """The departure of a station's water; None where nobody has read a gauge."""
        return self.departures.get(primary_of(station).id)

    def record(self, station: TideStation) -> "StationRecord | None":
        """What a record tells of a station's water; None where it has none."""
        return self.records.get(primary_of(station).id)

    def level_known(self, station: TideStation, start: float, end: float) -> "Departure | LevelAhead | None":
        """What readings and weather tell of a station's level between two times; None without either."""
        return self.departure(station) if self.weather is None else self.level_ahead(station, start, end)

    def level_ahead(self, station: TideStation, start: float, end: float) -> "LevelAhead":
        """What is known of a station's level between two times (POSIX seconds) beyond its tide."""
        from harmonics.records.ahead import level_ahead

        record = self.record(station)
        return level_ahead(
            start,
            end,
            self.departure(station),
            self.weather,
            None if record is None else record.response,
        )
