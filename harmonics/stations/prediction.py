"""Levels, rates and currents of harmonic stations, on any times or at even steps.

h(t) = Z0 + sum f H cos(V + u - G). Source: Schureman, US Coast and Geodetic Survey Special Publication 98,
p. 8 and pp. 118-120. All times are POSIX seconds (UTC).
"""

from numpy.typing import ArrayLike

from harmonics.arrays import Array
from harmonics.stations.types import CurrentStation, Station
from harmonics.sums.series import even_sums, sums_at


def levels(station: Station, t: ArrayLike) -> Array:
    """Height of the tide above the station's datum, metres; shaped as t (POSIX seconds, any order)."""
    return station.mean_level + sums_at(station.constants, station.practice, t)


def rates(station: Station, t: ArrayLike) -> Array:
    """Rise of the tide, metres a second; shaped as t."""
    return sums_at(station.constants, station.practice, t, order=1)


def even_levels(station: Station, start: float, step: float, count: int) -> Array:
    """Heights above datum (metres) at start + step x (0 .. count - 1); shape (count,)."""
    out = even_sums(station.constants, station.practice, start, step, count)
    out += station.mean_level
    return out


def even_rates(station: Station, start: float, step: float, count: int) -> Array:
    """Rise (metres a second) at start + step x (0 .. count - 1); shape (count,)."""
    return even_sums(station.constants, station.practice, start, step, count, order=1)


def currents(station: CurrentStation, t: ArrayLike) -> Array:
    """Speed along the flood axis, mean flow included, metres a second, flood positive; shaped as t."""
    return station.mean_flow + sums_at(station.constants, station.practice, t)


def even_currents(station: CurrentStation, start: float, step: float, count: int) -> Array:
    """Speed along the flood axis at start + step x (0 .. count - 1), metres a second; shape (count,)."""
    out = even_sums(station.constants, station.practice, start, step, count)
    out += station.mean_flow
    return out
