"""The forecast of a trip's hours, frozen: points by factor as the file gives them when it is asked."""

from importlib.metadata import PackageNotFoundError, version

import numpy as np

from harmonics.arrays import Array
from harmonics.errors import EbblightError
from windows.astronomy import Body, Sky, SkyEventKind, SkyRangeError
from windows.conditions.flow_models import flow_of
from windows.conditions.scoring import Conditions, MoonTimes, ScoreCurve
from windows.log.trips import FactorPoints, FrozenForecast, Made
from windows.shoreline.spots import LightPreference, Spot

STEP = 300.0
MARGIN = 2 * 86400.0
"""Moon events a day off still have their period inside."""
FACTORS = ("flow", "light", "moon")
DISTRIBUTION = "ebblight"


def freeze(spot: Spot, start: float, end: float, now: float, made: Made) -> FrozenForecast:
    """The mean points of a spot over a trip's hours, by factor.

    The hours one likes to fish do not count: one was there. What shuts the spot's water does.

    Args:
        spot: as the file has it now.
        start, end: of the trip, POSIX seconds.
        now: the clock.
        made: how the forecast came to be made.

    Raises:
        EbblightError: the trip lies beyond the ephemeris of sun and moon.
    """
    curve = _curve(spot, start, end)
    points = spot.preferences.points
    any_light = spot.preferences.light is LightPreference.ANY
    most = {
        "flow": points.flow + (points.light if any_light else 0.0),
        "light": 0.0 if any_light else points.light,
        "moon": points.moon,
    }
    factors = tuple(
        FactorPoints(name, _mean(share), most[name])
        for name, share in zip(FACTORS, curve.points, strict=True)
    )
    total = sum(item.points for item in factors)
    return FrozenForecast(total, factors, _version(), float(round(now)), made)


def _curve(spot: Spot, start: float, end: float) -> ScoreCurve:
    """The score over a trip, its ends among the times."""
    try:
        sky = Sky(start - MARGIN, end + MARGIN)
    except SkyRangeError as error:
        raise EbblightError(f"no forecast of that trip: {error}") from None
    (events,) = sky.events([spot.latitude], [spot.longitude])
    moon = [event for event in events if event.body is Body.MOON]
    transits = {SkyEventKind.UPPER_TRANSIT, SkyEventKind.LOWER_TRANSIT}
    horizons = {SkyEventKind.RISE, SkyEventKind.SET}
    moon_times = MoonTimes(
        np.array([event.t for event in moon if event.kind in transits]),
        np.array([event.t for event in moon if event.kind in horizons]),
    )
    flow = flow_of(spot, start - MARGIN, end + MARGIN)
    count = max(2, int(np.ceil((end - start) / STEP)) + 1)
    return Conditions(spot, flow, sky, moon_times, spot.gates).at(np.linspace(start, end, count))


def _mean(values: Array) -> float:
    """The mean over even steps, their ends counting half."""
    return float((0.5 * (values[1:] + values[:-1])).mean())


def _version() -> str:
    try:
        return version(DISTRIBUTION)
    except PackageNotFoundError:
        return ""
