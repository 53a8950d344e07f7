"""`add`: one more spot, station, bank, landing, boat, way or current in a file, comments and order kept."""

from pathlib import Path
from typing import Any

import click

from windows.cli.adding import add_table, id_for, levels_of, only_station
from windows.cli.angles import LATITUDE, LONGITUDE
from windows.cli.import_ import SaidOptions, read_said_table, said_options
from windows.cli.options import Decorator, file_argument, now_of
from windows.cli.questions import Question, answered, at_terminal

BAITS = ("crab", "worm", "shrimp", "other")
NAME = Question("name", "--name", "Name")
POSITION = (
    Question("latitude", "--latitude", "Latitude, degrees, north positive", LATITUDE),
    Question("longitude", "--longitude", "Longitude, degrees, west negative", LONGITUDE),
)
STATION = Question("station", "--station", "Id of the station whose tide it has")
_id: Decorator = click.option("--id", "identifier", help="Its id.  [default: from the name]")
_name: Decorator = click.option("--name", help="Its name.")
_latitude: Decorator = click.option("--latitude", type=LATITUDE, help="Degrees, north positive.")
_longitude: Decorator = click.option("--longitude", type=LONGITUDE, help="Degrees, east positive.")
_station: Decorator = click.option("--station", help="Id of its station.  [default: the file's only one]")
_depth_there: Decorator = click.option(
    "--depth-at-datum", type=float, help="Depth there with the level at datum; the boat's draft must fit."
)
_table: Decorator = click.option(
    "--table", type=click.Path(path_type=Path), help="Published table of its constituents."
)


@click.group()
def add() -> None:
    """One more spot, station, bank, landing, boat, way or current in a file.

    Comments and order are kept. What is missing is asked for at a terminal, else named. The file is checked
    before it is written.
    """


@add.command()
@file_argument
@_id
@_name
@_latitude
@_longitude
@_station
@click.option("--slack-lag", type=float, help="Minutes after high or low water when the flow here turns.")
@click.option("--depth-at-datum", type=float, help="Depth with the level at datum, in the file's unit.")
@click.option("--strong-ebb", type=float, help="Knots of a strong ebb on an ordinary day.")
@click.option("--current", help="Id of the current station that its flow comes from.")
@click.option("--delay", type=float, help="Minutes that the spot is behind it; with --current.")
@click.option("--factor", type=float, help="Speed here over speed there; with --current.")
@click.option("--least-level", type=float, help="Level below which it can't be fished, in the file's unit.")
@click.option("--greatest-level", type=float, help="Level above which it can't be fished.")
@click.option(
    "--least-depth", type=float, help="Depth below which it can't be fished; with --depth-at-datum."
)
@click.option("--greatest-depth", type=float, help="Depth above which it can't be fished, likewise.")
@click.pass_context
def spot(ctx: click.Context, /, file: Path, identifier: str | None, **given: Any) -> None:
    """A spot to fish at."""
    flow = {key: given.pop(key) for key in ("strong_ebb", "current", "delay", "factor")}
    flow = {key: value for key, value in flow.items() if value is not None}
    keys = answered((NAME, *POSITION, STATION), {**given, "station": given["station"] or only_station(file)})
    keys["flow"] = _inline(flow) if flow else None
    new = id_for(file, "spots", identifier, keys["name"])
    add_table(file, "spots", {"id": new, **keys}, {}, now_of(ctx), f"ebblight week --spot {new}")


@add.command()
@file_argument
@_id
@_name
@_station
@click.option("--bare-below", type=float, help="Level below which it bares, in the file's unit.")
@click.option("--bait", type=click.Choice(BAITS), help="What is gathered there.  [default: crab]")
@_latitude
@_longitude
@click.pass_context
def bank(ctx: click.Context, /, file: Path, identifier: str | None, **given: Any) -> None:
    """A bank where bait is gathered; give its id to a spot as `bank`."""
    known = {**given, "station": given["station"] or only_station(file)}
    if at_terminal():
        bait = Question("bait", "--bait", "What is gathered there", click.Choice(BAITS), BAITS[0])
        known = answered((NAME, STATION, bait), known)
    level = f"Level below which it bares, {levels_of(file, known['station'])}"
    bares = Question("bare_below", "--bare-below", level, float)
    keys = answered((NAME, STATION) if known["bait"] == "shrimp" else (NAME, STATION, bares), known)
    new = id_for(file, "banks", identifier, keys["name"])
    add_table(file, "banks", {"id": new, **keys}, {}, now_of(ctx), "ebblight check")


@add.command()
@file_argument
@_id
@_name
@_latitude
@_longitude
@click.option("--station", help="Id of the station whose water it wants.")
@click.option("--least-level", type=float, help="Level it wants, in the file's unit.")
@_depth_there
@click.option("--launch", type=float, help="Minutes from the car to the water.")
@click.pass_context
def landing(ctx: click.Context, /, file: Path, identifier: str | None, **given: Any) -> None:
    """A landing where days out begin and end."""
    keys = answered((NAME, *POSITION), given)
    new = id_for(file, "landings", identifier, keys["name"])
    add_table(file, "landings", {"id": new, **keys}, {}, now_of(ctx), "ebblight plan")


@add.command()
@file_argument
@click.option("--speed-kn", type=float, help="Knots.")
@click.option("--draft", type=float, help="Depth it needs to float, in the file's unit.")
@click.pass_context
def boat(ctx: click.Context, /, file: Path, **given: Any) -> None:
    """The boat; without one, days out are on foot."""
    keys = answered((Question("speed_kn", "--speed-kn", "Speed, knots", float),), given)
    add_table(file, "boat", keys, {}, now_of(ctx), "ebblight plan")


@add.command()
@file_argument
@click.option("--from", help="Id of the landing, spot or bank at one end.")
@click.option("--to", help="Id of that at the other end; a way goes both ways.")
@click.option("--minutes", type=float, help="From one end to the other.")
@click.option("--station", help="Id of the station whose water it wants.")
@click.option("--least-level", type=float, help="Level it wants, in the file's unit.")
@click.option("--greatest-level", type=float, help="Level above which the water shuts it, on foot.")
@_depth_there
@click.pass_context
def way(ctx: click.Context, /, file: Path, **given: Any) -> None:
    """A way between two places: how long it takes, and the water it wants."""
    ends = (
        Question("from", "--from", "Id of the place at one end"),
        Question("to", "--to", "Id of the place at the other end"),
    )
    minutes = Question("minutes", "--minutes", "Minutes from one to the other", float)
    add_table(file, "ways", answered((*ends, minutes), given), {}, now_of(ctx), "ebblight plan")


@add.command()
@file_argument
@_table
@_id
@_name
@_latitude
@_longitude
@click.option("--datum", help="What heights are counted from.")
@click.option("--mean-level", type=float, help="Mean sea level above the datum, in the table's unit.")
@said_options
@click.pass_context
def station(
    ctx: click.Context,
    /,
    file: Path,
    table: Path | None,
    identifier: str | None,
    said: SaidOptions,
    **given: Any,
) -> None:
    """A tide station, from a published table."""
    from harmonics.errors import EbblightError
    from harmonics.files.published.results import ImportedTable
    from harmonics.files.station_text import constituent_csv

    source = _source(table)
    found = read_said_table(source, said, given["longitude"])
    if not isinstance(found, ImportedTable):
        raise EbblightError(f"{source}: found a current; expected a tide: ebblight add current {file}")
    if given["mean_level"] is None and found.mean_level is not None:
        given["mean_level"] = found.mean_level / found.unit.metres
    needed = (
        *(NAME, *POSITION),
        Question("datum", "--datum", "Heights are counted from (MLLW, LAT ...)"),
        Question("mean_level", "--mean-level", f"Mean sea level above that, {found.unit.value}", float),
    )
    keys = answered(needed, _from_table(found, given))
    new = id_for(file, "stations", identifier, keys["name"])
    keys |= {"length_unit": found.unit.value, "constituents": f"{new}.csv"}
    rows = constituent_csv(found.constants, found.unit, _told(source, found))
    following = f"ebblight tides --station {new}"
    add_table(file, "stations", {"id": new, **keys}, {f"{new}.csv": rows}, now_of(ctx), following)


@add.command()
@file_argument
@_table
@_id
@_name
@_latitude
@_longitude
@said_options
@click.pass_context
def current(
    ctx: click.Context,
    /,
    file: Path,
    table: Path | None,
    identifier: str | None,
    said: SaidOptions,
    **given: Any,
) -> None:
    """A current on one axis, from a published table."""
    from harmonics.errors import EbblightError
    from harmonics.files.current_text import speed_csv
    from harmonics.files.published.results import ImportedCurrent
    from harmonics.units import METRES_PER_SECOND_PER_KNOT

    source = _source(table)
    found = read_said_table(source, said, given["longitude"])
    if not isinstance(found, ImportedCurrent):
        raise EbblightError(f"{source}: found a tide; expected a current: ebblight add station {file}")
    if found.across is not None:
        raise EbblightError(f"{source}: found a current on two axes; expected one: use ebblight import")
    directions = {"flood_direction": found.flood_direction, "ebb_direction": found.ebb_direction}
    degrees = click.FloatRange(0, 360)
    needed = (
        *(NAME, *POSITION),
        Question("flood_direction", "--flood-direction", "The flood sets to, degrees true", degrees),
        Question("ebb_direction", "--ebb-direction", "The ebb sets to, degrees true", degrees),
    )
    keys = answered(needed, {**_from_table(found, given), **directions})
    new = id_for(file, "currents", identifier, keys["name"])
    mean = round(found.mean_along / METRES_PER_SECOND_PER_KNOT, 4) + 0.0
    keys |= {"mean_flow": mean, "constituents": f"{new}.csv"}
    tables = {f"{new}.csv": speed_csv(found.along, _told(source, found))}
    following = f"ebblight currents --station {new}"
    add_table(file, "currents", {"id": new, **keys}, tables, now_of(ctx), following)


def _source(table: Path | None) -> Path:
    question = Question(
        "table", "--table", "File with the published constituents", click.Path(path_type=Path)
    )
    source: Path = answered((question,), {"table": table})["table"]
    return source


def _from_table(found: Any, given: dict[str, Any]) -> dict[str, Any]:
    """What the user said, else what the table says of its station."""
    place = found.facts.place
    said = {"name": place.station, "latitude": place.latitude, "longitude": place.longitude}
    if "datum" in given:
        said["datum"] = place.datum
    known = {key: item.value for key, item in said.items() if item is not None}
    return {**known, **{key: value for key, value in given.items() if value is not None}}


def _told(source: Path, found: Any) -> tuple[str, ...]:
    """What was taken from a table, told on standard error too."""
    from windows.render.words.imported import sentences

    told = sentences(found)
    for sentence in told:
        click.echo(sentence, err=True)
    return (f"from {source.name}", *told)


def _inline(keys: dict[str, Any]) -> Any:
    """A table on one line."""
    import tomlkit

    table = tomlkit.inline_table()
    table.update(keys)
    return table
