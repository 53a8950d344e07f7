"""Heights against the tide: what it reaches, what its datum says of the mean level, mixed-up units."""

import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from harmonics.stations.datums import datums, greatest_range, mean_range, tide_character
from harmonics.stations.tides import high_low_waters
from harmonics.stations.types import SecondaryStation, Station, TideStation
from harmonics.sums.waves import year_start
from harmonics.units import HOUR, METRES_PER_FOOT, LengthUnit
from windows.shoreline.gates import GreatestDepth, GreatestLevel, LeastDepth, LeastLevel
from windows.shoreline.plausible.findings import Finding, Oddity, line
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
FARTHER = 2.0
"""Times the distance at which a mean level is odd, from which it is refused (judgement)."""
DEEPEST = 60.0
"""Metres: few fish deeper from walls and small boats."""
LARGEST_FACTOR, SMALLEST_FACTOR = 3.0, 0.2
LONGEST_LAG = 5 * HOUR
"""Seconds: beyond that a difference of times belongs to the next turn, or was in other units."""


@dataclass(frozen=True, slots=True)
class Reach:
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
    """Ids of stations with a height that their usual tide and weather might not take the water to."""
    heights: list[tuple[TideStation, float | None]] = [
        (bank.station, bank.level) for bank in shore.banks if math.isfinite(bank.level)
    ]
    heights += [
        (place.sill.station, place.sill.least_level) for place in shore.landings if place.sill is not None
    ]
    for spot in shore.spots:
        heights += [(spot.station, spot.limit(kind)) for kind in (LeastLevel, GreatestLevel)]
        depth = spot.depth_at_datum
        if depth is not None:
            heights.append((spot.station, -depth if depth < 0 else None))
            over = (spot.limit(kind) for kind in (LeastDepth, GreatestDepth))
            heights += [(spot.station, None if limit is None else limit - depth) for limit in over]
    return {
        station.id
        for station, height in heights
        if height is not None and not _plainly_reached(station, height)
    }


def _plainly_reached(station: TideStation, height: float) -> bool:
    """Whether tide and storms surely take the water beyond a height: a year of tide passes its own rms."""
    if isinstance(station, SecondaryStation):
        return False
    return abs(height - station.mean_level) <= STORM + _usual(station) / math.sqrt(2.0)


def _usual(station: Station) -> float:
    """Amplitude of one wave with the power of the whole tide, metres."""
    return math.sqrt(float((station.constants.amplitude**2).sum()))


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
        unit = LengthUnit.FEET if table.get("length_unit") == "feet" else LengthUnit.METRES
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
    rule = next((item for item in _DATUMS if item.words.search(station.datum)), None)
    if rule is not None and not (plainly and rule.plainly_met(station)):
        yield from _mean_level(f"{where}.mean_level", station, unit, rule, year)


def _mean_level(
    where: str, station: Station, unit: LengthUnit, rule: "_DatumRule", year: int
) -> Iterator[Finding]:
    """The mean level against what the datum's name says of it."""
    expected = rule.expected(station, year)
    allowed = rule.share * abs(expected) + rule.metres
    off = abs(station.mean_level - expected)
    if math.isnan(expected) or off <= allowed:
        return
    write = [line("mean_level", expected / unit.metres)]
    for factor in (METRES_PER_FOOT, 1.0 / METRES_PER_FOOT):
        if abs(station.mean_level * factor - expected) <= 0.5 * allowed:
            write = [line("mean_level", station.mean_level * factor / unit.metres, 3)]
            if unit is LengthUnit.METRES and factor > 1:
                write.append(line("length_unit", "feet"))
    about = (station.mean_level, expected, station.datum)
    yield Finding(Oddity.MEAN_LEVEL, where, about, tuple(write), off > FARTHER * allowed)


def _above_low(name: str) -> Callable[[Station, int], float]:
    """The mean level above a datum of low water, from a year of the station's own tide."""
    return lambda station, year: station.mean_level - datums(station, year, 1).named(name)


def _above_springs(station: Station, _: int) -> float:
    return tide_character(station.constants).spring_range / 2.0


@dataclass(frozen=True)
class _DatumRule:
    """What the words of a datum say of the mean level above it.

    Attributes:
        words: which name it.
        expected: metres, from a station and a year.
        share, metres: how far from that published mean levels lie (judgement): every country has chart
            datums of its own, and weather lowers mean low waters.
        within: what it comes to on any coast, in amplitudes of one wave with the power of the whole tide.
    """

    words: re.Pattern[str]
    expected: Callable[[Station, int], float]
    share: float
    metres: float
    within: tuple[float, float]

    def plainly_met(self, station: Station) -> bool:
        """Whether a mean level is not refused, wherever within its bounds the expected one lies."""
        low, high = (edge * _usual(station) for edge in self.within)
        least = high - FARTHER * (self.share * high + self.metres)
        most = low + FARTHER * (self.share * low + self.metres)
        return least <= station.mean_level <= most


_DATUMS = (
    _DatumRule(re.compile(r"(?i)\bMLLW\b|lower low"), _above_low("mllw"), 0.25, 0.1, (0.8, 1.5)),
    _DatumRule(re.compile(r"(?i)\bMLWS\b|low water springs"), _above_springs, 0.3, 0.2, (0.0, 1.5)),
    _DatumRule(re.compile(r"(?i)\bMLW\b|mean low water"), _above_low("mlw"), 0.25, 0.1, (0.5, 1.5)),
    _DatumRule(
        re.compile(r"(?i)\b(?:LAT|CD|LLWLT|ZH)\b|lowest astronomical|chart datum|hydrograph"),
        _above_low("lat"),
        *(0.45, 0.25, (1.0, 2.6)),
    ),
    _DatumRule(re.compile(r"(?i)\bMSL\b|mean sea level"), lambda station, year: 0.0, 0.0, 0.1, (0.0, 0.0)),
)


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
    over = replace(
        reach, lowest=reach.lowest + depth, highest=reach.highest + depth, middle=reach.middle + depth
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
