"""A day out as a problem of whole steps: places, the ways between them, the worth of fishing, and gates.

A point in time is a step's number, counted from the first; a step lies between two of them. Places are
numbered: 0 the landing one leaves from and comes back to, then the banks, then the spots.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array, Flags, Ints

NO_WAY = -1
LANDING = 0


@dataclass(frozen=True, eq=False)
class Ground:
    """What a shore offers over a stretch of time.

    Attributes:
        worth: of fishing at each spot over each step, point-hours of 0 or more; shape (spots, steps).
        spot_open: steps in which one may be at each spot, shape (spots, steps).
        bank_open: steps in which bait can be gathered at each bank, shape (banks, steps).
        ramp_open: steps in which the landing can be left and come back to, shape (steps,).
        ways: steps from place to place, 1 or more; NO_WAY where there is none; shape (places, places).
        way_open: by (from, to), steps in which that way can be passed, shape (steps,); always where absent.

    Raises:
        ValueError: shapes that don't fit each other, a negative worth, or a way of less than one step.
    """

    worth: Array
    spot_open: Flags
    bank_open: Flags
    ramp_open: Flags
    ways: Ints
    way_open: Mapping[tuple[int, int], Flags] = field(default_factory=dict)

    def __post_init__(self) -> None:
        shapes = {self.worth.shape[1:], self.spot_open.shape[1:], self.bank_open.shape[1:]}
        shapes |= {self.ramp_open.shape, *(flags.shape for flags in self.way_open.values())}
        places = 1 + self.banks + self.spots
        if len(shapes) != 1 or self.spot_open.shape != self.worth.shape:
            raise ValueError(f"every array must have the same steps, not {shapes}")
        if self.ways.shape != (places, places):
            raise ValueError(f"{places} places need ways of shape {(places, places)}, not {self.ways.shape}")
        if not (self.worth >= 0).all() or not np.isfinite(self.worth).all():
            raise ValueError("worth must be finite and not negative")
        apart = ~np.eye(places, dtype=bool)
        if ((self.ways < 1) & (self.ways != NO_WAY) & apart).any():
            raise ValueError("a way takes one step or more")

    @property
    def spots(self) -> int:
        """Number of spots."""
        return len(self.worth)

    @property
    def banks(self) -> int:
        """Number of banks."""
        return len(self.bank_open)

    @property
    def steps(self) -> int:
        """Number of steps."""
        return len(self.ramp_open)


class Rules(NamedTuple):
    """What a day out is bound by; times in steps.

    Attributes:
        approach: from home to the landing, and from the landing home.
        launch: at the landing, until one is on the way, and again until one is off it; it must be open.
        set_up: at a spot, from arriving until fishing counts; the spot must be open.
        gather: of gathering at a bank.
        bait: whether bait must be gathered before the first spot.
        move_cost: of a move from spot to spot, point-hours.
        most_moves: from spot to spot.
        longest: from leaving home to being home again; None for no limit.
    """

    approach: int = 0
    launch: int = 1
    set_up: int = 0
    gather: int = 1
    bait: bool = False
    move_cost: float = 0.0
    most_moves: int = 3
    longest: int | None = None


@dataclass(frozen=True, eq=False)
class Start:
    """A way to begin a day out.

    Attributes:
        bait: whether a bank comes before the first spot.
        allowed: points in time at which one may leave, shape (steps + 1,); None for all.
    """

    bait: bool
    allowed: Flags | None


class Daytime(NamedTuple):
    """When one may be out, in points in time.

    Attributes:
        first: not gone before.
        last: home by.
        latest: gone by; None where it does not matter.
    """

    first: int
    last: int
    latest: int | None = None


class Visit(NamedTuple):
    """A stay at a bank or spot.

    Attributes:
        place: its number.
        set_off: when the place before was left.
        arrived: there.
        left: when it was left.
    """

    place: int
    set_off: int
    arrived: int
    left: int


class Course(NamedTuple):
    """One day out, in points of time.

    Attributes:
        leave: home.
        away: off the landing.
        visits: in order.
        back: at the landing.
        ashore: off the landing again.
        home: home.
        moves: from spot to spot.
        worth: point-hours, moves paid for.
    """

    leave: int
    away: int
    visits: tuple[Visit, ...]
    back: int
    ashore: int
    home: int
    moves: int
    worth: float


def differing(one: Ground, other: Ground, bait: bool) -> Flags:
    """Steps in which the landing or a way of two grounds of the same ways is open in one of them alone.

    Without bait nobody goes to a bank.
    """
    found = one.ramp_open != other.ramp_open
    for pair, flags in one.way_open.items():
        if bait or not any(LANDING < place <= one.banks for place in pair):
            found = found | (flags != other.way_open[pair])
    return np.asarray(found)


def clear(flags: Flags, steps: int) -> Flags:
    """For each point in time, whether that many steps from it on all hold; shape (..., steps + 1).

    Steps after the last do not hold.
    """
    count = flags.shape[-1]
    held = np.concatenate((np.zeros((*flags.shape[:-1], 1), dtype=int), np.cumsum(flags, axis=-1)), axis=-1)
    out = np.zeros((*flags.shape[:-1], count + 1), dtype=bool)
    if steps <= count:
        out[..., : count + 1 - steps] = held[..., steps:] - held[..., : count + 1 - steps] == steps
    return out
