"""Texts of a current for a station file: its constituent tables in knots, and the [[currents]] table."""

from dataclasses import dataclass, replace

from harmonics.files.station_text import constituent_csv
from harmonics.sums.waves import HarmonicConstants, NodePractice
from harmonics.units import METRES_PER_SECOND_PER_KNOT


@dataclass(frozen=True, slots=True)
class CurrentHead:
    """What a [[currents]] table says beside its constituents.

    Attributes:
        id, name: as the file shall have them.
        latitude, longitude: degrees, north and east positive.
        flood_direction, ebb_direction: degrees true.
        mean_along, mean_across: m/s.
        axes: directions of both axes where it has two; then it has no ebb direction of its own.
    """

    id: str
    name: str
    latitude: float
    longitude: float
    flood_direction: float
    ebb_direction: float
    mean_along: float = 0.0
    mean_across: float = 0.0
    axes: tuple[float, float] | None = None


def speed_csv(constants: HarmonicConstants, comments: tuple[str, ...] = ()) -> str:
    """The table `name,amplitude,phase` of a current: knots, Greenwich lags in degrees."""
    in_knots = replace(constants, amplitude=constants.amplitude / METRES_PER_SECOND_PER_KNOT)
    return constituent_csv(in_knots, comments=comments)


def current_toml(
    head: CurrentHead, table: str, across: str | None, practice: NodePractice = NodePractice.YEARLY
) -> str:
    """The `[[currents]]` table of a station file.

    Args:
        head: what it says.
        table, across: paths of the constituent tables, relative to the file; None on one axis.
        practice: node practice the constants go with.
    """
    import tomlkit

    current = tomlkit.table()
    current["id"] = head.id
    current["name"] = head.name
    current["latitude"] = head.latitude
    current["longitude"] = head.longitude
    current["flood_direction"] = _degrees(head.flood_direction)
    if head.axes is None or across is None:
        current["ebb_direction"] = _degrees(head.ebb_direction)
    else:
        current["axis_direction"], current["across_direction"] = map(_degrees, head.axes)
    current["mean_flow"] = _knots(head.mean_along)
    current["constituents"] = table
    if head.axes is not None and across is not None:
        current["mean_across"] = _knots(head.mean_across)
        current["constituents_across"] = across
    current["phase"] = "greenwich"
    if practice is not NodePractice.YEARLY:
        current["node_factors"] = practice.value
    currents = tomlkit.aot()
    currents.append(current)
    return tomlkit.dumps({"currents": currents})


def _degrees(direction: float) -> float:
    return round(direction % 360.0, 1) % 360.0


def _knots(speed: float) -> float:
    return round(speed / METRES_PER_SECOND_PER_KNOT, 4) + 0.0
