"""A station file read and checked: tide stations and currents, primary and secondary.

The tables of other rooms (spots, fishing) are passed on as they stand; whoever owns them checks them.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Generic, NamedTuple, TypeVar
from zoneinfo import ZoneInfo

from harmonics.errors import FileProblemsError, Problem, ProblemList
from harmonics.files.checking import checked, checked_on, load_document, named, refuse_unknown, shown
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

GREATEST_UTC_OFFSET = 14.0
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


def read_station_file(path: Path, other_tables: tuple[str, ...] = ()) -> StationFile:
    """Read and check the stations of a file.

    Args:
        path: a TOML file; constituent tables are looked for beside it.
        other_tables: top-level keys that belong to somebody else and are passed on.

    Raises:
        FileProblemsError: with every problem of the stations and currents.
    """
    problems = ProblemList(str(path))
    file = collect_stations(path, other_tables, problems)
    if file is None or problems:
        raise FileProblemsError(str(path), tuple(problems))
    return file


def collect_stations(
    path: Path, other_tables: tuple[str, ...], problems: list[Problem]
) -> StationFile | None:
    """As `read_station_file`, but adding problems to a list, so that others can add theirs.

    Returns None for an empty file. Stations with problems are left out; a head with problems is stood in
    for, so that the rest of the file can still be checked.

    Raises:
        FileProblemsError: the file can't be read or is not TOML.
    """
    document = load_document(path)
    if not document:
        problems.append(Problem("file", "an empty file", "title, time_zone, units and [[stations]]"))
        return None
    others = {key: document.pop(key) for key in other_tables if key in document}
    refuse_unknown(document, HeadTable, other_tables, problems)
    head = checked(HeadTable, document, "", problems)
    zone = _zone(document.get("time_zone"), problems)
    reader = _Reader(path.parent, document.get("node_factors"), problems)
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
    )


def _zone(name: object, problems: list[Problem]) -> ZoneInfo | None:
    if not isinstance(name, str):
        return None
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        problems.append(Problem("time_zone", shown(name), 'an IANA time zone such as "America/Chicago"'))
        return None


P = TypeVar("P", Station, OwnCurrentStation)
M = TypeVar("M", SecondaryTable, SecondaryCurrentTable)
Q = TypeVar("Q", SecondaryStation, SecondaryCurrentStation)


class _Kind(NamedTuple, Generic[P, M, Q]):
    """How one list of a file is read: its key, its primary tables, and those that follow a reference."""

    key: str
    primary: Callable[["_Reader", dict[str, Any], str], P | None]
    follower: type[M]
    follow: Callable[[M, P, LengthUnit, str, list[Problem]], Q | None]


class _Reader:
    """Reads the station tables of one file, collecting problems."""

    def __init__(self, folder: Path, practice: object, problems: list[Problem]) -> None:
        self.folder = folder
        self.practice = practice if practice in ("yearly", "continuous") else "yearly"
        self.problems = problems
        self.seen: dict[str, str] = {}
        self.declared: frozenset[str] = frozenset()
        self.observed: dict[str, Path] = {}

    def read(self, tables: object, kind: _Kind[P, M, Q]) -> tuple[P | Q, ...]:
        """Stations of one list in the file's order; a follower may stand before its reference."""
        listed = self._tables(tables, kind.key)
        primary: dict[str, P] = {}
        followers: list[tuple[str, M, bool]] = []
        order: list[str] = []
        for where, table in listed:
            if "reference" in table:
                before = len(self.problems)
                model = self._follower(kind, table, where)
                if model is not None and self._new_id(model.id, where):
                    followers.append((where, model, len(self.problems) == before))
                    order.append(model.id)
            elif (station := kind.primary(self, table, where)) is not None:
                primary[station.id] = station
                order.append(station.id)
        self.declared |= {named(table.get("id")) for _, table in listed}
        with_own = {named(table.get("id")): table for _, table in listed if "reference" not in table}
        made: dict[str, P | Q] = dict(primary)
        for where, model, whole in followers:
            if model.reference in primary:
                unit = _unit(with_own[model.reference])
                reference = primary[model.reference]
                follower = kind.follow(model, reference, unit, where, self.problems)
                problem = swapped(follower) if whole and follower is not None else None
                if problem is not None:
                    self.problems.append(Problem(where, problem, IN_ORDER))
                elif follower is not None:
                    made[model.id] = follower
            elif model.reference not in with_own and model.reference != STAND_IN["reference"]:
                known = ", ".join(primary) or "this file has none"
                expected = f"the id of one of [[{kind.key}]] with constituents ({known})"
                self.problems.append(Problem(f"{where}.reference", f"'{model.reference}'", expected))
        return tuple(made[name] for name in order if name in made)

    def _follower(self, kind: _Kind[P, M, Q], table: dict[str, Any], where: str) -> M | None:
        """A table that names a reference, less what is wrong in it."""
        name = where.strip("]").replace("[", "-")
        return checked_on(kind.follower, table, where, self.problems, STAND_IN | {"id": name})

    def _tables(self, tables: object, key: str) -> list[tuple[str, dict[str, Any]]]:
        found: list[tuple[str, dict[str, Any]]] = []
        for index, table in enumerate(tables if isinstance(tables, list) else []):
            if isinstance(table, dict):
                found.append((f"{key}[{index}]", table))
            else:
                self.problems.append(Problem(f"{key}[{index}]", shown(table), f"a [[{key}]] table"))
        return found

    def _new_id(self, name: str, where: str) -> bool:
        if name in self.seen:
            found = f"'{name}', the id of {self.seen[name]} too"
            self.problems.append(Problem(f"{where}.id", found, "an id of its own"))
            return False
        self.seen[name] = where
        return True

    def station(self, table: dict[str, Any], where: str) -> Station | None:
        """A tide station with constants of its own."""
        model = checked(StationTable, table, where, self.problems)
        unit = _unit(table)
        constants = self._constants(table, where, unit.metres)
        if model is None or constants is None or not self._new_id(model.id, where):
            return None
        if model.observed is not None:
            self.observed[model.id] = self.folder / model.observed
        return Station(
            model.id,
            model.name,
            model.latitude,
            model.longitude,
            model.datum,
            model.mean_level * unit.metres,
            constants,
            NodePractice(model.node_factors or self.practice),
        )

    def current(self, table: dict[str, Any], where: str) -> OwnCurrentStation | None:
        """A current station with constants of its own, on one axis or on two."""
        if "constituents_across" in table:
            return self._two_components(table, where)
        model = checked(CurrentTable, table, where, self.problems)
        constants = self._constants(table, where, METRES_PER_SECOND_PER_KNOT)
        if model is None or constants is None or not self._new_id(model.id, where):
            return None
        return CurrentStation(
            model.id,
            model.name,
            model.latitude,
            model.longitude,
            model.flood_direction,
            model.ebb_direction,
            model.mean_flow * METRES_PER_SECOND_PER_KNOT,
            constants,
            NodePractice(model.node_factors or self.practice),
        )

    def _two_components(self, table: dict[str, Any], where: str) -> TwoComponentStation | None:
        knot = METRES_PER_SECOND_PER_KNOT
        model = checked(TwoComponentTable, table, where, self.problems)
        along = self._constants(table, where, knot)
        across = self._constants(table, where, knot, "constituents_across", say_offset=False)
        if model is None or along is None or across is None or not self._new_id(model.id, where):
            return None
        try:
            return TwoComponentStation(
                id=model.id,
                name=model.name,
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
            self.problems.append(Problem(f"{where}.across_direction", found, expected))
            return None

    def _constants(
        self,
        table: dict[str, Any],
        where: str,
        unit: float,
        key: str = "constituents",
        say_offset: bool = True,
    ) -> HarmonicConstants | None:
        offset = self._phase_offset(table, where, self.problems if say_offset else [])
        source = table.get(key)
        place = f"{where}.{key}"
        if isinstance(source, list):
            rows = rows_of_list(source, place, self.problems)
        elif isinstance(source, str) and source:
            found = rows_of_csv(self.folder / source, place, self.problems)
            if found is None:
                return None
            rows = found
        else:
            return None
        return constants_of(rows, place, unit, offset, self.problems)

    @staticmethod
    def _phase_offset(table: dict[str, Any], where: str, problems: list[Problem]) -> float | None:
        offset, local = table.get("utc_offset"), table.get("phase") == "local"
        if local and offset is None:
            expected = 'hours from UTC, for phase = "local"'
            problems.append(Problem(f"{where}.utc_offset", "nothing (the key is missing)", expected))
        if not local and offset is not None:
            found = 'utc_offset without phase = "local"'
            problems.append(Problem(f"{where}.utc_offset", found, 'phase = "local", or no utc_offset'))
        usable = isinstance(offset, int | float) and abs(offset) <= GREATEST_UTC_OFFSET
        return float(offset) if local and usable and offset is not None else None


def _unit(table: Mapping[str, Any]) -> LengthUnit:
    return LengthUnit.FEET if table.get("length_unit") == "feet" else LengthUnit.METRES


_TIDES = _Kind("stations", _Reader.station, SecondaryTable, follow_tide)
_CURRENTS: _Kind[OwnCurrentStation, SecondaryCurrentTable, SecondaryCurrentStation] = _Kind(
    "currents", _Reader.current, SecondaryCurrentTable, follow_current
)
