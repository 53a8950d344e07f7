"""`tides` and `levels`: the water alone."""

import re
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from windows.cli.options import (
    MOST_DAYS,
    answer,
    as_text,
    emit,
    file_argument,
    first_day,
    now_of,
    observed_option,
    output_options,
    span_options,
    width,
    workers_option,
)

if TYPE_CHECKING:
    import pandas as pd

    from harmonics.stations.types import TideStation
    from windows.shoreline.shore import Shore

SHORTEST_STEP, LONGEST_STEP = 60.0, 86400.0
MOST_ROWS = 20_000_000
"""Levels of 7,000 days at every minute are 10 million rows; a second's step would not fit in memory."""

_station = click.option("--station", help="Id of a station of the file.")
_spot = click.option("--spot", help="Id of a spot, whose station is taken.")


def _step(ctx: click.Context, param: click.Parameter, value: str) -> float:
    """Seconds of --step, or a usage error."""
    match = re.fullmatch(r"(\d{1,5})\s*(min|h)", value.strip().lower())
    seconds = 0.0 if match is None else int(match[1]) * (60.0 if match[2] == "min" else 3600.0)
    if not SHORTEST_STEP <= seconds <= LONGEST_STEP:
        raise click.BadParameter(
            f"'{value}' is not a step from 1min to 24h, such as 6min or 1h", ctx=ctx, param=param
        )
    return seconds


def chosen_station(shore: "Shore", station: str | None, spot: str | None) -> "TideStation":
    """The tide station asked for, or the file's only one."""
    from harmonics.errors import UnknownNameError

    if station is not None and spot is not None:
        raise click.UsageError("name a station or a spot, not both")
    if station is not None:
        return shore.station(station)
    if spot is not None:
        return shore.spot(spot).station
    if len(shore.stations) == 1:
        return shore.stations[0]
    names = ", ".join(item.id for item in shore.stations) or "none"
    raise UnknownNameError(f"{shore.path}: which station? Name one with --station: {names}")


@dataclass(frozen=True)
class TideTable:
    """High and low waters asked for: what `windows.cli.many.Job` wants.

    Attributes:
        now: the clock, POSIX seconds.
        columns: width of a table.
        station, spot, start, days, form: as the options say.
    """

    now: float
    columns: int
    station: str | None
    spot: str | None
    start: date | None
    days: int
    form: str

    def single(self, file: Path) -> str:
        """The high and low waters of the station asked for, or of the file's only one."""
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        return self._written(shore, (chosen_station(shore, self.station, self.spot),))

    def whole(self, file: Path) -> str:
        """The high and low waters of all stations of a file, or of the one asked for."""
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        if self.station is None and self.spot is None and len(shore.stations) > 1:
            return self._written(shore, shore.stations)
        return self._written(shore, (chosen_station(shore, self.station, self.spot),))

    def _written(self, shore: "Shore", places: "tuple[TideStation, ...]") -> str:
        from harmonics.stations.tides import high_low_waters
        from windows.astronomy import day_edges
        from windows.render.records.frames import tides_frame
        from windows.render.records.results import Result
        from windows.render.text import listings
        from windows.render.words.phrases import Words

        first = first_day(self.start, self.now, shore.zone)
        edges = day_edges(first, self.days, shore.zone)
        dates = [first + timedelta(days=index) for index in range(self.days)]
        words = Words(shore.zone, shore.units)
        found = [(place, high_low_waters(place, float(edges[0]), float(edges[-1]))) for place in places]

        def text() -> str:
            return "\n".join(
                listings.tides(
                    listings.Place(shore.title, shore.invented, place.name, place.datum),
                    dates,
                    edges,
                    waters,
                    words,
                    self.columns,
                )
                for place, waters in found
            )

        def frame() -> "pd.DataFrame":
            import pandas as pd

            every = [tides_frame(place.id, waters.turns, shore.zone) for place, waters in found]
            return every[0] if len(every) == 1 else pd.concat(every, ignore_index=True)

        def header() -> dict[str, Any]:
            heads = [{"station": place.id, "name": place.name, "datum": place.datum} for place in places]
            return header_of(shore, self.now, **(heads[0] if len(heads) == 1 else {"stations": heads}))

        return as_text(Result(text, frame, header), self.form)


@click.command()
@file_argument
@_station
@_spot
@span_options(7, MOST_DAYS)
@output_options
@workers_option
@click.pass_context
def tides(
    ctx: click.Context,
    /,
    file: Path,
    output: Path | None,
    workers: int | None,
    **asked: Any,
) -> None:
    """High and low waters by local day.

    FILE may be a folder of station files: each gets a result, all its stations in it, in the folder of -o.
    """
    table = TideTable(now_of(ctx), width(), **asked)
    if table.station is not None and table.spot is not None:
        raise click.UsageError("name a station or a spot, not both")
    answer(table, file, output, workers)


@click.command()
@file_argument
@_station
@_spot
@span_options(1, MOST_DAYS)
@observed_option
@click.option("--step", callback=_step, default="60min", show_default=True, help="As 6min, 60min or 1h.")
@output_options
@click.pass_context
def levels(
    ctx: click.Context,
    file: Path,
    station: str | None,
    spot: str | None,
    start: date | None,
    days: int,
    observed: Path | None,
    step: float,
    form: str,
    output: Path | None,
) -> None:
    """Levels at even steps from the first local midnight on."""
    import numpy as np

    from harmonics.records.observed import departure_words
    from harmonics.stations.tides import even_levels
    from harmonics.stations.types import primary_of
    from windows.astronomy import day_edges
    from windows.conditions.todays_water import departures
    from windows.render.records.frames import levels_frame
    from windows.render.records.results import Result
    from windows.render.text import listings
    from windows.render.words.phrases import Words
    from windows.shoreline.shore import read_shore

    now = now_of(ctx)
    shore = read_shore(file)
    place = chosen_station(shore, station, spot)
    edges = day_edges(first_day(start, now, shore.zone), days, shore.zone)
    count = int(np.ceil((edges[-1] - edges[0]) / step))
    if count > MOST_ROWS:
        raise click.UsageError(
            f"{count:,} rows are more than {MOST_ROWS:,}: take fewer days or a longer step"
        )
    t = edges[0] + step * np.arange(count, dtype=float)
    height = even_levels(place, float(edges[0]), step, count)
    found = departures(shore, [place], observed, now).get(primary_of(place).id)
    away = None if found is None else found.at(t)
    if found is not None:
        for sentence in departure_words(found, now, shore.units):
            click.echo(sentence, err=True)
    named = listings.Place(shore.title, shore.invented, place.name, place.datum)
    words = Words(shore.zone, shore.units)
    result = Result(
        lambda: listings.levels(named, edges, listings.Levels(t, height, away), words, width()),
        lambda: levels_frame(place.id, t, height, shore.zone, away),
        lambda: header_of(shore, now, station=place.id, name=place.name, datum=place.datum),
    )
    emit(result, form, output)


def header_of(shore: "Shore", now: float, **more: Any) -> dict[str, Any]:
    """The JSON header of a result that is not a forecast."""
    from windows.render.records.tables import header

    return {**header(shore.title, shore.invented, shore.zone.key, shore.units.value, now), **more}
