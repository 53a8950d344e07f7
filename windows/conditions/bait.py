"""When to gather bait: from a bank that bares around low water by day, or on the night ebb.

Fiddler crabs feed on the bared bank about low water and burrow as it floods, at night and in the cold: low
water two hours either way, in daylight, ending before the bank floods again; worms are dug at the same time,
warm or cold; shrimp run on the night ebb (common practice). Pure functions on arrays; times are POSIX
seconds, levels metres above datum.
"""

from enum import StrEnum, unique
from typing import NamedTuple

import numpy as np

from harmonics.arrays import Array
from harmonics.sums.search import linear_crossings, sign_changes

REACH = 2 * 3600.0
"""Seconds either side of low water (common practice)."""
LEAST_STAY = 15 * 60.0
"""Seconds: less is not worth the walk (common practice)."""
KEEPS = 36 * 3600.0
"""Seconds that crabs keep in damp weed or a bucket, worms in cool weed, shrimp in aerated water: overnight
and through the next day's ebb (common practice). On a diurnal coast low water comes half a day to a day
before the ebb begins."""


@unique
class BankState(StrEnum):
    """What the tide does to a bank over a span."""

    BARES = "bares and floods"
    NEVER_BARES = "never bares"
    ABOVE_HIGH_WATER = "lies above high water"
    NEED_NOT_BARE = "need not be bare"


@unique
class Limit(StrEnum):
    """What opens or closes a gathering window."""

    BANK_BARES = "the bank bares"
    BANK_FLOODS = "the bank floods"
    LOW_WATER = "two hours from low water"
    DAYLIGHT = "daylight"
    EBB = "the ebb"
    NIGHT = "darkness"
    SPAN = "the forecast's edge"


class GatheringWindow(NamedTuple):
    """A time to gather bait.

    Attributes:
        start, end: POSIX seconds.
        low_water: the low water it belongs to; of the night ebb, the one that ends it.
        opened_by, closed_by: what limits it.
    """

    start: float
    end: float
    low_water: float
    opened_by: Limit
    closed_by: Limit


Edge = tuple[float, Limit]
Spell = tuple[Edge, Edge]
"""A stretch of time by its edges, and what each of them is."""


def bank_state(level: Array, bank_level: float) -> BankState:
    """What the tide does to the bank over a span; give it a year, for a neap week says little.

    An infinite level is that of a place that need not be bare.
    """
    if bank_level == np.inf:
        return BankState.NEED_NOT_BARE
    if not (level < bank_level).any():
        return BankState.NEVER_BARES
    return BankState.BARES if (level >= bank_level).any() else BankState.ABOVE_HIGH_WATER


def gathering_windows(
    t: Array,
    level: Array,
    low_waters: Array,
    daylight: Array,
    bank_level: float,
    reach: float = REACH,
    least_stay: float = LEAST_STAY,
) -> tuple[GatheringWindow, ...]:
    """Stretches of a bared bank about low water by day, in time order.

    Args:
        t: rising times, shape (n,).
        level: at those times, straight between them.
        low_waters: times of low water, shape (m,).
        daylight: starts and ends of daylight, shape (d, 2), in time order.
        bank_level: the bank is bare while the level is below it.
        reach: seconds either side of low water.
        least_stay: shorter stretches are left out, seconds.

    Raises:
        ValueError: times and levels do not match.
    """
    bare = _bare_spells(t, level, bank_level)
    days: list[Spell] = [((dawn, Limit.DAYLIGHT), (dusk, Limit.DAYLIGHT)) for dawn, dusk in daylight.tolist()]
    found: list[GatheringWindow] = []
    for low in low_waters.tolist():
        near: Spell = (low - reach, Limit.LOW_WATER), (low + reach, Limit.LOW_WATER)
        for spell in bare:
            if spell[0][0] <= low <= spell[1][0]:
                found += _windows(low, [spell, near], days, least_stay)
    return tuple(sorted(found, key=lambda window: (window.start, window.low_water)))


def night_ebb_windows(
    start: float,
    end: float,
    high_waters: Array,
    low_waters: Array,
    daylight: Array,
    least_stay: float = LEAST_STAY,
) -> tuple[GatheringWindow, ...]:
    """Times to catch what runs out with the ebb in the dark, in time order.

    Args:
        start, end: of the span.
        high_waters, low_waters: their times in the span, sorted.
        daylight: starts and ends of daylight, shape (d, 2), in time order.
        least_stay: shorter stretches are left out, seconds.
    """
    edges: list[Edge] = [(start, Limit.SPAN)]
    for dawn, dusk in daylight.tolist():
        edges += [(dawn, Limit.NIGHT), (dusk, Limit.NIGHT)]
    edges.append((end, Limit.SPAN))
    nights = list(zip(edges[::2], edges[1::2], strict=True))
    found: list[GatheringWindow] = []
    for low in low_waters.tolist():
        before = high_waters[high_waters < low]
        high = (float(before[-1]), Limit.EBB) if before.size else (start, Limit.SPAN)
        found += _windows(low, [(high, (low, Limit.EBB))], nights, least_stay)
    return tuple(sorted(found, key=lambda window: (window.start, window.low_water)))


def _windows(low: float, spells: list[Spell], light: list[Spell], least_stay: float) -> list[GatheringWindow]:
    """Where all spells and one of the stretches of light overlap for long enough."""
    found: list[GatheringWindow] = []
    for stretch in light:
        start = max((spell[0] for spell in (*spells, stretch)), key=lambda edge: edge[0])
        end = min((spell[1] for spell in (*spells, stretch)), key=lambda edge: edge[0])
        if end[0] - start[0] >= least_stay:
            found.append(GatheringWindow(start[0], end[0], low, start[1], end[1]))
    return found


def _bare_spells(t: Array, level: Array, bank_level: float) -> list[Spell]:
    """Starts and ends of the stretches below the bank's level, and what each of them is."""
    if t.shape != level.shape or t.ndim != 1:
        raise ValueError(f"times and levels must match, not {t.shape} and {level.shape}")
    bare = level < bank_level
    change = sign_changes(level - bank_level)
    times = linear_crossings(t, level, change, bank_level)
    starts: list[Edge] = [(float(x), Limit.BANK_BARES) for x in times[~bare[change]]]
    ends: list[Edge] = [(float(x), Limit.BANK_FLOODS) for x in times[bare[change]]]
    if len(bare) and bare[0]:
        starts.insert(0, (float(t[0]), Limit.SPAN))
    if len(bare) and bare[-1]:
        ends.append((float(t[-1]), Limit.SPAN))
    return list(zip(starts, ends, strict=True))


def gathering_before(
    windows: tuple[GatheringWindow, ...], start: float, on_the_way: float = 0.0, keeps: float = KEEPS
) -> GatheringWindow | None:
    """The last gathering window over before fishing starts, bait still fresh; None where there is none.

    Args:
        windows: in time order.
        start: when fishing starts.
        on_the_way: seconds from the bank to the spot.
        keeps: seconds that bait keeps.
    """
    fit = [window for window in windows if start - keeps <= window.end <= start - on_the_way]
    return max(fit, key=lambda window: window.end, default=None)
