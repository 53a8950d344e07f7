"""Sun and moon events for many spots at once.

Importing this package loads numpy alone; skyfield and astral are imported when a sky is first computed.
"""

from windows.astronomy.approximate import approximate_sun_events
from windows.astronomy.days import day_edges, day_index, events_by_day
from windows.astronomy.ephemeris import SkyRangeError, require_covered
from windows.astronomy.events import Sky
from windows.astronomy.kinds import Body, DayState, SkyEvent, SkyEventKind

__all__ = [
    "Body",
    "DayState",
    "Sky",
    "SkyEvent",
    "SkyEventKind",
    "SkyRangeError",
    "approximate_sun_events",
    "day_edges",
    "day_index",
    "events_by_day",
    "require_covered",
]
