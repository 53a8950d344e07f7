"""The [[spots]] and [[banks]] tables of a file, read and checked."""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, TypeVar

from harmonics.files.checking import checked_on
from harmonics.files.problems import Here, Problems, shown, without_echoes
from harmonics.files.station_file import StationFile
from harmonics.stations.types import TideStation, TwoComponentStation, primary_of
from harmonics.units import MINUTE
from windows.shoreline.flow_file import read_flow
from windows.shoreline.gates import LeastDepth, Measure
from windows.shoreline.preferences_file import check_limits, read_limits, read_preferences
from windows.shoreline.spot_models import BankTable, ExposedTable, FishingTable, SpotTable
from windows.shoreline.spots import BaitKind, Bank, CurrentSource, FlowSource, Preferences, Spot

if TYPE_CHECKING:
    from windows.shoreline.exposure import Exposure
    from windows.shoreline.quarry import Quarry

METRES_PER_KILOMETRE = 1000.0
DEFAULT_WAY = 1800.0
"""From a bank to a spot, seconds, where the file says nothing."""
DRY = LeastDepth(0.0)
"""The least depth where a file tells depths but no least one: a spot that has dried is shut."""


def read_spots(
    file: StationFile, fish: "Sequence[Quarry]", problems: Problems
) -> tuple[tuple[Spot, ...], tuple[Bank, ...]]:
    """Spots of the file with their preferences, and banks; what is wrong is added to the problems.

    Args:
        file: with the tables as they stand.
        fish: that the file speaks of.
        problems: of the whole file.
    """
    found = Problems(file.path)
    places = _read(file, fish, Here("", found))
    for problem in without_echoes(found):
        problems.add(problem)
    return places


def _read(
    file: StationFile, fish: "Sequence[Quarry]", top: Here
) -> tuple[tuple[Spot, ...], tuple[Bank, ...]]:
    fishing = file.other_tables.get("fishing", {})
    general = Preferences()
    table = checked_on(FishingTable, fishing, top.at("fishing"), {})
    if table is not None:
        general = read_preferences(table, general, fish, top.at("fishing"))
    banks: dict[str, Bank] = {}
    for here, bank_model in _models(BankTable, file, top.at("banks")):
        station = _station(bank_model.station, file, here)
        bank = _gathering_place(bank_model, station, file.units.metres, here)
        if bank is not None:
            banks[bank.id] = bank
    spots: list[Spot] = []
    for here, model in _models(SpotTable, file, top.at("spots")):
        preferences = read_preferences(model, general, fish, here)
        spot = _spot(model, file, preferences, banks, here)
        if spot is not None:
            spots.append(spot)
    return tuple(spots), tuple(banks.values())


def _gathering_place(model: BankTable, station: TideStation | None, metres: float, here: Here) -> Bank | None:
    """The bank of a table whose heights are in units of so many metres; shrimp need no bared bank."""
    kind = BaitKind(model.bait)
    shrimp = kind is BaitKind.SHRIMP
    if model.bare_below is None and not shrimp:
        here.at("bare_below").missing("a height above datum from -100 to 100")
    if model.bare_below is not None and shrimp:
        expected = 'no level beside bait = "shrimp": they run on the night ebb'
        here.at("bare_below").say(f"{model.bare_below:g}", expected)
    if model.warm_only and kind is not BaitKind.CRAB:
        expected = f'no such rule beside bait = "{kind.value}": only crabs stay in their burrows in the cold'
        here.at("warm_only").say("true", expected)
    if station is None:
        return None
    level = math.inf if model.bare_below is None else model.bare_below * metres
    warm_only = kind is BaitKind.CRAB and model.warm_only is not False
    return Bank(model.id, model.name or model.id, station, level, warm_only, kind, _position(model, here))


def _position(model: BankTable | SpotTable, here: Here) -> tuple[float, float] | None:
    if model.latitude is not None and model.longitude is not None:
        return model.latitude, model.longitude
    if model.latitude is not None or model.longitude is not None:
        here.at("latitude" if model.latitude is None else "longitude").missing("both, or neither")
    return None


T = TypeVar("T", BankTable, SpotTable)


def _models(kind: type[T], file: StationFile, place: Here) -> Iterator[tuple[Here, T]]:
    """Tables of one list, each with its place and an id of its own; less what is wrong in them."""
    key = place.where
    tables = file.other_tables.get(key, [])
    if not isinstance(tables, list):
        place.say(shown(tables), f"[[{key}]] tables")
        return
    stand_ins = {"name": "-", "latitude": 0.0, "longitude": 0.0, "bare_below": 0.0, "station": "-"}
    seen: set[str] = set()
    for index, item in enumerate(tables):
        here = place.at(index)
        model = checked_on(kind, item, here, stand_ins | {"id": f"{key}-{index}"})
        if model is None:
            continue
        if model.id in seen:
            here.at("id").say(f"'{model.id}' a second time", "an id of its own")
            continue
        seen.add(model.id)
        yield here, model


def _station(name: str | None, file: StationFile, here: Here) -> TideStation | None:
    """The station of that id, or the file's only one."""
    if name is None and len(file.stations) + len(file.unread) == 1:
        return file.stations[0] if file.stations else None
    if name is None:
        known = ", ".join(item.id for item in file.stations) or "none that could be read"
        here.at("station").missing(f"the id of one of [[stations]] ({known})")
        return None
    station = next((item for item in file.stations if item.id == name), None)
    if station is None and name not in file.unread:
        known = ", ".join(item.id for item in file.stations) or "none that could be read"
        here.at("station").say(f"'{name}'", f"the id of one of [[stations]] ({known})")
    return station


def _exposed(tables: Sequence[ExposedTable]) -> "tuple[Exposure, ...]":
    if not tables:
        return ()
    from windows.shoreline.exposure import Exposure

    return tuple(
        Exposure(item.start, item.end, item.fetch_km * METRES_PER_KILOMETRE, item.depth_m) for item in tables
    )


def _spot(
    model: SpotTable,
    file: StationFile,
    preferences: Preferences,
    banks: Mapping[str, Bank],
    here: Here,
) -> Spot | None:
    limits = read_limits(model, (Measure.LEVEL, Measure.DEPTH, Measure.CHOP), file.units.metres)
    check_limits(limits, model, file.units.metres, here)
    if model.depth_at_datum is None and not (model.least_depth is None and model.greatest_depth is None):
        expected = "the depth with the level at datum, for least_depth and greatest_depth"
        here.at("depth_at_datum").missing(expected)
    station = _station(model.station, file, here)
    source = None if model.flow is None else read_flow(model, file, here)
    bank = _bank(model, file, banks, here)
    position = _position(model, here) or _position_of(station)
    if station is None or position is None:
        return None
    latitude, longitude = position

    def metres(value: float | None) -> float | None:
        return None if value is None else value * file.units.metres

    return Spot(
        id=model.id,
        name=model.name or model.id,
        latitude=latitude,
        longitude=longitude,
        station=station,
        slack_lag=None if model.slack_lag is None else model.slack_lag * MINUTE,
        preferences=preferences,
        flow=source,
        depth_at_datum=metres(model.depth_at_datum),
        limits=(*limits, DRY) if model.least_depth is None and model.depth_at_datum is not None else limits,
        bank=bank,
        bank_away=DEFAULT_WAY if model.bank_away is None else model.bank_away * MINUTE,
        exposed=_exposed(model.exposed or ()),
        ebb_sets=_ebb_sets(model, source),
    )


def _position_of(station: TideStation | None) -> tuple[float, float] | None:
    """Where a station is, or the reference whose differences it has."""
    if station is None:
        return None
    if station.latitude is not None and station.longitude is not None:
        return station.latitude, station.longitude
    own = primary_of(station)
    return own.latitude, own.longitude


def _ebb_sets(model: SpotTable, source: FlowSource | None) -> float | None:
    """Where the ebb sets at a spot: as it says, or as its current does."""
    if model.ebb_direction is not None or not isinstance(source, CurrentSource):
        return model.ebb_direction
    station = source.station
    if isinstance(station, TwoComponentStation):
        return (station.flood_direction + 180.0) % 360.0
    return station.ebb_direction


def _bank(model: SpotTable, file: StationFile, banks: Mapping[str, Bank], here: Here) -> Bank | None:
    """The bank a spot names, or the file's only one."""
    if model.bank is None:
        return next(iter(banks.values())) if len(banks) == 1 else None
    tables = file.other_tables.get("banks", [])
    declared = (
        [item.get("id") for item in tables if isinstance(item, dict)] if isinstance(tables, list) else []
    )
    if model.bank not in banks and model.bank not in declared:
        known = ", ".join(banks) or "this file has none"
        here.at("bank").say(f"'{model.bank}'", f"the id of one of [[banks]] ({known})")
    return banks.get(model.bank)
