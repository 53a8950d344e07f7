"""A station file read and checked: tide stations and currents, primary and secondary.

The tables of other rooms (spots, fishing) are passed on as they stand; their own rooms check them.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Generic, NamedTuple, TypeVar
from zoneinfo import ZoneInfo

from harmonics.files.checking import checked, checked_on, load_document, refuse_unknown
from harmonics.files.constituent_tables import constants_of, rows_of_csv, rows_of_list
from harmonics.files.file_models import (
    CurrentTable,
    HeadTable,
    SecondaryCurrentTable,
    SecondaryTable,
    StationTable,
    TwoComponentTable,
)
from harmonics.files.followers import IN_ORDER, follow_current, follow_tide, swapped
from harmonics.files.problems import Here, Problems, named, shown
from harmonics.files.station_keys import MEAN_SEA_LEVEL, check_phase, length_unit, phase_offset, zero_of
from harmonics.files.zones import zone_of
from harmonics.stations.types import (
    AnyCurrentStation,
    CurrentStation,
    OwnCurrentStation,
    SecondaryCurrentStation,
    SecondaryStation,
    Station,
    TideStation,
    TwoComponentStation,
)
from harmonics.sums.waves import HarmonicConstants, NodePractice
from harmonics.units import METRES_PER_SECOND_PER_KNOT, LengthUnit

if TYPE_CHECKING:
    from harmonics.files.record_source import RecordSource

STAND_IN: dict[str, object] = {
    "name": "-",
    "reference": "-" * 64,
    "flood_direction": 0.0,
    "ebb_direction": 0.0,
    "high_water": {},
    "low_water": {},
}
"""For keys of a follower that can't be read, so that the rest of its table can be checked."""


@dataclass(frozen=True, eq=False)
class StationFile:
    """What a station file says of water.

    Attributes:
        path: the file as the user named it.
        title: of the shoreline.
        invented: True for a coast that does not exist.
        zone: the time zone people live by.
        units: the unit people read heights in.
        stations: tide stations, in the file's order.
        currents: current stations, in the file's order.
        other_tables: the tables of other rooms, unchecked.
        unread: ids that the file gives to stations and currents that could not be read.
        observed: files of recent readings by station id.
        records: observed levels by station id.
        own_tables: the [[stations]] and [[currents]] as they stand.
    """

    path: Path
    title: str
    invented: bool
    zone: ZoneInfo
    units: LengthUnit
    stations: tuple[TideStation, ...]
    currents: tuple[AnyCurrentStation, ...]
    other_tables: Mapping[str, Any] = field(default_factory=dict)
    unread: frozenset[str] = frozenset()
    observed: Mapping[str, Path] = field(default_factory=dict)
    records: Mapping[str, "RecordSource"] = field(default_factory=dict)
    own_tables: Mapping[str, Any] = field(default_factory=dict)


def read_station_file(path: Path, other_tables: tuple[str, ...] = ()) -> StationFile:
    """Read and check the stations of a file.

    Args:
        path: a TOML file; constituent tables are looked for beside it.
        other_tables: top-level keys of other rooms, passed on unchecked.

    Raises:
        FileProblemsError: with every problem of the stations and currents.
    """
    problems = Problems(path)
    file = collect_stations(path, other_tables, problems)
    if file is None or problems:
        raise problems.error()
    return file


def collect_stations(path: Path, other_tables: tuple[str, ...], problems: Problems) -> StationFile | None:
    """As `read_station_file`, but collecting problems, so that others can add theirs.

    Returns None for an empty file. Stations with problems are left out; a head with problems is stood in
    for, so that the rest of the file can still be checked.

    Raises:
        FileProblemsError: the file can't be read or is not TOML.
    """
    document = load_document(path)
    top = Here("", problems)
    if not document:
        top.say("an empty file", "title, time_zone, units and [[stations]]")
        return None
    others = {key: document.pop(key) for key in other_tables if key in document}
    refuse_unknown(document, HeadTable, other_tables, top)
    head = checked(HeadTable, document, top)
    name = document.get("time_zone")
    zone = top.at("time_zone").parsed(zone_of, name) if isinstance(name, str) else None
    units = document.get("units")
    reader = _Reader(path.parent, document.get("node_factors"), units, zone, top)
    stations = reader.read(document.get("stations"), _TIDES)
    currents = reader.read(document.get("currents"), _CURRENTS)
    return StationFile(
        path,
        title=head.title if head is not None else "",
        invented=head is not None and head.invented,
        zone=zone or ZoneInfo("UTC"),
        units=LengthUnit(head.units) if head is not None else LengthUnit.METRES,
        stations=stations,
        currents=currents,
        other_tables=others,
        unread=reader.declared - {item.id for item in (*stations, *currents)},
        observed=reader.observed,
        records=reader.records,
        own_tables={key: document[key] for key in ("stations", "currents") if key in document},
    )


P = TypeVar("P", Station, OwnCurrentStation)
M = TypeVar("M", SecondaryTable, SecondaryCurrentTable)
Q = TypeVar("Q", SecondaryStation, SecondaryCurrentStation)


class _Kind(NamedTuple, Generic[P, M, Q]):
    """How one list of a file is read: its key, its primary tables, and those that follow a reference."""

    key: str
    primary: Callable[["_Reader", dict[str, Any], Here], P | None]
    follower: type[M]
    follow: Callable[[M, P, LengthUnit, Here], Q | None]


class _Follower(NamedTuple, Generic[M]):
    """A station that names a reference: its place, its table less what is wrong, and whether all is right."""

    here: Here
    model: M
    whole: bool


class _Reader:
    """Reads the station tables of one file."""

    def __init__(
        self, folder: Path, practice: object, units: object, zone: ZoneInfo | None, top: Here
    ) -> None:
        self.folder = folder
        self.units = units
        self.zone = zone
        self.practice = practice if practice in ("yearly", "continuous") else "yearly"
        self.top = top
        self.seen: dict[str, str] = {}
        self.declared: frozenset[str] = frozenset()
        self.observed: dict[str, Path] = {}
        self.records: dict[str, RecordSource] = {}

    def read(self, tables: object, kind: _Kind[P, M, Q]) -> tuple[P | Q, ...]:
        """Stations of one list in the file's order; a follower may stand before its reference."""
        listed = self._tables(tables, kind.key)
        primary: dict[str, P] = {}
        followers: list[_Follower[M]] = []
        order: list[str] = []
        for here, table in listed:
            if "reference" in table:
                model = self._follower(kind, table, here)
                if model is not None and self._new_id(model.id, here):
                    followers.append(_Follower(here, model, here.clean))
                    order.append(model.id)
            elif (station := kind.primary(self, table, here)) is not None:
                primary[station.id] = station
                order.append(station.id)
        self.declared |= {named(table.get("id")) for _, table in listed}
        with_own = {named(table.get("id")): table for _, table in listed if "reference" not in table}
        made: dict[str, P | Q] = dict(primary)
        for item in followers:
            name = item.model.reference
            if name in primary:
                follower = self._followed(kind, item, primary[name], length_unit(with_own[name], self.units))
                if follower is not None:
                    made[item.model.id] = follower
            elif name not in with_own and name != STAND_IN["reference"]:
                known = ", ".join(primary) or "this file has none"
                expected = f"the id of one of [[{kind.key}]] with constituents ({known})"
                item.here.at("reference").say(f"'{name}'", expected)
        return tuple(made[name] for name in order if name in made)

    @staticmethod
    def _followed(kind: _Kind[P, M, Q], item: _Follower[M], reference: P, unit: LengthUnit) -> Q | None:
        """The station of a follower; None with problems reported where its differences make no sense."""
        follower = kind.follow(item.model, reference, unit, item.here)
        problem = swapped(follower) if item.whole and follower is not None else None
        if problem is None:
            return follower
        item.here.say(problem, IN_ORDER)
        return None

    @staticmethod
    def _follower(kind: _Kind[P, M, Q], table: dict[str, Any], here: Here) -> M | None:
        """A table that names a reference, less what is wrong in it."""
        name = here.where.strip("]").replace("[", "-")
        return checked_on(kind.follower, table, here, STAND_IN | {"id": name})

    def _tables(self, tables: object, key: str) -> list[tuple[Here, dict[str, Any]]]:
        found: list[tuple[Here, dict[str, Any]]] = []
        for index, table in enumerate(tables if isinstance(tables, list) else []):
            here = self.top.at(key, index)
            if isinstance(table, dict):
                found.append((here, table))
            else:
                here.say(shown(table), f"a [[{key}]] table")
        return found

    def _new_id(self, name: str, here: Here) -> bool:
        if name in self.seen:
            here.at("id").say(f"'{name}', the id of {self.seen[name]} too", "an id of its own")
            return False
        self.seen[name] = here.where
        return True

    def station(self, table: dict[str, Any], here: Here) -> Station | None:
        """A tide station with constants of its own."""
        model = checked(StationTable, table, here)
        unit = length_unit(table, self.units)
        constants = self._constants(table, here, unit.metres)
        source = self._record(table, here)
        datum, mean_level = (MEAN_SEA_LEVEL, 0.0) if model is None else zero_of(model, here)
        if model is None or constants is None or not self._new_id(model.id, here):
            return None
        if model.observed is not None:
            self.observed[model.id] = self.folder / model.observed
        if source is not None:
            self.records[model.id] = source
        return Station(
            model.id,
            model.name or model.id,
            model.latitude,
            model.longitude,
            datum,
            mean_level * unit.metres,
            constants,
            NodePractice(model.node_factors or self.practice),
        )

    def current(self, table: dict[str, Any], here: Here) -> OwnCurrentStation | None:
        """A current station with constants of its own, on one axis or on two."""
        if "constituents_across" in table:
            return self._two_components(table, here)
        model = checked(CurrentTable, table, here)
        constants = self._constants(table, here, METRES_PER_SECOND_PER_KNOT)
        if model is None or constants is None or not self._new_id(model.id, here):
            return None
        return CurrentStation(
            model.id,
            model.name or model.id,
            model.latitude,
            model.longitude,
            model.flood_direction,
            model.ebb_direction,
            model.mean_flow * METRES_PER_SECOND_PER_KNOT,
            constants,
            NodePractice(model.node_factors or self.practice),
        )

    def _two_components(self, table: dict[str, Any], here: Here) -> TwoComponentStation | None:
        knot = METRES_PER_SECOND_PER_KNOT
        model = checked(TwoComponentTable, table, here)
        along = self._constants(table, here, knot)
        across = self._constants(table, here, knot, "constituents_across")
        if model is None or along is None or across is None or not self._new_id(model.id, here):
            return None
        try:
            return TwoComponentStation(
                id=model.id,
                name=model.name or model.id,
                latitude=model.latitude,
                longitude=model.longitude,
                axis_direction=model.axis_direction,
                across_direction=model.across_direction,
                mean_along=model.mean_flow * knot,
                mean_across=model.mean_across * knot,
                along=along,
                across=across,
                flood_direction=model.flood_direction,
                practice=NodePractice(model.node_factors or self.practice),
            )
        except ValueError:
            found = f"{model.across_direction:g} beside axis_direction {model.axis_direction:g}"
            expected = "a direction at right angles to axis_direction"
            here.at("across_direction").say(found, expected)
            return None

    def _record(self, table: dict[str, Any], here: Here) -> "RecordSource | None":
        if not table.keys() & {"record", "record_weather"}:
            return None
        from harmonics.files.record_source import read_record_source

        return read_record_source(table, self.folder, self.zone, here)

    def _constants(
        self, table: dict[str, Any], here: Here, unit: float, key: str = "constituents"
    ) -> HarmonicConstants | None:
        if key == "constituents":
            check_phase(table, here)
        source = table.get(key)
        place = here.at(key)
        if isinstance(source, list):
            rows = rows_of_list(source, place)
        elif isinstance(source, str) and source:
            found = rows_of_csv(self.folder / source, place)
            if found is None:
                return None
            rows = found
        else:
            return None
        return constants_of(rows, place, unit, phase_offset(table))


_TIDES = _Kind("stations", _Reader.station, SecondaryTable, follow_tide)
_CURRENTS: _Kind[OwnCurrentStation, SecondaryCurrentTable, SecondaryCurrentStation] = _Kind(
    "currents", _Reader.current, SecondaryCurrentTable, follow_current
)
