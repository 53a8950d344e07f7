"""A log told in numbers: rates by bands of points, the verdict, and how many trips one would take."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from windows.log.counts import Counts, Indices, Rate, counts_of, dispersion_of, frozen, rate_of
from windows.log.extra import extra_needed
from windows.log.power import USUAL_MEAN, USUAL_SIZE, Need, needs
from windows.log.regression import CatchRatio, catch_ratio
from windows.log.trips import Trip
from windows.log.verdict import PERMUTATIONS, PermutationTest, Verdict, permutation_test, verdict_of

BANDS = 3
LEAST_A_BAND = 2
"""Trips below which there is one band, not three."""
TELLING = 10
"""Trips from which a log's own catches are taken for what a verdict would need."""


@dataclass(frozen=True, slots=True)
class Band:
    """Trips of neighbouring points, and what they caught."""

    low: float
    high: float
    rate: Rate


@dataclass(frozen=True)
class LogReport:
    """A log told in numbers.

    Attributes:
        species: whose fish are counted; None for all.
        trips: in the log, of those asked for.
        planned, without_forecast, hindsight: of these, how many are only planned, have no forecast, or have
            one made later; hindsight is counted in where asked.
        with_later: whether hindsight is counted in.
        counts: the trips that the rest is told of.
        bands: by points, lowest first; empty where there is no trip.
        all: what they caught together.
        verdict: what they allow to be said.
        test: how often chance does as well; None where it was not asked for or there is nothing to test.
        ratio: the catch ratio; None as for the test, or where the trips do not tell one.
        needs: trips that a verdict would take.
        own_catches: whether these rest on the log's own catches.
        shores: titles of the files that trips come from.
    """

    species: str | None
    trips: int
    planned: int
    without_forecast: int
    hindsight: int
    with_later: bool
    counts: Counts
    bands: tuple[Band, ...]
    all: Rate | None
    verdict: Verdict
    test: PermutationTest | None
    ratio: CatchRatio | None
    needs: tuple[Need, ...]
    own_catches: bool
    shores: tuple[str, ...]


def make_report(
    trips: Sequence[Trip],
    species: str | None = None,
    permutations: int = PERMUTATIONS,
    with_later: bool = False,
) -> LogReport:
    """The report of some trips.

    Args:
        trips: those asked for, planned ones too.
        species: whose fish to count; None for all.
        permutations: of the test; 0 leaves test and regression out, and so any verdict.
        with_later: count trips whose forecast was made by hindsight.

    Raises:
        MissingExtraError: the extra `log` is not installed.
    """
    with extra_needed():
        return _report(trips, species, permutations, with_later)


def _report(trips: Sequence[Trip], species: str | None, permutations: int, with_later: bool) -> LogReport:
    fished = [trip for trip in trips if trip.fished]
    told = [trip for trip in fished if trip.forecast is not None]
    kept = frozen(told)
    counts = counts_of(told if with_later else kept, species)
    tested = permutations > 0 and counts.comparable > 0 and bool(counts.caught.any())
    test = permutation_test(counts, permutations) if tested else None
    ratio = catch_ratio(counts) if tested else None
    own = len(counts) >= TELLING and bool(counts.caught.any())
    return LogReport(
        species=species,
        trips=len(trips),
        planned=len(trips) - len(fished),
        without_forecast=len(fished) - len(told),
        hindsight=len(told) - len(kept),
        with_later=with_later,
        counts=counts,
        bands=_bands(counts),
        all=_all(counts),
        verdict=verdict_of(counts, test),
        test=test,
        ratio=ratio,
        needs=_needs(counts, ratio) if own else needs(),
        own_catches=own,
        shores=tuple(sorted({trip.shore for trip in trips})),
    )


def _groups(counts: Counts) -> list[Indices]:
    """Indices of the trips of each band: thirds by rank of points, equal points together."""
    if len(counts) < BANDS * LEAST_A_BAND:
        return [np.arange(len(counts))] if len(counts) else []
    edges = np.quantile(counts.points, np.arange(1, BANDS) / BANDS)
    band = np.searchsorted(edges, counts.points, side="left")
    return [found for number in range(BANDS) if len(found := np.flatnonzero(band == number))]


def _bands(counts: Counts) -> tuple[Band, ...]:
    groups = _groups(counts)
    spread = dispersion_of(counts.caught, counts.effort, groups)
    return tuple(
        Band(
            float(counts.points[group].min()),
            float(counts.points[group].max()),
            rate_of(counts.caught[group], counts.effort[group], spread),
        )
        for group in groups
    )


def _all(counts: Counts) -> Rate | None:
    if not len(counts):
        return None
    spread = dispersion_of(counts.caught, counts.effort, [np.arange(len(counts))])
    return rate_of(counts.caught, counts.effort, spread)


def _needs(counts: Counts, ratio: CatchRatio | None) -> tuple[Need, ...]:
    """From the mean catch of the worse half and the spread of catches that the log itself shows."""
    half = counts.points <= np.median(counts.points)
    mean = float(counts.caught[half].mean()) or float(counts.caught.mean()) / 2.0
    size = USUAL_SIZE if ratio is None else ratio.size
    return needs(mean or USUAL_MEAN, size, counts.strata)
