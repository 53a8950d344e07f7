"""Stretches of time, sorted and apart."""

from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array, Flags


class Intervals(NamedTuple):
    """Half-open stretches of time, sorted and apart: starts and ends in POSIX seconds, shape (n,)."""

    starts: Array
    ends: Array

    def hold(self, t: Array) -> Flags:
        """Whether each time lies in one of them."""
        index = np.searchsorted(self.starts, t, side="right") - 1
        padded = np.append(self.ends, -np.inf)
        return np.asarray((index >= 0) & (t < padded[index]))

    @staticmethod
    def merged(pairs: list[tuple[float, float]]) -> "Intervals":
        """Stretches given in any order, joined where they touch."""
        starts: list[float] = []
        ends: list[float] = []
        for start, end in sorted(pairs):
            if ends and start <= ends[-1]:
                ends[-1] = max(ends[-1], end)
            else:
                starts.append(start)
                ends.append(end)
        return Intervals(np.array(starts, dtype=float), np.array(ends, dtype=float))
