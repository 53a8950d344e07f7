"""Positions against the file's clock and against one another: the sign of west, latitude for longitude."""

import math
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from harmonics.stations.types import AnyCurrentStation, primary_of
from windows.shoreline.plausible.findings import Finding, Oddity, line
from windows.shoreline.spots import CurrentSource
from windows.shoreline.whole import Shore
from windows.shoreline.zones import hours_from_sun, is_fixed, same_clock, zone_at

EARTH = 6371.0
"""Kilometres."""
FARTHEST_FROM_SUN = 4.0
"""Hours: no clock on earth is farther from the sun's time of its place."""
FARTHEST_STATION = 300.0
"""Kilometres: no tide is the same so far away."""
FAR_STATION = 60.0
"""Kilometres from which one should look for a nearer gauge."""


def unsaid(shore: Shore, document: Mapping[str, object]) -> Iterator[Finding]:
    """Stations without a datum, and spots without a position, which have their station's."""
    stations, spots = (document.get(key, []) for key in ("stations", "spots"))
    for i, table in enumerate(stations if isinstance(stations, list) else []):
        if "datum" not in table and "reference" not in table:
            write = ('datum = "MLLW"', "mean_level = HEIGHT")
            yield Finding(Oddity.NO_DATUM, f"stations[{i}].datum", (), write)
    for i, (spot, table) in enumerate(
        zip(shore.spots, spots if isinstance(spots, list) else [], strict=True)
    ):
        if "latitude" not in table:
            yield Finding(Oddity.AT_STATION, f"spots[{i}].latitude", (spot.station.id,))


class _Place(NamedTuple):
    where: str
    latitude: float
    longitude: float


def distance(first: tuple[float, float], second: tuple[float, float]) -> float:
    """Kilometres along the great circle between two positions (latitude, longitude in degrees)."""
    (a, b), (c, d) = (tuple(map(math.radians, position)) for position in (first, second))
    across = math.sin((c - a) / 2) ** 2 + math.cos(a) * math.cos(c) * math.sin((d - b) / 2) ** 2
    return 2 * EARTH * math.asin(math.sqrt(min(across, 1.0)))


def impossible_places(shore: Shore, year: int) -> Iterator[Finding]:
    """Positions that can't be; places are looked up on the map of clocks only where there is a doubt."""
    every = list(_places(shore))
    clocks: list[Finding] = []
    if not is_fixed(shore.head.zone.key):
        doubtful = [
            place
            for place in every
            if abs(hours_from_sun(shore.head.zone, place.longitude, year)) > FARTHEST_FROM_SUN
            or _is_alone(place, every)
        ]
        found = [_other_clock(place, every, shore, year) for place in doubtful]
        clocks = _once([finding for finding in found if finding is not None and finding.impossible])
    yield from clocks
    yield from _distances(shore, {finding.where.partition(".")[0] for finding in clocks})


def places(shore: Shore, year: int) -> Iterator[Finding]:
    """Everything odd about positions."""
    every = list(_places(shore))
    if is_fixed(shore.head.zone.key):
        yield from _fixed_clock(shore, every)
        clocks = []
    else:
        clocks = [found for place in every if (found := _other_clock(place, every, shore, year)) is not None]
        clocks = _once(clocks)
    yield from clocks
    told = {finding.where.partition(".")[0] for finding in clocks}
    yield from _distances(shore, told)
    for place in every:
        if place.latitude == round(place.latitude) and place.longitude == round(place.longitude):
            yield Finding(Oddity.WHOLE_DEGREES, f"{place.where}.latitude")
    seen: dict[tuple[float, float], str] = {}
    for i, spot in enumerate(shore.spots):
        position = spot.latitude, spot.longitude
        if position in seen:
            yield Finding(Oddity.SAME_POSITION, f"spots[{i}].latitude", (seen[position],))
        seen.setdefault(position, spot.id)


def _places(shore: Shore) -> Iterator[_Place]:
    for key, items in (
        ("stations", shore.stations),
        ("currents", shore.currents),
        ("spots", shore.spots),
        ("landings", shore.landings),
    ):
        for i, item in enumerate(items):
            if item.latitude is not None and item.longitude is not None:
                yield _Place(f"{key}[{i}]", item.latitude, item.longitude)


def _fixed_clock(shore: Shore, every: list[_Place]) -> Iterator[Finding]:
    """A clock such as UTC, which people at the place don't read."""
    spot = next((place for place in every if place.where.startswith("spots")), None)
    if spot is None:
        return
    zone = zone_at(spot.latitude, spot.longitude)
    if zone is not None and not is_fixed(zone):
        yield Finding(
            Oddity.FIXED_CLOCK, "time_zone", (shore.head.zone.key, zone), (line("time_zone", zone),)
        )


def _other_clock(place: _Place, every: list[_Place], shore: Shore, year: int) -> Finding | None:
    """A place whose people read another clock; how to turn its position so that they read this one."""
    zone = shore.head.zone
    there = zone_at(place.latitude, place.longitude)
    if there is None or same_clock(there, zone.key, year):
        return None
    apart = abs(hours_from_sun(zone, place.longitude, year))
    write = _turned(place, zone.key, year) or (line("time_zone", there),)
    key = write[0].partition(" ")[0]
    where = "time_zone" if key == "time_zone" else f"{place.where}.{key}"
    impossible = apart > FARTHEST_FROM_SUN or (key != "time_zone" and _is_alone(place, every))
    return Finding(Oddity.OTHER_CLOCK, where, (there, zone.key, place.where), write, impossible)


def _is_alone(place: _Place, every: list[_Place]) -> bool:
    """Whether the file has other places, and all are too far off to share a tide."""
    here = place.latitude, place.longitude
    others = [distance(here, (other.latitude, other.longitude)) for other in every if other is not place]
    return bool(others) and min(others) > FARTHEST_STATION


def _turned(place: _Place, zone: str, year: int) -> tuple[str, ...]:
    """Lines of the position with another sign, or the other way round, at which that clock is read."""
    north, east = place.latitude, place.longitude
    for latitude, longitude in ((north, -east), (-north, east), (-north, -east), (east, north)):
        if abs(latitude) > 90 or (latitude, longitude) == (north, east):
            continue
        there = zone_at(latitude, longitude)
        if there is not None and not is_fixed(there) and same_clock(there, zone, year):
            lines = []
            if longitude != east:
                lines.append(line("longitude", longitude, 5))
            if latitude != north:
                lines.append(line("latitude", latitude, 5))
            return tuple(lines)
    return ()


def _once(clocks: list[Finding]) -> list[Finding]:
    """What is to be said of the clock itself said once."""
    wrong = [finding for finding in clocks if finding.where == "time_zone"]
    return [*(finding for finding in clocks if finding.where != "time_zone"), *wrong[:1]]


def _distances(shore: Shore, told: set[str]) -> Iterator[Finding]:
    """Spots far from the station or the current whose water they have."""
    stations = {item.id: (f"stations[{i}]", item) for i, item in enumerate(shore.stations)}
    currents = {item.id: (f"currents[{i}]", item) for i, item in enumerate(shore.currents)}
    for i, spot in enumerate(shore.spots):
        where = f"spots[{i}]"
        if where in told:
            continue
        place, station = stations[spot.station.id]
        primary = primary_of(station)
        latitude, longitude = station.latitude, station.longitude
        if latitude is None or longitude is None:
            latitude, longitude = primary.latitude, primary.longitude
            place = stations.get(primary.id, (place, station))[0]
        if place not in told:
            yield from _far(shore, where, place, (latitude, longitude), Oddity.FAR_FROM_STATION)
        if isinstance(spot.flow, CurrentSource):
            current: AnyCurrentStation = spot.flow.station
            place = currents[current.id][0]
            if current.latitude is not None and current.longitude is not None and place not in told:
                position = current.latitude, current.longitude
                yield from _far(shore, where, place, position, Oddity.FAR_FROM_CURRENT)


def _far(shore: Shore, where: str, place: str, there: tuple[float, float], kind: Oddity) -> Iterator[Finding]:
    spot = shore.spots[int(where[6:-1])]
    here = spot.latitude, spot.longitude
    apart = distance(here, there)
    if apart <= FAR_STATION:
        return
    turned = (here[0], -here[1]), (-here[0], here[1]), (here[1], here[0])
    near = next((new for new in turned if abs(new[0]) <= 90 and distance(new, there) <= FAR_STATION), None)
    write: tuple[str, ...] = ()
    key = "station" if kind is Oddity.FAR_FROM_STATION else "flow.current"
    if near is not None:
        changes = (("longitude", near[1], here[1]), ("latitude", near[0], here[0]))
        write = tuple(line(name, new, 5) for name, new, old in changes if new != old)
        key = write[0].partition(" ")[0]
    yield Finding(kind, f"{where}.{key}", (apart, place), write, apart > FARTHEST_STATION)
