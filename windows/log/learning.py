"""What trips teach: when the current turns, how strong the ebb is, which speeds fish, when banks are bare."""

from collections.abc import Callable, Sequence

import numpy as np

from harmonics.arrays import Array
from harmonics.sums.waves import year_of
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.conditions.flow_models import mean_peak_fall
from windows.log.lessons import Lesson, Part, Setting, Standing
from windows.log.robust import LEAST_NOTES, Estimate, middle
from windows.log.seen_water import bank_levels, drift_ratios, seen_turns
from windows.log.shares import learn_points
from windows.log.speeds import learn_speeds
from windows.log.trips import Trip
from windows.shoreline.shore import Shore
from windows.shoreline.spots import Bank, CurrentSource, InletSource, ScaledSource, Spot

MINUTE = 60.0


def learn(shore: Shore, trips: Sequence[Trip]) -> tuple[Lesson, ...]:
    """Everything that trips teach about the spots of a file, spot by spot; what has no notes is left out.

    Args:
        shore: the file.
        trips: fished; those at spots it does not have teach nothing.
    """
    lessons: list[Lesson] = []
    every: list[Trip] = []
    for spot in shore.spots:
        here = [trip for trip in trips if trip.spot == spot.id and trip.fished]
        every += here
        for teach in (learn_turns, learn_strength, learn_speeds):
            lesson = teach(spot, here)
            if lesson is not None:
                lessons.append(lesson)
    banks = {spot.bank.id: spot.bank for spot in shore.spots if spot.bank is not None}
    for bank in banks.values():
        near = {spot.id for spot in shore.spots if spot.bank is not None and spot.bank.id == bank.id}
        lesson = learn_bank(bank, [trip for trip in every if trip.spot in near], shore.head.units.metres)
        if lesson is not None:
            lessons.append(lesson)
    points = learn_points(shore, every)
    return (*lessons, *((points,) if points is not None else ()))


def learn_turns(spot: Spot, trips: list[Trip]) -> Lesson | None:
    """How far behind high and low water, or behind its current station, the current turns here: minutes."""
    if isinstance(spot.flow, InletSource):
        return None
    turns = seen_turns(spot, trips)
    if not len(turns.late) and not turns.lost:
        return None
    if isinstance(spot.flow, CurrentSource):
        setting, present = Setting.DELAY, spot.flow.delay / MINUTE
        return _one_number(setting, spot, present, present + turns.late / MINUTE, _whole, turns.lost)
    present = (spot.slack_lag or 0.0) / MINUTE
    known = None if spot.slack_lag is None else present
    return _one_number(Setting.SLACK_LAG, spot, known, present + turns.late / MINUTE, _whole, turns.lost)


def _whole(estimate: Estimate) -> Estimate:
    """To the minute, its ends outward: notes are no finer."""
    return Estimate(
        float(np.round(estimate.value)),
        float(np.floor(estimate.low)),
        float(np.ceil(estimate.high)),
        estimate.notes,
    )


def learn_strength(spot: Spot, trips: list[Trip]) -> Lesson | None:
    """The knots of a strong ebb, or the factor over the current station, from drifts that were seen."""
    if not trips or not (spot.flow is None or isinstance(spot.flow, ScaledSource | CurrentSource)):
        return None
    year = year_of(trips[-1].start)
    if isinstance(spot.flow, CurrentSource):
        setting, present, strong = Setting.FACTOR, spot.flow.factor, _usual_ebb(spot, trips)
        known: float | None = present
    elif isinstance(spot.flow, ScaledSource):
        strong = spot.flow.strong_ebb
        setting, present = Setting.STRONG_EBB, strong / METRES_PER_SECOND_PER_KNOT
        known = present
    else:
        strong = mean_peak_fall(spot.station, year)
        setting, present, known = Setting.STRONG_EBB, strong / METRES_PER_SECOND_PER_KNOT, None
    ratios = drift_ratios(spot, trips, strong)
    if not len(ratios):
        return None
    return _one_number(setting, spot, known, np.log(present) + ratios, _grown)


def _grown(estimate: Estimate) -> Estimate:
    """From logarithms, to two digits behind the point, the ends outward."""
    low, high = np.exp([estimate.low, estimate.high])
    return Estimate(
        float(np.round(np.exp(estimate.value), 2)),
        float(np.floor(low * 100.0) / 100.0),
        float(np.ceil(high * 100.0) / 100.0),
        estimate.notes,
    )


def _usual_ebb(spot: Spot, trips: list[Trip]) -> float:
    """The mean of the greatest ebbs of the days on which trips were made, m/s at the spot."""
    from windows.conditions.flow_models import flow_of

    starts = np.array([trip.start for trip in trips])
    days = starts[:, None] + np.arange(0.0, 25 * 3600.0, 900.0)
    flow = flow_of(spot, float(starts.min()), float(starts.max()))
    return float(flow.outgoing(days.reshape(-1)).reshape(days.shape).max(axis=1).mean())


def learn_bank(bank: Bank, trips: list[Trip], metres: float) -> Lesson | None:
    """The level below which a bait bank is bare, in the file's unit (of so many metres)."""
    levels = bank_levels(bank, trips) / metres
    if not len(levels) or not np.isfinite(bank.level):
        return None
    return _one_number(Setting.BARE_BELOW, bank, bank.level / metres, levels, _hundredths)


def _hundredths(estimate: Estimate) -> Estimate:
    return Estimate(
        float(np.round(estimate.value, 2)),
        float(np.floor(estimate.low * 100.0) / 100.0),
        float(np.ceil(estimate.high * 100.0) / 100.0),
        estimate.notes,
    )


def _one_number(
    setting: Setting,
    owner: Spot | Bank,
    present: float | None,
    notes: Array,
    rounded: Callable[[Estimate], Estimate],
    aside: int = 0,
) -> Lesson:
    """The lesson of one number: it changes where the file has none, or one outside the interval."""
    found = middle(notes)
    if found is None:
        return Lesson(setting, owner.id, owner.name, Standing.FEW, len(notes), LEAST_NOTES, aside=aside)
    estimate = rounded(found)
    agrees = present is not None and estimate.holds(present)
    return Lesson(
        setting,
        owner.id,
        owner.name,
        Standing.AGREES if agrees else Standing.CHANGE,
        len(notes),
        parts=(Part("", present, estimate, estimate.value),),
        value=None if agrees else estimate.value,
        aside=aside,
    )
