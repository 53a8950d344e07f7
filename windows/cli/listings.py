"""What the listings of water and sky share: a file's places, one or all, in one result."""

from abc import ABC, abstractmethod
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, Generic, TypeVar

from windows.cli.options import Choice
from windows.cli.output import Answer
from windows.render.formats import RenderOptions, ResultKind, write

if TYPE_CHECKING:
    from collections.abc import Mapping

    from harmonics.errors import UnknownNameError
    from harmonics.stations.types import TideStation
    from windows.render.records.results import PlaceResult
    from windows.shoreline.shore import Shore

P = TypeVar("P")


@dataclass(frozen=True)
class Listing(ABC, Generic[P]):
    """A listing asked for; `windows.cli.many.Job` is met.

    Attributes:
        now: the clock, POSIX seconds.
        width: columns of a table.
        form: name of the format.
        choice: the place, where one is named.
    """

    plural: ClassVar[str] = "stations"
    """The JSON header's key for several places."""

    now: float
    width: int
    form: str
    choice: Choice

    def single(self, file: Path) -> Answer:
        """The listing of the place asked for, or of the file's only one."""
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        return self._written(shore, [self.only(shore)])

    def whole(self, file: Path) -> Answer:
        """The listing of all places of a file, or of the one asked for."""
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        places = self.every(shore) if self.choice.is_open else ()
        return self._written(shore, places or [self.only(shore)])

    def _written(self, shore: "Shore", places: Sequence[P]) -> Answer:
        from windows.render.records.results import joined

        parts = [self.part(shore, place) for place in places]
        result = joined(parts, self.plural, header_of(shore, self.now))
        data = write(ResultKind.LISTING, self.form, result, RenderOptions(self.width, shore.path.name))
        return Answer(data, tuple(remark for part in parts for remark in part.remarks))

    @abstractmethod
    def only(self, shore: "Shore") -> P:
        """The place asked for, or the file's only one.

        Raises:
            UnknownNameError: there is none of that name, or the choice is open.
        """

    @abstractmethod
    def every(self, shore: "Shore") -> Sequence[P]:
        """All places of the file."""

    @abstractmethod
    def part(self, shore: "Shore", place: P) -> "PlaceResult":
        """The listing of one place."""


def header_of(shore: "Shore", now: float, **more: Any) -> "Mapping[str, Any]":
    """The JSON header of a result that is not a forecast."""
    from windows.render.records.tables import header

    return {**header(shore.head, now), **more}


def which(path: Path, what: str, options: str, ids: Iterable[str], table: str) -> "UnknownNameError":
    """That a choice was left open, or that the file has nothing to choose from.

    Args:
        path: the file.
        what: is asked for, as station.
        options: that name one.
        ids: to choose from.
        table: that holds such a thing.
    """
    from harmonics.errors import UnknownNameError

    known = ", ".join(ids)
    if not known:
        return UnknownNameError(f"{path}: which {what}? The file has no {table}")
    return UnknownNameError(f"{path}: which {what}? Name one with {options}: {known}")


def chosen_station(shore: "Shore", choice: Choice) -> "TideStation":
    """The tide station asked for, that of a spot, or the file's only one.

    Raises:
        UnknownNameError: there is none of that name, or the choice is open.
    """
    if choice.station is not None:
        return shore.station(choice.station)
    if choice.spot is not None:
        return shore.spot(choice.spot).station
    if len(shore.stations) == 1:
        return shore.stations[0]
    raise which(shore.path, "station", "--station", (item.id for item in shore.stations), "[[stations]]")
