"""The `[[currents]]` table that `import` and `fit` print, to paste into a station file."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from windows.cli.station_table import StationOptions, say_missing

if TYPE_CHECKING:
    from harmonics.sums.waves import NodePractice


def across_path(output: Path) -> Path:
    """The file of a current's second axis, beside that of its first."""
    return output.with_name(f"{output.stem}_across{output.suffix}")


def print_current_table(
    station: StationOptions,
    source: Path,
    output: Path,
    *,
    flood: float | None,
    ebb: float | None,
    means: tuple[float, float],
    axes: tuple[float, float] | None,
    practice: "NodePractice | None" = None,
) -> None:
    """Print the table, or say which options it lacks.

    Args:
        station: what is known of its place.
        source: the file that the constituents come from; it names a current without a name.
        output: the file that they were written to.
        flood, ebb: degrees true; None where not known.
        means: mean flow along and across, m/s.
        axes: directions of both axes, degrees true; None for a current on one axis.
        practice: node practice the constants go with; yearly where None.
    """
    from harmonics.files.current_text import CurrentHead, current_toml
    from harmonics.sums.waves import NodePractice

    latitude, longitude = station.latitude, station.longitude
    if latitude is None or longitude is None or flood is None or ebb is None:
        needed: dict[str, float | str | None] = {
            "latitude": latitude,
            "longitude": longitude,
            "flood-direction": flood,
        }
        if flood is not None:
            needed["ebb-direction"] = ebb
        say_missing(needed, "[[currents]]")
        return
    head = CurrentHead(*station.head_keys(source), latitude, longitude, flood, ebb, *means, axes)
    across = None if axes is None else across_path(output).name
    text = current_toml(head, output.name, across, practice or NodePractice.YEARLY)
    click.echo(f"\n{text}", nl=False)
