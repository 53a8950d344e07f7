"""What the statistics count: finished trips with a forecast, as arrays, and rates with their intervals."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from harmonics.arrays import Array
from windows.log.trips import Made, Trip

Indices = NDArray[np.int64]
LEVEL = 0.95


@dataclass(frozen=True, eq=False)
class Counts:
    """Trips side by side; arrays of shape (n,).

    Attributes:
        trips: in the order of the arrays.
        points: of the frozen forecasts.
        caught: fish, as floats.
        effort: angler-hours.
        stratum: number of the spot and calendar month a trip belongs to, 0 .. strata - 1.
    """

    trips: tuple[Trip, ...]
    points: Array
    caught: Array
    effort: Array
    stratum: Indices

    def __len__(self) -> int:
        return len(self.trips)

    @property
    def strata(self) -> int:
        """How many spots x months there are."""
        return int(self.stratum.max()) + 1 if len(self) else 0

    @property
    def comparable(self) -> int:
        """Trips that share spot and month with another one of other points."""
        firsts = {int(s): self.points[self.stratum == s] for s in np.unique(self.stratum)}
        return sum(len(points) for points in firsts.values() if len(set(points.tolist())) > 1)


def counts_of(trips: Iterable[Trip], species: str | None = None) -> Counts:
    """Trips that were fished and have a forecast, with the fish of one species or of all."""
    kept = tuple(trip for trip in trips if trip.fished and trip.forecast is not None)
    places = [(trip.shore, trip.spot, _month(trip)) for trip in kept]
    numbers = {place: number for number, place in enumerate(sorted(set(places)))}
    return Counts(
        kept,
        np.array([trip.forecast.points for trip in kept if trip.forecast is not None], dtype=float),
        np.array([trip.caught(species) for trip in kept], dtype=float),
        np.array([trip.angler_hours for trip in kept], dtype=float),
        np.array([numbers[place] for place in places], dtype=np.int64),
    )


def _month(trip: Trip) -> int:
    return datetime.fromtimestamp(trip.start, UTC).astimezone(ZoneInfo(trip.zone)).month


def frozen(trips: Iterable[Trip]) -> list[Trip]:
    """Trips whose forecast is older than what they taught: made before them, or with their entry."""
    return [trip for trip in trips if trip.forecast is None or trip.forecast.made is not Made.LATER]


@dataclass(frozen=True, slots=True)
class Rate:
    """Fish an angler-hour.

    Attributes:
        trips, blank: how many trips, and how many of them without a fish.
        effort: angler-hours.
        caught: fish.
        rate: fish an angler-hour.
        low, high: 95 % interval of it.
    """

    trips: int
    blank: int
    effort: float
    caught: int
    rate: float
    low: float
    high: float


def rate_of(caught: Array, effort: Array, dispersion: float) -> Rate:
    """The rate of some trips, at least one.

    The interval is Garwood's of a Poisson count (Biometrika 28 (1936) 437), its scale widened by the
    dispersion, for fish come in schools.
    """
    from scipy.special import gammaincinv

    total, hours = float(caught.sum()), float(effort.sum())
    tail = (1.0 - LEVEL) / 2.0
    count, scale = total / dispersion, dispersion / hours
    low = float(gammaincinv(count, tail)) * scale if count > 0 else 0.0
    high = float(gammaincinv(count + 1.0, 1.0 - tail)) * scale
    return Rate(len(caught), int((caught == 0).sum()), hours, round(total), total / hours, low, high)


def dispersion_of(caught: Array, effort: Array, groups: Sequence[Indices]) -> float:
    """Pearson's dispersion of counts about their groups' own rates, never below 1 (that of Poisson).

    Args:
        caught, effort: of all trips, shape (n,).
        groups: indices of each group's trips.
    """
    squares, spare = 0.0, 0
    for group in groups:
        total = caught[group].sum()
        if total > 0:
            expected = effort[group] * total / effort[group].sum()
            squares += float(((caught[group] - expected) ** 2 / expected).sum())
            spare += len(group) - 1
    return max(1.0, squares / spare) if spare else 1.0
