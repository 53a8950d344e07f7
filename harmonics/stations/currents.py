"""Slacks, floods and ebbs, and the speed of current stations of every kind at any time.

Speeds are metres a second along the flood axis, flood positive, mean flow included; times POSIX seconds.
Secondary stations follow the tables' practice: four time differences and two speed ratios on the
reference's total current.
"""

from dataclasses import replace
from enum import StrEnum, unique
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array
from harmonics.stations.components import along_flood, set_and_drift
from harmonics.stations.prediction import currents, even_currents
from harmonics.stations.types import (
    AnyCurrentStation,
    CurrentDifferences,
    CurrentStation,
    SecondaryCurrentStation,
    TwoComponentStation,
)
from harmonics.stations.warps import TRIAL, Warp, curve_at
from harmonics.sums.extremes import STAND_MARGIN, Sum, extremes, outermost, without_stands, zeros_between
from harmonics.sums.waves import NodePractice
from harmonics.units import DAY, MINUTE

LEAST_CHANGE = 0.005
"""Neighbouring maxima and minima closer than 0.005 m/s (0.01 kn, the last printed digit) are one."""
SEARCH_MARGINS = (2 * DAY, 40 * DAY)
"""An event is needed on either side of a span: two days nearly always have one, forty the longest pause of
a diurnal current around the moon's crossing of the equator."""
SWAP_SHARE = 0.25
"""Differences may swap a slack with a flood or ebb that hardly runs. Swapping one of this share of the mean
strength means that the differences are wrong."""


@unique
class CurrentKind(StrEnum):
    """What a current does at an event; a minimum flood (or ebb) is a lull without slack between two."""

    SLACK_BEFORE_FLOOD = "slack_before_flood"
    FLOOD = "flood"
    MINIMUM_FLOOD = "minimum_flood"
    SLACK_BEFORE_EBB = "slack_before_ebb"
    EBB = "ebb"
    MINIMUM_EBB = "minimum_ebb"

    @property
    def is_slack(self) -> bool:
        """Whether the current turns here."""
        return self in {CurrentKind.SLACK_BEFORE_FLOOD, CurrentKind.SLACK_BEFORE_EBB}


class CurrentEvents(NamedTuple):
    """Slacks, maxima and minima of a current, in time order.

    Attributes:
        t: POSIX seconds, shape (n,).
        speed: metres a second along the flood axis, flood positive, 0 at slack, shape (n,).
        kind: one a time.
        direction: degrees true, the set; NaN at slack, shape (n,).
    """

    t: Array
    speed: Array
    kind: tuple[CurrentKind, ...]
    direction: Array

    def between(self, start: float, end: float) -> "CurrentEvents":
        """Those with start <= t < end."""
        first, last = np.searchsorted(self.t, [start, end])
        part = slice(first, last)
        return CurrentEvents(self.t[part], self.speed[part], self.kind[part], self.direction[part])

    def __len__(self) -> int:
        return len(self.t)


def current_events(station: AnyCurrentStation, start: float, end: float) -> CurrentEvents:
    """Slacks, floods and ebbs with start <= t < end.

    A weak current that never turns keeps its lull as a minimum flood or ebb. Two components are counted
    along the flood direction, with the true set as direction of each maximum.
    """
    if isinstance(station, CurrentStation):
        return _harmonic_events(station, start, end)
    if isinstance(station, SecondaryCurrentStation):
        return _paired(station, start, end).events.between(start, end)
    events = _harmonic_events(along_flood(station), start, end)
    direction = np.where(np.isnan(events.direction), np.nan, set_and_drift(station, events.t)[0])
    return CurrentEvents(events.t, events.speed, events.kind, direction)


def currents_at(station: AnyCurrentStation, t: ArrayLike) -> Array:
    """Speed along the flood axis at times t, flood positive; shaped as t.

    Raises:
        ValueError: a time is not finite.
    """
    if isinstance(station, CurrentStation):
        return currents(station, t)
    if isinstance(station, TwoComponentStation):
        return currents(along_flood(station), t)
    times: Array = np.asarray(t, dtype=np.float64)
    flat = times.reshape(-1)
    if not np.isfinite(flat).all():
        raise ValueError("times must be finite POSIX seconds")
    return np.asarray(_secondary_speeds(station, flat)).reshape(times.shape)


def even_currents_of(station: AnyCurrentStation, start: float, step: float, count: int) -> Array:
    """Speed along the flood axis at start + step x (0 .. count - 1); shape (count,)."""
    if isinstance(station, CurrentStation):
        return even_currents(station, start, step, count)
    if isinstance(station, TwoComponentStation):
        return even_currents(along_flood(station), start, step, count)
    return _secondary_speeds(station, start + step * np.arange(count, dtype=float))


def slack_duration(maximum: ArrayLike, slack_to_slack: ArrayLike, below: ArrayLike) -> Array:
    """Seconds around a slack during which the current stays under a speed; by the sine.

    2 D / pi asin(v / V) for a current V sin(pi t / D) between slacks D apart, with floods and ebbs alike.
    Source: the relation behind Table 4 of the US Tidal Current Tables (from memory). All of it where the
    maximum never passes the speed.

    Args:
        maximum: greatest speed between the slacks, metres a second, 0 or more.
        slack_to_slack: D, seconds.
        below: the speed, metres a second, 0 or more.
    """
    strongest, limit = np.broadcast_arrays(np.asarray(maximum, float), np.asarray(below, float))
    share = np.divide(limit, strongest, out=np.ones(limit.shape), where=strongest > limit)
    return np.asarray(2.0 * np.asarray(slack_to_slack, float) / np.pi * np.arcsin(share))


def current_difference_problem(
    station: SecondaryCurrentStation, start: float = TRIAL[0], end: float = TRIAL[1]
) -> str | None:
    """What is wrong with the time differences in plain words, tried over a span; None if they fit.

    Wrong are differences that would put an event after the one that follows it, where a flood or ebb of
    some strength is one of the two. Reading a file refuses a station with any.
    """
    events = _tried(station.reference, start, end)
    strength = np.abs(events.speed)
    if len(events) < 2 or not strength.any():
        return None
    strong = np.maximum(strength[1:], strength[:-1]) >= SWAP_SHARE * strength[strength > 0].mean()
    swapped = np.flatnonzero(strong & (np.diff(_shifted(station.differences, events)) <= 0))
    if not swapped.size:
        return None
    i = int(swapped[0])
    when = np.datetime64(round(float(events.t[i]) / MINUTE), "m")
    first, second = (kind.value.replace("_", " ") for kind in events.kind[i : i + 2])
    return (
        f"the differences put the {first} of {when} UTC at the reference after the {second} that follows it"
    )


@lru_cache(maxsize=8)
def _tried(reference: CurrentStation, start: float, end: float) -> CurrentEvents:
    """Events of a reference for a trial: kept for its next follower, and in the quicker practice."""
    return _harmonic_events(replace(reference, practice=NodePractice.YEARLY), start, end)


def _harmonic_events(station: CurrentStation, start: float, end: float) -> CurrentEvents:
    """Events of the harmonic sum, with the set of the flood or ebb."""
    curve = Sum(station.mean_flow, station.constants, station.practice)
    span = start - STAND_MARGIN, end + STAND_MARGIN
    kept, _ = without_stands(extremes(curve, *span), LEAST_CHANGE)
    speed = outermost(kept)
    flood = speed >= 0
    turns = np.flatnonzero(flood[1:] != flood[:-1])
    slack_t = zeros_between(curve, kept.t[turns], kept.t[turns + 1], speed[turns], speed[turns + 1])
    t = np.concatenate([kept.t, slack_t])
    order = np.argsort(t, kind="stable")
    kinds = [_kind(*pair) for pair in zip(flood.tolist(), kept.high.tolist(), strict=True)]
    slacks = CurrentKind.SLACK_BEFORE_EBB, CurrentKind.SLACK_BEFORE_FLOOD
    kinds += [slacks[int(next_is_flood)] for next_is_flood in flood[turns + 1]]
    direction = np.where(flood, station.flood_direction, station.ebb_direction)
    return CurrentEvents(
        t=t[order],
        speed=np.concatenate([speed, np.zeros(len(slack_t))])[order],
        kind=tuple(kinds[i] for i in order),
        direction=np.concatenate([direction, np.full(len(slack_t), np.nan)])[order],
    ).between(start, end)


def _kind(flood: bool, top: bool) -> CurrentKind:
    if flood:
        return CurrentKind.FLOOD if top else CurrentKind.MINIMUM_FLOOD
    return CurrentKind.MINIMUM_EBB if top else CurrentKind.EBB


class _Pairing(NamedTuple):
    warp: Warp
    events: CurrentEvents


def _paired(station: SecondaryCurrentStation, start: float, end: float) -> _Pairing:
    """Events at the secondary from before the start to after the end, as far as there are any near."""
    d = station.differences
    reach = max(abs(x) for x in (d.slack_before_flood, d.flood, d.slack_before_ebb, d.ebb))
    for margin in SEARCH_MARGINS:
        source = _harmonic_events(station.reference, start - margin - reach, end + margin + reach)
        warp = _in_order(source, _shifted(d, source))
        if len(source) and warp.secondary[0] <= start and warp.secondary[-1] > end:
            break
    speed = _scaled(d, source.speed)
    direction = np.where(speed >= 0, station.flood_direction, station.ebb_direction)
    direction = np.where(np.isnan(source.direction), np.nan, direction)
    return _Pairing(warp, CurrentEvents(warp.to_secondary(source.t), speed, source.kind, direction))


def _shifted(differences: CurrentDifferences, events: CurrentEvents) -> Array:
    """The reference's event times with each kind's difference added; a lull takes its flood's or ebb's."""
    seconds = {
        CurrentKind.SLACK_BEFORE_FLOOD: differences.slack_before_flood,
        CurrentKind.FLOOD: differences.flood,
        CurrentKind.MINIMUM_FLOOD: differences.flood,
        CurrentKind.SLACK_BEFORE_EBB: differences.slack_before_ebb,
        CurrentKind.EBB: differences.ebb,
        CurrentKind.MINIMUM_EBB: differences.ebb,
    }
    return np.asarray(events.t + np.array([seconds[kind] for kind in events.kind], dtype=float))


def _scaled(differences: CurrentDifferences, speed: Array) -> Array:
    return np.asarray(speed * np.where(speed >= 0, differences.flood_ratio, differences.ebb_ratio))


def _in_order(events: CurrentEvents, t: Array) -> Warp:
    """The clock through the events whose corrected times keep their order.

    Of two that would swap the weaker is not relied on: it takes its time from its neighbours.
    """
    keep = np.arange(len(t))
    strength = np.abs(events.speed)
    while True:
        bad = np.flatnonzero(np.diff(t[keep]) <= 0)
        if not bad.size:
            return Warp(events.t[keep], t[keep])
        i = int(bad[0])
        keep = np.delete(keep, i if strength[keep[i]] < strength[keep[i + 1]] else i + 1)


def _secondary_speeds(station: SecondaryCurrentStation, t: Array) -> Array:
    """The reference's own curve on the secondary's clock, floods and ebbs each by their ratio."""
    if not len(t):
        return np.empty(0)
    pairing = _paired(station, float(t.min()), float(t.max()))
    source = station.reference
    speed, _ = curve_at(source.constants, source.practice, pairing.warp.to_reference(t)[0])
    return _scaled(station.differences, speed + source.mean_flow)
