"""The forecast of a trip's hours, frozen: points by factor as the file gives them when it is asked."""

from dataclasses import replace
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version
from zoneinfo import ZoneInfo

import numpy as np

from harmonics.arrays import Array
from harmonics.errors import EbblightError
from windows.astronomy import SkyRangeError
from windows.conditions.assembly import STEP, conditions_of
from windows.conditions.outlook import Outlook
from windows.conditions.scoring import ScoreCurve
from windows.conditions.span import Span
from windows.log.trips import FactorPoints, FrozenForecast, Made
from windows.shoreline.hours import ANY_HOURS
from windows.shoreline.spots import WEEKDAYS, Factor, LightPreference, Spot

LONG_AGO = 0.0
"""A clock that shuts no hour as past."""
DISTRIBUTION = "ebblight"


def freeze(spot: Spot, start: float, end: float, now: float, made: Made) -> FrozenForecast:
    """The mean points of a spot over a trip's hours, by factor.

    The hours and days one likes to fish do not count: one was there. What shuts the spot's water does.

    Args:
        spot: as the file has it now.
        start, end: of the trip, POSIX seconds.
        now: the clock.
        made: how the forecast came to be made.

    Raises:
        EbblightError: the trip lies beyond the ephemeris of sun and moon.
    """
    points = spot.preferences.points
    most = {factor: points[factor] for factor in Factor}
    if spot.preferences.light is LightPreference.ANY:
        most[Factor.FLOW], most[Factor.LIGHT] = points.flow + points.light, 0.0
    curve = _curve(spot, start, end)
    factors = tuple(
        FactorPoints(factor.value, _mean(share), most[factor])
        for factor, share in zip(Factor, curve.points, strict=True)
    )
    total = sum(item.points for item in factors)
    return FrozenForecast(total, factors, _version(), float(round(now)), made)


def _curve(spot: Spot, start: float, end: float) -> ScoreCurve:
    """The score over a trip, its ends among the times."""
    whenever = replace(spot.preferences, hours=ANY_HOURS, days=tuple(range(len(WEEKDAYS))))
    first = datetime.fromtimestamp(start, UTC).date()
    days = (datetime.fromtimestamp(end, UTC).date() - first).days + 1
    count = max(2, int(np.ceil((end - start) / STEP)) + 1)
    try:
        span = Span.of(first, days, ZoneInfo("UTC"))
        conditions = conditions_of(replace(spot, preferences=whenever), span, Outlook(LONG_AGO))
    except SkyRangeError as error:
        raise EbblightError(f"no forecast of that trip: {error}") from None
    except OverflowError:
        raise EbblightError("no forecast of that trip: it lies at the end of the calendar") from None
    return conditions.at(np.linspace(start, end, count))


def _mean(values: Array) -> float:
    """The mean over even steps, their ends counting half."""
    return float((0.5 * (values[1:] + values[:-1])).mean())


def _version() -> str:
    try:
        return version(DISTRIBUTION)
    except PackageNotFoundError:
        return ""
