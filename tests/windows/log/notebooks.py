"""Logs made up from known laws, so that what is said of them can be held against the truth."""

from dataclasses import dataclass

import numpy as np

from windows.log.trips import Catch, FactorPoints, Fish, FrozenForecast, Made, Trip

MONTH = 30.4375 * 86400.0
FIRST = 1767225600.0
"""2026-01-01 00:00 UTC."""
LOWEST, HIGHEST = 20.0, 95.0
WORSE, BETTER = 35.0, 75.0
MEAN = 2.0
"""Fish a trip of the worse half."""


@dataclass(frozen=True)
class World:
    """The law that a log comes from.

    Attributes:
        ratio: of mean catches between the better and the worse half of trips; 1 where points mean nothing.
        two_groups: points are of two kinds and the catch follows the kind, else it grows with the points.
        spots, months: among which trips are strewn.
        places: standard deviation of the logarithm of what spots and months do to the catch.
        drawn: how strongly good spots and months also score well, in points a unit of that logarithm.
        efforts: standard deviation of the logarithm of angler-hours.
        size: k of the negative binomial.
    """

    ratio: float = 1.0
    two_groups: bool = False
    spots: int = 3
    months: int = 6
    places: float = 0.5
    drawn: float = 0.0
    efforts: float = 0.4
    size: float = 1.0


def notebook(world: World, trips: int, rng: np.random.Generator, made: Made = Made.LOGGED) -> list[Trip]:
    """So many trips of a world."""
    spot, month = rng.integers(0, world.spots, trips), rng.integers(0, world.months, trips)
    place = (
        rng.normal(0.0, world.places, world.spots)[spot] + rng.normal(0.0, world.places, world.months)[month]
    )
    better = rng.permutation(np.arange(trips) % 2)
    if world.two_groups:
        share, points = better.astype(float), np.where(better, BETTER, WORSE) + rng.uniform(-5, 5, trips)
    else:
        even = rng.uniform(0.0, 1.0, trips)
        share, points = 2.0 * even - 0.5, LOWEST + (HIGHEST - LOWEST) * even
    effort = np.exp(rng.normal(0.0, world.efforts, trips))
    expected = MEAN * world.ratio**share * np.exp(place) * effort
    caught = rng.negative_binomial(world.size, world.size / (world.size + expected))
    points = np.clip(points + world.drawn * place, 0.0, 100.0)
    start = FIRST + (month + rng.uniform(0.1, 0.9, trips)) * MONTH
    return [
        trip_of(int(n), f"spot{s}", float(t), float(p), int(c), float(e), made)
        for n, (s, t, p, c, e) in enumerate(zip(spot, start, points, caught, effort, strict=True))
    ]


def trip_of(
    number: int,
    spot: str,
    start: float,
    points: float,
    caught: int,
    hours: float = 2.0,
    made: Made = Made.LOGGED,
) -> Trip:
    """A trip of one angler with so many fish, all released."""
    start = float(round(start))
    end = start + max(60.0, float(round(hours * 3600.0)))
    factors = (FactorPoints("flow", points * 0.6, 60.0), FactorPoints("light", points * 0.4, 40.0))
    made_at = start - 3600.0 if made is Made.PLANNED else end + 3600.0
    return Trip(
        uid=f"{number:032x}",
        spot=spot,
        spot_name=spot,
        shore="Made up",
        zone="UTC",
        start=start,
        end=end,
        logged_at=end + 3600.0,
        catches=(Catch("flounder", (Fish(False),) * caught),) if caught else (),
        forecast=FrozenForecast(points, factors, "0.1.0", made_at, made),
    )
