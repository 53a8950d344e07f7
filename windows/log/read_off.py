"""A level that somebody read off at the water, as it is typed."""

import re

from windows.conditions.todays_water import Reading
from windows.log.moments import start_time
from windows.shoreline.head import Head

READING_EXPECTED = 'a level in the unit of the file, such as "2.4" or "2.4@17:30"'
_READING = re.compile(r"(-?[0-9]{1,3}(?:[.,][0-9]{1,4})?) ?(?:@ ?([0-9T: -]+))?")


def read_off(text: str, head: Head, now: float) -> Reading:
    """A level in the file's unit, of now or of the last such time.

    Raises:
        ValueError: it is none; with what was expected.
    """
    match = _READING.fullmatch(text.strip())
    if match is None:
        raise ValueError(READING_EXPECTED)
    t = now if match[2] is None else start_time(match[2], head.zone, now, planned=False)
    return Reading(t, float(match[1].replace(",", ".")) * head.units.metres)
