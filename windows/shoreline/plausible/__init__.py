"""A file that reads well and yet can't be so: what is impossible, and what is worth a look."""

from collections.abc import Mapping

from windows.shoreline.plausible.findings import Finding as Finding
from windows.shoreline.plausible.findings import Oddity as Oddity
from windows.shoreline.shore import Shore


def look(shore: Shore, document: Mapping[str, object], year: int) -> tuple[Finding, ...]:
    """Everything impossible or odd about a file, in its order; impossible things first.

    Args:
        shore: the file, read without a problem.
        document: the same as it stands, from `load_document`.
        year: calendar year (UTC) over which levels are predicted.
    """
    from windows.shoreline.plausible.flows import flows
    from windows.shoreline.plausible.levels import levels, reach_of
    from windows.shoreline.plausible.places import places
    from windows.shoreline.plausible.tables import tables

    stations = document.get("stations", [])
    listed = stations if isinstance(stations, list) else []
    reaches = {station.id: reach_of(station, year) for station in shore.stations}
    found = [*places(shore, year), *tables(shore, document, year), *levels(shore, reaches, listed, year)]
    found += flows(shore)
    if not shore.stations and not shore.currents:
        found.append(Finding(Oddity.NO_STATIONS, "stations", (), ("ebblight add station FILE",)))
    elif not shore.spots:
        found.append(Finding(Oddity.NO_SPOTS, "spots", (), ("ebblight add spot FILE",)))
    return tuple(sorted(found, key=lambda finding: not finding.impossible))
