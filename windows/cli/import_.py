"""`import`: a published constituent table, made ready for a station file."""

from dataclasses import dataclass
from pathlib import Path

import click

from windows.cli.input_options import options_named, unit_option
from windows.cli.options import group, target_options
from windows.cli.output import Target, emit, screen_width
from windows.cli.station_table import StationOptions, print_station_table, station_options
from windows.render.formats import RenderOptions, ResultKind, write


@dataclass(frozen=True)
class TableOptions:
    """What a published table may leave unsaid.

    Attributes:
        units: "feet" or "metres".
        phase: "greenwich" or "local".
        utc_offset: hours from UTC.
    """

    units: str | None
    phase: str | None
    utc_offset: float | None


@click.command("import")
@click.argument("table", type=click.Path(path_type=Path))
@group(
    "said",
    TableOptions,
    unit_option,
    click.option(
        "--phase",
        type=click.Choice(["greenwich", "local"]),
        help="Kind of phase lag, where the table does not say.",
    ),
    click.option(
        "--utc-offset", type=click.FloatRange(-14, 14), help="Hours from UTC, for local phase lags."
    ),
)
@station_options
@target_options(ResultKind.CONSTITUENTS, folders=False)
def import_(table: Path, said: TableOptions, station: StationOptions, target: Target) -> None:
    """Turn a published constituent table into one that a station file can name.

    TABLE is CSV, tab-separated text or JSON as an agency publishes it: name, amplitude, phase, perhaps
    number, speed and description. Speeds are checked against the catalogue.
    """
    from harmonics.errors import EbblightError
    from harmonics.files.agency_tables import MAXIMUM_BYTES, PhaseKind, import_table
    from harmonics.files.text_files import read_text
    from harmonics.units import LengthUnit
    from windows.render.records.constituents import constituents_result

    with options_named():
        found = import_table(
            read_text(table, "a constituent table (CSV, tab-separated or JSON)", MAXIMUM_BYTES),
            str(table),
            unit=None if said.units is None else LengthUnit(said.units),
            phase=None if said.phase is None else PhaseKind(said.phase),
            utc_offset=said.utc_offset,
        )
    if not found.constants.constituents:
        raise EbblightError(f"{table}: found no amplitude above 0; expected a tide's")
    result = constituents_result(found.constants, found.unit, (f"from {table.name}", *found.assumed))
    options = RenderOptions(screen_width(), table.name)
    emit(write(ResultKind.CONSTITUENTS, target.form, result, options), target.output)
    for sentence in found.assumed:
        click.echo(sentence, err=True)
    if said.utc_offset is not None and found.phase is PhaseKind.GREENWICH:
        click.echo("--utc-offset changes nothing: the lags are Greenwich.", err=True)
    if target.output is not None and target.form == "csv":
        print_station_table(station, table, target.output, found.unit)
