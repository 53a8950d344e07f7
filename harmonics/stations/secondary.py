"""Secondary tide stations: high and low waters by differences, and a derived level curve between them.

Source of the practice: the tables' "differences on standard ports" (evidence of each example beside the
tests). The curve keeps the reference's own shape: between two neighbouring turning points time and height
run in proportion to the reference's, so it is exact at the turns and has no rate there.
"""

import math
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from harmonics.arrays import Array
from harmonics.stations.events import HighLowWaters, Turns, high_low_waters
from harmonics.stations.types import HeightDifference, HeightPairs, HourPairs, SecondaryStation, Station
from harmonics.stations.warps import TRIAL, Warp, curve_at, resets_between
from harmonics.sums.waves import NodePractice
from harmonics.units import DAY, HOUR, MINUTE

SEARCH_MARGINS = (3 * DAY, 40 * DAY)
"""A turn is needed on either side of the span. Three days nearly always have one; where stands take up a
diurnal tide at the moon's crossing of the equator the next lies within a fortnight."""
BLOCK = 8 * DAY
"""Turns are searched from one multiple of this to another, so that spans near each other share a search."""
MOST_BLOCKS = 16
"""A pairing of more is made anew each time: what is kept stays small."""
SWAP_SHARE = 0.25
"""Differences may swap two turns of a tide that hardly moves (they become a stand). Swapping two that are
this share of the mean range apart means that the differences are wrong."""


def secondary_high_low_waters(station: SecondaryStation, start: float, end: float) -> HighLowWaters:
    """High and low waters at a secondary station with start <= t < end (POSIX seconds).

    Heights are metres above datum. Neighbours that the differences would swap are a stand; stands of the
    reference are carried over.
    """
    pairing = _pairing(station, start, end)
    stands = pairing.stands
    inside = stands[(stands[:, 0] < end) & (stands[:, 1] >= start)]
    return HighLowWaters(pairing.turns.between(start, end), inside)


def secondary_levels(station: SecondaryStation, t: ArrayLike) -> Array:
    """Derived height above datum, metres; shaped as t (POSIX seconds, any order).

    Raises:
        ValueError: a time is not finite.
    """
    return _curve(station, t)[0]


def secondary_rates(station: SecondaryStation, t: ArrayLike) -> Array:
    """Derived rise, metres a second; shaped as t.

    Raises:
        ValueError: a time is not finite.
    """
    return _curve(station, t)[1]


def even_secondary_levels(station: SecondaryStation, start: float, step: float, count: int) -> Array:
    """Derived heights above datum (metres) at start + step x (0 .. count - 1); shape (count,)."""
    return _curve(station, start + step * np.arange(count))[0]


def even_secondary_rates(station: SecondaryStation, start: float, step: float, count: int) -> Array:
    """Derived rise (metres a second) at start + step x (0 .. count - 1); shape (count,)."""
    return _curve(station, start + step * np.arange(count))[1]


def passed_on(station: SecondaryStation, t: Array) -> tuple[Array, Array, Array]:
    """How a change of the reference's level arrives at the secondary, each shaped as t (POSIX seconds).

    Returns:
        Times at the reference, how fast these run, and metres here a metre there: by the differences of
        high and of low waters, one giving way smoothly to the other between turns.
    """
    pairing = _pairing(station, float(t.min()), float(t.max()))
    at_reference, pace = pairing.warp.to_reference(t)
    source = station.reference
    height = curve_at(source.constants, source.practice, at_reference)[0] + source.mean_level
    return at_reference, pace, _slope(station, _share_high(pairing, t)[0], height)


def difference_problem(
    station: SecondaryStation, start: float = TRIAL[0], end: float = TRIAL[1]
) -> str | None:
    """What is wrong with the differences in plain words, tried on the tides of a span; None if they fit.

    Wrong are differences that would put a high water below the low water next to it, or after one that
    follows it, where the reference's own tide moves well. Reading a file refuses a station with any.
    """
    waters = _tried(station.reference, start, end)
    if len(waters) < 2:
        return None
    t, height = corrected(station, waters)
    fall = np.abs(np.diff(waters.height))
    large = fall >= SWAP_SHARE * fall.mean()
    late = np.flatnonzero(large & (np.diff(t) <= 0))
    if late.size:
        return _words(waters, int(late[0]), "after")
    crossed = np.flatnonzero(large & (np.diff(height) * np.diff(waters.height) <= 0))
    if crossed.size:
        high_first = bool(waters.high[crossed[0]])
        return _words(waters, int(crossed[0]), "below" if high_first else "above")
    return None


@lru_cache(maxsize=8)
def _tried(reference: Station, start: float, end: float) -> Turns:
    """Turns of a reference for a trial: kept for its next follower, and in the quicker practice."""
    return high_low_waters(replace(reference, practice=NodePractice.YEARLY), start, end).turns


def _words(waters: Turns, index: int, where: str) -> str:
    kind, other = ("high", "low") if waters.high[index] else ("low", "high")
    when = np.datetime64(round(float(waters.t[index]) / MINUTE), "m")
    return (
        f"the differences put the {kind} water of {when} UTC at the reference "
        f"{where} the {other} water that follows it"
    )


def corrected(station: SecondaryStation, waters: Turns) -> tuple[Array, Array]:
    """Times (POSIX seconds) and heights (metres) of the reference's turns at the secondary, in order."""
    kinds = station.high_water, station.low_water
    times = [waters.t + time_difference(kind, waters.t) for kind in kinds]
    heights = [corrected_height(kind, waters.height) for kind in kinds]
    return np.where(waters.high, *times), np.where(waters.high, *heights)


def time_difference(difference: HeightDifference, t: Array) -> Array:
    """Seconds to add to the reference's time t of a high (or low) water: shape of t."""
    out = np.full(t.shape, difference.seconds)
    if difference.seconds_by_hour is not None:
        out += _by_hour(difference.seconds_by_hour, t)
    return out


def corrected_height(difference: HeightDifference, height: Array) -> Array:
    """The reference's height (metres above datum) as a turn of that kind at the secondary."""
    out = height * difference.factor
    if difference.factor_by_height is not None:
        out = out * _by_height(difference.factor_by_height, height)
    if difference.offset_by_height is not None:
        out = out + _by_height(difference.offset_by_height, height)
    return out + difference.offset


def _by_hour(pairs: HourPairs, t: Array) -> Array:
    first, second = (HOUR * hour for hour in pairs.hours)
    there = (second - first) % pairs.period
    since = (t + pairs.utc_offset - first) % pairs.period
    return np.asarray(np.interp(since, [0.0, there, pairs.period], [*pairs.seconds, pairs.seconds[0]]))


def _by_height(pairs: HeightPairs, height: Array) -> Array:
    (low, high), (at_low, at_high) = pairs.heights, pairs.values
    return at_low + (height - low) * ((at_high - at_low) / (high - low))


class _Pairing(NamedTuple):
    """Turns of the reference (n of them) with their turns at the secondary, and the secondary's stands."""

    reference: Turns
    turns: Turns
    stands: Array

    @property
    def warp(self) -> Warp:
        return Warp(self.reference.t, self.turns.t)


def _pairing(station: SecondaryStation, start: float, end: float) -> _Pairing:
    """Turns from before the start to after the end, as far as the reference has any near."""
    reach = max(_largest(station.high_water), _largest(station.low_water))
    for margin in SEARCH_MARGINS:
        first, last = math.floor((start - margin - reach) / BLOCK), math.ceil((end + margin + reach) / BLOCK)
        pairing = (_kept if last - first <= MOST_BLOCKS else _paired)(station, first * BLOCK, last * BLOCK)
        turns = pairing.turns
        if len(turns) > 1 and turns.t[0] <= start and turns.t[-1] > end:
            break
    return pairing


def _largest(difference: HeightDifference) -> float:
    pairs = difference.seconds_by_hour
    return abs(difference.seconds) + (max(map(abs, pairs.seconds)) if pairs is not None else 0.0)


def _paired(station: SecondaryStation, start: float, end: float) -> _Pairing:
    waters = high_low_waters(station.reference, start, end)
    source = waters.turns
    t, height = corrected(station, source)
    keep, dropped = _in_order(t, height, source.height)
    reference = Turns(source.t[keep], source.height[keep], source.high[keep])
    turns = Turns(t[keep], height[keep], source.high[keep])
    carried = Warp(reference.t, turns.t).to_secondary(waters.stands)
    swapped = np.sort(t[dropped], axis=1)
    stands = np.concatenate([carried, swapped])
    return _Pairing(reference, turns, stands[np.argsort(stands[:, 0], kind="stable")])


_kept = lru_cache(maxsize=32)(_paired)


def _in_order(t: Array, height: Array, source: Array) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Indices of the turns that stay, and of the pairs dropped (m, 2).

    Where two neighbours would swap, in time or in height, the pair of least range at the reference that
    holds one of them goes, so the outermost heights stay.
    """
    keep = np.arange(len(t))
    dropped: list[tuple[int, int]] = []
    while True:
        rise, source_rise = np.diff(height[keep]), np.diff(source[keep])
        bad = np.flatnonzero((np.diff(t[keep]) <= 0) | (rise * source_rise <= 0))
        if not bad.size:
            return keep, np.array(dropped, dtype=np.intp).reshape(-1, 2)
        near = np.arange(max(bad[0] - 1, 0), min(bad[0] + 2, len(source_rise)))
        i = int(near[np.abs(source_rise[near]).argmin()])
        dropped.append((int(keep[i]), int(keep[i + 1])))
        keep = np.delete(keep, [i, i + 1])


def _curve(station: SecondaryStation, t: ArrayLike) -> tuple[Array, Array]:
    """Levels and rates at the secondary, each shaped as t."""
    times = np.asarray(t, dtype=float)
    flat = times.reshape(-1)
    if not flat.size:
        return np.empty(times.shape), np.empty(times.shape)
    if not np.isfinite(flat).all():
        raise ValueError("times must be finite POSIX seconds")
    pairing = _pairing(station, float(flat.min()), float(flat.max()))
    source = station.reference
    at_reference, pace = pairing.warp.to_reference(flat)
    height, rate = curve_at(source.constants, source.practice, at_reference)
    height += source.mean_level
    level, gain = _stretched(station, pairing, flat, height)
    loose = np.isnan(gain)
    if loose.any():
        level[loose], rate[loose] = _blended(station, pairing, flat[loose], height[loose], rate[loose])
    return level.reshape(times.shape), (rate * np.where(loose, 1.0, gain) * pace).reshape(times.shape)


def _stretched(station: SecondaryStation, pairing: _Pairing, t: Array, height: Array) -> tuple[Array, Array]:
    """Levels with both turns around t where they belong, and metres here a metre there.

    NaN outside the turns known and where a yearly reset steps the reference between two of them.
    """
    known, turns = pairing.reference, pairing.turns
    if len(turns) < 2:
        return np.full(t.shape, np.nan), np.full(t.shape, np.nan)
    gains = np.diff(turns.height) / np.diff(known.height)
    gains[resets_between(station.reference.practice, known.t)] = np.nan
    index = pairing.warp.interval(t)
    inside = np.clip(index, 0, len(gains) - 1)
    gain = np.where((index >= 0) & (index < len(gains)), gains[inside], np.nan)
    level = turns.height[inside] + (height - known.height[inside]) * gain
    lowest = np.minimum(turns.height[:-1], turns.height[1:])[inside]
    highest = np.maximum(turns.height[:-1], turns.height[1:])[inside]
    return np.clip(level, lowest, highest), gain


def _blended(
    station: SecondaryStation, pairing: _Pairing, t: Array, height: Array, rate: Array
) -> tuple[Array, Array]:
    """Levels and rates by both kinds' differences, one giving way smoothly to the other between turns.

    Used where turns of the reference do not enclose its curve. The rate is per second of the reference.
    """
    share_high, change = _share_high(pairing, t)
    high, low = (corrected_height(kind, height) for kind in (station.high_water, station.low_water))
    slope = _slope(station, share_high, height)
    return share_high * high + (1.0 - share_high) * low, rate * slope + change * (high - low)


def _share_high(pairing: _Pairing, t: Array) -> tuple[Array, Array]:
    """How far the differences of high waters count at t, and the change of that a second of the reference."""
    turns, known = pairing.turns, pairing.reference
    if not len(turns):
        return np.full(t.shape, 0.5), np.zeros(t.shape)
    index = pairing.warp.interval(t)
    before = np.clip(index, 0, None)
    after = np.clip(index + 1, None, len(turns) - 1)
    width = np.maximum(turns.t[after] - turns.t[before], 1.0)
    x = np.clip((t - turns.t[before]) / width, 0.0, 1.0)
    first, second = (turns.high[i].astype(float) for i in (before, after))
    spread = np.maximum(known.t[after] - known.t[before], 1.0)
    share_high = first + (second - first) * x * x * (3.0 - 2.0 * x)
    return share_high, (second - first) * 6.0 * x * (1.0 - x) / spread


def _slope(station: SecondaryStation, share_high: Array, height: Array) -> Array:
    """Metres at the secondary a metre of the reference."""
    high, low = (
        corrected_height(kind, height + 0.5) - corrected_height(kind, height - 0.5)
        for kind in (station.high_water, station.low_water)
    )
    return np.asarray(share_high * high + (1.0 - share_high) * low)
