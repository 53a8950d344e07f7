"""Every day out there is, one after another, from the rules alone: the dynamic programme must agree.

Small cases only: the number of courses grows with the power of stops and points in time.
"""

from collections.abc import Iterator
from random import Random
from types import SimpleNamespace

import numpy as np

from harmonics.arrays import Flags
from windows.outing.ground import LANDING, NO_WAY, Course, Daytime, Ground, Rules, Visit


def courses(
    ground: Ground, rules: Rules, day: Daytime, moves: int, margin: int = 0, allowed=None
) -> Iterator[Course]:
    """Each possible course, in any order; coming in as soon as the landing is open.

    Args:
        ground, rules, day: the problem.
        moves: from spot to spot, at most.
        margin: steps that the landing or a way must be open before its use and after it.
        allowed: points in time at which one may leave home; None for all.
    """
    ground = _plain(ground, margin)
    latest = day.last if day.latest is None else min(day.latest, day.last)
    for leave in range(day.first, latest + 1):
        if allowed is not None and not allowed[leave]:
            continue
        limit = day.last if rules.longest is None else min(day.last, leave + rules.longest)
        begun = leave + rules.approach
        away = begun + rules.launch
        if away <= limit and _used(ground.ramp_open, begun, max(rules.launch, 1), margin):
            for set_off in range(away, limit + 1):
                for visits, back in _onward(ground, rules, LANDING, set_off, limit, moves, rules.bait):
                    yield from _home(ground, rules, (leave, away), visits, back, limit)


def _plain(ground: Ground, margin: int) -> SimpleNamespace:
    """The same in lists, which Python walks faster."""
    return SimpleNamespace(
        banks=ground.banks,
        spots=ground.spots,
        steps=ground.steps,
        worth=ground.worth.tolist(),
        spot_open=ground.spot_open.tolist(),
        bank_open=ground.bank_open.tolist(),
        ramp_open=ground.ramp_open.tolist(),
        ways=ground.ways.tolist(),
        way_open={pair: flags.tolist() for pair, flags in ground.way_open.items()},
        margin=margin,
    )


def _held(flags, start: int, steps: int) -> bool:
    return start + steps <= len(flags) and all(flags[start : start + steps])


def _used(flags, start: int, steps: int, margin: int) -> bool:
    """Held while it is used, and for the margin before and after as far as anything is known."""
    return _held(flags, start, steps) and all(flags[max(0, start - margin) : start + steps + margin])


def _onward(ground, rules, place, set_off, limit, moves, bait):
    """What can follow a departure from a place: visits and the time back at the landing."""
    first = 1 + ground.banks
    if place >= first:
        back = _arrival(ground, place, LANDING, set_off)
        if back is not None and back <= limit:
            yield (), back
        if moves == 0:
            return
    ends = range(1, first) if bait else range(first, first + ground.spots)
    for end in ends:
        arrived = None if end == place else _arrival(ground, place, end, set_off)
        if arrived is None:
            continue
        open_, steps = (
            (ground.bank_open[end - 1], rules.gather)
            if end < first
            else (ground.spot_open[end - first], rules.set_up)
        )
        if not _held(open_, arrived, steps):
            continue
        for left in range(arrived + steps, limit + 1):
            if left > arrived + steps and not _held(open_, left - 1, 1):
                break
            fewer = moves - (place >= first)
            for rest, back in _onward(ground, rules, end, left, limit, fewer, False):
                yield (Visit(end, set_off, arrived, left), *rest), back


def _arrival(ground, start, end, set_off):
    way, gate = ground.ways[start][end], ground.way_open.get((start, end))
    if (
        way == NO_WAY
        or set_off + way > ground.steps
        or (gate and not _used(gate, set_off, way, ground.margin))
    ):
        return None
    return set_off + way


def _home(ground, rules, began, visits, back, limit):
    for landing in range(back, limit + 1):
        if _used(ground.ramp_open, landing, max(rules.launch, 1), ground.margin):
            ashore = landing + rules.launch
            home = ashore + rules.approach
            if home <= limit:
                first = 1 + ground.banks
                spots = [visit for visit in visits if visit.place >= first]
                worth = -rules.move_cost * (len(spots) - 1)
                for visit in spots:
                    for step in range(visit.arrived + rules.set_up, visit.left):
                        worth += ground.worth[visit.place - first][step]
                yield Course(*began, visits, back, ashore, home, len(spots) - 1, float(worth))
            return


def order(course: Course) -> tuple:
    """Sorts the best first, ties as the programme's rule says: later departures, lower numbers."""
    stays = [(-visit.set_off, visit.place) for visit in course.visits]
    end = (-course.visits[-1].left, LANDING)
    return (
        -round(course.worth, 9),
        course.moves,
        course.home - course.leave,
        course.leave,
        *(part for pair in [*stays, end] for part in pair),
    )


def best(
    ground: Ground, rules: Rules, day: Daytime, margin: int = 0, allowed=None
) -> tuple[Course | None, ...]:
    """The best course with at most 0, 1, .. moves."""
    found: list[Course | None] = [None] * (rules.most_moves + 1)
    for course in courses(ground, rules, day, rules.most_moves, margin, allowed):
        rank = order(course)
        for moves in range(course.moves, rules.most_moves + 1):
            other = found[moves]
            if other is None or rank < order(other):
                found[moves] = course
    return tuple(found)


def random_case(seed: int) -> tuple[Ground, Rules, Daytime, Flags | None]:
    """A small case: up to 4 places, 30 steps, bait, moves and gates; some full of ties."""
    random = Random(seed)
    banks = random.choice((0, 0, 1))
    spots = random.choice((1, 2, 2)) if banks else random.choice((1, 2, 3, 3))
    most_moves = random.choice((0, 1, 2, 2))
    steps = random.randint(12, 30) if most_moves < 2 or spots == 1 else random.randint(12, 18)
    worth = np.array([_worths(random, steps) for _ in range(spots)])
    if random.random() < 0.6:
        worth = _relay(random, spots, steps)
    places = 1 + banks + spots
    ways = np.array([[random.choice((1, 1, 1, 2)) for _ in range(places)] for _ in range(places)])
    gated = {}
    for a in range(places):
        for b in range(places):
            chance = random.random()
            if a != b and chance < 0.15:
                gated[a, b] = _flags(random, steps, 0.0)
            elif a != b and chance < 0.2:
                ways[a, b] = NO_WAY
    ground = Ground(
        worth,
        np.array([_flags(random, steps, 0.5) for _ in range(spots)]),
        np.array([_flags(random, steps, 0.3) for _ in range(banks)], dtype=bool).reshape(banks, steps),
        _flags(random, steps, 0.6),
        ways,
        gated,
    )
    allowed = _flags(random, steps + 1, 0.0) if random.random() < 0.2 else None
    rules = Rules(
        approach=random.choice((0, 0, 0, 1)),
        launch=random.choice((0, 0, 1, 2)),
        set_up=random.choice((0, 0, 0, 1, 2)),
        gather=random.choice((1, 2)),
        bait=bool(banks) and random.random() < 0.8,
        move_cost=random.choice((0.0, 0.0, 0.5, 1.25, 7.0)),
        most_moves=most_moves,
        longest=random.choice((None, random.randint(steps // 2, steps))),
    )
    first = random.randint(0, 3)
    last = random.randint(steps - 4, steps) if seed % 50 else first
    day = Daytime(first, last, random.choice((None, None, random.randint(first, steps))))
    return ground, rules, day, allowed


def _worths(random: Random, steps: int) -> list[float]:
    kind = random.choice(("ties", "smooth", "smooth", "rough", "stretch", "stretch"))
    if kind == "ties":
        return [random.choice((0.0, 0.5, 1.0)) for _ in range(steps)]
    if kind == "stretch":
        start, value = random.randint(0, steps), random.choice((1.0, 2.5, 8.0))
        return [value if start <= k < start + steps // 3 else 0.0 for k in range(steps)]
    if kind == "rough":
        return [random.uniform(0.0, 8.333) for _ in range(steps)]
    middle, width = random.uniform(0, steps), random.uniform(2, 6)
    return [8.0 * max(0.0, 1.0 - abs(k - middle) / width) for k in range(steps)]


def _relay(random: Random, spots: int, steps: int) -> np.ndarray:
    """One spot after another is worth fishing, in an order of chance."""
    worth = np.zeros((spots, steps))
    for part, spot in enumerate(random.sample(range(spots), spots)):
        start, end = part * steps // spots, (part + 1) * steps // spots
        worth[spot, start:end] = random.choice((2.0, 4.0, 8.0))
    return worth


def _flags(random: Random, steps: int, share: float) -> np.ndarray:
    """Stretches open and shut, so that gates hold for a while; in a share of the cases always open."""
    if random.random() < share:
        return np.ones(steps, dtype=bool)
    flags: list[bool] = []
    open_ = random.random() < 0.7
    while len(flags) < steps:
        flags += [open_] * random.randint(*((4, 14) if open_ else (1, 5)))
        open_ = not open_
    return np.array(flags[:steps])
