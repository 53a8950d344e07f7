"""A kept trip as it would be typed, so that it can be changed where it stands."""

from collections.abc import Iterator
from zoneinfo import ZoneInfo

from harmonics.units import KILOGRAMS_PER_OUNCE, METRES_PER_SECOND_PER_KNOT, LengthUnit
from windows.log.moments import local
from windows.log.trips import Catch, Fish, SeenKind, Trip

CENTIMETRE, INCH, GRAM = 0.01, 0.0254, 0.001


def retold(trip: Trip, units: LengthUnit) -> dict[str, str]:
    """What `told.Told` would hold of the trip, by attribute; several values stand on a line each.

    Numbers that were typed come back as typed. Seconds of a time, and how each fish was measured where
    that differs from fish to fish, are not told.

    Args:
        trip: as it is kept.
        units: in which lengths and weights are read.
    """
    zone = ZoneInfo(trip.zone)
    found = {
        "spot": trip.spot,
        "start": _moment(trip.start, zone),
        "end": _moment(trip.end, zone),
        "anglers": str(trip.anglers),
        "fished_for": "" if trip.fished_for is None else f"{round(trip.fished_for / 60)}min",
        "nothing": "yes" if trip.fished and not any(catch.fish for catch in trip.catches) else "",
        "kept": "\n".join(_catches(trip, True, zone, units)),
        "released": "\n".join(_catches(trip, False, zone, units)),
        "sought": "\n".join(catch.species for catch in trip.catches if not catch.fish),
        "measured": _measured(trip),
        "quarry": trip.quarry,
        "bait": trip.bait,
        "lead": _lead(trip, units),
        "temperature": "" if trip.temperature is None else f"{_typed(trip.temperature)}C",
        "wind": _wind(trip),
        "clarity": "" if trip.clarity is None else trip.clarity.value,
        "words": trip.words,
    }
    for kind in SeenKind:
        found[kind.value] = "\n".join(_seen(trip, kind, zone))
    return found


def _moment(t: float, zone: ZoneInfo) -> str:
    """With its offset where a clock time alone could mean two moments."""
    there = local(t, zone)
    twice = there.replace(fold=1 - there.fold).utcoffset() != there.utcoffset()
    return there.isoformat(" ", "minutes") if twice else f"{there:%Y-%m-%d %H:%M}"


def _catches(trip: Trip, kept: bool, zone: ZoneInfo, units: LengthUnit) -> Iterator[str]:
    for catch in trip.catches:
        fish = [item for item in catch.fish if item.kept is kept]
        if fish:
            yield " ".join([catch.species, *_parts(Catch(catch.species, tuple(fish)), zone, units)])


def _parts(catch: Catch, zone: ZoneInfo, units: LengthUnit) -> Iterator[str]:
    """A word a measured or dated fish; the others counted together."""
    bare = sum(item.length is None and item.t is None for item in catch.fish)
    for item in catch.fish:
        if item.length is not None or item.t is not None:
            yield f"{_length(item, units)}{'' if item.t is None else f'@{local(item.t, zone):%H:%M}'}"
    if bare:
        yield f"x{bare}"


def _length(fish: Fish, units: LengthUnit) -> str:
    if fish.length is None:
        return "x1"
    return _typed(fish.length / (INCH if units is LengthUnit.FEET else CENTIMETRE))


def _measured(trip: Trip) -> str:
    kinds = {fish.measured for _, fish in trip.every_fish() if fish.length is not None}
    only = kinds.pop() if len(kinds) == 1 else None
    return "" if only is None else only.value


def _lead(trip: Trip, units: LengthUnit) -> str:
    if trip.lead_held is None:
        return ""
    unit, symbol = (KILOGRAMS_PER_OUNCE, "oz") if units is LengthUnit.FEET else (GRAM, "g")
    return f"{_typed(trip.lead_held / unit)}{symbol}"


def _wind(trip: Trip) -> str:
    if trip.wind_speed is None:
        return ""
    if trip.wind_speed == 0.0:
        return "calm"
    speed = f"{_typed(trip.wind_speed / METRES_PER_SECOND_PER_KNOT, 2)}kn"
    return speed if trip.wind_from is None else f"{speed} {trip.wind_from:.0f}"


def _seen(trip: Trip, kind: SeenKind, zone: ZoneInfo) -> Iterator[str]:
    for item in trip.seen:
        if item.kind is kind:
            speed = "" if item.speed is None else f"{_typed(item.speed / METRES_PER_SECOND_PER_KNOT, 2)}@"
            yield f"{speed}{_moment(item.t, zone)}"


def _typed(value: float, places: int = 4) -> str:
    """A number without the zeros at its end."""
    return f"{value:.{places}f}".rstrip("0").rstrip(".") or "0"
