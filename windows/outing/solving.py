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
from windows.outing.ground import LANDING, Course, Daytime, Ground, Rules, Start, Visit, clear
from windows.outing.layout import MOST_MOVES, MOST_STEPS, NEVER, POSSIBLE, SCALE, STEP_COST, UNIT, Layout

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


def solve(
    ground: Ground, rules: Rules, days: Sequence[Daytime], allowed: Flags | None = None
) -> list[tuple[Course | None, ...]]:
    """The best course of each day with at most 0, 1, .. most_moves moves; None where no course is possible.

    Args:
        ground, rules, days: the problem.
        allowed: points in time at which one may leave home, shape (steps + 1,); None for all.

    Raises:
        ValueError: a day longer than the tables hold, or more moves.
    """
    (found,) = solve_each(ground, rules, days, [Start(rules.bait, allowed)])
    return found


def solve_each(
    ground: Ground, rules: Rules, days: Sequence[Daytime], starts: Sequence[Start]
) -> list[list[tuple[Course | None, ...]]]:
    """The same for several ways to begin, whose days out differ in nothing else: the tables are made once.

    Args:
        ground, days: as for `solve`.
        rules: as for `solve`, but whether bait is gathered is said by each start.
        starts: in any number.
    """
    if rules.most_moves > MOST_MOVES or any(day.last - day.first >= MOST_STEPS for day in days):
        raise ValueError(f"at most {MOST_MOVES} moves and days of less than {MOST_STEPS} steps")
    none: tuple[Course | None, ...] = (None,) * (rules.most_moves + 1)
    out = [[none] * len(days) for _ in starts]
    layout = Layout(ground, rules)
    for elements in _groups(ground, rules, days):
        tables = _Tables(ground, rules, layout, elements)
        for found, start in zip(out, starts, strict=True):
            for day, courses in tables.best(start).items():
                found[day] = courses
    return out


def _groups(ground: Ground, rules: Rules, days: Sequence[Daytime]) -> Iterator[_Elements]:
    """Days side by side, as many as the tables hold; those without time are left out."""
    row = (2 + ground.banks + ground.spots) * (rules.most_moves + 1) * 8 * 2
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
    """The greatest value still to come from every state and point in time.

    `still[j, row, moves, element]` is the value at a place one is free to leave; `reached[j, ...]` the
    value on arriving there, and for the landing on coming back to it.
    """

    def __init__(self, ground: Ground, rules: Rules, layout: Layout, elements: _Elements) -> None:
        self.ground, self.rules, self.layout, self.elements = ground, rules, layout, elements
        self.lead = rules.approach + rules.launch
        self.stay = self._staying()
        self.begin = self._beginning()
        self.gates = self._gates()
        farthest = int(max(ground.ways.max(initial=1), 1))
        span, shape = elements.span, (layout.places + 1, layout.moves, len(elements))
        self.still = np.empty((span + 1, *shape), dtype=np.int64)
        self.reached = np.full((span + 2 + farthest, *shape), NEVER, dtype=np.int64)
        self.reached[: span + 1, LANDING] = self._coming_home()[:, None, :]
        self._fill()

    def _at(self, values: np.ndarray, fill: int | bool) -> np.ndarray:
        """Values by point in time, (..., points), as the elements meet them: (span + 1, ..., elements)."""
        k = self.elements.base + np.arange(self.elements.span + 1)[:, None]
        inside = (k >= 0) & (k < values.shape[-1])
        taken = np.where(inside, values[..., np.clip(k, 0, values.shape[-1] - 1)], fill)
        return np.ascontiguousarray(np.moveaxis(taken, -2, 0))

    def _staying(self) -> Ints:
        """Value of a step spent in each row, NEVER where it may not be: (span + 1, rows, 1, elements)."""
        ground, layout = self.ground, self.layout
        value = np.full((layout.places + 1, ground.steps), -STEP_COST, dtype=np.int64)
        spots = slice(layout.first_spot, layout.places)
        value[spots] += np.rint(ground.worth * UNIT).astype(np.int64) * SCALE
        value[spots][~ground.spot_open] = NEVER
        value[1 : layout.first_spot][~ground.bank_open] = NEVER
        return np.asarray(self._at(value, NEVER)[:, :, None])

    def _beginning(self) -> list[tuple[slice, int, Ints]]:
        """Rows of banks and spots, steps of what comes first, its value: (span + 1, .., 1, elements)."""
        ground, rules, first = self.ground, self.rules, self.layout.first_spot
        found = []
        for rows, open_, steps in (
            (slice(1, first), ground.bank_open, rules.gather),
            (slice(first, self.layout.places), ground.spot_open, rules.set_up),
        ):
            value = np.where(clear(open_, steps), -STEP_COST * steps, NEVER)
            found.append((rows, steps, self._at(value, NEVER)[:, :, None]))
        return found

    def _gates(self) -> dict[tuple[int, int], Flags]:
        """Whether gated ways can be set out on: (span + 1, elements)."""
        ways = self.ground.ways
        return {
            (a, b): self._at(clear(flags, int(ways[a, b])), False)
            for (a, b), flags in self.ground.way_open.items()
            if (a, b) in self.layout.gated
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

    def _fill(self) -> None:
        """The tables at each point in time, from those after it."""
        layout, count, span = self.layout, len(self.elements), self.elements.span
        flat = self.reached.reshape(-1, count)
        going = np.empty((*layout.onward.shape, count), dtype=np.int64)
        best = np.empty((layout.states, count), dtype=np.int64)
        gates = [(*layout.gated[way], open_[:, None]) for way, open_ in self.gates.items()]
        for j in range(span, -1, -1):
            np.take(flat, layout.onward + j * layout.states, axis=0, out=going, mode="clip")
            np.subtract(going, layout.cost, out=going)
            for choices, states, open_ in gates:
                going[choices, states] = np.where(open_[j], going[choices, states], NEVER)
            going.max(axis=0, out=best)
            still = self.still[j]
            np.maximum(best.reshape(still.shape), NEVER, out=still)
            if j < span:
                np.maximum(still, self.still[j + 1] + self.stay[j], out=still)
            for rows, steps, value in self.begin:
                if j + steps <= span:
                    np.add(self.still[j + steps, rows], value[j], out=self.reached[j, rows])

    def _starts(self, allowed: Flags | None) -> tuple[Ints, Ints]:
        """Each start that the landing allows, and the element that it belongs to: (starts,) each."""
        elements, rules = self.elements, self.rules
        ready = clear(self.ground.ramp_open, max(rules.launch, 1))
        counts = elements.last - elements.first + 1
        element = np.repeat(np.arange(len(elements)), counts)
        start = (
            np.arange(len(element)) - np.repeat(np.cumsum(counts) - counts, counts) + elements.first[element]
        )
        begun = start + rules.approach
        fits = (start >= 0) & (begun < len(ready)) & (start + self.lead <= elements.deadline[element])
        fits[fits] = ready[begun[fits]]
        if allowed is not None:
            fits[fits] = allowed[start[fits]]
        return start[fits], element[fits]

    def best(self, begun: Start) -> dict[int, tuple[Course | None, ...]]:
        """By day, the best course with at most 0, 1, .. moves."""
        row = self.layout.to_bank if begun.bait else LANDING
        start, element = self._starts(begun.allowed)
        j = start + self.lead - self.elements.base[element]
        values, day = self.still[j, row, :, element], self.elements.day[element]
        found = {}
        for one in np.unique(day).tolist():
            own = np.flatnonzero(day == one)
            courses: list[Course | None] = []
            for left, column in enumerate(values[own].T):
                best = own[column == column.max()]
                first = int(best[start[best].argmin()])
                possible = column.max() > POSSIBLE
                courses.append(
                    self._course(int(start[first]), row, left, int(element[first])) if possible else None
                )
            found[one] = tuple(courses)
        return found

    def _course(self, start: int, row: int, left: int, e: int) -> Course:
        """Read the tables forwards: at each point stay if that is as good as anything, else go."""
        rules, first, base = self.rules, self.layout.first_spot, int(self.elements.base[e])
        away = start + self.lead
        j = away - base
        visits: list[Visit] = []
        while True:
            value = self.still[j, row, left, e]
            while j < self.elements.span:
                stayed = self.still[j + 1, row, left, e] + self.stay[j, row, 0, e]
                if stayed != value:
                    break
                j, value = j + 1, self.still[j + 1, row, left, e]
            if visits:
                visits[-1] = Visit(row, visits[-1].set_off, visits[-1].arrived, base + j)
            goes = self._next(row, j, left, e, int(value))
            way = int(self.ground.ways[self.layout.place(row), goes])
            if goes == LANDING:
                return self._finished(start, away, visits, base + j + way)
            left -= self.layout.is_move(row, goes)
            visits.append(Visit(goes, base + j, base + j + way, 0))
            row, j = goes, j + way + (rules.gather if goes < first else rules.set_up)

    def _next(self, row: int, j: int, left: int, e: int, value: int) -> int:
        """The first place, by number, whose way is worth what the table says."""
        for end, fewer, way, cost in self.layout.choices(row, left, self.ground.ways):
            gate = self.gates.get((self.layout.place(row), end))
            open_ = gate is None or gate[j, e]
            if open_ and self.reached[j + way, end, fewer, e] - cost == value:
                return end
        raise AssertionError("a value that no action gives")

    def _finished(self, start: int, away: int, visits: list[Visit], back: int) -> Course:
        rules, first = self.rules, self.layout.first_spot
        ready = clear(self.ground.ramp_open, max(rules.launch, 1))
        ashore = back + int(ready[back:].argmax()) + rules.launch
        moves = sum(visit.place >= first for visit in visits) - 1
        worth = 0.0
        for visit in visits:
            if visit.place >= first:
                fished = slice(visit.arrived + rules.set_up, visit.left)
                worth += float(self.ground.worth[visit.place - first, fished].sum())
        worth -= rules.move_cost * moves
        return Course(start, away, tuple(visits), back, ashore, ashore + rules.approach, moves, worth)
