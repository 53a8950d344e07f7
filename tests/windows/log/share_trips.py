"""Trips whose catch follows the factors of the score as told."""

from dataclasses import replace

import numpy as np

from tests.windows.log.notebooks import World, notebook
from windows.log.trips import Catch, FactorPoints, Fish


def share_trips(effects: tuple[float, float, float], count: int, seed: int, luck: int = 0):
    """Trips whose catch follows each factor with an effect of its own."""
    rng = np.random.default_rng(seed)
    most = (60.0, 35.0, 5.0)
    trips = notebook(World(spots=1, months=2, efforts=0.0), count, rng)
    out = []
    for trip in trips:
        share = rng.uniform(0.0, 1.0, 3)
        factors = tuple(
            FactorPoints(name, float(s * m), m)
            for name, s, m in zip(("flow", "light", "moon"), share, most, strict=True)
        )
        expected = 1.5 * np.exp(np.dot(effects, share - 0.5))
        caught = int(rng.negative_binomial(1.0, 1.0 / (1.0 + expected)))
        points = sum(item.points for item in factors)
        catches = (Catch("Flounder", (Fish(False),) * caught),) if caught else ()
        forecast = replace(trip.forecast, points=points, factors=factors)
        out.append(replace(trip, spot="ledge", shore="A shore", forecast=forecast, catches=catches))
    if luck:
        out[0] = replace(out[0], catches=(Catch("Flounder", (Fish(False),) * luck),))
    return out
