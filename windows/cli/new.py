"""`new`: a first file from a published table and a few answers."""

from dataclasses import asdict, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from windows.cli.adding import command
from windows.cli.angles import LATITUDE, LONGITUDE
from windows.cli.check import CheckJob
from windows.cli.import_ import UNITS, SaidOptions, read_said_table
from windows.cli.options import group, now_of
from windows.cli.output import screen_width
from windows.cli.questions import Question, answered, at_terminal
from windows.shoreline.ids import identifier_of

if TYPE_CHECKING:
    from harmonics.files.published.results import ImportedTable
    from windows.shoreline.first_file import Answers

UNITS_READ = ("feet", "metres")


class NewOptions(NamedTuple):
    """Every answer that can be given as an option; None where it was not.

    Attributes:
        units: that people read.
        table_units, phase, utc_offset: of the published table, where it does not say.
        mean_level: above the datum, in the table's unit.
    """

    title: str | None
    station_name: str | None
    latitude: float | None
    longitude: float | None
    datum: str | None
    mean_level: float | None
    units: str | None
    time_zone: str | None
    spot: str | None
    spot_latitude: float | None
    spot_longitude: float | None
    table_units: str | None
    phase: str | None
    utc_offset: float | None


_answers = group(
    "given",
    NewOptions,
    click.option("--title", help="Name of the shore.  [default: the station's]"),
    click.option("--station-name", help="Name of the station, where the table does not say."),
    click.option("--latitude", type=LATITUDE, help="Of the station: degrees, north positive."),
    click.option("--longitude", type=LONGITUDE, help="Of the station: degrees, east positive."),
    click.option("--datum", help="What heights are counted from."),
    click.option("--mean-level", type=float, help="Mean sea level above the datum, in the table's unit."),
    click.option("--units", type=click.Choice(UNITS_READ), help="What you read.  [default: as the table]"),
    click.option("--time-zone", help="IANA name of the clock there.  [default: from the position]"),
    click.option("--spot", help="Name of the first spot."),
    click.option("--spot-latitude", type=LATITUDE, help="Of the spot.  [default: the station's]"),
    click.option("--spot-longitude", type=LONGITUDE, help="Of the spot.  [default: the station's]"),
    click.option(
        "--table-units", type=click.Choice(UNITS[:5]), help="Unit of the table, where it does not say."
    ),
    click.option(
        "--phase", type=click.Choice(["greenwich", "local"]), help="Kind of phase lag, where not said."
    ),
    click.option("--utc-offset", type=click.FloatRange(-14, 14), help="Hours from UTC of local phase lags."),
)


@click.command()
@click.argument("table", type=click.Path(path_type=Path), required=False)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    help="Folder for the file and its table; made where there is none.",
)
@_answers
@click.pass_context
def new(ctx: click.Context, table: Path | None, output: Path | None, given: NewOptions) -> None:
    """A first file from a published table and a few answers.

    TABLE is a table of constituents as an agency publishes it, saved as text, CSV, a page or JSON. What it
    says of itself is taken; the rest is asked for, or given as options. The file is checked before it is
    written.
    """
    ends = {"table": table, "output": output}
    source: Path = answered((_TABLE,) if at_terminal() else (_TABLE, _FOLDER), ends)["table"]
    found = _read(source, given)
    answers = _asked(_known(given), found, source)
    folder = _FOLDER if answers.station_name is None else _folder_of(answers.station_name)
    output = answered((folder,), ends)["output"]
    _write(answers, found, _Places(source, output), given, now_of(ctx))


_TABLE = Question("table", "TABLE", "File with the published constituents", click.Path(path_type=Path))
_FOLDER = Question("output", "-o", "Folder for your file", click.Path(path_type=Path))


def _folder_of(station: str) -> Question:
    return _FOLDER._replace(default=Path(identifier_of(station)))


class _Places(NamedTuple):
    """Where the table is, and where the file goes."""

    table: Path
    folder: Path


def _read(table: Path, given: NewOptions) -> "ImportedTable":
    """The table; what it says is told.

    Raises:
        EbblightError: it is no tide's, or what it does not say was not given.
    """
    from harmonics.errors import EbblightError, FileProblemsError, Problem
    from harmonics.files.published.results import ImportedTable
    from windows.render.words.imported import sentences

    said = SaidOptions(given.table_units, given.phase, given.utc_offset, *(None,) * 4)
    try:
        found = read_said_table(table, said, given.longitude)
    except FileProblemsError as error:
        named = (
            Problem(item.where, item.found, item.expected.replace("--units", "--table-units"))
            for item in error.problems
        )
        raise FileProblemsError(error.path, tuple(named)) from None
    if not isinstance(found, ImportedTable):
        raise EbblightError(f"{table}: found a current; expected a tide (`ebblight import` reads currents)")
    for sentence in sentences(found):
        click.echo(sentence, err=True)
    return found


def _known(given: NewOptions) -> "Answers":
    from windows.shoreline.first_file import Answers

    return Answers(**{item.name: getattr(given, item.name) for item in fields(Answers)})


def _asked(answers: "Answers", found: "ImportedTable", table: Path) -> "Answers":
    """What the table did not say, asked for; then what follows from it all, to be confirmed.

    Raises:
        click.UsageError: nobody is there to be asked; with the options that are missing.
    """
    from harmonics.files.station_keys import MEAN_SEA_LEVEL
    from windows.shoreline.first_file import NEEDED, with_defaults, with_table

    level = f"Mean sea level above that, {found.unit.value}"
    datum = f"Heights are counted from (MLLW, LAT ...; {MEAN_SEA_LEVEL} is mean sea level)"
    questions = {
        "station_name": Question("station_name", "--station-name", "Name of the station", default=table.stem),
        "latitude": Question("latitude", "--latitude", "Its latitude, degrees, north positive", LATITUDE),
        "longitude": Question("longitude", "--longitude", "Its longitude, degrees, west negative", LONGITUDE),
        "datum": Question("datum", "--datum", datum, default=MEAN_SEA_LEVEL),
        "mean_level": Question("mean_level", "--mean-level", level, float),
        "spot": Question("spot", "--spot", "Name of your first spot"),
    }
    answers = with_table(answers, found)
    if at_terminal():
        first = [questions[key] for key in NEEDED[: NEEDED.index("mean_level")]]
        answers = replace(answers, **answered(first, asdict(answers)))
        if answers.mean_level is None and answers.datum == MEAN_SEA_LEVEL:
            answers = replace(answers, mean_level=0.0)
    answers = replace(answers, **answered([questions[key] for key in NEEDED], asdict(answers)))
    whole = with_defaults(answers, found)
    if not at_terminal():
        if answers.time_zone is None and whole.time_zone is not None:
            click.echo(f"Time zone: {whole.time_zone}, from the position.", err=True)
        clock = Question("time_zone", "--time-zone", "People there read the clock of")
        return replace(whole, **answered((clock,), asdict(whole)))
    clock = Question("time_zone", "--time-zone", "People there read the clock of", default=whole.time_zone)
    north, east = whole.spot_latitude, whole.spot_longitude
    read = Question("units", "--units", "You read heights in", click.Choice(UNITS_READ), whole.units)
    confirmed = (
        Question("spot_latitude", "--spot-latitude", "The spot's latitude", LATITUDE, north),
        Question("spot_longitude", "--spot-longitude", "The spot's longitude", LONGITUDE, east),
        clock,
        read,
    )
    return replace(whole, **answered(confirmed, asdict(answers)))


def _write(
    answers: "Answers", found: "ImportedTable", places: _Places, given: NewOptions, now: float
) -> None:
    """Check the file in a folder that passes, then write it and its table.

    Raises:
        FileProblemsError: every problem in it; nothing is written.
        OutputError: there is such a file already, or it can't be written.
    """
    import tempfile

    from harmonics.errors import FileProblemsError, OutputError, printable
    from harmonics.files.parts import alone_in, holds
    from windows.render.files import write_together
    from windows.render.words.imported import sentences
    from windows.shoreline.first_file import first_texts
    from windows.shoreline.trials import tried

    texts = first_texts(answers, found, (f"from {printable(places.table.name)}", *sentences(found)))
    path = places.folder / texts.name
    again = f"All answers in one line, to put right:\n{_again(answers, given, places)}"
    files = {places.folder / name: rows.encode() for name, rows in texts.beside.items()}
    for there in (*files, path):
        if there.exists() and not (there in files and holds(there, files[there])):
            click.echo(again, err=True)
            raise OutputError(f"{there}: found such a file already; expected none: name another -o")
    try:
        with tempfile.TemporaryDirectory() as passing:
            tried(Path(passing) / texts.name, texts.text, texts.beside)
    except FileProblemsError as error:
        click.echo(again, err=True)
        raise FileProblemsError(f"{path} (not written)", error.problems) from None
    except (OutputError, OSError) as error:
        raise OutputError(f"{path} (not written): {error}") from None
    try:
        places.folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"{places.folder}: can't make this folder: {error.strerror or error}") from None
    with alone_in(places.folder):
        write_together({**files, path: texts.text.encode()}, new=(*files, path))
    click.echo(f"wrote {path} and {', '.join(texts.beside)} beside it", err=True)
    told = CheckJob(now, screen_width()).brief(path)
    click.echo(f"{told}\n\nNext: {command('ebblight week', path)}")


def _again(answers: "Answers", given: NewOptions, places: _Places) -> str:
    """The command with every answer as an option."""
    import shlex

    options = {
        "-o": places.folder,
        **{f"--{item.name.replace('_', '-')}": getattr(answers, item.name) for item in fields(answers)},
        "--table-units": given.table_units,
        "--phase": given.phase,
        "--utc-offset": given.utc_offset,
    }
    said = [str(part) for pair in options.items() if pair[1] is not None for part in pair]
    return shlex.join(["ebblight", "new", str(places.table), *said])
