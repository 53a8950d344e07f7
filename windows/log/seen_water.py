"""What was seen of the water against what was predicted for it: turns, drifts, banks."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array, Flags
from harmonics.stations import tides
from windows.conditions.flow import Flow
from windows.conditions.flow_models import flow_of
from windows.log.trips import SeenKind, Trip
from windows.shoreline.spots import Bank, Spot

REACH = 13 * 3600.0
"""A turn this far from the one predicted is another: on a diurnal coast turns of one kind are 25 h apart."""
STEP = 600.0
"""Flow is straight enough over ten minutes about a turn: the time is off by some seconds."""
STRONG_SHARE = 0.5
"""Drifts count where the ebb predicted is at least half its greatest: near slack all ratios are wild."""
MARGIN = 2 * 86400.0


@dataclass(frozen=True, eq=False)
class SeenTurns:
    """Turns of the current that were seen; arrays of shape (n,).

    Attributes:
        t: when.
        late: seconds behind the prediction.
        lost: how many had no turn of their kind near them.
    """

    t: Array
    late: Array
    lost: int


def seen_turns(spot: Spot, trips: list[Trip]) -> SeenTurns:
    """Turns noted at a spot against the flow of its file."""
    notes = [
        (seen.t, seen.kind is SeenKind.TURNED_OUT)
        for trip in trips
        for seen in trip.seen
        if seen.kind in {SeenKind.TURNED_OUT, SeenKind.TURNED_IN}
    ]
    if not notes:
        return SeenTurns(np.empty(0), np.empty(0), 0)
    t = np.array([note[0] for note in notes])
    out = np.array([note[1] for note in notes])
    late = turn_departures(flow_of(spot, float(t.min()) - MARGIN, float(t.max()) + MARGIN), t, out)
    known = np.isfinite(late)
    return SeenTurns(t[known], late[known], int((~known).sum()))


def turn_departures(flow: Flow, t: Array, begins: Flags) -> Array:
    """Seconds from the nearest predicted turn of the same kind to each seen one; NaN where there is none.

    Args:
        flow: past the spot, good for a day about all times.
        t: when turns were seen, shape (n,).
        begins: whether the current then began to go out.
    """
    offsets = np.arange(-REACH, REACH + STEP, STEP)
    times = t[:, None] + offsets
    moving = flow.outgoing(times.reshape(-1)).reshape(times.shape)
    moving = np.where(begins[:, None], moving, -moving)
    before, after = moving[:, :-1], moving[:, 1:]
    turning = (before <= 0) & (after > 0)
    share = np.divide(before, before - after, out=np.zeros_like(before), where=turning)
    apart = np.where(turning, -(offsets[:-1] + share * STEP), np.nan)
    distance = np.where(turning, np.abs(apart), np.inf)
    nearest = distance.argmin(axis=1)
    return np.asarray(apart[np.arange(len(t)), nearest])


def drift_ratios(spot: Spot, trips: list[Trip], strong: float) -> Array:
    """Logarithms of drifts seen over the outgoing movement predicted, where that is strong; shape (n,).

    Args:
        spot: where.
        trips: made there.
        strong: the usual greatest outgoing movement, as the spot's flow has it.
    """
    notes = [
        (seen.t, seen.speed)
        for trip in trips
        for seen in trip.seen
        if seen.kind is SeenKind.DRIFT and seen.speed
    ]
    if not notes:
        return np.empty(0)
    t, speed = np.array(notes, dtype=float).T
    moving = flow_of(spot, float(t.min()) - MARGIN, float(t.max()) + MARGIN).outgoing(t)
    clear = moving >= STRONG_SHARE * strong
    return np.asarray(np.log(speed[clear] / moving[clear]))


def bank_levels(bank: Bank, trips: list[Trip]) -> Array:
    """Predicted levels (metres above datum) at which a bank was seen to bare or to be covered; shape (n,)."""
    kinds = {SeenKind.BARED, SeenKind.COVERED}
    t = [seen.t for trip in trips for seen in trip.seen if seen.kind in kinds]
    return levels_at(bank, t) if t else np.empty(0)


def levels_at(bank: Bank, t: ArrayLike) -> Array:
    """Levels at the bank's station, metres above datum."""
    return tides.levels(bank.station, np.asarray(t, dtype=float))


def trip_speeds(spot: Spot, trips: list[Trip]) -> Array:
    """The middle speed of each trip's hours in the direction fished, m/s; NaN where none went so. Shape (n,).

    A drift that was seen takes the place of what was predicted.
    """
    steps = [np.arange(trip.start, trip.end + 1.0, STEP) for trip in trips]
    flow = flow_of(spot, min(trip.start for trip in trips) - MARGIN, max(trip.end for trip in trips) + MARGIN)
    going = spot.preferences.water.going(flow.outgoing(np.concatenate(steps)))
    moving = np.split(going, np.cumsum([len(part) for part in steps])[:-1])
    found = np.full(len(trips), np.nan)
    for i, (trip, part) in enumerate(zip(trips, moving, strict=True)):
        drifts = [seen.speed for seen in trip.seen if seen.kind is SeenKind.DRIFT and seen.speed is not None]
        wanted = part[part > 0]
        if drifts:
            found[i] = float(np.median(drifts))
        elif len(wanted):
            found[i] = float(np.median(wanted))
    return found
