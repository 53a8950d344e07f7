"""The forecast of a trip's hours, frozen: points by factor as the file gives them when it is asked."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np

from harmonics.errors import EbblightError
from windows.astronomy import SkyRangeError
from windows.conditions.assembly import conditions_of, curve_of
from windows.conditions.outlook import Outlook
from windows.conditions.span import Span
from windows.forecast.expected import Expected
from windows.log.trips import FactorPoints, FrozenForecast, Made
from windows.shoreline.hours import ANY_HOURS
from windows.shoreline.spots import WEEKDAYS, Factor, Spot

if TYPE_CHECKING:
    from harmonics.records.store import StationRecord

LONG_AGO = 0.0
"""A clock that shuts no hour as past."""
DISTRIBUTION = "ebblight"


def freeze(
    spot: Spot,
    zone: ZoneInfo,
    start: float,
    end: float,
    now: float,
    made: Made,
    records: "Mapping[str, StationRecord] | None" = None,
) -> FrozenForecast:
    """The expected points of a spot over a trip's hours, by factor: means over how wrong the water can be.

    The hours and days one likes to fish do not count: one was there. What shuts the spot's water does.

    Args:
        spot: as the file has it now.
        zone: of its clock.
        start, end: of the trip, POSIX seconds.
        now: the clock.
        made: how the forecast came to be made.
        records: what gauges' records tell, by id of station: then such water has its chance.

    Raises:
        EbblightError: the trip lies beyond the ephemeris of sun and moon.
    """
    points, expected = spot.preferences.points, _expected(spot, zone, start, end, records or {})
    most = {factor: points[factor] for factor in Factor}
    if spot.preferences.any_light:
        most[Factor.FLOW], most[Factor.LIGHT] = points.flow + points.light, 0.0
    given = expected.points(np.array([start]), np.array([end]))[:, 0] / (end - start)
    factors = tuple(
        FactorPoints(factor.value, float(share), most[factor])
        for factor, share in zip(Factor, given, strict=True)
    )
    seen = expected.seen(start, end, (start + end) / 2.0)
    chance = None if seen is None else seen.chance
    return FrozenForecast(float(given.sum()), factors, _version(), float(round(now)), made, chance)


def _expected(
    spot: Spot, zone: ZoneInfo, start: float, end: float, records: "Mapping[str, StationRecord]"
) -> Expected:
    """The score around a trip, over how wrong the water can be."""
    whenever = spot.preferences._replace(hours=ANY_HOURS, days=tuple(range(len(WEEKDAYS))))
    first, last = (datetime.fromtimestamp(t, UTC).astimezone(zone).date() for t in (start, end))
    try:
        span = Span.of(first, (last - first).days + 1, zone)
        conditions = conditions_of(
            replace(spot, preferences=whenever), span, Outlook(LONG_AGO, records=records)
        )
    except SkyRangeError as error:
        raise EbblightError(f"no forecast of that trip: {error}") from None
    except OverflowError:
        raise EbblightError("no forecast of that trip: it lies at the end of the calendar") from None
    return Expected(conditions, curve_of(conditions, span))


def _version() -> str:
    try:
        return version(DISTRIBUTION)
    except PackageNotFoundError:
        return ""
