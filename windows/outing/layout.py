"""Values of a day out packed into one whole number each, and the layout of the tables that hold them."""

from collections.abc import Iterator
from itertools import product

import numpy as np

from harmonics.arrays import Ints
from windows.outing.ground import LANDING, NO_WAY, Ground, Rules

UNIT = 1_000_000_000
"""Whole parts of a point-hour."""
MOST_STEPS = 1 << 10
MOST_MOVES = (1 << 4) - 1
STEP_COST = 1
MOVE_COST = MOST_STEPS
SCALE = MOST_STEPS * (MOST_MOVES + 1)
"""A billionth of a point-hour outweighs any number of moves, and a move any length of time."""
NEVER = -(1 << 61)
POSSIBLE = -(1 << 60)
"""What can't be done lies far below any sum of worth, moves and time."""


class Layout:
    """Where each state of a day out stands in the tables, and what can be set out on from it.

    A state is a row and the moves left. Rows are places: the landing, from where one goes to a spot; the
    banks; the spots; and last the landing again for who goes to a bank first.

    Attributes:
        to_bank: that last row.
        onward: (choices, states) into `reached`, flattened over time and state, for setting out at time 0.
        cost: of each, (choices, states, 1); states with fewer choices than others have impossible ones.
        gated: by (from, to), the (choices, states) that take that way.
    """

    def __init__(self, ground: Ground, rules: Rules) -> None:
        self.first_spot, self.places = 1 + ground.banks, 1 + ground.banks + ground.spots
        self.to_bank, self.moves = self.places, rules.most_moves + 1
        self.states = (self.places + 1) * self.moves
        self.move = round(rules.move_cost * UNIT) * SCALE + MOVE_COST
        choices = [list(self.choices(row, left, ground.ways)) for row, left in self._each()]
        shape = max(1, *map(len, choices)), self.states
        self.onward = np.zeros(shape, dtype=np.int64)
        self.cost = np.full((*shape, 1), -NEVER, dtype=np.int64)
        self.gated: dict[tuple[int, int], tuple[list[int], list[int]]] = {}
        for state, (row, _) in enumerate(self._each()):
            for choice, (end, fewer, way, cost) in enumerate(choices[state]):
                self.onward[choice, state] = (way * (self.places + 1) + end) * self.moves + fewer
                self.cost[choice, state] = cost
                taken = self.gated.setdefault((self.place(row), end), ([], []))
                taken[0].append(choice)
                taken[1].append(state)

    def _each(self) -> Iterator[tuple[int, int]]:
        return product(range(self.places + 1), range(self.moves))

    def place(self, row: int) -> int:
        """Of a row."""
        return LANDING if row == self.to_bank else row

    def is_move(self, row: int, end: int) -> bool:
        """Whether the way leads from spot to spot."""
        return self.first_spot <= row < self.places and end >= self.first_spot

    def ends(self, row: int) -> Iterator[int]:
        """Places that one may go to next, by number, ways and moves aside."""
        if row == self.to_bank:
            yield from range(1, self.first_spot)
            return
        if row >= self.first_spot:
            yield LANDING
        yield from range(self.first_spot, self.places)

    def choices(self, row: int, left: int, ways: Ints) -> Iterator[tuple[int, int, int, int]]:
        """(place, moves left on arriving there, steps, cost) of all that can be set out on from a state."""
        for end in self.ends(row):
            way, moves = int(ways[self.place(row), end]), self.is_move(row, end)
            if end != row and way != NO_WAY and left >= moves:
                yield end, left - moves, way, STEP_COST * way + self.move * moves
