"""How wrong the water can be by the gauge's own record: what its scenarios make of a spot's water.

A long span is cut into blocks, each with stretches of its own season; the first case of a block goes on with
the first of the next.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from harmonics.arrays import Array
from harmonics.errors import EbblightError
from harmonics.records.ahead import LevelAhead
from harmonics.records.places import levels_at
from harmonics.records.scenarios import ENOUGH, FEWEST, MOST, Scenarios
from harmonics.records.store import StationRecord
from harmonics.stations.types import TideStation
from harmonics.units import DAY
from windows.conditions.cases import Cases, Water
from windows.conditions.flow import Flow
from windows.conditions.scenario_water import scenario_outgoing

LONG_BLOCK, SHORT_BLOCK = 14 * DAY, 7 * DAY
"""Within a fortnight one season holds; where a record has gaps, shorter stretches are more."""
MOST_VALUES = 6_000_000
"""Cases times steps: what they hold stays near 100 MB; a year and more is told by fewer cases."""


@dataclass(frozen=True, eq=False)
class RecordCases(Cases):
    """The spot's water in the scenarios of its gauge's record.

    Attributes:
        station: whose level the spot has.
        flow: how water moves past it.
        blocks: scenarios of each block in order of time, the level's knowing of readings and weather.
        edges: where the blocks begin and end, POSIX seconds, one more than blocks.
        away: days between the season and the stretch farthest from it.
    """

    station: TideStation
    flow: Flow
    blocks: tuple[Scenarios, ...]
    edges: tuple[float, ...]
    away: float
    seen = True

    def of(self, water: Water) -> Iterator[tuple[Array, Array]]:
        """Level and movement of each case."""
        levels = self.levels(self.station, water.start, water.step, water.predicted)
        movements = [
            scenario_outgoing(self.flow, some, start, water.step, steps.stop - steps.start)
            for steps, start, some in self._parts(water.start, water.step, len(water.predicted))
        ]
        for k, level in enumerate(levels):
            yield level, np.concatenate([movement[k] for movement in movements])

    def levels(self, station: TideStation, start: float, step: float, predicted: Array) -> Array:
        """The level of each case at a station of this gauge, metres above datum: shape (cases, n).

        Args:
            station: the spot's, or another whose water is told by the same record.
            start, step: even steps, POSIX seconds.
            predicted: its level by the tide alone, shape (n,).
        """
        away = [
            levels_at(some, station, begun, step, steps.stop - steps.start)
            for steps, begun, some in self._parts(start, step, len(predicted))
        ]
        return predicted + np.concatenate(away, axis=1)

    def _parts(self, start: float, step: float, count: int) -> Iterator[tuple[slice, float, Scenarios]]:
        """The steps of each block that so many steps reach, when they begin, and the block's cases."""
        cases = min(MOST, max(1, MOST_VALUES // count), *map(len, self.blocks))
        inner = np.ceil((np.array(self.edges[1:-1]) - start) / step).astype(int)
        places = np.clip([0, *inner, count], 0, count).tolist()
        for (first, last), block in zip(pairwise(places), self.blocks, strict=True):
            if last > first:
                yield slice(first, last), start + first * step, thinned(block, cases)


def thinned(scenarios: Scenarios, count: int) -> Scenarios:
    """So many of them, evenly chosen."""
    if len(scenarios) <= count:
        return scenarios
    return scenarios.chosen(np.linspace(0, len(scenarios) - 1, count).round().astype(int))


def record_cases(
    station: TideStation, flow: Flow, record: StationRecord, ahead: LevelAhead, start: float, end: float
) -> RecordCases:
    """Cases of a spot over a span, POSIX seconds.

    Raises:
        EbblightError: the record has too few stretches without a long gap.
    """
    found = _blocks(record, start, end, LONG_BLOCK)
    if min(map(len, found), default=0) < ENOUGH:
        found = _blocks(record, start, end, SHORT_BLOCK) or found
    if not found:
        raise EbblightError(
            f"the record of {record.station.name} has fewer than {FEWEST} stretches of a week and a margin "
            "without a long gap"
        )
    count = len(found)
    edges = tuple(float(t) for t in np.linspace(start, end, count + 1))
    blocks = tuple(ahead.adjusted(item) for item in found)
    return RecordCases(station, flow, blocks, edges, max(item.away for item in found))


def _blocks(record: StationRecord, start: float, end: float, length: float) -> list[Scenarios]:
    """Scenarios of equal blocks no longer than that; empty where one has too few."""
    edges = np.linspace(start, end, max(1, int(np.ceil((end - start) / length))) + 1).tolist()
    try:
        return [record.scenarios(first, last) for first, last in pairwise(edges)]
    except EbblightError:
        return []
