"""`import`: a published table of harmonic constants, made ready for a station file."""

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from harmonics.bounds import MEAN_FLOW
from windows.cli.current_table import across_path, print_current_table
from windows.cli.input_options import options_named
from windows.cli.options import group, target_options
from windows.cli.output import Target, emit, screen_width
from windows.cli.station_table import StationOptions, print_station_table, station_options
from windows.render.formats import RenderOptions, ResultKind, write

if TYPE_CHECKING:
    from harmonics.files.published.results import ImportedCurrent, ImportedTable

UNITS = ("metres", "centimetres", "millimetres", "feet", "inches", "knots", "m/s", "cm/s", "mm/s")


class SaidOptions(NamedTuple):
    """What a published table may leave unsaid.

    Attributes:
        units: one of UNITS.
        phase: "greenwich" or "local".
        utc_offset: hours from UTC.
        flood_direction, ebb_direction, across_direction: degrees true.
        mean_flow: knots, flood positive.
    """

    units: str | None
    phase: str | None
    utc_offset: float | None
    flood_direction: float | None
    ebb_direction: float | None
    across_direction: float | None
    mean_flow: float | None


_DEGREES = click.FloatRange(0, 360)
said_options = group(
    "said",
    SaidOptions,
    click.option("--units", type=click.Choice(UNITS), help="Unit, where the table does not say."),
    click.option(
        "--phase",
        type=click.Choice(["greenwich", "local"]),
        help="Kind of phase lag, where the table does not say.",
    ),
    click.option(
        "--utc-offset", type=click.FloatRange(-14, 14), help="Hours from UTC, for local phase lags."
    ),
    click.option("--flood-direction", type=_DEGREES, help="Of a current: degrees true the flood sets to."),
    click.option("--ebb-direction", type=_DEGREES, help="Of a current: degrees true the ebb sets to."),
    click.option(
        "--across-direction",
        type=_DEGREES,
        help="Of a current: degrees true where its minor axis is positive.",
    ),
    click.option(
        "--mean-flow", type=click.FloatRange(*MEAN_FLOW), help="Of a current: knots, flood positive."
    ),
)


@click.command("import")
@click.argument("table", type=click.Path(path_type=Path))
@said_options
@station_options
@target_options(ResultKind.CONSTITUENTS, folders=False)
def import_(table: Path, said: SaidOptions, station: StationOptions, target: Target) -> None:
    """Turn a published table of constituents into one that a station file can name.

    TABLE is what an agency publishes, as it is published: text with columns of any kind, CSV, a page saved
    from a browser, or JSON, of a tide or of a current. Unit, kind of phase lag, datum and place are taken
    from the table's own words, and the line that says each is told. Speeds are checked against the
    catalogue.
    """
    from harmonics.files.published.results import ImportedCurrent
    from windows.render.words.imported import sentences

    found = read_said_table(table, said, station.longitude)
    told = sentences(found)
    comments = (f"from {table.name}", *told)
    options = RenderOptions(screen_width(), table.name)
    if isinstance(found, ImportedCurrent):
        _emit_current(found, comments, target, options)
    else:
        _emit_tide(found, comments, target, options)
    for sentence in told:
        click.echo(sentence, err=True)
    if said.utc_offset is not None and found.facts.utc_offset is None:
        click.echo("--utc-offset changes nothing: the lags are Greenwich.", err=True)
    if target.output is None or target.form != "csv":
        return
    place = found.facts.place
    known = station.or_else(
        **{
            key: said.value
            for key, said in (
                ("name", place.station),
                ("latitude", place.latitude),
                ("longitude", place.longitude),
                ("datum", place.datum),
            )
            if said is not None
        }
    )
    if isinstance(found, ImportedCurrent):
        _print_current_table(found, known, table, target.output)
        return
    if found.mean_level is not None:
        known = known.or_else(mean_level=found.mean_level / found.unit.metres)
    print_station_table(known, table, target.output, found.unit)


def read_said_table(
    table: Path, said: SaidOptions, longitude: float | None
) -> "ImportedTable | ImportedCurrent":
    """The table, read with what the user says of it.

    Raises:
        FileProblemsError: every problem in it, with the options that would solve them.
        EbblightError: no tide and no current in it.
    """
    from harmonics.errors import EbblightError
    from harmonics.files.agency_tables import TableOptions, read_published
    from harmonics.files.published.results import ImportedTable
    from harmonics.files.published.statements import Fact
    from harmonics.files.published.units import PhaseKind, TableUnit

    options = TableOptions(
        None if said.units is None else TableUnit(said.units),
        None if said.phase is None else PhaseKind(said.phase),
        said.utc_offset,
        longitude,
        {
            Fact.FLOOD: said.flood_direction,
            Fact.EBB: said.ebb_direction,
            Fact.ACROSS: said.across_direction,
            Fact.MEAN_FLOW: said.mean_flow,
        },
    )
    with options_named():
        found = read_published(table, options)
    if isinstance(found, ImportedTable):
        constants, kind = found.constants, "tide"
    else:
        constants, kind = found.along, "current"
    if not constants.constituents:
        raise EbblightError(f"{table}: found no amplitude above 0; expected a {kind}'s")
    return found


def _emit_tide(
    found: "ImportedTable", comments: tuple[str, ...], target: Target, options: RenderOptions
) -> None:
    from windows.render.records.constituents import constituents_result

    result = constituents_result(found.constants, found.unit, comments)
    emit(write(ResultKind.CONSTITUENTS, target.form, result, options), target.output)


def _emit_current(
    found: "ImportedCurrent", comments: tuple[str, ...], target: Target, options: RenderOptions
) -> None:
    """The table of a current; that of a second axis goes into a file beside it.

    Raises:
        click.UsageError: two tables and no file.
        OutputError: a file can't be written.
    """
    from harmonics.files.current_text import speed_csv
    from windows.render.records.constituents import currents_result

    result = currents_result(found, comments)
    if found.across is not None and target.form == "csv":
        if target.output is None:
            raise click.UsageError("a current on two axes needs two tables: name a file with -o")
        emit(speed_csv(found.across, ("across the axis", *comments)), across_path(target.output))
    emit(write(ResultKind.CONSTITUENTS, target.form, result, options), target.output)


def _print_current_table(
    found: "ImportedCurrent", station: StationOptions, source: Path, output: Path
) -> None:
    flood, ebb = found.flood_direction, found.ebb_direction
    two = found.across is not None and found.axis_direction is not None
    if ebb is None and flood is not None and (two or found.axis_direction == flood):
        ebb = (flood + 180.0) % 360.0
    axes = None
    if found.across is not None and found.axis_direction is not None and found.across_direction is not None:
        axes = found.axis_direction, found.across_direction
    means = found.mean_along, found.mean_across
    print_current_table(station, source, output, flood=flood, ebb=ebb, means=means, axes=axes)
