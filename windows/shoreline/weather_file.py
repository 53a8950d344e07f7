"""The [weather] table of a file: where its weather is."""

from datetime import tzinfo
from pathlib import Path
from typing import NamedTuple

from harmonics.files.checking import Table, checked
from harmonics.files.problems import Here, Problems
from harmonics.files.record_source import FileName, Zone
from harmonics.files.station_file import StationFile
from harmonics.files.zones import zone_of


class WeatherTable(Table):
    """[weather]."""

    file: FileName
    zone: Zone = None


class WeatherSource(NamedTuple):
    """A file of weather.

    Attributes:
        path: the file.
        zone: of its clock; None where its stamps or its header say.
    """

    path: Path
    zone: tzinfo | None = None


def read_weather_source(file: StationFile, problems: Problems) -> WeatherSource | None:
    """The weather that a file names; None with problems reported."""
    here = Here("weather", problems)
    model = checked(WeatherTable, file.other_tables["weather"], here)
    if model is None:
        return None
    zone = None if model.zone is None else here.at("zone").parsed(zone_of, model.zone)
    return WeatherSource(file.path.parent / model.file, zone)
