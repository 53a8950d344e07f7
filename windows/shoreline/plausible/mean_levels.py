"""A mean level against what the name of its datum says of it."""

import math
from collections.abc import Callable, Iterator
from typing import NamedTuple

from harmonics.stations.datums import datums, tide_character
from harmonics.stations.types import Station
from harmonics.units import METRES_PER_FOOT, LengthUnit
from windows.shoreline.plausible.findings import Finding, Oddity, line

FARTHER = 2.0
"""Times the distance at which a mean level is odd, from which it is refused (judgement)."""

SAME = 0.06
"""Of the expected one: how near a mean level in the other unit is that very one (judgement)."""


def mean_level(
    where: str, station: Station, unit: LengthUnit, year: int, *, plainly: bool
) -> Iterator[Finding]:
    """What contradicts the datum.

    Args:
        where: key path of the mean level.
        station: whose it is.
        unit: of the station's numbers.
        year: of the predictions from which datums are taken.
        plainly: whether a mean level that can't be refused may go without them.
    """
    rule = rule_of(station.datum)
    if rule is None or (plainly and rule.plainly_met(station)):
        return
    expected = rule.expected(station, year)
    allowed = rule.share * abs(expected) + rule.metres
    off = abs(station.mean_level - expected)
    if math.isnan(expected) or off <= allowed:
        return
    write, in_other_unit = [line("mean_level", expected / unit.metres)], False
    for factor in (METRES_PER_FOOT, 1.0 / METRES_PER_FOOT):
        if abs(station.mean_level * factor - expected) <= 0.5 * allowed:
            in_other_unit |= abs(station.mean_level * factor - expected) <= SAME * abs(expected)
            write = [line("mean_level", station.mean_level * factor / unit.metres, 3)]
            if unit is LengthUnit.METRES and factor > 1:
                write.append(line("length_unit", "feet"))
    about = (station.mean_level, expected, station.datum)
    lower = rule.may_be_lower and station.mean_level > expected and not in_other_unit
    yield Finding(Oddity.MEAN_LEVEL, where, about, tuple(write), off > FARTHER * allowed and not lower)


def usual(station: Station) -> float:
    """Amplitude of one wave with the power of the whole tide, metres."""
    return math.sqrt(float((station.constants.amplitude**2).sum()))


def _above_low(name: str) -> Callable[[Station, int], float]:
    """The mean level above a datum of low water, from a year of the station's own tide."""
    return lambda station, year: station.mean_level - datums(station, year, 1).named(name)


def _above_springs(station: Station, _: int) -> float:
    return tide_character(station.constants).spring_range / 2.0


class Rule(NamedTuple):
    """What the words of a datum say of the mean level above it.

    Attributes:
        words: short names, any of which stands for it.
        phrases: likewise.
        expected: metres, from a station and a year.
        share, metres: how far from that published mean levels lie (judgement): every country has chart
            datums of its own, and weather lowers mean low waters.
        within: what it comes to on any coast, in amplitudes of one wave with the power of the whole tide.
        may_be_lower: whether the datum of some places is much lower, as in rivers and on old charts; then a
            mean level far above it is only odd, unless it is the right one in the other unit.
    """

    words: frozenset[str]
    phrases: tuple[str, ...]
    expected: Callable[[Station, int], float]
    share: float
    metres: float
    within: tuple[float, float]
    may_be_lower: bool = True

    def plainly_met(self, station: Station) -> bool:
        """Whether a mean level is not refused, wherever within its bounds the expected one lies."""
        low, high = (edge * usual(station) for edge in self.within)
        least = high - FARTHER * (self.share * high + self.metres)
        most = low + FARTHER * (self.share * low + self.metres)
        if station.mean_level > most and self.may_be_lower:
            in_feet = station.mean_level * METRES_PER_FOOT
            return not (1.0 - SAME) * low <= in_feet <= (1.0 + SAME) * high
        return least <= station.mean_level <= most


def rule_of(datum: str) -> Rule | None:
    """The rule that a datum's name calls for; none for one so far above or below another."""
    plain = "".join(letter if letter.isalnum() else " " for letter in datum.lower())
    words = frozenset(plain.split())
    if words & APART:
        return None
    named = (rule for rule in RULES if words & rule.words or any(phrase in plain for phrase in rule.phrases))
    return next(named, None)


APART = frozenset({"below", "above", "under", "over", "minus", "plus", "less"})
RULES = (
    Rule(frozenset({"mllw"}), ("lower low",), _above_low("mllw"), 0.25, 0.1, (0.8, 1.5)),
    Rule(frozenset({"mlws"}), ("low water springs",), _above_springs, 0.3, 0.2, (0.0, 1.5)),
    Rule(frozenset({"mlw"}), ("mean low water",), _above_low("mlw"), 0.25, 0.1, (0.5, 1.5)),
    Rule(
        frozenset({"lat", "cd", "llwlt", "zh"}),
        ("lowest astronomical", "chart datum", "hydrograph"),
        _above_low("lat"),
        *(0.45, 0.25, (1.0, 2.6)),
    ),
    Rule(frozenset({"msl"}), ("mean sea level",), lambda station, year: 0.0, 0.0, 0.1, (0.0, 0.0), False),
)
