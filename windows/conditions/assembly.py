"""The one assembly of what a spot's conditions are, for the forecast and for everything beside it."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from harmonics.arrays import Array
from harmonics.errors import EbblightError
from windows.astronomy import Body, Sky, SkyEvent, SkyEventKind
from windows.conditions.cases import ASSUMED_TURN, KNOWN_TURN, Cases, TimeShifts
from windows.conditions.clock_gates import OutOfSeason, OutsideHours, Past
from windows.conditions.daily import fishing_hours, season, sun_marks
from windows.conditions.flow import Flow
from windows.conditions.flow_models import flow_of
from windows.conditions.outlook import Outlook
from windows.conditions.scoring import Conditions, MoonTimes, ScoreCurve
from windows.conditions.span import Span
from windows.shoreline.gates import Gate, ThunderFrom
from windows.shoreline.hours import ANY_HOURS, Hours, SunTimes
from windows.shoreline.spots import Spot

if TYPE_CHECKING:
    from harmonics.records.weather import Weather

MARGIN = 60 * 3600.0
"""Curves and turns reach this far beyond the days asked for: sessions a day and a half off may overlap those
inside, and their windows reach on."""
THUNDER_LIKELY = 0.5
"""Probability of thunder from which a spot is shut where its file says nothing else (judgement)."""
STEP = 300.0
"""Score curve: 5-minute steps, aligned to the clock (UTC)."""


class SpotSky(NamedTuple):
    """Sun and moon at one spot over a span.

    Attributes:
        sky: of the span, shared by its spots.
        events: at the spot, sorted.
        marks: the sun's of each local day of the span, margin included.
        crossings: times of the moon's equator crossings, sorted.
    """

    sky: Sky
    events: Sequence[SkyEvent]
    marks: Sequence[SunTimes]
    crossings: Array

    @property
    def moon(self) -> MoonTimes:
        """The moon's transits, rises and sets."""
        moon = [event for event in self.events if event.body is Body.MOON]
        transits = {SkyEventKind.UPPER_TRANSIT, SkyEventKind.LOWER_TRANSIT}
        horizons = {SkyEventKind.RISE, SkyEventKind.SET}
        return MoonTimes(
            np.array([event.t for event in moon if event.kind in transits]),
            np.array([event.t for event in moon if event.kind in horizons]),
        )


def skies_of(spots: Sequence[Spot], span: Span) -> list[SpotSky]:
    """Sun and moon at several spots at once, which share what they can.

    Raises:
        SkyRangeError: the span reaches beyond the ephemeris of sun and moon.
    """
    sky = Sky(float(span.edges[0]) - 60.0, float(span.edges[-1]) + 60.0)
    events = sky.events([spot.latitude for spot in spots], [spot.longitude for spot in spots])
    crossings = sky.moon_equator_crossings()
    return [
        SpotSky(sky, found, sun_marks(found, span.first, span.edges, span.zone), crossings)
        for found in events
    ]


def conditions_of(
    spot: Spot,
    span: Span,
    outlook: Outlook,
    default_hours: Hours = ANY_HOURS,
    sky: SpotSky | None = None,
) -> Conditions:
    """What is at a spot over a span and a margin around it: flow, light, moon, gates, today's water.

    Args:
        spot: place, limits and preferences.
        span: local days, past or to come.
        outlook: what is known beyond astronomy.
        default_hours: when a person can fish where the spot names no hours.
        sky: sun and moon there; computed where None.

    Raises:
        SkyRangeError: as for `skies_of`.
    """
    seen = skies_of([spot], span)[0] if sky is None else sky
    reach = span.start - MARGIN, span.end + MARGIN
    flow = flow_of(spot, *reach)
    weather = outlook.weather
    ahead = None if weather is None else outlook.level_ahead(spot.station, *reach)
    cases, no_chance = _cases(spot, flow, outlook, *reach)
    return Conditions(
        spot=spot,
        flow=flow,
        sky=seen.sky,
        moon=seen.moon,
        gates=(*_clock_gates(spot, span, outlook, default_hours, seen.marks), *_spot_gates(spot, weather)),
        departure=outlook.departure(spot.station),
        cases=cases,
        ahead=ahead,
        weather=weather,
        record=outlook.record(spot.station),
        no_chance=no_chance,
    )


def curve_of(conditions: Conditions, span: Span) -> ScoreCurve:
    """The score at every step of a span and its margin."""
    first = np.ceil((span.start - MARGIN) / STEP) * STEP
    count = int((span.end + MARGIN - first) // STEP) + 1
    return conditions.even(float(first), STEP, count)


def _cases(spot: Spot, flow: Flow, outlook: Outlook, start: float, end: float) -> tuple[Cases, str]:
    """How wrong the water can be: by the gauge's record where there is one; and why that tells nothing."""
    shifts = TimeShifts(ASSUMED_TURN if flow.assumed_turn else KNOWN_TURN)
    record = outlook.record(spot.station)
    if record is None:
        return shifts, ""
    from windows.conditions.record_cases import record_cases

    ahead = outlook.level_ahead(spot.station, start, end)
    try:
        return record_cases(spot.station, flow, record, ahead, start, end + STEP), ""
    except EbblightError as error:
        return shifts, str(error)


def _spot_gates(spot: Spot, weather: "Weather | None") -> tuple[Gate, ...]:
    """The spot's own gates; where thunder is forecast, one for it whether the file sets it or not."""
    if weather is None or spot.limit(ThunderFrom) is not None:
        return spot.gates
    from harmonics.records.quantities import Quantity

    return (*spot.gates, ThunderFrom(THUNDER_LIKELY)) if weather.knows(Quantity.THUNDER) else spot.gates


def _clock_gates(
    spot: Spot, span: Span, outlook: Outlook, default_hours: Hours, marks: Sequence[SunTimes]
) -> list[Gate]:
    gates: list[Gate] = []
    wanted = spot.preferences
    over = span.today(outlook.now)
    if over is not None:
        midnight, now = over
        gates.append(Past(midnight, now + wanted.ahead))
    months = season(wanted.months, span.first, span.edges)
    if months is not None:
        gates.append(OutOfSeason(months))
    hours = fishing_hours(
        wanted.hours or default_hours, wanted.days, span.first, span.edges, span.zone, list(marks)
    )
    if hours is not None:
        gates.append(OutsideHours(hours))
    return gates
