"""Levels and turning points of any tide station, primary or secondary: one door for both.

Times are POSIX seconds (UTC), heights metres above the station's datum, rates metres a second.
"""

import math

from numpy.typing import ArrayLike

from harmonics.arrays import Array
from harmonics.stations import prediction, secondary
from harmonics.stations.datums import mean_range, typical_peak_rate
from harmonics.stations.events import HighLowWaters, Turns
from harmonics.stations.events import high_low_waters as primary_turns
from harmonics.stations.types import Station, TideStation, primary_of
from harmonics.sums.waves import year_start, yearly_arguments


def levels(station: TideStation, t: ArrayLike) -> Array:
    """Heights of the tide; shaped as t."""
    if isinstance(station, Station):
        return prediction.levels(station, t)
    return secondary.secondary_levels(station, t)


def rates(station: TideStation, t: ArrayLike) -> Array:
    """Rise of the tide; shaped as t."""
    if isinstance(station, Station):
        return prediction.rates(station, t)
    return secondary.secondary_rates(station, t)


def even_levels(station: TideStation, start: float, step: float, count: int) -> Array:
    """Heights at start + step x (0 .. count - 1); shape (count,)."""
    if isinstance(station, Station):
        return prediction.even_levels(station, start, step, count)
    return secondary.even_secondary_levels(station, start, step, count)


def even_rates(station: TideStation, start: float, step: float, count: int) -> Array:
    """Rise at start + step x (0 .. count - 1); shape (count,)."""
    if isinstance(station, Station):
        return prediction.even_rates(station, start, step, count)
    return secondary.even_secondary_rates(station, start, step, count)


def high_low_waters(station: TideStation, start: float, end: float) -> HighLowWaters:
    """High and low waters with start <= t < end."""
    if isinstance(station, Station):
        return primary_turns(station, start, end)
    return secondary.secondary_high_low_waters(station, start, end)


def peak_rate(station: TideStation, year: int) -> float:
    """Typical peak rate sqrt(sum (w f H)^2) of that year, metres a second.

    A secondary station's is its reference's in proportion to their mean ranges of the year, by the
    differences of height; 0 at a reference without high and low waters.
    """
    primary = primary_of(station)
    factor, _ = yearly_arguments(primary.constants.constituents, year)
    rate = typical_peak_rate(primary.constants, factor)
    if isinstance(station, Station):
        return rate
    waters = primary_turns(primary, year_start(year), year_start(year + 1)).turns
    _, height = secondary.corrected(station, waters)
    gain = mean_range(Turns(waters.t, height, waters.high)) / mean_range(waters)
    return 0.0 if math.isnan(gain) else rate * gain
