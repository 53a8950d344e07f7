"""`fit` of an observed current: constituents on its axes, and the [[currents]] table."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from windows.cli.current_table import across_path, print_current_table
from windows.cli.output import Target, emit, screen_width
from windows.cli.station_table import StationOptions
from windows.render.formats import RenderOptions, ResultKind, write

if TYPE_CHECKING:
    from harmonics.arrays import Array
    from harmonics.fitting.currents import CurrentAnalysis
    from harmonics.sums.waves import HarmonicConstants
    from windows.cli.fit_options import FitOptions, RecordOptions


def fit_observed_current(
    path: Path,
    said: "RecordOptions",
    wanted: "FitOptions",
    station: StationOptions,
    target: Target,
    flood_direction: float | None,
) -> None:
    """Analyse a record of a current: report to the screen, tables to files, the TOML table to paste.

    Raises:
        click.UsageError: options that are for levels alone.
        FileProblemsError, EbblightError: as for levels.
    """
    from harmonics.records.current_reader import read_currents
    from harmonics.sums.waves import NodePractice
    from windows.cli.input_options import options_named
    from windows.render.text.current_analysis import current_analysis_result

    if wanted.trend or wanted.reference is not None or said.units is not None:
        raise click.UsageError(
            "--units, --trend and --reference are for levels; a current needs none of them"
        )
    with options_named():
        record = read_currents(path, zone=said.zone, time_column=said.time_column)
    practice = NodePractice(wanted.node_factors)
    analysis = _analysis(record.path, record.t, record.east, record.north, wanted, flood_direction)
    width = screen_width()
    if target.output is not None:
        _write_tables(path, analysis, wanted, target.output)
    result = current_analysis_result(record, analysis, width)
    emit(write(ResultKind.ANALYSIS, target.form, result, RenderOptions(width, path.name)), None)
    if target.output is not None:
        two = _kept_across(analysis, wanted) is not None
        flood = flood_direction if two or flood_direction is None else analysis.axis_direction
        print_current_table(
            station,
            path,
            target.output,
            flood=flood,
            ebb=None if flood is None else (flood + 180.0) % 360.0,
            means=(analysis.along.mean, analysis.across.mean if two and analysis.across is not None else 0.0),
            axes=(analysis.axis_direction, analysis.across_direction) if two else None,
            practice=practice,
        )


def _analysis(
    path: str,
    t: "Array",
    east: "Array",
    north: "Array",
    wanted: "FitOptions",
    flood_direction: float | None,
) -> "CurrentAnalysis":
    from harmonics.errors import EbblightError, UnknownConstituentError
    from harmonics.fitting.currents import fit_current
    from harmonics.sums.waves import NodePractice
    from windows.cli.progress import shared

    try:
        with shared("fit", len(t)) as progress:
            return fit_current(
                t,
                east,
                north,
                flood_direction=flood_direction,
                practice=NodePractice(wanted.node_factors),
                names=wanted.constituents,
                robust=wanted.robust,
                infer=wanted.infer,
                progress=progress,
            )
    except UnknownConstituentError:
        raise
    except EbblightError as error:
        raise EbblightError(f"{path}: {error}") from None


def _kept_across(analysis: "CurrentAnalysis", wanted: "FitOptions") -> "HarmonicConstants | None":
    """What of the second axis is written: nothing where the current runs to and fro."""
    if analysis.across is None or not (analysis.turns or not wanted.trusted):
        return None
    return analysis.across.constants(trusted_only=wanted.trusted)


def _write_tables(path: Path, analysis: "CurrentAnalysis", wanted: "FitOptions", output: Path) -> None:
    """The constituents of each axis as a file that a station file can name.

    Raises:
        EbblightError: no line along the axis stands clear of the noise.
        OutputError: a file can't be written.
    """
    from harmonics.errors import EbblightError
    from harmonics.files.current_text import speed_csv

    along = analysis.along.constants(trusted_only=wanted.trusted)
    if not along.constituents:
        raise EbblightError(
            f"{path}: no constituent stands clear of the noise; --all-lines writes them all the same"
        )
    source = f"fitted to {path.name}, {analysis.along.days:.0f} days; knots"
    across = _kept_across(analysis, wanted)
    if across is not None:
        emit(
            speed_csv(across, (f"{source}, across the axis: {analysis.across_direction:.1f} degrees true",)),
            across_path(output),
        )
    emit(speed_csv(along, (f"{source}, along the axis: {analysis.axis_direction:.1f} degrees true",)), output)
