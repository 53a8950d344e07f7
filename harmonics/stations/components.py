"""Currents on two axes: set and drift at any time, the speed along a direction, and tidal ellipses.

Directions are degrees true (clockwise from north), speeds metres a second, times POSIX seconds.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array, ComplexArray
from harmonics.catalogue.constituents import Constituent
from harmonics.stations.types import CurrentStation, TwoComponentStation
from harmonics.sums.series import even_sums, sums_at
from harmonics.sums.waves import HarmonicConstants


class TidalEllipse(NamedTuple):
    """The path of one constituent's current vector: one value a constituent, shape (C,).

    Attributes:
        semi_major: greatest speed, metres a second.
        semi_minor: least speed, metres a second; positive where the vector turns anticlockwise.
        direction: of the major axis, degrees true, 0 to below 180.
        phase_lag: Greenwich phase lag of the greatest speed towards that direction, degrees, 0 to below 360.
    """

    semi_major: Array
    semi_minor: Array
    direction: Array
    phase_lag: Array


def set_and_drift(station: TwoComponentStation, t: ArrayLike) -> tuple[Array, Array]:
    """Direction the current sets towards (degrees true, 0 to below 360) and its speed: each shaped as t."""
    along = station.mean_along + sums_at(station.along, station.practice, t)
    across = station.mean_across + sums_at(station.across, station.practice, t)
    return _set_and_drift(station, along, across)


def even_set_and_drift(
    station: TwoComponentStation, start: float, step: float, count: int
) -> tuple[Array, Array]:
    """As set_and_drift, at start + step x (0 .. count - 1): each of shape (count,)."""
    along = station.mean_along + even_sums(station.along, station.practice, start, step, count)
    across = station.mean_across + even_sums(station.across, station.practice, start, step, count)
    return _set_and_drift(station, along, across)


def _set_and_drift(station: TwoComponentStation, along: Array, across: Array) -> tuple[Array, Array]:
    vector = along * _unit(station.axis_direction) + across * _unit(station.across_direction)
    return np.mod(np.degrees(np.angle(vector)), 360.0), np.abs(vector)


def _unit(direction: float) -> complex:
    """A direction as north + i east."""
    return complex(np.exp(1j * np.radians(direction)))


def along_direction(station: TwoComponentStation, direction: float) -> CurrentStation:
    """The harmonic station one gets by looking along a direction only, flood that way."""
    first, second = (
        (_unit(axis) * np.conj(_unit(direction))).real
        for axis in (station.axis_direction, station.across_direction)
    )
    rows, along, across = _phasors(station)
    total = first * along + second * across
    constants = HarmonicConstants(rows, np.abs(total), np.mod(-np.degrees(np.angle(total)), 360.0))
    return CurrentStation(
        id=station.id,
        name=station.name,
        latitude=station.latitude,
        longitude=station.longitude,
        flood_direction=direction % 360.0,
        ebb_direction=(direction + 180.0) % 360.0,
        mean_flow=first * station.mean_along + second * station.mean_across,
        constants=constants,
        practice=station.practice,
    )


def along_flood(station: TwoComponentStation) -> CurrentStation:
    """The harmonic station along the flood direction."""
    return along_direction(station, station.flood_direction)


def tidal_ellipses(station: TwoComponentStation) -> tuple[tuple[Constituent, ...], TidalEllipse]:
    """The ellipse of every constituent that either component has.

    Each vector is the sum of one that turns anticlockwise and one that turns clockwise; half the sum of
    their angles is the direction of the major axis. Source: Foreman, Manual for Tidal Currents Analysis and
    Prediction (Pacific Marine Science Report 78-6), section 1.2 (from memory).
    """
    rows, along, across = _phasors(station)
    east, north = (
        along * getattr(_unit(station.axis_direction), part)
        + across * getattr(_unit(station.across_direction), part)
        for part in ("imag", "real")
    )
    anticlockwise = (east + 1j * north) / 2.0
    clockwise = (np.conj(east) + 1j * np.conj(north)) / 2.0
    plus, minus = np.angle(anticlockwise), np.angle(clockwise)
    from_east = np.degrees(plus + minus) / 2.0
    phase = np.degrees(minus - plus) / 2.0
    turned = np.floor((90.0 - from_east) / 180.0)
    return rows, TidalEllipse(
        semi_major=np.abs(anticlockwise) + np.abs(clockwise),
        semi_minor=np.abs(anticlockwise) - np.abs(clockwise),
        direction=90.0 - from_east - 180.0 * turned,
        phase_lag=np.mod(phase + 180.0 * turned, 360.0),
    )


def _phasors(station: TwoComponentStation) -> tuple[tuple[Constituent, ...], ComplexArray, ComplexArray]:
    """H exp(-i G) of both components over every constituent that either has, 0 where one has none."""
    rows = tuple(dict.fromkeys(station.along.constituents + station.across.constituents))
    place = {row: i for i, row in enumerate(rows)}
    both = []
    for constants in (station.along, station.across):
        out = np.zeros(len(rows), dtype=complex)
        index = [place[row] for row in constants.constituents]
        out[index] = constants.amplitude * np.exp(-1j * np.radians(constants.phase_lag))
        both.append(out)
    return rows, both[0], both[1]
