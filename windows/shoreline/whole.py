"""A whole shoreline: its water, its spots, and how people there fish."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from harmonics.errors import Problem, UnknownNameError
from harmonics.stations.types import AnyCurrentStation, TideStation
from windows.shoreline.head import Head
from windows.shoreline.outings import Boat, Landing, Outing, Way
from windows.shoreline.spots import Bank, Spot

if TYPE_CHECKING:
    from harmonics.files.record_source import RecordSource
    from windows.shoreline.quarry import Quarry
    from windows.shoreline.rules import Rule
    from windows.shoreline.weather_file import WeatherSource


@dataclass(frozen=True, eq=False)
class Shore:
    """What a file says of a shoreline.

    Attributes:
        path: the file as the user named it.
        head: its title, clock and units.
        stations, currents, spots: in the file's order.
        observed: files of recent readings by station id.
        banks, landings, ways: in the file's order.
        boat: None for people on foot.
        outing: how one wants to spend a day out.
        records: observed levels by station id.
        weather: where its weather is; None where the file names none.
        quarry: fish the file speaks of.
        rules: to keep fish by.
        log: where trips are kept; None for the place of all files that name none.
        doubts: what reads well and yet can't be so, as a check refuses it.
    """

    path: Path
    head: Head
    stations: tuple[TideStation, ...]
    currents: tuple[AnyCurrentStation, ...]
    spots: tuple[Spot, ...]
    observed: Mapping[str, Path] = field(default_factory=dict)
    banks: tuple[Bank, ...] = ()
    landings: tuple[Landing, ...] = ()
    boat: Boat | None = None
    ways: tuple[Way, ...] = ()
    outing: Outing = field(default_factory=Outing)
    records: Mapping[str, "RecordSource"] = field(default_factory=dict)
    weather: "WeatherSource | None" = None
    quarry: "tuple[Quarry, ...]" = ()
    rules: "tuple[Rule, ...]" = ()
    log: Path | None = None
    doubts: tuple[Problem, ...] = ()

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

    def landing(self, name: str) -> Landing:
        """The landing of that id; errors as for `spot`."""
        return _named(self.landings, name, "landing", self.path)

    def fish(self, name: str) -> "Quarry":
        """The fish of that name, whatever its case; errors as for `spot`."""
        from windows.shoreline.quarry import named_quarry

        found = named_quarry(name, self.quarry)
        if found is None:
            known = ", ".join(item.name for item in self.quarry) or "none"
            raise UnknownNameError(f"{self.path}: no [[quarry]] '{name}'; the file's fish: {known}")
        return found

    def sought(self, spots: Iterable[Spot], name: str | None) -> tuple[Spot, ...]:
        """Spots fished for the fish of that name; as they are where None. Errors as for `fish`."""
        return tuple(spots) if name is None else tuple(map(self.fish(name).sought_at, spots))


T = TypeVar("T", Spot, TideStation, AnyCurrentStation, Landing)


def _named(items: tuple[T, ...], name: str, kind: str, path: Path) -> T:
    for item in items:
        if item.id == name:
            return item
    known = ", ".join(item.id for item in items) or "none"
    raise UnknownNameError(f"{path}: no {kind} '{name}'; the file's {kind}s: {known}")
