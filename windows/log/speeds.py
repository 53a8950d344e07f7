"""The speeds that fished: the range of a spot's catches, drawn towards the file's by few trips.

The file says at which speeds points are full. Trips with fish outside that range say that it is too narrow;
trips without fish inside it, that it is too wide, but only where enough were made at such speeds: nobody has
learned that a speed does not fish by never fishing it. A trip counts once, however many fish it brought, so
that one lucky day moves nothing by itself.
"""

import numpy as np

from harmonics.arrays import Array, Flags
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.conditions.flow_models import flow_of
from windows.log.lessons import Lesson, Part, Setting, Standing
from windows.log.robust import Estimate
from windows.log.seen_water import trip_speeds
from windows.log.trips import Trip
from windows.shoreline.spots import SpeedRange, Spot

LEAST_FISHED = 10
"""Trips with fish at a spot, before its speeds are told (judgement)."""
LEAST_OUTSIDE = 5
"""Trips at speeds that the range would leave out, before it leaves them out (judgement)."""
PRIOR_TRIPS = 20.0
"""The file's own range counts as so many trips (judgement)."""
QUANTILES = (0.1, 0.9)
"""Full points hold for the middle eight in ten of the trips that caught."""
RESAMPLES = 2000
SEED = 8
LEAST_GAP = 0.05
"""Knots between corners that may not meet."""


def learn_speeds(spot: Spot, trips: list[Trip]) -> Lesson | None:
    """The speeds from and to which a spot gives full points, knots; None where no speed is known there."""
    if not trips or not flow_of(spot, trips[0].start, trips[-1].end).has_speed:
        return None
    speed = trip_speeds(spot, trips) / METRES_PER_SECOND_PER_KNOT
    known = np.isfinite(speed)
    speed, fished = speed[known], np.array([trip.caught() > 0 for trip in trips])[known]
    count = int(fished.sum())
    if not count:
        return None
    if count < LEAST_FISHED:
        return Lesson(Setting.SPEEDS, spot.id, spot.name, Standing.FEW, count, LEAST_FISHED)
    present = _in_knots(spot.preferences.speeds)
    ends = (_end(speed, fished, 0, present["full_from"]), _end(speed, fished, 1, present["full_to"]))
    value = _ordered(present, ends[0].proposed, ends[1].proposed)
    changed = any(abs(part.proposed - (part.present or 0.0)) >= 0.01 for part in ends)
    return Lesson(
        Setting.SPEEDS,
        spot.id,
        spot.name,
        Standing.CHANGE if changed else Standing.AGREES,
        count,
        LEAST_FISHED,
        ends,
        value if changed else None,
    )


def _in_knots(speeds: SpeedRange) -> dict[str, float]:
    keys = ("nothing_below", "full_from", "full_to", "nothing_above")
    return {key: getattr(speeds, key) / METRES_PER_SECOND_PER_KNOT for key in keys}


def _end(speed: Array, fished: Flags, side: int, present: float) -> Part:
    """One end of the range: what the trips say, and what the file should say."""
    caught = speed[fished]
    rng = np.random.default_rng(SEED)
    drawn = np.quantile(rng.choice(caught, (RESAMPLES, len(caught))), QUANTILES[side], axis=1)
    low, high = np.quantile(drawn, (0.025, 0.975))
    value = float(np.quantile(caught, QUANTILES[side]))
    estimate = Estimate(value, float(low), float(high), len(caught))
    inward = value > present if side == 0 else value < present
    outside = speed < value if side == 0 else speed > value
    rarer = fished[outside].mean() <= fished[~outside].mean() / 2 if outside.any() else False
    evident = not inward or (int(outside.sum()) >= LEAST_OUTSIDE and bool(rarer))
    if estimate.holds(present) or not evident:
        return Part(("full_from", "full_to")[side], present, estimate, present)
    weight = len(caught) / (len(caught) + PRIOR_TRIPS)
    proposed = round(weight * value + (1.0 - weight) * present, 2)
    return Part(("full_from", "full_to")[side], present, estimate, proposed)


def _ordered(present: dict[str, float], full_from: float, full_to: float) -> dict[str, float]:
    """All four corners in their order, the outer ones moved only as far as they must be."""
    full_from = max(full_from, LEAST_GAP)
    full_to = max(full_to, full_from)
    return {
        "nothing_below": round(max(0.0, min(present["nothing_below"], full_from - LEAST_GAP)), 2),
        "full_from": round(full_from, 2),
        "full_to": round(full_to, 2),
        "nothing_above": round(max(present["nothing_above"], full_to + LEAST_GAP), 2),
    }
