"""Time zones by the names that people write."""

from zoneinfo import ZoneInfo

LONGEST = 64
"""Characters; Python looks for each part of a name as a package inside the one before, however many."""
EXPECTED = 'an IANA time zone such as "America/Chicago"'


def zone_named(name: str) -> ZoneInfo | None:
    """The time zone of that name; None where there is none."""
    if len(name) > LONGEST:
        return None
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return None


def zone_of(name: str) -> ZoneInfo:
    """The time zone of that name.

    Raises:
        ValueError: there is none; the message says what was expected.
    """
    zone = zone_named(name)
    if zone is None:
        raise ValueError(EXPECTED)
    return zone
