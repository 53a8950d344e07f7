"""Texts for a station file: the constituent table, and the station's TOML table that names it."""

from dataclasses import dataclass

from harmonics.sums.waves import HarmonicConstants, NodePractice
from harmonics.units import LengthUnit


@dataclass(frozen=True, slots=True)
class StationHead:
    """What a station table says beside its constituents.

    Attributes:
        id, name: as they will stand in the file.
        latitude, longitude: degrees, north and east positive.
        datum: what heights are counted from.
        mean_level: Z0, metres above the datum.
    """

    id: str
    name: str
    latitude: float
    longitude: float
    datum: str
    mean_level: float


def constituent_csv(
    constants: HarmonicConstants, unit: LengthUnit = LengthUnit.METRES, comments: tuple[str, ...] = ()
) -> str:
    """The table `name,amplitude,phase`: amplitudes in `unit`, Greenwich lags in degrees.

    Five decimals of a metre and three of a degree keep a sum of eighty lines within a tenth of a
    millimetre on a coast of ordinary range.
    """
    lines = [f"# {' '.join(comment.split())}" for comment in comments]
    lines.append("name,amplitude,phase")
    for name, (amplitude, lag) in constants.named().items():
        lines.append(f"{name},{amplitude / unit.metres:.5f},{lag % 360.0:.3f}")
    return "\n".join(lines) + "\n"


def station_toml(
    head: StationHead,
    table: str,
    unit: LengthUnit = LengthUnit.METRES,
    practice: NodePractice = NodePractice.YEARLY,
) -> str:
    """The `[[stations]]` table of a station file.

    Args:
        head: what it says.
        table: path of the constituent table, relative to the file.
        unit: of the table's amplitudes and the mean level.
        practice: node practice the constants go with.
    """
    import tomlkit

    station = tomlkit.table()
    station["id"] = head.id
    station["name"] = head.name
    station["latitude"] = head.latitude
    station["longitude"] = head.longitude
    station["datum"] = head.datum
    station["mean_level"] = tomlkit.float_(f"{head.mean_level / unit.metres:.4f}")
    station["length_unit"] = unit.value
    station["constituents"] = table
    station["phase"] = "greenwich"
    if practice is not NodePractice.YEARLY:
        station["node_factors"] = practice.value
    stations = tomlkit.aot()
    stations.append(station)
    return tomlkit.dumps({"stations": stations})
