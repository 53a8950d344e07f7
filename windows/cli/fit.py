"""`fit`: constituents from observed levels."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from windows.cli.fit_options import FitOptions, RecordOptions, fit_options, record_options
from windows.cli.input_options import options_named
from windows.cli.options import target_options
from windows.cli.output import Target, emit, screen_width
from windows.cli.station_table import StationOptions, print_station_table, station_options
from windows.render.formats import RenderOptions, ResultKind, write

if TYPE_CHECKING:
    from harmonics.fitting.analysis import Analysis
    from harmonics.records.reader import LevelRecord
    from harmonics.stations.types import Station
    from harmonics.sums.waves import HarmonicConstants
    from harmonics.units import LengthUnit


@click.command()
@click.argument("levels", type=click.Path(path_type=Path))
@record_options
@fit_options
@station_options
@click.option(
    "--flood-direction",
    type=click.FloatRange(0, 360),
    help="Of a current: degrees true the flood sets to, about.",
)
@target_options(ResultKind.ANALYSIS, folders=False)
def fit(
    levels: Path,
    said: RecordOptions,
    wanted: FitOptions,
    station: StationOptions,
    flood_direction: float | None,
    target: Target,
) -> None:
    """Find constituents in observed levels, and say how far to trust them.

    LEVELS is a CSV with a column of times and one of levels, or of a current: speed and direction, or two
    components. Uneven steps and gaps are allowed. With -o the constituent table is written there, and the
    report goes to the screen. Slow lines that weather may have made are not trusted.
    """
    from harmonics.records.current_reader import holds_currents

    if said.level_column is None and holds_currents(levels):
        from windows.cli.fit_currents import fit_observed_current

        fit_observed_current(levels, said, wanted, station, target, flood_direction)
        return
    from harmonics.files.station_text import constituent_csv
    from harmonics.fitting.suspicions import suspicions
    from harmonics.sums.waves import NodePractice
    from harmonics.units import LengthUnit
    from windows.render.text.analysis import analysis_result
    from windows.render.words.analysis import report

    record = _record(levels, said)
    analysis = _analysis(record, wanted)
    unit = LengthUnit(said.units) if said.units is not None else _unit_of(record.unit)
    if target.output is not None:
        source = f"fitted to {levels.name}, {analysis.days:.0f} days; mean level {analysis.mean:.4f} m"
        kept = _kept(record, analysis, wanted.trusted)
        emit(constituent_csv(kept, unit, (source,)), target.output)
    width = screen_width()
    result = analysis_result(record, analysis, report(analysis, suspicions(analysis), unit), width)
    emit(write(ResultKind.ANALYSIS, target.form, result, RenderOptions(width, levels.name)), None)
    if target.output is not None:
        known = station.or_else(datum="zero of the record", mean_level=analysis.mean / unit.metres)
        print_station_table(known, levels, target.output, unit, NodePractice(wanted.node_factors))


def _record(levels: Path, said: RecordOptions) -> "LevelRecord":
    """The record, read with what the user says of it.

    Raises:
        FileProblemsError: every problem in it, with the options that would solve them.
    """
    from harmonics.records.reader import read_record
    from harmonics.units import LengthUnit

    with options_named():
        return read_record(
            levels,
            unit=None if said.units is None else LengthUnit(said.units),
            zone=said.zone,
            time_column=said.time_column,
            level_column=said.level_column,
        )


def _analysis(record: "LevelRecord", wanted: FitOptions) -> "Analysis":
    """The analysis of a record, with progress where it is long.

    Raises:
        EbblightError: a record too short, of one level alone, or too poor for what is wanted.
        UnknownConstituentError: a name that nothing explains.
    """
    from harmonics.errors import EbblightError, UnknownConstituentError
    from harmonics.fitting.analysis import fit as analyse
    from harmonics.sums.waves import NodePractice
    from windows.cli.progress import shared

    reference = None if wanted.reference is None else _reference(wanted.reference, wanted.reference_station)
    try:
        with shared("fit", len(record.t)) as progress:
            return analyse(
                record.t,
                record.level,
                names=wanted.constituents,
                practice=NodePractice(wanted.node_factors),
                trend=wanted.trend,
                robust=wanted.robust,
                infer=wanted.infer,
                reference=None if reference is None else reference.constants,
                progress=progress,
            )
    except UnknownConstituentError:
        raise
    except EbblightError as error:
        raise EbblightError(f"{record.path}: {error}") from None


def _kept(record: "LevelRecord", analysis: "Analysis", trusted: bool) -> "HarmonicConstants":
    """The constants that go into the table.

    Raises:
        EbblightError: none stands clear of the noise.
    """
    from harmonics.errors import EbblightError

    constants = analysis.constants(trusted_only=trusted)
    if not constants.constituents:
        raise EbblightError(
            f"{record.path}: no constituent stands clear of the noise; --all-lines writes them all the same"
        )
    return constants


def _unit_of(words: str) -> "LengthUnit":
    """The unit of a record in words, as a unit people read."""
    from harmonics.units import LengthUnit

    return LengthUnit.FEET if words.startswith("f") else LengthUnit.METRES


def _reference(path: Path, name: str | None) -> "Station":
    """The station whose ratios serve the inference.

    Raises:
        UnknownNameError: the file has none of that name, or several to choose from.
    """
    from harmonics.errors import UnknownNameError
    from harmonics.files.station_file import read_station_file
    from harmonics.stations.types import Station
    from windows.shoreline.shore import OTHER_TABLES

    file = read_station_file(path, OTHER_TABLES)
    primary = [item for item in file.stations if isinstance(item, Station)]
    found = [item for item in primary if name in (None, item.id)]
    if len(found) == 1:
        return found[0]
    names = ", ".join(item.id for item in primary) or "none"
    raise UnknownNameError(f"{path}: name a station with constituents with --reference-station: {names}")
