"""The columns a harmonic analysis fits, and sums over them.

With z = H exp(-iG) a level is mean + trend + Re sum z f exp(i(V + u)): two real columns a line, Re and -Im
of f exp(i(V + u)), with f and V + u exactly as the prediction has them. An inferred line adds its own
column, turned and scaled, to its reference's, so the inference is exact at every time.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from harmonics.arrays import Array, ComplexArray
from harmonics.catalogue.constituents import Constituent, find
from harmonics.fitting.selection import Selection
from harmonics.sums.waves import AnyWaves, DriftingWaves, HarmonicConstants, NodePractice, waves_by_year

BLOCK = 2048
"""Readings at once: with 80 lines the block's columns stay in the processor's cache."""
KEPT_BYTES = 256 * 2**20
"""Columns up to this size are kept between passes: twenty years of hourly readings."""
EVEN_TOLERANCE = 0.002
"""A record is even where every stamp is within 2 ms of a whole number of steps."""

Progress = Callable[[float], None]


@dataclass(frozen=True, eq=False)
class Design:
    """The model of one record.

    Attributes:
        t: POSIX seconds, increasing, shape (n,).
        step: seconds between readings (their median).
        even: whether every stamp lies on whole steps.
        fitted: C lines, two columns each.
        lines: fitted and then inferred lines, shape (L,).
        mixing: z of all lines from z of the fitted, shape (L, C).
        practice: node practice.
        trend: whether a straight line is among the columns.
    """

    t: Array
    step: float
    even: bool
    fitted: tuple[Constituent, ...]
    lines: tuple[Constituent, ...]
    mixing: ComplexArray
    practice: NodePractice
    trend: bool

    @property
    def columns(self) -> int:
        """Columns: two a fitted line, the mean, and the trend where there is one."""
        return 2 * len(self.fitted) + 1 + int(self.trend)

    def straight(self, times: Array) -> Array:
        """The columns that are no wave: one, and the trend's -0.5 to 0.5; shape (1 or 2, m)."""
        rows = [np.ones(len(times))]
        if self.trend:
            middle = 0.5 * (self.t[0] + self.t[-1])
            rows.append((times - middle) / (self.t[-1] - self.t[0]))
        return np.array(rows)

    def unit_waves(self) -> Iterator[tuple[AnyWaves, slice]]:
        """Each calendar year's waves of H = 1 and G = 0 for all lines, with the readings inside it."""
        count = len(self.lines)
        unit = HarmonicConstants(self.lines, np.ones(count), np.zeros(count))
        end = float(np.nextafter(self.t[-1], np.inf))
        for waves in waves_by_year(unit, self.practice, float(self.t[0]), end):
            first, last = np.searchsorted(self.t, [waves.start, waves.end])
            if last > first:
                yield waves, slice(int(first), int(last))


class Sums(Protocol):
    """Sums of one record's columns x, each of shape (n,)."""

    def gram(self) -> Array:
        """Sum over the readings of x x', shape (columns, columns)."""
        ...

    def project(self, values: Array) -> Array:
        """Sum over the readings of x times values (n,): shape (columns,)."""
        ...

    def evaluate(self, coefficients: Array) -> Array:
        """The columns' combination at each reading: shape (n,)."""
        ...


def make_design(t: Array, selection: Selection, practice: NodePractice, trend: bool) -> Design:
    """The model of a record (POSIX seconds, increasing, shape (n,), n > 1) with the lines selected."""
    step = float(np.median(np.diff(t)))
    off = (t - t[0]) / step
    even = bool(np.abs(off - np.rint(off)).max() * step <= EVEN_TOLERANCE)
    names = [row.name for row in selection.fitted]
    mixing = np.zeros((len(names) + len(selection.inferred), len(names)), dtype=complex)
    mixing[: len(names)] = np.eye(len(names))
    for i, item in enumerate(selection.inferred, start=len(names)):
        mixing[i, names.index(item.reference)] = item.ratio * np.exp(-1j * np.radians(item.lag))
    lines = selection.fitted + tuple(find(item.name) for item in selection.inferred)
    return Design(t, step, even, selection.fitted, lines, mixing, practice, trend)


class BlockSums:
    """Sums over any times, the columns made a block at a time, and kept where they are small enough."""

    def __init__(self, design: Design, progress: Progress) -> None:
        self._design = design
        self._progress = progress
        self._kept: list[tuple[slice, Array]] = []
        self._keep = 8 * design.columns * len(design.t) <= KEPT_BYTES

    def gram(self) -> Array:
        """As `Sums.gram`; reports its progress."""
        design = self._design
        total = np.zeros((design.columns, design.columns))
        for part, rows in self._blocks():
            total += rows @ rows.T
            self._progress(part.stop / len(design.t))
        return total

    def project(self, values: Array) -> Array:
        """As `Sums.project`."""
        total = np.zeros(self._design.columns)
        for part, rows in self._blocks():
            total += rows @ values[part]
        return total

    def evaluate(self, coefficients: Array) -> Array:
        """As `Sums.evaluate`."""
        out = np.empty(len(self._design.t))
        for part, rows in self._blocks():
            out[part] = coefficients @ rows
        return out

    def _blocks(self) -> Iterator[tuple[slice, Array]]:
        if not self._keep:
            yield from self._made()
            return
        if not self._kept:
            self._kept = list(self._made())
        yield from self._kept

    def _made(self) -> Iterator[tuple[slice, Array]]:
        design = self._design
        count = len(design.fitted)
        for waves, inside in design.unit_waves():
            for start in range(inside.start, inside.stop, BLOCK):
                part = slice(start, min(start + BLOCK, inside.stop))
                times = design.t[part]
                turning = design.mixing.T @ _turning(waves, times)
                rows = np.empty((design.columns, len(times)))
                rows[:count] = turning.real
                np.negative(turning.imag, out=rows[count : 2 * count])
                rows[2 * count :] = design.straight(times)
                yield part, rows


def _turning(waves: AnyWaves, times: Array) -> ComplexArray:
    """The turning f exp(i(V + u)) of all lines, shape (L, m)."""
    if isinstance(waves, DriftingWaves):
        angle = waves.phase[:, None] + np.multiply.outer(waves.speed, times - waves.start)
        piece = np.clip(np.searchsorted(waves.grid, times, side="right") - 1, 0, len(waves.grid) - 2)
        share = (times - waves.grid[piece]) / (waves.grid[1] - waves.grid[0])
        nodes = waves.nodes[:, piece] * (1 - share) + waves.nodes[:, piece + 1] * share
        return np.asarray(np.exp(1j * angle) * nodes)
    angle = waves.phase[:, None] + np.multiply.outer(waves.speed, times - waves.origin)
    return np.asarray(np.exp(1j * angle) * waves.amplitude[:, None])
