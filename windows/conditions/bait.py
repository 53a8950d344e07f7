"""When to gather bait from a bank that bares around low water by day.

Fiddler crabs feed on the bared bank about low water and burrow as it floods, at night and in the cold: low
water two hours either way, in daylight, ending before the bank floods again (common practice). Pure
functions on arrays; times are POSIX seconds, levels metres above datum.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from harmonics.arrays import Array

REACH = 2 * 3600.0
"""Seconds either side of low water (common practice)."""
LEAST_STAY = 15 * 60.0
"""Seconds: less is not worth the walk (common practice)."""
KEEPS = 36 * 3600.0
"""Seconds that crabs keep in damp weed or a bucket: overnight and through the next day's ebb (common
practice). On a diurnal coast low water comes half a day to a day before the ebb begins."""


class BankState(StrEnum):
    """What the tide does to a bank over a span."""

    BARES = "bares and floods"
    NEVER_BARES = "never bares"
    ABOVE_HIGH_WATER = "lies above high water"


class Limit(StrEnum):
    """What opens or closes a gathering window."""

    BANK_BARES = "the bank bares"
    BANK_FLOODS = "the bank floods"
    LOW_WATER = "two hours from low water"
    DAYLIGHT = "daylight"
    SPAN = "the forecast's edge"


@dataclass(frozen=True, slots=True)
class GatheringWindow:
    """A time to gather bait.

    Attributes:
        start, end: POSIX seconds.
        low_water: the low water it belongs to.
        opened_by, closed_by: what limits it.
    """

    start: float
    end: float
    low_water: float
    opened_by: Limit
    closed_by: Limit


def bank_state(level: Array, bank_level: float) -> BankState:
    """What the tide does to the bank over a span; give it a year, for a neap week says little."""
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
    if t.shape != level.shape or t.ndim != 1:
        raise ValueError(f"times and levels must match, not {t.shape} and {level.shape}")
    bare = _bare_spells(t, level, bank_level)
    found: list[GatheringWindow] = []
    for low in low_waters.tolist():
        spells = [spell for spell in bare if spell[0][0] <= low <= spell[1][0]]
        for (opens, opener), (closes, closer) in spells:
            start = max((opens, opener), (low - reach, Limit.LOW_WATER), key=lambda edge: edge[0])
            end = min((closes, closer), (low + reach, Limit.LOW_WATER), key=lambda edge: edge[0])
            for dawn, dusk in daylight.tolist():
                first = max(start, (dawn, Limit.DAYLIGHT), key=lambda edge: edge[0])
                last = min(end, (dusk, Limit.DAYLIGHT), key=lambda edge: edge[0])
                if last[0] - first[0] >= least_stay:
                    found.append(GatheringWindow(first[0], last[0], low, first[1], last[1]))
    return tuple(sorted(found, key=lambda window: (window.start, window.low_water)))


Edge = tuple[float, Limit]


def _bare_spells(t: Array, level: Array, bank_level: float) -> list[tuple[Edge, Edge]]:
    """Starts and ends of the stretches below the bank's level, and what each of them is."""
    bare = level < bank_level
    change = np.flatnonzero(bare[1:] != bare[:-1])
    share = (bank_level - level[change]) / (level[change + 1] - level[change])
    times = t[change] + share * (t[change + 1] - t[change])
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
