"""The best day out, exactly: a dynamic programme backwards over time, for all days and places at once.

What is sought has the greatest worth; of these the fewest moves, then the shortest time from leaving home
to being home, then the earliest start; and where several are left, the one that, read from its start, first
stays longer where it is, and then goes to the place with the lower number. Worth is counted in whole
billionths of a point-hour and packed with moves and time into one whole number, so that what is equal is
found equal.

`longest` ties the end to the start: every start whose end it decides is an element of its own with its own
deadline, and all other starts of a day share one, the hour to be home by.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from harmonics.arrays import Flags, Ints
from windows.outing.ground import LANDING, NO_WAY, Course, Daytime, Ground, Rules, Visit, clear

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
TABLE_BYTES = 24 * 2**20
"""Days are solved in groups whose tables take no more than about this."""


@dataclass(frozen=True, eq=False)
class _Elements:
    """Deadlines solved side by side, aligned at their ends; shapes (elements,).

    Attributes:
        deadline: point in time to be home by.
        first, last: starts that the deadline is for.
        day: index of the day.
        span: points in time before a deadline that matter to any of them.
    """

    deadline: Ints
    first: Ints
    last: Ints
    day: Ints
    span: int

    def __len__(self) -> int:
        return len(self.deadline)

    @property
    def base(self) -> Ints:
        """Point in time that stands first in each one's table."""
        return np.asarray(self.deadline - self.span)


def solve(ground: Ground, rules: Rules, days: Sequence[Daytime]) -> list[tuple[Course | None, ...]]:
    """The best course of each day with at most 0, 1, .. most_moves moves; None where no course is possible.

    Raises:
        ValueError: a day longer than the tables hold, or more moves.
    """
    if rules.most_moves > MOST_MOVES or any(day.last - day.first >= MOST_STEPS for day in days):
        raise ValueError(f"at most {MOST_MOVES} moves and days of less than {MOST_STEPS} steps")
    out: list[tuple[Course | None, ...]] = [(None,) * (rules.most_moves + 1)] * len(days)
    for elements in _groups(ground, rules, days):
        tables = _Tables(ground, rules, elements)
        for day in np.unique(elements.day).tolist():
            out[day] = tuple(tables.best(day, moves) for moves in range(rules.most_moves + 1))
    return out


def _groups(ground: Ground, rules: Rules, days: Sequence[Daytime]) -> Iterator[_Elements]:
    """Days side by side, as many as the tables hold; those without time are left out."""
    row = (1 + ground.banks + ground.spots) * (rules.most_moves + 1) * 8 * 2
    group: list[tuple[int, int, int, int]] = []
    span = 0
    for index, day in enumerate(days):
        if day.last <= day.first:
            continue
        longest = day.last - day.first if rules.longest is None else min(rules.longest, day.last - day.first)
        latest = day.last if day.latest is None else min(day.latest, day.last)
        ends = range(day.first + longest, min(day.last, latest + longest + 1))
        own = [(end, end - longest, end - longest, index) for end in ends]
        if day.last - longest <= latest:
            own.append((day.last, day.last - longest, latest, index))
        if group and (len(group) + len(own)) * (max(span, longest) + 1) * row > TABLE_BYTES:
            yield _elements(group, span)
            group, span = [], 0
        group += own
        span = max(span, longest)
    if group:
        yield _elements(group, span)


def _elements(group: list[tuple[int, int, int, int]], span: int) -> _Elements:
    deadline, first, last, day = np.array(group, dtype=np.int64).T
    return _Elements(deadline, first, last, day, span)


class _Tables:
    """The greatest value still to come from every place, point in time and number of moves left.

    `still[j, place, moves, element]` is the value at a place one is free to leave; `reached[j, ...]` the
    value on arriving there, and for the landing on coming back to it.
    """

    def __init__(self, ground: Ground, rules: Rules, elements: _Elements) -> None:
        self.ground, self.rules, self.elements = ground, rules, elements
        self.first_spot = 1 + ground.banks
        self.places = self.first_spot + ground.spots
        self.lead = rules.approach + rules.launch
        self.start, self.element = self._all_starts()
        self.move = round(rules.move_cost * UNIT) * SCALE + MOVE_COST
        self.stay_value, self.stay_open = self._staying()
        self.ready = self._readiness()
        self.gates = self._gates()
        self.farthest = int(max(ground.ways.max(initial=1), 1))
        span, count = elements.span, len(elements)
        shape = (self.places, rules.most_moves + 1, count)
        self.still = np.full((span + 1, *shape), NEVER, dtype=np.int64)
        self.reached = np.full((span + 2 + self.farthest, *shape), NEVER, dtype=np.int64)
        self.reached[: span + 1, LANDING] = self._coming_home()[:, None, :]
        self.rows = self._rows()
        for j in range(span, -1, -1):
            self._fill(j)

    def _at(self, values: np.ndarray, fill: int | bool) -> np.ndarray:
        """Values by point in time, (..., points), as the elements meet them: (span + 1, ..., elements)."""
        k = self.elements.base + np.arange(self.elements.span + 1)[:, None]
        inside = (k >= 0) & (k < values.shape[-1])
        taken = np.where(inside, values[..., np.clip(k, 0, values.shape[-1] - 1)], fill)
        return np.ascontiguousarray(np.moveaxis(taken, -2, 0))

    def _staying(self) -> tuple[Ints, Flags]:
        """Value of a step spent at each place, and whether it may be spent there: (span + 1, places, e)."""
        ground = self.ground
        value = np.zeros((self.places, ground.steps), dtype=np.int64)
        value[self.first_spot :] = np.rint(ground.worth * UNIT).astype(np.int64) * SCALE
        may = np.concatenate(
            (np.ones((1, ground.steps), dtype=bool), ground.bank_open, ground.spot_open), axis=0
        )
        return self._at(value - STEP_COST, 0), self._at(may, False)

    def _readiness(self) -> Flags:
        """Whether one who arrives at a place can do there what comes first: (span + 1, places, elements)."""
        ground, rules = self.ground, self.rules
        none = np.zeros((1, ground.steps + 1), dtype=bool)
        banks, spots = clear(ground.bank_open, rules.gather), clear(ground.spot_open, rules.set_up)
        return np.asarray(self._at(np.concatenate((none, banks, spots), axis=0), False))

    def _gates(self) -> dict[tuple[int, int], Flags]:
        """Whether gated ways can be set out on: (span + 1, elements)."""
        ways = self.ground.ways
        return {
            (a, b): self._at(clear(flags, int(ways[a, b])), False)
            for (a, b), flags in self.ground.way_open.items()
            if ways[a, b] != NO_WAY
        }

    def _coming_home(self) -> Ints:
        """Value of being back at the landing: the time until home, or NEVER after the deadline."""
        rules = self.rules
        ready = clear(self.ground.ramp_open, max(rules.launch, 1))
        points = np.arange(len(ready))
        later = np.where(ready, points, MOST_STEPS * len(ready))
        ashore = np.minimum.accumulate(later[::-1])[::-1] + rules.launch
        taken = ashore + rules.approach - points
        left = self.elements.span - np.arange(self.elements.span + 1)[:, None]
        taken = self._at(taken, MOST_STEPS * len(ready))
        return np.where(taken <= left, -STEP_COST * taken, NEVER)

    def _rows(self) -> Ints:
        """Row of `reached`, flattened over time and place, that each way ends in when set out on at j = 0."""
        ways, n = self.ground.ways, self.places
        rows = ways * n + np.arange(n)
        return np.asarray(np.where((ways == NO_WAY) | np.eye(n, dtype=bool), -1, rows))

    def _fill(self, j: int) -> None:
        """Tables at one point in time, from those after it."""
        still, first = self.still[j], self.first_spot
        if j < self.elements.span:
            stayed = self.still[j + 1] + self.stay_value[j][:, None, :]
            np.copyto(still, np.where(self.stay_open[j][:, None, :], stayed, NEVER))
        from_landing = slice(1, first) if self.rules.bait else slice(first, None)
        np.maximum(still[0], self._going(j, [LANDING], from_landing)[0], out=still[0])
        if first > 1 and self.rules.bait:
            banks = self._going(j, list(range(1, first)), slice(first, None))
            np.maximum(still[1:first], banks, out=still[1:first])
        spots = list(range(first, self.places))
        np.maximum(still[first:], self._going(j, spots, slice(0, 1)), out=still[first:])
        if self.rules.most_moves and len(spots) > 1:
            moved = self._going(j, spots, slice(first, None))[:, :-1] - self.move
            np.maximum(still[first:, 1:], moved, out=still[first:, 1:])
        for places, steps in ((slice(1, first), self.rules.gather), (slice(first, None), self.rules.set_up)):
            if j + steps <= self.elements.span:
                begun = self.still[j + steps, places] - STEP_COST * steps
                ready = self.ready[j, places, None, :]
                self.reached[j, places] = np.where(ready, begun, NEVER)

    def _going(self, j: int, starts: list[int], ends: slice) -> Ints:
        """The best of setting out from each start to any of the ends: (starts, moves, elements)."""
        rows = self.rows[starts, ends]
        if not rows.size:
            return np.full((len(starts), *self.still.shape[2:]), NEVER, dtype=np.int64)
        flat = self.reached.reshape(-1, *self.reached.shape[2:])
        values = flat[np.where(rows < 0, len(flat) - 1, rows + j * self.places)]
        values -= STEP_COST * np.maximum(self.ground.ways[starts, ends], 0)[:, :, None, None]
        for (a, b), open_ in self.gates.items():
            numbers = range(self.places)[ends]
            if a in starts and b in numbers:
                values[starts.index(a), numbers.index(b), :, ~open_[j]] = NEVER
        return np.asarray(values.max(axis=1))

    def _all_starts(self) -> tuple[Ints, Ints]:
        """Each start that the landing allows, and the element that it belongs to: (starts,) each."""
        elements, rules, lead = self.elements, self.rules, self.lead
        ready = clear(self.ground.ramp_open, max(rules.launch, 1))
        counts = elements.last - elements.first + 1
        element = np.repeat(np.arange(len(elements)), counts)
        start = (
            np.arange(len(element)) - np.repeat(np.cumsum(counts) - counts, counts) + elements.first[element]
        )
        begun = start + rules.approach
        fits = (start >= 0) & (begun < len(ready)) & (start + lead <= elements.deadline[element])
        fits[fits] = ready[begun[fits]]
        if self.ground.leave_open is not None:
            fits[fits] = self.ground.leave_open[start[fits]]
        return start[fits], element[fits]

    def best(self, day: int, moves: int) -> Course | None:
        """The best course of a day with at most so many moves."""
        own = np.flatnonzero(self.elements.day[self.element] == day)
        start, element = self.start[own], self.element[own]
        if not own.size:
            return None
        j = start + self.lead - self.elements.base[element]
        values = self.still[j, LANDING, moves, element]
        if values.max() <= POSSIBLE:
            return None
        best = np.flatnonzero(values == values.max())
        first = int(best[start[best].argmin()])
        return self._course(int(start[first]), moves, int(element[first]))

    def _course(self, start: int, moves: int, e: int) -> Course:
        """Read the tables forwards: at each point stay if that is as good as anything, else go."""
        rules, base = self.rules, int(self.elements.base[e])
        away = start + self.lead
        place, j, left = LANDING, away - base, moves
        visits: list[Visit] = []
        while True:
            value = self.still[j, place, left, e]
            while j < self.elements.span and self.stay_open[j, place, e]:
                stayed = self.still[j + 1, place, left, e] + self.stay_value[j, place, e]
                if stayed != value:
                    break
                j, value = j + 1, self.still[j + 1, place, left, e]
            if visits:
                visits[-1] = Visit(place, visits[-1].set_off, visits[-1].arrived, base + j)
            goes = self._next(place, j, left, e, int(value))
            way = int(self.ground.ways[place, goes])
            if goes == LANDING:
                return self._finished(start, away, visits, base + j + way)
            left -= int(place >= self.first_spot)
            visits.append(Visit(goes, base + j, base + j + way, 0))
            first = rules.gather if goes < self.first_spot else rules.set_up
            place, j = goes, j + way + first

    def _next(self, place: int, j: int, left: int, e: int, value: int) -> int:
        """The first place, by number, whose way is worth what the table says."""
        first = self.first_spot
        if place == LANDING:
            ends = range(1, first) if self.rules.bait else range(first, self.places)
        elif place < first:
            ends = range(first, self.places)
        else:
            ends = range(0, self.places)
        for end in ends:
            way = int(self.ground.ways[place, end])
            moved = place >= first and end >= first
            if end == place or way == NO_WAY or 0 < end < first <= place or (moved and left == 0):
                continue
            gate = self.gates.get((place, end))
            if gate is not None and not gate[j, e]:
                continue
            got = self.reached[j + way, end, left - moved, e] - STEP_COST * way - self.move * moved
            if got == value:
                return end
        raise AssertionError("a value that no action gives")

    def _finished(self, start: int, away: int, visits: list[Visit], back: int) -> Course:
        rules = self.rules
        ready = clear(self.ground.ramp_open, max(rules.launch, 1))
        ashore = back + int(ready[back:].argmax()) + rules.launch
        moves = sum(visit.place >= self.first_spot for visit in visits) - 1
        worth = 0.0
        for visit in visits:
            if visit.place >= self.first_spot:
                fished = slice(visit.arrived + rules.set_up, visit.left)
                worth += float(self.ground.worth[visit.place - self.first_spot, fished].sum())
        worth -= rules.move_cost * moves
        return Course(start, away, tuple(visits), back, ashore, ashore + rules.approach, moves, worth)
