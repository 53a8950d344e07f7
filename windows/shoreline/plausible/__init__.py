"""A file that reads well and yet can't be so: what is impossible, and what is worth a look."""

from collections.abc import Mapping

from windows.shoreline.plausible.findings import Finding as Finding
from windows.shoreline.plausible.findings import Oddity as Oddity
from windows.shoreline.whole import Shore

STANDING_YEAR = 2026
"""Whose clocks and tides stand for all years, so that a file refused once is refused always."""

TABLE_ENDINGS = (".csv", ".txt", ".tsv", ".xls", ".xlsx", ".ods")
"""Of files that people open with other programs than the log's."""


def impossible(shore: Shore, document: Mapping[str, object]) -> tuple[Finding, ...]:
    """All that can't be so, in the file's order; little is computed for a file without it.

    Args:
        shore: the file, read without another problem.
        document: its [[stations]] and [[currents]] as they stand.
    """
    from windows.shoreline.plausible.flows import flows
    from windows.shoreline.plausible.levels import impossible_levels
    from windows.shoreline.plausible.places import impossible_places
    from windows.shoreline.plausible.tables import impossible_tables

    found = [
        *impossible_places(shore, STANDING_YEAR),
        *impossible_tables(shore, document, STANDING_YEAR),
        *impossible_levels(shore, document, STANDING_YEAR),
        *flows(shore),
    ]
    return tuple(finding for finding in found if finding.impossible)


def look(shore: Shore, document: Mapping[str, object], year: int) -> tuple[Finding, ...]:
    """Everything odd about a file, in its order.

    Args:
        shore: the file, read without a problem.
        document: the same as it stands, from `load_document`.
        year: calendar year (UTC) over which levels are predicted.
    """
    from windows.shoreline.plausible.flows import flows
    from windows.shoreline.plausible.levels import levels, reach_of
    from windows.shoreline.plausible.places import places, unsaid
    from windows.shoreline.plausible.tables import tables

    stations = document.get("stations", [])
    listed = stations if isinstance(stations, list) else []
    reaches = {station.id: reach_of(station, year) for station in shore.stations}
    found = [*places(shore, year), *tables(shore, document, year), *levels(shore, reaches, listed, year)]
    found += flows(shore)
    found += unsaid(shore, document)
    if shore.log is not None and shore.log.suffix.lower() in TABLE_ENDINGS:
        found.append(Finding(Oddity.LOG_NAME, "log.path", (shore.log.name,), ('path = "trips.db"',)))
    if not shore.stations and not shore.currents:
        found.append(Finding(Oddity.NO_STATIONS, "stations", (), ("ebblight add station FILE",)))
    elif not shore.spots:
        found.append(Finding(Oddity.NO_SPOTS, "spots", (), ("ebblight add spot FILE",)))
    return tuple(found)
