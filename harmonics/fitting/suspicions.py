"""What looks wrong in a record once its tide is known: spikes, a stuck gauge, a shifted clock or datum."""

from dataclasses import dataclass
from enum import StrEnum, unique
from itertools import pairwise

import numpy as np

from harmonics.arrays import Array, Flags
from harmonics.fitting.analysis import Analysis, fit
from harmonics.fitting.least_squares import MAD_TO_DEVIATION
from harmonics.fitting.selection import select
from harmonics.stations.datums import TIDAL_DAY
from harmonics.sums.series import sums_at
from harmonics.units import DAY, HOUR

NEIGHBOURS = 5
"""Readings whose median a spike is compared with: itself and two on each side."""
SPIKE_GROUP = 12 * HOUR
"""Spikes no further apart are one finding: a passing wave train makes several."""
SPIKE_SCALES = 10.0
"""A reading this many robust deviations from its neighbours' median is a spike: waves and seiches reach
five or six in real records."""
STUCK_HOURS = 3.0
STUCK_SCALES = 5.0
"""A repeated reading is a stuck gauge where the tide meanwhile moved by this many deviations."""
SHORTEST_SHIFT_DAYS = 5
LEAST_SHIFT = 900.0
"""Quarter of an hour: internal tides alone move a real tide's time by ten minutes for a week."""
LEAN_DAYS = 30.0
WANDER_DAYS = 7
"""A tide's own time wanders with the sea's layering: its variance is taken from days a week apart."""
MEDIAN_SQUARE = 0.455
"""Median of the square of a standard normal variable."""
SHIFT_GAIN = 30.0
"""A break in the clock must explain so many times the variance of one day's time."""
JUMP_SCALES = 8.0
"""Robust deviations of one step's change: weather moves a level in hours, a gauge put back in one step."""
JUMP_STAYS = 3 * DAY
"""A surge has mostly left again after three days ..."""
JUMP_LEFT = 0.6
"""... a shifted datum keeps at least this share of its jump."""
JUMP_GAP = 24
"""Steps: over a longer gap the weather alone may have moved the level as far."""
JUMP_QUIET = 3.0
"""A jump exceeds so many times the next greatest change within a day: a storm has several."""
JUMP_SIDE = 6
"""Readings on either side whose medians tell how large a jump is: fewer feel noise, more the weather."""


@unique
class Suspicion(StrEnum):
    """Kinds of suspicious data."""

    SPIKE = "spike"
    STUCK = "stuck gauge"
    CLOCK = "shifted clock"
    DATUM = "shifted datum"


@dataclass(frozen=True, slots=True)
class Finding:
    """One suspicious stretch of a record.

    Attributes:
        kind: what it looks like.
        start, end: first and last reading concerned, POSIX seconds.
        size: metres a spike stands out (signed), metres the tide moved under a stuck gauge, seconds a clock
            is ahead of the rest of the record (negative: behind), or metres that readings stand too high
            against its longest stretch (negative: too low).
    """

    kind: Suspicion
    start: float
    end: float
    size: float


def suspicions(analysis: Analysis) -> tuple[Finding, ...]:
    """Everything suspicious in the record, in order of time."""
    found = (*spikes(analysis), *stuck(analysis), *shifted_clock(analysis), *shifted_datum(analysis))
    return tuple(sorted(found, key=lambda item: item.start))


def _roughness(analysis: Analysis) -> tuple[Array, float]:
    """Residual less its neighbours' median, shape (n,), and the robust deviation of that."""
    residual = analysis.residual
    half = NEIGHBOURS // 2
    padded = np.pad(residual, half, mode="reflect")
    windows = np.lib.stride_tricks.sliding_window_view(padded, NEIGHBOURS)
    rough = residual - np.median(windows, axis=1)
    typical = float(np.sqrt(np.mean(np.minimum(np.abs(rough), np.quantile(np.abs(rough), 0.9)) ** 2)))
    return rough, max(typical, MAD_TO_DEVIATION * float(np.median(np.abs(rough))))


def stand_out(analysis: Analysis) -> Flags:
    """Which readings stand out from those around them, shape (n,)."""
    rough, scale = _roughness(analysis)
    return np.asarray(np.abs(rough) > max(SPIKE_SCALES * scale, 2.0 * _resolution(analysis.level)))


def spikes(analysis: Analysis) -> tuple[Finding, ...]:
    """Readings, one or two together, that stand out from those around them: faults, or a tsunami's train."""
    rough, _ = _roughness(analysis)
    index = np.flatnonzero(stand_out(analysis))
    groups = np.split(index, np.flatnonzero(np.diff(analysis.t[index]) > SPIKE_GROUP) + 1)
    return tuple(
        Finding(
            Suspicion.SPIKE,
            float(analysis.t[group[0]]),
            float(analysis.t[group[-1]]),
            float(rough[group[np.argmax(np.abs(rough[group]))]]),
        )
        for group in groups
        if len(group)
    )


def _resolution(level: Array) -> float:
    """Least difference between two readings, metres; 0 where all are the same."""
    gaps = np.diff(np.unique(level))
    return float(gaps[gaps > 1e-9].min()) if (gaps > 1e-9).any() else 0.0


def stuck(analysis: Analysis) -> tuple[Finding, ...]:
    """Stretches of one repeated reading under which the tide moved."""
    level, t = analysis.level, analysis.t
    tide = level - analysis.residual
    _, scale = _roughness(analysis)
    least = max(STUCK_SCALES * scale, 3.0 * _resolution(level))
    edges = np.flatnonzero(np.diff(level) != 0)
    firsts = np.concatenate(([0], edges + 1))
    lasts = np.concatenate((edges, [len(level) - 1]))
    long = (t[lasts] - t[firsts] >= STUCK_HOURS * HOUR) & (lasts - firsts >= 3)
    found = []
    for first, last in zip(firsts[long], lasts[long], strict=True):
        moved = float(np.ptp(tide[first : last + 1]))
        if moved > least:
            found.append(Finding(Suspicion.STUCK, float(t[first]), float(t[last]), moved))
    return tuple(found)


def shifted_clock(analysis: Analysis) -> tuple[Finding, ...]:
    """Stretches of days whose tide runs early or late against the longest stretch.

    The record's tide is a compromise between its clocks: once it is broken, the tide of the longest stretch
    alone shows how far the others are off.
    """
    days, seconds, weight = _daily_clock(analysis, _lean(analysis, slice(None)))
    if len(days) < 2 * SHORTEST_SHIFT_DAYS:
        return ()
    edges = _edges(seconds, weight)
    first, last = _longest(edges)
    if len(edges) > 2 and days[last - 1] - days[first] >= LEAN_DAYS * DAY:
        inside = slice(*np.searchsorted(analysis.t, [days[first], days[last - 1] + TIDAL_DAY]))
        if not np.ptp(analysis.level[inside]):
            return ()  # a stuck gauge keeps no clock
        days, seconds, weight = _daily_clock(analysis, _lean(analysis, inside))
        edges = _edges(seconds, weight)
        first, last = _longest(edges)
    means = [float(np.average(seconds[a:b], weights=weight[a:b])) for a, b in pairwise(edges)]
    base = means[edges.index(first)]
    return tuple(
        Finding(Suspicion.CLOCK, float(days[a]), float(days[b - 1]) + TIDAL_DAY, mean - base)
        for (a, b), mean in zip(pairwise(edges), means, strict=True)
        if abs(mean - base) >= LEAST_SHIFT
    )


def shifted_datum(analysis: Analysis) -> tuple[Finding, ...]:
    """Stretches whose zero stands off that of the longest: the level jumps in one step and stays.

    How far a stretch stands off is the lesser of what the jumps between add up to and of what the middles
    of both differ by, nothing where these contradict each other: jumps too small to be seen add up as well.
    """
    t, residual = analysis.t, analysis.residual
    jumps = [index for index in _jumps(analysis) if _stays(t, residual, index)]
    if not jumps:
        return ()
    edges = [0, *(index + 1 for index in jumps), len(t)]
    steps = np.array([_jump(residual, index) for index in jumps])
    middles = np.array([np.median(residual[a:b]) for a, b in pairwise(edges)])
    longest = int(np.argmax([t[b - 1] - t[a] for a, b in pairwise(edges)]))
    summed = np.concatenate(([0.0], np.cumsum(steps)))
    summed, apart = summed - summed[longest], middles - middles[longest]
    heights = np.where(summed * apart > 0, np.sign(apart) * np.minimum(np.abs(summed), np.abs(apart)), 0.0)
    return tuple(
        Finding(Suspicion.DATUM, float(t[a]), float(t[b - 1]), float(height))
        for (a, b), height in zip(pairwise(edges), heights, strict=True)
        if abs(height) >= 0.5 * np.abs(steps).min()
    )


def _jumps(analysis: Analysis) -> list[int]:
    """Readings after which the residual jumps, the greatest of those that lie near each other."""
    change = np.abs(np.diff(analysis.residual))
    steps = np.maximum(np.diff(analysis.t) / analysis.step, 1.0)
    scale = MAD_TO_DEVIATION * float(np.median(change))
    limit = np.maximum(JUMP_SCALES * scale * np.sqrt(steps), 3.0 * _resolution(analysis.level))
    index = np.flatnonzero((change > limit) & (steps <= JUMP_GAP))
    groups = np.split(index, np.flatnonzero(np.diff(analysis.t[index]) > JUMP_STAYS) + 1)
    return [int(group[np.argmax(change[group])]) for group in groups if len(group)]


def _jump(residual: Array, index: int) -> float:
    before = residual[max(0, index + 1 - JUMP_SIDE) : index + 1]
    return float(np.median(residual[index + 1 : index + 1 + JUMP_SIDE]) - np.median(before))


def _stays(t: Array, residual: Array, index: int) -> bool:
    """Whether the days after a jump stand off those before it by most of the jump."""
    first, last = np.searchsorted(t, [t[index] - JUMP_STAYS, t[index + 1] + JUMP_STAYS])
    if index + 1 - first < JUMP_SIDE or last - index - 1 < JUMP_SIDE:
        return False
    jump = _jump(residual, index)
    left = float(np.median(residual[index + 1 : last]) - np.median(residual[first : index + 1]))
    one_step = float(residual[index + 1] - residual[index])
    near = np.abs(np.diff(residual[slice(*np.searchsorted(t, [t[index] - DAY, t[index + 1] + DAY]))]))
    quiet = float(np.sort(near)[-2]) * JUMP_QUIET <= abs(one_step)
    return quiet and bool(jump and left / jump >= JUMP_LEFT and one_step / jump >= JUMP_LEFT)


def _longest(edges: list[int]) -> tuple[int, int]:
    return max(pairwise(edges), key=lambda pair: pair[1] - pair[0])


def _edges(seconds: Array, weight: Array) -> list[int]:
    """Where the days fall into stretches of one clock, both ends included."""
    wander = seconds[WANDER_DAYS:] - seconds[:-WANDER_DAYS]
    spread = 0.5 * float(np.median(wander**2)) / MEDIAN_SQUARE
    return [0, *_breaks(seconds, weight / weight.mean(), spread, 0), len(seconds)]


def _lean(analysis: Analysis, inside: slice) -> Analysis:
    """A part of the record fitted with the lines a month tells apart, the rest in the ratios found.

    Lines a few cycles a year apart would take up a shift of some months as if it were tide.
    """
    t, level = analysis.t[inside], analysis.level[inside]
    whole = analysis if len(t) == len(analysis.t) else fit(t, level, practice=analysis.practice)
    lean = select(LEAN_DAYS * DAY, analysis.step, reference=whole.constants())
    return fit(
        t,
        level,
        names=[row.name for row in lean.fitted],
        inferences=lean.inferred,
        practice=analysis.practice,
    )


def _daily_clock(analysis: Analysis, tide: Analysis) -> tuple[Array, Array, Array]:
    """Start of each tidal day, seconds its clock is ahead of a tide, and its weight: shapes (d,).

    A clock ahead by x reads h(t - x). For a tide of one speed w that is h cos wx - h'/w sin wx: the level's
    projections on h and h'/w give the angle wx. Days of little movement weigh little.
    """
    pick = slice(None, None, max(1, round(HOUR / analysis.step)))
    t = analysis.t[pick]
    day = np.floor((t - t[0]) / TIDAL_DAY).astype(int)
    count = np.maximum(np.bincount(day), 1)

    def swing(values: Array) -> Array:
        return np.asarray(values - (np.bincount(day, values) / count)[day])

    height, rate = (swing(sums_at(tide.constants(), tide.practice, t, order=order)) for order in range(2))
    level = swing(analysis.level[pick])
    square = np.bincount(day, height * height).astype(float)
    steep = np.bincount(day, rate * rate).astype(float)
    full = (count >= 0.8 * TIDAL_DAY / (analysis.step * (pick.step or 1))) & (square > 0) & (steep > 0)
    speed = np.sqrt(steep[full] / square[full])
    along = np.bincount(day, level * height)[full]
    across = np.bincount(day, level * rate)[full]
    ahead = np.arctan2(-across / speed, along) / speed
    return t[0] + TIDAL_DAY * np.flatnonzero(full), np.asarray(ahead), steep[full]


def _breaks(seconds: Array, weight: Array, spread: float, first: int) -> list[int]:
    """Days at which the clock jumps: the best split of the days, then of each part."""
    count = len(seconds)
    if count < 2 * SHORTEST_SHIFT_DAYS:
        return []
    left = np.cumsum(weight)[:-1]
    right = weight.sum() - left
    sums = np.cumsum(weight * seconds)
    step = sums[:-1] / left - (sums[-1] - sums[:-1]) / right
    gain = step**2 * left * right / (left + right)
    inner = slice(SHORTEST_SHIFT_DAYS - 1, count - SHORTEST_SHIFT_DAYS)
    if inner.stop <= inner.start:
        return []
    best = inner.start + int(np.argmax(gain[inner]))
    if gain[best] < SHIFT_GAIN * spread or abs(step[best]) < 0.5 * LEAST_SHIFT:
        return []
    at = best + 1
    return [
        *_breaks(seconds[:at], weight[:at], spread, first),
        first + at,
        *_breaks(seconds[at:], weight[at:], spread, first + at),
    ]
