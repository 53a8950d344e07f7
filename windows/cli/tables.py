"""`import` and `fit`: constituents from a published table, or from observed levels."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import click

from windows.cli.options import emit, emit_text, form_option, output_option, width

if TYPE_CHECKING:
    from harmonics.fitting.analysis import Analysis
    from harmonics.records.reader import LevelRecord
    from harmonics.stations.types import Station
    from harmonics.sums.waves import HarmonicConstants, NodePractice
    from harmonics.units import LengthUnit

_OPTIONS = {
    "units": "--units",
    "no unit": "--units",
    "phase": "--phase",
    "utc_offset": "--utc-offset",
    "a clock without a zone": "--zone",
}
"""The option that gives what a table or a record lacks, by the problem's place or by what was found."""
_unit = click.option(
    "--units", type=click.Choice(["feet", "metres"]), help="Unit, where the file does not say."
)


def _head_options(function: Any) -> Any:
    """What a [[stations]] table says beside its constituents."""
    for option in (
        click.option("--mean-level", type=float, help="Mean sea level above the datum, in the table's unit."),
        click.option("--datum", help="What heights are counted from."),
        click.option("--longitude", type=click.FloatRange(-180, 180), help="Degrees, east positive."),
        click.option("--latitude", type=click.FloatRange(-90, 90), help="Degrees, north positive."),
        click.option("--name", help="Name of the station.  [default: the file's]"),
        click.option("--id", "identifier", help="Id of the station.  [default: from the file's name]"),
    ):
        function = option(function)
    return function


@click.command("import")
@click.argument("table", type=click.Path(path_type=Path))
@_unit
@click.option(
    "--phase",
    type=click.Choice(["greenwich", "local"]),
    help="Kind of phase lag, where the table does not say.",
)
@click.option("--utc-offset", type=click.FloatRange(-14, 14), help="Hours from UTC, for local phase lags.")
@_head_options
@output_option
def import_(
    table: Path,
    units: str | None,
    phase: str | None,
    utc_offset: float | None,
    output: Path | None,
    **head: Any,
) -> None:
    """Turn a published constituent table into one that a station file can name.

    TABLE is CSV, tab-separated text or JSON as an agency publishes it: name, amplitude, phase, perhaps
    number, speed and description. Speeds are checked against the catalogue.
    """
    from harmonics.errors import EbblightError
    from harmonics.files.agency_tables import MAXIMUM_BYTES, PhaseKind, import_table
    from harmonics.files.station_text import constituent_csv
    from harmonics.files.text_files import read_text
    from harmonics.units import LengthUnit

    with _options_named():
        found = import_table(
            read_text(table, "a constituent table (CSV, tab-separated or JSON)", MAXIMUM_BYTES),
            str(table),
            unit=None if units is None else LengthUnit(units),
            phase=None if phase is None else PhaseKind(phase),
            utc_offset=utc_offset,
        )
    if not found.constants.constituents:
        raise EbblightError(f"{table}: found no amplitude above 0; expected a tide's")
    source = f"from {table.name}"
    text = constituent_csv(found.constants, found.unit, (source, *found.assumed))
    emit_text(text, output)
    for sentence in found.assumed:
        click.echo(sentence, err=True)
    if utc_offset is not None and found.phase is PhaseKind.GREENWICH:
        click.echo("--utc-offset changes nothing: the lags are Greenwich.", err=True)
    _say_table(table, output, found.unit, head, head["mean_level"])


@click.command()
@click.argument("levels", type=click.Path(path_type=Path))
@_unit
@click.option("--zone", help="IANA time zone of the clock, where neither stamps nor header say.")
@click.option("--time-column", help="Header of the times, where several would do.")
@click.option("--level-column", help="Header of the levels, where several would do.")
@click.option("--constituents", help="Names to fit, as M2,S2,K1.  [default: those the record tells apart]")
@click.option("--trend/--no-trend", default=False, help="Fit a straight line through the years as well.")
@click.option("--robust/--plain", default=True, help="Weigh outliers down, or not.")
@click.option("--infer/--no-infer", default=True, help="Infer close neighbours the record can't resolve.")
@click.option(
    "--reference",
    type=click.Path(path_type=Path),
    help="Station file whose ratios serve the inference instead of those of the equilibrium tide.",
)
@click.option("--reference-station", help="Which station of it.")
@click.option(
    "--trusted/--all-lines", default=True, help="Write those clear of the noise, or all.  [default: trusted]"
)
@click.option(
    "--node-factors",
    type=click.Choice(["yearly", "continuous"]),
    default="yearly",
    show_default=True,
    help="Practice the constants will be predicted with.",
)
@_head_options
@form_option
@output_option
def fit(
    levels: Path,
    units: str | None,
    zone: str | None,
    time_column: str | None,
    level_column: str | None,
    constituents: str | None,
    trend: bool,
    robust: bool,
    infer: bool,
    reference: Path | None,
    reference_station: str | None,
    node_factors: str,
    trusted: bool,
    form: str,
    output: Path | None,
    **head: Any,
) -> None:
    """Find constituents in observed levels, and say how far to trust them.

    LEVELS is a CSV with a column of times and one of levels; uneven steps and gaps are allowed. With -o the
    constituent table is written there, and the report goes to the screen.
    """
    from harmonics.fitting.report import report
    from harmonics.fitting.suspicions import suspicions
    from harmonics.records.reader import read_record
    from harmonics.sums.waves import NodePractice
    from harmonics.units import LengthUnit
    from windows.render.text.analysis import analysis_result

    with _options_named():
        record = read_record(
            levels,
            unit=None if units is None else LengthUnit(units),
            zone=None if zone is None else _zone(zone),
            time_column=time_column,
            level_column=level_column,
        )
    practice = NodePractice(node_factors)
    analysis = _analysed(
        record,
        names=None if constituents is None else [name.strip() for name in constituents.split(",")],
        practice=practice,
        trend=trend,
        robust=robust,
        infer=infer,
        reference=None if reference is None else _reference(reference, reference_station).constants,
    )
    unit = LengthUnit(units) if units is not None else _unit_of(record.unit)
    told = report(analysis, suspicions(analysis), unit)
    if output is None:
        emit(analysis_result(record, analysis, told, width()), form, None)
        return
    from harmonics.files.station_text import constituent_csv

    source = f"fitted to {levels.name}, {analysis.days:.0f} days; mean level {analysis.mean:.4f} m"
    emit_text(constituent_csv(_written(record, analysis, trusted), unit, (source,)), output)
    emit(analysis_result(record, analysis, told, width()), form, None)
    mean = head["mean_level"] if head["mean_level"] is not None else analysis.mean / unit.metres
    head["datum"] = head["datum"] or "zero of the record"
    _say_table(levels, output, unit, head, mean, practice)


@contextmanager
def _options_named() -> Iterator[None]:
    """Problems that an option solves name it.

    Raises:
        FileProblemsError: the one raised inside, with the options' names.
    """
    from harmonics.errors import FileProblemsError, Problem

    try:
        yield
    except FileProblemsError as error:
        problems = []
        for item in error.problems:
            option = _OPTIONS.get(item.where) or _OPTIONS.get(item.found)
            hint = "" if option is None else f" ({option})"
            problems.append(Problem(item.where, item.found, item.expected + hint))
        raise FileProblemsError(error.path, tuple(problems)) from None


def _analysed(record: "LevelRecord", **wanted: Any) -> "Analysis":
    """The analysis of a record, with progress where it is long.

    Raises:
        EbblightError: a record too short, of one level alone, or too poor for what is wanted.
        UnknownConstituentError: a name that nothing explains.
    """
    from harmonics.errors import EbblightError, UnknownConstituentError
    from harmonics.fitting.analysis import fit as analyse
    from windows.cli.progress import shared

    try:
        with shared("fit", len(record.t)) as progress:
            return analyse(record.t, record.level, progress=progress, **wanted)
    except UnknownConstituentError:
        raise
    except EbblightError as error:
        raise EbblightError(f"{record.path}: {error}") from None


def _written(record: "LevelRecord", analysis: "Analysis", trusted: bool) -> "HarmonicConstants":
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


def _zone(name: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise click.BadParameter(f"'{name}' is not an IANA time zone", param_hint="--zone") from None


def _unit_of(words: str) -> "LengthUnit":
    """The unit of a record in words, as a unit people read."""
    from harmonics.units import LengthUnit

    return LengthUnit.FEET if words.startswith(("f", "ft")) else LengthUnit.METRES


def _reference(path: Path, name: str | None) -> "Station":
    from harmonics.errors import UnknownNameError
    from harmonics.files.station_file import read_station_file
    from harmonics.stations.types import Station

    file = read_station_file(path, ("spots", "fishing", "banks"))
    primary = [item for item in file.stations if isinstance(item, Station)]
    found = [item for item in primary if name in (None, item.id)]
    if len(found) == 1:
        return found[0]
    names = ", ".join(item.id for item in primary) or "none"
    raise UnknownNameError(f"{path}: name a station with constituents with --reference-station: {names}")


def _say_table(
    source: Path,
    output: Path | None,
    unit: "LengthUnit",
    head: dict[str, Any],
    mean_level: float | None,
    practice: "NodePractice | None" = None,
) -> None:
    """The [[stations]] table on the screen once the constituents are in a file and its place is known."""
    from harmonics.files.station_text import StationHead, station_toml
    from harmonics.sums.waves import NodePractice

    if output is None:
        return
    missing = [
        f"--{key}"
        for key, value in (
            ("latitude", head["latitude"]),
            ("longitude", head["longitude"]),
            ("datum", head["datum"]),
            ("mean-level", mean_level),
        )
        if value is None
    ]
    if missing:
        click.echo(f"Give {', '.join(missing)} to have the [[stations]] table printed as well.", err=True)
        return
    stem = "".join(letter if letter.isalnum() and letter.isascii() else "-" for letter in source.stem)
    station = StationHead(
        head["identifier"] or stem.strip("-").lower() or "station",
        head["name"] or source.stem,
        head["latitude"],
        head["longitude"],
        head["datum"],
        float(mean_level or 0.0) * unit.metres,
    )
    text = station_toml(station, output.name, unit, practice or NodePractice.YEARLY)
    click.echo(f"\n{text}", nl=False)
