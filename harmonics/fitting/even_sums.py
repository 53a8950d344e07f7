"""Sums over the columns of a record at even steps, without making the columns.

Over an unbroken run of n steps the sum of exp(i x k), k = 0 .. n - 1, is a closed form, so the normal
equations cost lines^2 a run whatever the run's length. Products with a series are two matrix products by
the angle-sum identity, as the prediction's even steps are.
"""

from dataclasses import dataclass, replace

import numpy as np

from harmonics.arrays import Array, ComplexArray
from harmonics.fitting.design import Design, Progress
from harmonics.sums.waves import Waves

READINGS_A_RUN = 100
"""The closed form costs about as much as a hundred readings summed outright: a record with shorter runs on
the average is summed reading by reading."""


@dataclass(frozen=True, eq=False)
class _Year:
    """Readings of one calendar year on their even grid.

    Attributes:
        waves: the year's waves of H = 1 and G = 0.
        first: time of grid cell 0, POSIX seconds.
        cells: grid cell of each reading, increasing.
        inside: where the readings stand in the record.
    """

    waves: Waves
    first: float
    cells: Array
    inside: slice

    @property
    def length(self) -> int:
        """Grid cells."""
        return int(self.cells[-1]) + 1

    def runs(self) -> list[tuple[int, int]]:
        """First cell and number of readings of each unbroken run."""
        starts = np.flatnonzero(np.diff(self.cells, prepend=self.cells[0] - 2) > 1)
        counts = np.diff(starts, append=len(self.cells))
        return [(int(self.cells[start]), int(count)) for start, count in zip(starts, counts, strict=True)]


class EvenSums:
    """Sums over a record at even steps with yearly node factors (see `harmonics.fitting.design.Sums`)."""

    def __init__(self, design: Design, progress: Progress) -> None:
        self._design = design
        self._progress = progress
        self._years = [
            _year(design, waves, inside) for waves, inside in design.unit_waves() if isinstance(waves, Waves)
        ]

    @staticmethod
    def suits(design: Design) -> bool:
        """Whether the record's steps are even and its runs long enough for the closed form to pay."""
        breaks = int((np.diff(design.t) > 1.5 * design.step).sum())
        return design.even and len(design.t) > READINGS_A_RUN * (breaks + 1)

    def gram(self) -> Array:
        """As `Sums.gram`; reports its progress."""
        design = self._design
        lines, count = len(design.lines), len(design.fitted)
        plus, minus = np.zeros((2, lines, lines), dtype=complex)
        for done, year in enumerate(self._years, start=1):
            for cell, length in year.runs():
                _add_run(plus, minus, year, cell, length, design.step)
            self._progress(done / len(self._years))
        plus = design.mixing.T @ plus @ design.mixing
        minus = design.mixing.T @ minus @ design.mixing.conj()
        total = np.empty((design.columns, design.columns))
        cosine, sine = slice(0, count), slice(count, 2 * count)
        total[cosine, cosine] = 0.5 * (plus + minus).real
        total[sine, sine] = 0.5 * (minus - plus).real
        total[cosine, sine] = -0.5 * (plus - minus).imag
        total[sine, cosine] = total[cosine, sine].T
        for i, row in enumerate(design.straight(design.t), start=2 * count):
            total[i] = total[:, i] = self.project(row)
        return total

    def project(self, values: Array) -> Array:
        """As `Sums.project`."""
        design = self._design
        turning = np.zeros(len(design.lines), dtype=complex)
        for year in self._years:
            grid = np.zeros(year.length)
            grid[year.cells] = values[year.inside]
            turning += _transform(year.waves, year.first, design.step, grid)
        mixed = design.mixing.T @ turning
        return np.concatenate((mixed.real, -mixed.imag, design.straight(design.t) @ values))

    def evaluate(self, coefficients: Array) -> Array:
        """As `Sums.evaluate`."""
        design = self._design
        count = len(design.fitted)
        z = design.mixing @ (coefficients[:count] + 1j * coefficients[count : 2 * count])
        out = coefficients[2 * count :] @ design.straight(design.t)
        for year in self._years:
            waves = replace(
                year.waves,
                amplitude=year.waves.amplitude * np.abs(z),
                phase=year.waves.phase + np.angle(z),
            )
            out[year.inside] += waves.even(year.first, design.step, year.length)[year.cells]
        return np.asarray(out)


def _year(design: Design, waves: Waves, inside: slice) -> _Year:
    times = design.t[inside]
    cells = np.rint((times - times[0]) / design.step).astype(int)
    return _Year(waves, float(times[0]), cells, inside)


def _add_run(
    plus: ComplexArray, minus: ComplexArray, year: _Year, cell: int, length: int, step: float
) -> None:
    """Add the run's sums of E E' to plus and of E conj(E') to minus, E being f exp(i(V + u))."""
    waves = year.waves
    turn = waves.speed * step
    start = year.first + step * cell - waves.origin
    middle = waves.phase + waves.speed * start + 0.5 * turn * (length - 1)
    head = waves.amplitude * np.exp(1j * middle)
    plus += np.multiply.outer(head, head) * _kernel(np.add.outer(turn, turn), length)
    minus += np.multiply.outer(head, head.conj()) * _kernel(np.subtract.outer(turn, turn), length)


def _kernel(angle: Array, length: int) -> Array:
    """Sum of exp(i angle k) over k from -(length - 1)/2 up to its negative, a ratio of sines."""
    half = 0.5 * np.remainder(angle + np.pi, 2 * np.pi) - 0.5 * np.pi
    turns = np.rint((0.5 * angle - half) / np.pi)
    below = np.sin(half)
    flat = np.abs(below) < 1e-12
    sums = np.where(flat, length, np.sin(length * half) / np.where(flat, 1.0, below))
    return np.asarray(np.where((turns * (length - 1)) % 2 == 1, -sums, sums))


def _transform(waves: Waves, first: float, step: float, grid: Array) -> ComplexArray:
    """Sum of f exp(i(V + u)) times a series at first + step x k, shape (L,)."""
    width = max(1, round(np.sqrt(len(grid))))
    blocks = -(-len(grid) // width)
    padded = np.zeros(blocks * width)
    padded[: len(grid)] = grid
    turn = waves.speed * step
    inside = np.exp(1j * np.multiply.outer(np.arange(width), turn))
    rows = padded.reshape(blocks, width)
    sums = rows @ inside.real + 1j * (rows @ inside.imag)
    heads = np.exp(1j * np.multiply.outer(np.arange(blocks) * float(width), turn))
    start = waves.amplitude * np.exp(1j * (waves.phase + waves.speed * (first - waves.origin)))
    return np.asarray(start * np.einsum("bl,bl->l", heads, sums))
