"""`new`: a first file from a published table and a few answers."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from windows.cli.check import CheckJob
from windows.cli.import_ import UNITS, SaidOptions, read_said_table
from windows.cli.options import group, now_of
from windows.cli.output import screen_width
from windows.cli.questions import Question, answered, at_terminal
from windows.cli.station_table import identifier_of

if TYPE_CHECKING:
    from harmonics.files.published.results import ImportedTable
    from windows.render.text.shore_toml import FirstFile

LATITUDE, LONGITUDE = click.FloatRange(-90, 90), click.FloatRange(-180, 180)


@dataclass(frozen=True)
class NewOptions:
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
    click.option(
        "--units", type=click.Choice(["feet", "metres"]), help="What you read.  [default: as the table]"
    ),
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
    places = answered(
        (
            Question("table", "TABLE", "File with the published constituents", click.Path(path_type=Path)),
            Question("output", "-o", "Folder for your file", click.Path(path_type=Path)),
        ),
        {"table": table, "output": output},
    )
    found = _read(places["table"], given)
    content = _content(found, given, places["table"])
    _write(content, found, given, places["table"], places["output"], now_of(ctx))


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


def _content(found: "ImportedTable", given: NewOptions, table: Path) -> "FirstFile":
    """All answers, made into the file's content."""
    from harmonics.files.station_text import StationHead
    from harmonics.units import LengthUnit
    from windows.render.text.shore_toml import FirstFile, SpotHead

    place, unit = found.facts.place, found.unit
    known: dict[str, Any] = {
        key: getattr(given, key) if getattr(given, key) is not None or said is None else said.value
        for key, said in (
            ("station_name", place.station),
            ("latitude", place.latitude),
            ("longitude", place.longitude),
            ("datum", place.datum),
        )
    }
    known["mean_level"] = given.mean_level
    if known["mean_level"] is None and found.mean_level is not None:
        known["mean_level"] = found.mean_level / unit.metres
    known["spot"] = given.spot
    answers = answered(
        (
            Question("station_name", "--station-name", "Name of the station", default=table.stem),
            Question("latitude", "--latitude", "Its latitude, degrees, north positive", LATITUDE),
            Question("longitude", "--longitude", "Its longitude, degrees, west negative", LONGITUDE),
            Question("datum", "--datum", "Heights are counted from (MLLW, LAT ...)"),
            Question("mean_level", "--mean-level", f"Mean sea level above that, {unit.value}", float),
            Question("spot", "--spot", "Name of your first spot"),
        ),
        known,
    )
    latitude, longitude = answers["latitude"], answers["longitude"]
    position = {"latitude": given.spot_latitude, "longitude": given.spot_longitude}
    for key, of_station in (("latitude", latitude), ("longitude", longitude)):
        if position[key] is None:
            question = Question(key, f"--spot-{key}", f"The spot's {key}", LATITUDE, of_station)
            question = question if key == "latitude" else replace(question, kind=LONGITUDE)
            position[key] = answered((question,), {})[key] if at_terminal() else of_station
    name = str(answers["station_name"])
    station, spot = identifier_of(name), identifier_of(str(answers["spot"]))
    return FirstFile(
        given.title or name,
        _zone(given.time_zone, latitude, longitude),
        unit if given.units is None else LengthUnit(given.units),
        StationHead(
            station, name, latitude, longitude, str(answers["datum"]), answers["mean_level"] * unit.metres
        ),
        f"{station}.csv",
        unit,
        SpotHead(spot, answers["spot"], position["latitude"] or 0.0, position["longitude"] or 0.0, station),
    )


def _zone(given: str | None, latitude: float, longitude: float) -> str:
    """The clock given, else that of the position, confirmed where somebody is there."""
    from windows.shoreline.zones import zone_at

    if given is not None:
        return given
    zone = zone_at(latitude, longitude)
    if zone is None or at_terminal():
        asked = Question("time_zone", "--time-zone", "People there read the clock of", default=zone)
        return str(answered((asked,), {})["time_zone"])
    click.echo(f"Time zone: {zone}, from the position.", err=True)
    return zone


def _write(
    content: "FirstFile",
    found: "ImportedTable",
    given: NewOptions,
    source: Path,
    folder: Path,
    now: float,
) -> None:
    """Check the file in a folder that passes, then write it and its table.

    Raises:
        FileProblemsError: every problem in it; nothing is written.
        OutputError: there is such a file already, or it can't be written.
    """
    import tempfile

    from harmonics.errors import FileProblemsError, OutputError
    from harmonics.files.station_text import constituent_csv
    from windows.render.files import write_whole
    from windows.render.text.shore_toml import first_file
    from windows.render.words.imported import sentences

    comments = (f"from {source.name}", *sentences(found))
    texts = {
        content.table: constituent_csv(found.constants, found.unit, comments),
        f"{content.station.id}.toml": first_file(content),
    }
    path = folder / f"{content.station.id}.toml"
    for name in texts:
        if (folder / name).exists():
            raise OutputError(f"{folder / name}: found such a file already; expected none: name another -o")
    with tempfile.TemporaryDirectory() as passing:
        for name, text in texts.items():
            (Path(passing) / name).write_text(text, encoding="utf-8")
        try:
            told = CheckJob(now, screen_width()).brief(Path(passing) / path.name)
        except FileProblemsError as error:
            again = f"All answers in one line, to put right:\n{_again(content, given, source, folder)}"
            click.echo(again, err=True)
            raise FileProblemsError(f"{path} (not written)", error.problems) from None
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"{folder}: can't make this folder: {error.strerror or error}") from None
    written: list[Path] = []
    try:
        for name, text in texts.items():
            write_whole(folder / name, text.encode())
            written.append(folder / name)
    except OutputError:
        for part in written:
            part.unlink(missing_ok=True)
        raise
    click.echo(f"wrote {path} and {content.table} beside it", err=True)
    click.echo(f"{told}\n\nNext: ebblight week {path}")


def _again(content: "FirstFile", given: NewOptions, source: Path, folder: Path) -> str:
    """The command with every answer as an option."""
    import shlex

    station, spot = content.station, content.spot
    options = {
        "-o": folder,
        "--title": content.title,
        "--station-name": station.name,
        "--latitude": station.latitude,
        "--longitude": station.longitude,
        "--datum": station.datum,
        "--mean-level": round(station.mean_level / content.table_unit.metres, 4),
        "--units": content.read_in.value,
        "--time-zone": content.zone,
        "--spot": spot.name,
        "--spot-latitude": spot.latitude,
        "--spot-longitude": spot.longitude,
        "--table-units": given.table_units,
        "--phase": given.phase,
        "--utc-offset": given.utc_offset,
    }
    said = [str(part) for pair in options.items() if pair[1] is not None for part in pair]
    return shlex.join(["ebblight", "new", str(source), *said])
