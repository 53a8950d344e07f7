"""The `[[stations]]` table that `import` and `fit` print, to paste into a station file."""

from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from harmonics.bounds import HEIGHT
from windows.cli.angles import LATITUDE, LONGITUDE
from windows.cli.options import Decorator, group
from windows.shoreline.ids import identifier_of

if TYPE_CHECKING:
    from harmonics.sums.waves import NodePractice
    from harmonics.units import LengthUnit


class StationOptions(NamedTuple):
    """What a `[[stations]]` table says beside its constituents; None where the user did not say.

    Attributes:
        mean_level: in the unit of the constituents.
    """

    identifier: str | None
    name: str | None
    latitude: float | None
    longitude: float | None
    datum: str | None
    mean_level: float | None

    def or_else(self, **known: object) -> "StationOptions":
        """The same, with these where the user did not say."""
        unsaid: dict[str, Any] = {key: value for key, value in known.items() if getattr(self, key) is None}
        return self._replace(**unsaid)

    def head_keys(self, source: Path) -> tuple[str, str]:
        """Id and name, from the source's name where the user gave none."""
        return self.identifier or identifier_of(source.stem), self.name or source.stem


station_options: Decorator = group(
    "station",
    StationOptions,
    click.option("--id", "identifier", help="Id of the station.  [default: from the file's name]"),
    click.option("--name", help="Name of the station.  [default: the file's]"),
    click.option("--latitude", type=LATITUDE, help="Degrees, north positive."),
    click.option("--longitude", type=LONGITUDE, help="Degrees, east positive."),
    click.option("--datum", help="What heights are counted from."),
    click.option(
        "--mean-level",
        type=click.FloatRange(*HEIGHT),
        help="Mean sea level above the datum, in the table's unit.",
    ),
)


def print_station_table(
    station: StationOptions,
    source: Path,
    table: Path,
    unit: "LengthUnit",
    practice: "NodePractice | None" = None,
) -> None:
    """Print the table, or say which options it lacks.

    Args:
        station: what the user said of it.
        source: the file that the constituents come from; it names a station without a name.
        table: the file that they were written to.
        unit: of the table's amplitudes and the mean level.
        practice: node practice the constants go with; yearly where None.
    """
    from harmonics.files.station_text import StationHead, station_toml
    from harmonics.sums.waves import NodePractice

    latitude, longitude = station.latitude, station.longitude
    datum, mean_level = station.datum, station.mean_level
    if latitude is None or longitude is None or datum is None or mean_level is None:
        needed = {"latitude": latitude, "longitude": longitude, "datum": datum, "mean-level": mean_level}
        say_missing(needed, "[[stations]]")
        return
    head = StationHead(
        *station.head_keys(source),
        latitude,
        longitude,
        datum,
        mean_level * unit.metres,
    )
    text = station_toml(head, table.name, unit, practice or NodePractice.YEARLY)
    click.echo(f"\n{text}", nl=False)


def say_missing(needed: dict[str, float | str | None], table: str) -> None:
    """Which options a table of the file still lacks."""
    missing = ", ".join(f"--{option}" for option, value in needed.items() if value is None)
    click.echo(f"Give {missing} to have the {table} table printed as well.", err=True)
