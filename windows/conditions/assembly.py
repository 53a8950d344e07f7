"""The one assembly of what a spot's conditions are, for the forecast and for everything beside it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from harmonics.arrays import Array
from windows.astronomy import Body, Sky, SkyEvent, SkyEventKind
from windows.conditions.cases import ASSUMED_TURN, KNOWN_TURN, TimeShifts
from windows.conditions.clock_gates import OutOfSeason, OutsideHours, Past
from windows.conditions.daily import fishing_hours, season, sun_marks
from windows.conditions.flow_models import flow_of
from windows.conditions.outlook import Outlook
from windows.conditions.scoring import Conditions, MoonTimes, ScoreCurve
from windows.conditions.span import Span
from windows.shoreline.gates import Gate
from windows.shoreline.hours import ANY_HOURS, Hours, SunTimes
from windows.shoreline.spots import Spot

MARGIN = 60 * 3600.0
"""Curves and turns reach this far beyond the days asked for: sessions a day and a half off may overlap those
inside, and their windows reach on."""
STEP = 300.0
"""Score curve: 5-minute steps, aligned to the clock (UTC)."""


@dataclass(frozen=True, eq=False)
class SpotSky:
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
    flow = flow_of(spot, span.start - MARGIN, span.end + MARGIN)
    return Conditions(
        spot=spot,
        flow=flow,
        sky=seen.sky,
        moon=seen.moon,
        gates=(*_clock_gates(spot, span, outlook, default_hours, seen.marks), *spot.gates),
        departure=outlook.departure(spot.station),
        cases=TimeShifts(ASSUMED_TURN if flow.assumed_turn else KNOWN_TURN),
    )


def curve_of(conditions: Conditions, span: Span) -> ScoreCurve:
    """The score at every step of a span and its margin."""
    first = np.ceil((span.start - MARGIN) / STEP) * STEP
    count = int((span.end + MARGIN - first) // STEP) + 1
    return conditions.even(float(first), STEP, count)


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
