"""A first station file as text, with comments that say what each part is for."""

from dataclasses import dataclass

from harmonics.files.station_text import StationHead, station_toml
from harmonics.units import LengthUnit


@dataclass(frozen=True, slots=True)
class SpotHead:
    """What a spot must have.

    Attributes:
        id, name: as they will stand in the file.
        latitude, longitude: degrees, north and east positive.
        station: id of the station whose tide it has.
    """

    id: str
    name: str
    latitude: float
    longitude: float
    station: str


@dataclass(frozen=True, slots=True)
class FirstFile:
    """What a first file says.

    Attributes:
        title: of the shore.
        zone: IANA name of its clock.
        read_in: unit that people read.
        station: its station.
        table: name of the constituent table beside the file.
        table_unit: of that table and of the mean level.
        spot: its spot.
    """

    title: str
    zone: str
    read_in: LengthUnit
    station: StationHead
    table: str
    table_unit: LengthUnit
    spot: SpotHead


def first_file(content: FirstFile) -> str:
    """The file; every text in it is quoted as TOML wants."""
    import tomlkit

    head = {"title": content.title, "time_zone": content.zone, "units": content.read_in.value}
    spots = tomlkit.aot()
    spot = content.spot
    spots.append(
        tomlkit.item(
            {
                "id": spot.id,
                "name": spot.name,
                "latitude": spot.latitude,
                "longitude": spot.longitude,
                "station": spot.station,
            }
        )
    )
    return "\n".join(
        (
            "# `ebblight check` says what this file means, `ebblight guide file` what else it may say.",
            tomlkit.dumps(head),
            "# Where the water comes from; latitude north and longitude east positive, so west is negative.",
            station_toml(content.station, content.table, content.table_unit),
            "# Where you fish. Once you have watched it: slack_lag = minutes after high or low water when",
            "# the flow here turns, and flow = { strong_ebb = knots of a strong ebb }.",
            tomlkit.dumps({"spots": spots}),
        )
    )
