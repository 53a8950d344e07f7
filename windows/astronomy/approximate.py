"""The sun alone, for years the ephemeris does not cover: astral's formulas (NOAA solar calculator, Meeus).

Good to some seconds below 60 degrees of latitude in these centuries; whoever shows it marks it approximate.
Delta T is not modelled, so clock times of far years are mean solar times.
"""

from datetime import UTC, date, datetime, timedelta
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from windows.astronomy.horizon import coordinates
from windows.astronomy.kinds import Body, SkyEvent, SkyEventKind

if TYPE_CHECKING:
    from astral import Observer

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
# Python's dates end with the year 9999, and the search looks a few days around the span.
FIRST_YEAR, LAST_YEAR = 2, 9998
# Events fall up to two days after the date they are computed for, see `_western_observer`; a transit at 180
# degrees east up to a quarter of an hour before it.
DAYS_EARLIER, DAYS_LATER = 2, 1
# With a rise or set up to 180 degrees from noon and the equation of time up to 17 minutes (4.2 degrees),
# places at least this far west have no time of day before 0 h UTC of the date.
WEST_ENOUGH = -5.0

_ALTITUDES = (
    (-50 / 60, SkyEventKind.RISE, SkyEventKind.SET),
    (-6.0, SkyEventKind.CIVIL_DAWN, SkyEventKind.CIVIL_DUSK),
    (-12.0, SkyEventKind.NAUTICAL_DAWN, SkyEventKind.NAUTICAL_DUSK),
)


def approximate_sun_events(latitude: float, longitude: float, start_t: float, end_t: float) -> list[SkyEvent]:
    """Rise, set, civil and nautical dawn and dusk, and transits of the sun in [start_t, end_t), sorted.

    Degrees north and east; POSIX seconds. A day without a rise or set is ordinary: it has no such event.
    astral treats places within 0.2 degrees of a pole as if they were that far from it.
    Raises ValueError for coordinates out of range and years outside 2 to 9998.
    """
    from astral import Observer

    coordinates(latitude, longitude)
    first, last = _date_of(start_t), _date_of(end_t)
    western, here = _western_observer(latitude, longitude), Observer(latitude, longitude)
    events: list[SkyEvent] = []
    for offset in range(-DAYS_EARLIER, (last - first).days + DAYS_LATER + 1):
        day = first + timedelta(days=offset)
        events += _passages(western, here, day) + _transits(here, day)
    return sorted((event for event in events if start_t <= event.t < end_t), key=attrgetter("t"))


def _date_of(t: float) -> date:
    try:
        day = (EPOCH + timedelta(seconds=t)).date()
    except OverflowError:
        day = date.max
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise ValueError(f"the sun is covered from the year {FIRST_YEAR} to {LAST_YEAR}")
    return day


def _western_observer(latitude: float, longitude: float) -> "Observer":
    """Make an astral Observer whose longitude is counted west, -365 to -5 degrees.

    astral moves a time of day before 0 h UTC to the end of the same date, so that around 0 h an event is lost
    or given twice. Counted westward, every time of day is positive and each date has its own event.
    """
    from astral import Observer

    class WesternObserver(Observer):
        """Observer without the limit on longitude."""

        def __setattr__(self, name: str, value: Any) -> None:
            object.__setattr__(self, name, value)

    return WesternObserver(latitude, longitude if longitude <= WEST_ENOUGH else longitude - 360.0, 0.0)


def _passages(western: "Observer", here: "Observer", day: date) -> list[SkyEvent]:
    """Rise, set, dawns and dusks computed for a date."""
    from astral import SunDirection
    from astral.sun import azimuth, time_at_elevation

    events = []
    for altitude, up, down in _ALTITUDES:
        for kind, direction in ((up, SunDirection.RISING), (down, SunDirection.SETTING)):
            try:
                when = time_at_elevation(western, altitude, day, direction, with_refraction=False)
            except ValueError:  # the sun stays on one side of this altitude
                continue
            events.append(SkyEvent(when.timestamp(), Body.SUN, kind, azimuth(here, when), "deg"))
    return events


def _transits(here: "Observer", day: date) -> list[SkyEvent]:
    """Upper and lower transit of a date, half a day apart, at 12 h and 24 h of apparent solar time."""
    from astral.julian import julianday, julianday_to_juliancentury
    from astral.sun import elevation, eq_of_time

    midnight = datetime(day.year, day.month, day.day, tzinfo=UTC)
    events = []
    for kind, apparent in ((SkyEventKind.UPPER_TRANSIT, 720.0), (SkyEventKind.LOWER_TRANSIT, 1440.0)):
        minutes = apparent - 4 * here.longitude
        for _ in range(2):  # the equation of time changes by at most half a minute a day
            century = julianday_to_juliancentury(julianday(day) + minutes / 1440)
            minutes = apparent - 4 * here.longitude - eq_of_time(century)
        when = midnight + timedelta(minutes=minutes)
        events.append(
            SkyEvent(when.timestamp(), Body.SUN, kind, elevation(here, when, with_refraction=False), "deg")
        )
    return events
