"""The weather of a session: the roughest of what is known of it."""

from typing import TYPE_CHECKING

import numpy as np

from harmonics.arrays import Array
from windows.conditions.scoring import ScoreCurve
from windows.shoreline.spots import Spot

if TYPE_CHECKING:
    from windows.forecast.foreseen import SessionWeather


def session_weather(spot: Spot, curve: ScoreCurve, start: float, end: float) -> "SessionWeather | None":
    """The weather over a stretch of a spot's curve; None where nothing of it is known."""
    if curve.weather is None:
        return None
    from windows.forecast.foreseen import SessionWeather

    steps = slice(*np.searchsorted(curve.t, [start, np.nextafter(end, np.inf)]))
    found = curve.weather.steps(steps)
    known = np.isfinite(found.wind)
    worst = int(np.nanargmax(found.wind)) if known.any() else None
    chop = found.chop
    against = spot.ebb_sets is not None and bool(
        (found.against(spot.ebb_sets) & (curve.outgoing[steps] > 0)).any()
    )
    told = SessionWeather(
        wind=None if worst is None else float(found.wind[worst]),
        wind_from=None if worst is None else _known(found.wind_from[worst : worst + 1]),
        gust=_known(found.gust),
        chop=None if chop is None or worst is None else _range(chop.low, chop.high),
        against_ebb=against,
        thunder=_known(found.thunder),
        air=_middle(found.air),
        water=_middle(found.water),
        whole=bool(known.all()),
    )
    values = (told.wind, told.gust, told.thunder, told.air, told.water)
    return None if all(value is None for value in values) else told


def _known(values: Array) -> float | None:
    """The greatest that is known."""
    return float(np.nanmax(values)) if np.isfinite(values).any() else None


def _middle(values: Array) -> float | None:
    return float(np.nanmean(values)) if np.isfinite(values).any() else None


def _range(low: Array, high: Array) -> tuple[float, float] | None:
    if not np.isfinite(high).any():
        return None
    worst = int(np.nanargmax(high))
    return float(low[worst]), float(high[worst])
