"""The `[[stations]]` table that `import` and `fit` print, to paste into a station file."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from windows.cli.options import Decorator, group

if TYPE_CHECKING:
    from harmonics.sums.waves import NodePractice
    from harmonics.units import LengthUnit


@dataclass(frozen=True)
class StationOptions:
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

    def or_else(self, datum: str, mean_level: float) -> "StationOptions":
        """The same, with these where the user did not say."""
        return replace(
            self,
            datum=self.datum or datum,
            mean_level=mean_level if self.mean_level is None else self.mean_level,
        )


station_options: Decorator = group(
    "station",
    StationOptions,
    click.option("--id", "identifier", help="Id of the station.  [default: from the file's name]"),
    click.option("--name", help="Name of the station.  [default: the file's]"),
    click.option("--latitude", type=click.FloatRange(-90, 90), help="Degrees, north positive."),
    click.option("--longitude", type=click.FloatRange(-180, 180), help="Degrees, east positive."),
    click.option("--datum", help="What heights are counted from."),
    click.option("--mean-level", type=float, help="Mean sea level above the datum, in the table's unit."),
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
        missing = ", ".join(f"--{option}" for option, value in needed.items() if value is None)
        click.echo(f"Give {missing} to have the [[stations]] table printed as well.", err=True)
        return
    head = StationHead(
        station.identifier or _identifier(source),
        station.name or source.stem,
        latitude,
        longitude,
        datum,
        mean_level * unit.metres,
    )
    text = station_toml(head, table.name, unit, practice or NodePractice.YEARLY)
    click.echo(f"\n{text}", nl=False)


def _identifier(source: Path) -> str:
    """An id from a file's name."""
    letters = (letter if letter.isalnum() and letter.isascii() else "-" for letter in source.stem)
    return "".join(letters).strip("-").lower() or "station"
