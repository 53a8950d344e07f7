"""A whole shoreline from one file: its water, its spots, and how people there fish."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from harmonics.errors import UnknownNameError
from harmonics.stations.types import AnyCurrentStation, TideStation
from windows.shoreline.head import Head
from windows.shoreline.quarry import Quarry
from windows.shoreline.rules import Rule
from windows.shoreline.spots import Spot


@dataclass(frozen=True, eq=False)
class Shore:
    """What a file says of a shoreline.

    Attributes:
        path: the file as the user named it.
        head: its title, clock and units.
        stations, currents, spots: in the file's order.
        observed: files of recent readings by station id.
        quarry: fish the file speaks of.
        rules: to keep fish by.
        log: where trips are kept; None for the place of all files that name none.
    """

    path: Path
    head: Head
    stations: tuple[TideStation, ...]
    currents: tuple[AnyCurrentStation, ...]
    spots: tuple[Spot, ...]
    observed: Mapping[str, Path] = field(default_factory=dict)
    quarry: tuple[Quarry, ...] = ()
    rules: tuple[Rule, ...] = ()
    log: Path | None = None

    def spot(self, name: str) -> Spot:
        """The spot of that id.

        Raises:
            UnknownNameError: there is none; the message lists those there are.
        """
        return _named(self.spots, name, "spot", self.path)

    def station(self, name: str) -> TideStation:
        """The tide station of that id; errors as for `spot`."""
        return _named(self.stations, name, "station", self.path)

    def current(self, name: str) -> AnyCurrentStation:
        """The current station of that id; errors as for `spot`."""
        return _named(self.currents, name, "current", self.path)


T = TypeVar("T", Spot, TideStation, AnyCurrentStation)


def _named(items: tuple[T, ...], name: str, kind: str, path: Path) -> T:
    for item in items:
        if item.id == name:
            return item
    known = ", ".join(item.id for item in items) or "none"
    raise UnknownNameError(f"{path}: no {kind} '{name}'; the file's {kind}s: {known}")


def read_shore(path: Path) -> Shore:
    """Read and check a whole file.

    Raises:
        FileProblemsError: with every problem of stations, currents, spots and preferences at once.
    """
    from harmonics.files.problems import Problems
    from harmonics.files.station_file import collect_stations
    from windows.shoreline.log_file import TABLES, LogPart, read_log_part
    from windows.shoreline.spot_file import read_spots

    problems = Problems(path)
    file = collect_stations(path, ("spots", "fishing", "banks", *TABLES), problems)
    spots: tuple[Spot, ...] = ()
    part = LogPart()
    if file is not None:
        spots = read_spots(file, problems)
        part = read_log_part(file, problems)
    if file is None or problems:
        raise problems.error()
    return Shore(
        path,
        Head(file.title, file.invented, file.zone, file.units),
        stations=file.stations,
        currents=file.currents,
        spots=spots,
        observed=file.observed,
        quarry=part.quarry,
        rules=part.rules,
        log=part.log,
    )
