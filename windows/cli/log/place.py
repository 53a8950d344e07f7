"""Where the log lies, and what the commands that read it share."""

from collections.abc import Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from windows.cli.options import Decorator, F, date_of, group

if TYPE_CHECKING:
    from harmonics.units import LengthUnit
    from windows.log.trips import Trip
    from windows.shoreline.shore import Shore


def log_option(function: F) -> F:
    """--log."""
    return click.option(
        "--log",
        "path",
        type=click.Path(path_type=Path),
        help="The log's file.  [default: what FILE says, else trips.db in your folder for data]",
    )(function)


def optional_file(function: F) -> F:
    """FILE, of which only the log's place, names and units are taken."""
    return click.argument("file", type=click.Path(path_type=Path), required=False)(function)


def shore_of(file: Path | None) -> "Shore | None":
    """The shore of a station file, where one is named."""
    from windows.shoreline.shore import read_shore

    return None if file is None else read_shore(file)


def log_path(path: Path | None, shore: "Shore | None") -> Path:
    """The log's file: as asked for, as the station file says, or in the person's folder for data."""
    from windows.log.keeping import log_place

    return path if path is not None else log_place(shore)


def units_of(shore: "Shore | None") -> "LengthUnit":
    """The unit people read, metres where no file says."""
    from harmonics.units import LengthUnit

    return LengthUnit.METRES if shore is None else shore.head.units


class Which(NamedTuple):
    """--spot, --species, --since and --until: which trips are asked for."""

    spot: str | None
    species: str | None
    since: date | None
    until: date | None

    @property
    def sliced(self) -> bool:
        """Whether a spot or a species was picked out."""
        return self.spot is not None or self.species is not None

    def of(self, trips: "Sequence[Trip]") -> "tuple[Trip, ...]":
        """Those of some trips that are asked for; a species leaves trips without it in, as zeros."""
        return tuple(trip for trip in trips if self._wanted(trip))

    def _wanted(self, trip: "Trip") -> bool:
        from zoneinfo import ZoneInfo

        day = datetime.fromtimestamp(trip.start, UTC).astimezone(ZoneInfo(trip.zone)).date()
        return (
            self.spot in {None, trip.spot}
            and (self.since is None or day >= self.since)
            and (self.until is None or day <= self.until)
        )


which_options: Decorator = group(
    "which",
    Which,
    click.option("--spot", help="Trips at this spot alone, by its id."),
    click.option("--species", help="Count this species alone; trips without it count as zeros."),
    click.option("--since", callback=date_of, metavar="DATE", help="First local day, YYYY-MM-DD."),
    click.option("--until", callback=date_of, metavar="DATE", help="Last local day, YYYY-MM-DD."),
)
