"""A harmonic sum made ready for one stretch of time: amplitudes f H, phases V + u - G, speeds.

Yearly practice (the agencies' tables): f and u of the middle of the calendar year (UTC), V0 + u at
1 January 0 h, advanced by speed x hours, all reset each 1 January. Continuous practice: f and u follow the
moon's node through the series. Source: Schureman (US Coast and Geodetic Survey Special Publication 98),
pp. 4-5 and Tables 14 and 15.
"""

import calendar
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum, unique
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array, ComplexArray, Flags
from harmonics.catalogue.arguments import OrbitAngles, argument_angles, orbit_angles
from harmonics.catalogue.constituents import Constituent
from harmonics.catalogue.nodes import NodeFamily
from harmonics.units import DAY, HOUR

SAMPLES_AT_ONCE = 12_288
"""Even steps are summed in pieces of so many products: 96 KB stay in cache, and no page is asked of the
system that a piece before has not had already."""


@unique
class NodePractice(StrEnum):
    """How node factors and angles follow the 18.6-year cycle."""

    YEARLY = "yearly"
    CONTINUOUS = "continuous"


class Harmonic(NamedTuple):
    """The constants of one constituent: H in the unit of the series, G in degrees."""

    amplitude: float
    phase_lag: float


@dataclass(frozen=True, eq=False)
class HarmonicConstants:
    """What a harmonic analysis leaves: the constants of one place.

    Attributes:
        constituents: C rows of the catalogue, none twice.
        amplitude: H, shape (C,), in the unit of the series (m, or m/s for currents).
        phase_lag: G, Greenwich phase lag in degrees, shape (C,).
    """

    constituents: tuple[Constituent, ...]
    amplitude: Array
    phase_lag: Array

    def named(self) -> dict[str, Harmonic]:
        """Amplitude and lag of each constituent by its canonical name, in order."""
        values = zip(self.amplitude.tolist(), self.phase_lag.tolist(), strict=True)
        return {row.name: Harmonic(*pair) for row, pair in zip(self.constituents, values, strict=True)}

    def keep(self, mask: Flags) -> "HarmonicConstants":
        """Those constituents for which the mask, shape (C,), is True."""
        rows = tuple(row for row, kept in zip(self.constituents, mask.tolist(), strict=True) if kept)
        return HarmonicConstants(rows, self.amplitude[mask], self.phase_lag[mask])


@lru_cache(maxsize=512)
def year_start(year: int) -> float:
    """1 January 0 h UTC of that year, POSIX seconds."""
    return float(calendar.timegm((year, 1, 1, 0, 0, 0)))


def year_of(t: float) -> int:
    """Calendar year (UTC) of a time."""
    return int(np.datetime64(int(np.floor(t)), "s").astype("datetime64[Y]").astype(int)) + 1970


def node_corrections(constituents: tuple[Constituent, ...], orbit: OrbitAngles) -> tuple[Array, Array]:
    """Node factor f and node angle u (radians) of each constituent: shapes (C, *orbit's shape)."""
    families: dict[NodeFamily, tuple[Array, Array]] = {}
    shape = (len(constituents), *orbit.obliquity.shape)
    factor, angle = np.ones(shape), np.zeros(shape)
    for index, row in enumerate(constituents):
        for family, multiple in row.nodes:
            if family not in families:
                families[family] = family.factor(orbit), family.angle(orbit)
            f, u = families[family]
            factor[index] *= f ** abs(multiple)
            angle[index] += multiple * u
    return factor, angle


def equilibrium_arguments(constituents: tuple[Constituent, ...], t: float) -> Array:
    """V at one time, degrees not reduced: shape (C,)."""
    integers = np.array([row.argument for row in constituents], dtype=float).reshape(-1, 5)
    turns = np.array([row.quarter_turns for row in constituents], dtype=float)
    return np.asarray(integers @ argument_angles(t) + 90.0 * turns)


@lru_cache(maxsize=256)
def yearly_arguments(constituents: tuple[Constituent, ...], year: int) -> tuple[Array, Array]:
    """Node factor f at mid-year and V0 + u in radians: shapes (C,).

    V0 at 1 January 0 h UTC of the year, u at its middle.
    """
    start, end = year_start(year), year_start(year + 1)
    factor, angle = node_corrections(constituents, orbit_angles((start + end) / 2))
    argument = np.radians(np.mod(equilibrium_arguments(constituents, start), 360.0)) + angle
    factor.flags.writeable = argument.flags.writeable = False
    return factor, argument


@dataclass(frozen=True, eq=False)
class Waves:
    """A sum of cosines, A cos(w (t - origin) + phase), valid over [start, end).

    Attributes:
        start, end: POSIX seconds.
        origin: time at which the phases hold.
        amplitude: A, shape (C,).
        phase: radians, shape (C,).
        speed: w, radians a second, shape (C,).
    """

    start: float
    end: float
    origin: float
    amplitude: Array
    phase: Array
    speed: Array

    def at(self, t: Array, order: int = 0) -> Array:
        """The sum's derivative of that order at times t, shape t.shape; memory C x t.size."""
        angle = np.multiply.outer(self.speed, t - self.origin)
        angle += (self.phase + order * np.pi / 2).reshape((-1,) + (1,) * t.ndim)
        weights = self.amplitude * self.speed**order
        return np.asarray(np.tensordot(weights, np.cos(angle, out=angle), axes=1))

    def even(self, first: float, step: float, count: int, order: int = 0) -> Array:
        """The derivative of that order at first + step x (0 .. count - 1): shape (count,).

        Blocks of even width lie side by side; a block's middle is c, a sample of it c - b or c + b. With
        cos(w (c +- b) + phase) = cos(w c + phase) cos(w b) -+ sin(w c + phase) sin(w b) all blocks are two
        matrix products of (blocks x C) with (C x half a block), added for one half, subtracted for the
        other. The angles of even steps come by repeated doubling, so few cosines are evaluated.
        """
        half = max(1, round(np.sqrt(count) / 2))
        blocks = -(-count // (2 * half))
        angles = _even_angles(self.speed.tobytes(), step, half, blocks)
        middle = np.exp(1j * (self.phase + self.speed * (first - self.origin + step * (half - 0.5))))
        middle *= self.amplitude * (1j * self.speed) ** order
        out = np.empty((blocks, 2 * half))
        rows = max(1, SAMPLES_AT_ONCE // half)
        for done in range(0, blocks, rows):
            part = slice(done, done + rows)
            heads = angles.heads[:, part] * middle[:, None]
            even = heads.real.T @ angles.inside_cosine
            odd = heads.imag.T @ angles.inside_sine
            np.subtract(even, odd, out=out[part, half:])
            np.add(even, odd, out=out[part, half - 1 :: -1])
        return out.reshape(-1)[:count]


class _EvenAngles(NamedTuple):
    """What even steps need of the speeds alone, whatever the constants and the first time.

    Attributes:
        heads: exp(i w c) of the blocks' middles c, counted from the first one's; shape (C, blocks).
        inside_cosine, inside_sine: of w b, steps inside half a block from its middle; shape (C, half).
    """

    heads: ComplexArray
    inside_cosine: Array
    inside_sine: Array


@lru_cache(maxsize=16)
def _even_angles(speeds: bytes, step: float, half: int, blocks: int) -> _EvenAngles:
    """Kept from call to call: a coast's stations share constituents, and a forecast its steps."""
    turn = np.frombuffer(speeds) * step
    inside = _powers(turn, half) * np.exp(0.5j * turn)[:, None]
    heads = _powers(turn * (2 * half), blocks)
    return _EvenAngles(heads, np.ascontiguousarray(inside.real), np.ascontiguousarray(inside.imag))


def _powers(angle: Array, count: int) -> ComplexArray:
    """exp(i angle k) for k = 0 .. count - 1, doubling what is there: shape (C, count)."""
    out = np.empty((len(angle), count), dtype=complex)
    out[:, :1] = 1.0
    done = 1
    while done < count:
        more = min(done, count - done)
        np.multiply(out[:, :more], np.exp(1j * angle * done)[:, None], out=out[:, done : done + more])
        done += more
    return out


@lru_cache(maxsize=256)
def _speeds(constituents: tuple[Constituent, ...]) -> Array:
    degrees = np.array([row.speed for row in constituents])
    speeds = np.radians(degrees) / HOUR
    speeds.flags.writeable = False
    return np.asarray(speeds)


@lru_cache(maxsize=512)
def yearly_waves(constants: HarmonicConstants, year: int) -> Waves:
    """The harmonic sum over one calendar year in yearly practice; constants are cached by identity."""
    factor, argument = yearly_arguments(constants.constituents, year)
    return Waves(
        start=year_start(year),
        end=year_start(year + 1),
        origin=year_start(year),
        amplitude=factor * constants.amplitude,
        phase=argument - np.radians(constants.phase_lag),
        speed=_speeds(constants.constituents),
    )


NODE_STRETCH_DAYS = 5.0
"""Continuous practice re-reads f and u this often and lets both run straight between: the perigee terms
of M1 and L2 turn once in 4.4 years, so the straight line stays within 4e-5 of the curve."""


def _node_grid(year: int) -> Array:
    start, end = year_start(year), year_start(year + 1)
    pieces = int(np.ceil((end - start) / (NODE_STRETCH_DAYS * DAY)))
    return np.asarray(np.linspace(start, end, pieces + 1), dtype=float)


@lru_cache(maxsize=32)
def _continuous_nodes(constituents: tuple[Constituent, ...], year: int) -> tuple[Array, ComplexArray]:
    grid = _node_grid(year)
    factor, angle = node_corrections(constituents, orbit_angles(grid))
    nodes = factor * np.exp(1j * angle)
    return grid, nodes


@dataclass(frozen=True, eq=False)
class DriftingWaves:
    """A harmonic sum whose node factors and angles run along the series (continuous practice).

    Attributes:
        start, end: POSIX seconds; one calendar year.
        amplitude: H, shape (C,).
        phase: V at start less G, radians, shape (C,).
        speed: of V alone, radians a second, shape (C,).
        grid: times of the node values, shape (K,).
        nodes: f exp(i u) at those times, shape (C, K).
    """

    start: float
    end: float
    amplitude: Array
    phase: Array
    speed: Array
    grid: Array
    nodes: ComplexArray

    def at(self, t: Array, order: int = 0) -> Array:
        """The sum's derivative of that order at times t, shape t.shape; memory C x t.size."""
        flat = np.asarray(t, dtype=float).reshape(-1)
        piece = np.clip(np.searchsorted(self.grid, flat, side="right") - 1, 0, len(self.grid) - 2)
        width = self.grid[1] - self.grid[0]
        slope = (self.nodes[:, piece + 1] - self.nodes[:, piece]) / width
        node = self.nodes[:, piece] + slope * (flat - self.grid[piece])
        turn = 1j * self.speed[:, None]
        if order == 0:
            envelope = node
        else:
            envelope = turn**order * node + order * turn ** (order - 1) * slope
        carrier = np.exp(1j * (self.phase[:, None] + np.multiply.outer(self.speed, flat - self.start)))
        total = np.tensordot(self.amplitude, (envelope * carrier).real, axes=1)
        return np.asarray(total).reshape(np.shape(t))

    def even(self, first: float, step: float, count: int, order: int = 0) -> Array:
        """As `at`, at first + step x (0 .. count - 1).

        Between two of the node values the sum is that of steady waves and the time since the first of them
        times that of others, both at even steps.
        """
        out = np.empty(count)
        inner = np.clip(np.ceil((self.grid[1:-1] - first) / step), 0, count).astype(int).tolist()
        width = self.grid[1] - self.grid[0]
        for piece, (begin, end) in enumerate(pairwise([0, *inner, count])):
            if begin == end:
                continue
            start = first + step * begin
            slope = (self.nodes[:, piece + 1] - self.nodes[:, piece]) / width
            steady = self._with(self.nodes[:, piece]).even(start, step, end - begin, order)
            growing = self._with(slope)
            since = start - self.grid[piece] + step * np.arange(end - begin)
            steady += since * growing.even(start, step, end - begin, order)
            if order:
                steady += order * growing.even(start, step, end - begin, order - 1)
            out[begin:end] = steady
        return out

    def _with(self, nodes: ComplexArray) -> Waves:
        """Steady waves with one node value for each constituent, shape (C,)."""
        amplitude, phase = self.amplitude * np.abs(nodes), self.phase + np.angle(nodes)
        return Waves(self.start, self.end, self.start, amplitude, phase, self.speed)


def drifting_waves(constants: HarmonicConstants, year: int) -> DriftingWaves:
    """The harmonic sum over one calendar year in continuous practice."""
    rows = constants.constituents
    start = year_start(year)
    grid, nodes = _continuous_nodes(rows, year)
    argument = np.radians(np.mod(equilibrium_arguments(rows, start), 360.0))
    return DriftingWaves(
        start=start,
        end=year_start(year + 1),
        amplitude=constants.amplitude,
        phase=argument - np.radians(constants.phase_lag),
        speed=np.radians(np.array([row.argument_speed for row in rows])) / HOUR,
        grid=grid,
        nodes=nodes,
    )


AnyWaves = Waves | DriftingWaves


def waves_by_year(
    constants: HarmonicConstants, practice: NodePractice, start: float, end: float
) -> Iterator[AnyWaves]:
    """The sums of every calendar year (UTC) that the span [start, end) touches, in order.

    Raises:
        ValueError: an end of the span is not finite.
    """
    if not (np.isfinite(start) and np.isfinite(end)):
        raise ValueError("times must be finite POSIX seconds")
    make = yearly_waves if practice is NodePractice.YEARLY else drifting_waves
    for year in range(year_of(start), year_of(max(start, np.nextafter(end, start))) + 1):
        yield make(constants, year)
