"""Heights against the tide: what it reaches, what its datum says of the mean level, mixed-up units."""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from harmonics.files.station_keys import length_unit
from harmonics.stations.datums import greatest_range, mean_range
from harmonics.stations.tides import high_low_waters
from harmonics.stations.types import SecondaryStation, Station, TideStation
from harmonics.sums.waves import year_start
from harmonics.units import HOUR, METRES_PER_FOOT, LengthUnit
from windows.shoreline.gates import GreatestDepth, GreatestLevel, LeastDepth, LeastLevel
from windows.shoreline.plausible.findings import Finding, Oddity, line
from windows.shoreline.plausible.mean_levels import mean_level, usual
from windows.shoreline.spots import Spot
from windows.shoreline.whole import Shore

GREATEST_TIDE = 13.0
"""Metres: amplitudes of no place on earth add up to more; its greatest range is some 16 m."""
SMALLEST_TIDE = 0.01
"""Metres of amplitudes together: no gauge tells such a tide from noise."""
FEWEST = 4
"""Constituents: M2, S2, K1 and O1 make the kind of tide."""
STORM = 1.5
"""Metres that storms lift and lower the water, beside a quarter of the range (judgement)."""
DEEPEST = 60.0
"""Metres: few fish deeper from walls and small boats."""
LARGEST_FACTOR, SMALLEST_FACTOR = 3.0, 0.2
LONGEST_LAG = 5 * HOUR
"""Seconds: beyond that a difference of times belongs to the next turn, or was in other units."""


class Reach(NamedTuple):
    """What a year of a station's tide comes to, metres above its datum; nan where it has no turns.

    Attributes:
        lowest, highest: of its waters.
        middle: halfway between mean high and mean low water.
        mean, greatest: range.
    """

    lowest: float
    highest: float
    middle: float
    mean: float
    greatest: float

    @property
    def slack(self) -> float:
        """How far beyond it storms may take the water, metres."""
        return STORM + 0.25 * self.greatest


ANYWHERE = Reach(-math.inf, math.inf, *(math.nan,) * 3)
"""For a station whose heights are in no doubt."""


def reach_of(station: TideStation, year: int) -> Reach:
    """A year (UTC) of predictions."""
    turns = high_low_waters(station, year_start(year), year_start(year + 1)).turns
    if len(turns) < 2 or turns.high.all() or not turns.high.any():
        return Reach(*(math.nan,) * 5)
    high, low = turns.height[turns.high], turns.height[~turns.high]
    return Reach(
        float(low.min()),
        float(high.max()),
        float(high.mean() + low.mean()) / 2.0,
        mean_range(turns),
        greatest_range(turns),
    )


def impossible_levels(shore: Shore, document: Mapping[str, object], year: int) -> Iterator[Finding]:
    """Heights that can't be; a year is predicted only of stations with a height far from their mean level.

    Args:
        shore: the file, read.
        document: its tables as they stand.
        year: of the predictions.
    """
    far = _far_heights(shore)
    reaches = {
        station.id: reach_of(station, year) if station.id in far else ANYWHERE for station in shore.stations
    }
    stations = document.get("stations", [])
    listed = stations if isinstance(stations, list) else []
    yield from levels(shore, reaches, listed, year, plainly=True)


def _far_heights(shore: Shore) -> set[str]:
    """Ids of stations with a height that their usual tide and storms might not take the water to."""
    above: list[tuple[TideStation, float | None]] = [
        (place.sill.station, place.sill.least_level) for place in shore.landings if place.sill is not None
    ]
    below: list[tuple[TideStation, float | None]] = []
    banks = [(bank.station, bank.level) for bank in shore.banks if math.isfinite(bank.level)]
    above += banks
    below += banks
    for spot in shore.spots:
        above.append((spot.station, spot.limit(LeastLevel)))
        below.append((spot.station, spot.limit(GreatestLevel)))
        depth = spot.depth_at_datum
        if depth is not None:
            least, greatest = spot.limit(LeastDepth) or 0.0, spot.limit(GreatestDepth)
            above.append((spot.station, least - depth))
            below.append((spot.station, None if greatest is None else greatest - depth))
    high = {station.id for station, height in above if height is not None and height > _surely(station)[1]}
    low = {station.id for station, height in below if height is not None and height < _surely(station)[0]}
    return high | low


def _surely(station: TideStation) -> tuple[float, float]:
    """Heights below and above which tide and storms surely take the water: a tide passes its own rms."""
    if isinstance(station, Station):
        half = usual(station) / math.sqrt(2.0) + STORM
        return station.mean_level - half, station.mean_level + half
    own, high, low = station.reference, station.high_water, station.low_water
    if high.factor_by_height or high.offset_by_height or low.factor_by_height or low.offset_by_height:
        return math.inf, -math.inf
    half = usual(own) / math.sqrt(2.0)
    lowest = low.factor * (own.mean_level - half) + low.offset
    return lowest - STORM, high.factor * (own.mean_level + half) + high.offset + STORM


def levels(
    shore: Shore,
    reaches: Mapping[str, Reach],
    tables: Sequence[Mapping[str, object]],
    year: int,
    *,
    plainly: bool = False,
) -> Iterator[Finding]:
    """Everything odd about heights.

    Args:
        shore: the file, read.
        reaches: of each tide station by its id.
        tables: the file's [[stations]] as they stand in it.
        year: of the predictions.
        plainly: whether mean levels that can't be far off may go without a prediction.
    """
    for i, (station, table) in enumerate(zip(shore.stations, tables, strict=True)):
        unit = length_unit(table, shore.head.units.value)
        if isinstance(station, Station):
            yield from _station(f"stations[{i}]", station, unit, year, plainly=plainly)
        else:
            yield from _follower(f"stations[{i}]", station, reaches)
    for i, spot in enumerate(shore.spots):
        yield from _spot(f"spots[{i}]", spot, reaches[spot.station.id], shore.head.units)
    for i, bank in enumerate(shore.banks):
        if math.isfinite(bank.level):
            reach = reaches[bank.station.id]
            yield from _reached(
                f"banks[{i}].bare_below",
                bank.level,
                reach,
                shore.head.units,
                Oddity.NEVER_BARES,
                Oddity.ALWAYS_BARE,
            )
    for i, landing in enumerate(shore.landings):
        if landing.sill is not None and landing.sill.least_level is not None:
            reach = reaches[landing.sill.station.id]
            yield from _reached(
                f"landings[{i}].least_level",
                landing.sill.least_level,
                reach,
                shore.head.units,
                above=Oddity.LEVEL_NOT_REACHED,
            )


def _station(
    where: str, station: Station, unit: LengthUnit, year: int, *, plainly: bool
) -> Iterator[Finding]:
    constants = station.constants
    total = float(constants.amplitude.sum())
    place = f"{where}.constituents"
    if total > GREATEST_TIDE:
        write: tuple[str, ...] = ()
        if unit is LengthUnit.METRES and total * METRES_PER_FOOT <= GREATEST_TIDE:
            write = (line("length_unit", "feet"),)
        elif total / 100.0 <= GREATEST_TIDE:
            write = ("ebblight import TABLE --units centimetres -o CSV",)
        elif total / 1000.0 <= GREATEST_TIDE:
            write = ("ebblight import TABLE --units millimetres -o CSV",)
        yield Finding(Oddity.TOO_LARGE, place, (total,), write, True)
        return
    if total < SMALLEST_TIDE:
        yield Finding(Oddity.TOO_SMALL, place, (total,))
    if len(constants.constituents) < FEWEST:
        names = ", ".join(row.name for row in constants.constituents)
        yield Finding(Oddity.FEW_CONSTITUENTS, place, (names,))
    yield from mean_level(f"{where}.mean_level", station, unit, year, plainly=plainly)


def _follower(where: str, station: SecondaryStation, reaches: Mapping[str, Reach]) -> Iterator[Finding]:
    """A station by differences whose tide is quite another than its reference's."""
    own, other = reaches[station.id], reaches[station.reference.id]
    if not math.isnan(own.mean) and other.mean > 0:
        factor = own.mean / other.mean
        if not SMALLEST_FACTOR <= factor <= LARGEST_FACTOR:
            yield Finding(Oddity.FOLLOWER, f"{where}.high_water.factor", (factor, station.reference.id))
    for key, difference in (("high_water", station.high_water), ("low_water", station.low_water)):
        if abs(difference.seconds) > LONGEST_LAG:
            yield Finding(Oddity.LONG_LAG, f"{where}.{key}.minutes", (difference.seconds,))


def _spot(where: str, spot: Spot, reach: Reach, unit: LengthUnit) -> Iterator[Finding]:
    least, greatest = spot.limit(LeastLevel), spot.limit(GreatestLevel)
    if least is not None:
        yield from _reached(f"{where}.least_level", least, reach, unit, above=Oddity.LEVEL_NOT_REACHED)
    if greatest is not None:
        yield from _reached(
            f"{where}.greatest_level", greatest, reach, unit, below=Oddity.LEVEL_ALWAYS_PASSED
        )
    depth = spot.depth_at_datum
    if depth is None:
        return
    if depth + reach.highest < 0:
        wet = (line("depth_at_datum", -depth / unit.metres),)
        about = (depth, reach.highest)
        never = depth + reach.highest < -reach.slack
        yield Finding(Oddity.ALWAYS_DRY, f"{where}.depth_at_datum", about, wet, never)
    if depth > DEEPEST:
        in_feet = (line("depth_at_datum", depth * METRES_PER_FOOT / unit.metres),)
        write: tuple[str, ...] = in_feet if unit is LengthUnit.METRES else ()
        yield Finding(Oddity.DEEP, f"{where}.depth_at_datum", (depth,), write)
    shallow, deep = spot.limit(LeastDepth), spot.limit(GreatestDepth)
    over = reach._replace(
        lowest=reach.lowest + depth, highest=reach.highest + depth, middle=reach.middle + depth
    )
    if shallow is not None and shallow > 0:
        yield from _reached(f"{where}.least_depth", shallow, over, unit, above=Oddity.NEVER_DEEP)
    if deep is not None:
        yield from _reached(f"{where}.greatest_depth", deep, over, unit, below=Oddity.ALWAYS_DEEPER)


def _reached(
    where: str,
    value: float,
    reach: Reach,
    unit: LengthUnit,
    below: Oddity | None = None,
    above: Oddity | None = None,
) -> Iterator[Finding]:
    """A level (or depth) that lies below all water of the year, or above."""
    if below is not None and value < reach.lowest:
        kind, off = below, reach.lowest - value
    elif above is not None and value > reach.highest:
        kind, off = above, value - reach.highest
    else:
        return
    key = where.rpartition(".")[2]
    fits = [
        new
        for factor in (METRES_PER_FOOT, 1.0 / METRES_PER_FOOT)
        if reach.lowest < (new := value * factor) < reach.highest
    ]
    write = line(key, (fits[0] if fits else reach.middle) / unit.metres)
    yield Finding(kind, where, (value, reach.lowest, reach.highest), (write,), off > reach.slack)
