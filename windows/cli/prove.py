"""`prove`: forecasts of the past set against a station's record."""

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NamedTuple

import click

from windows.cli.answer import answer
from windows.cli.options import date_of, file_argument, now_of, target_options
from windows.cli.output import Answer, Target, screen_width
from windows.render.formats import RenderOptions, ResultKind, names_for, write


class ProofJob(NamedTuple):
    """A proof asked for; `windows.cli.many.Job` is met.

    Attributes:
        now: the clock, POSIX seconds.
        width: columns of a table.
        form: name of the format.
        station: id; None for the only one with a record.
        spot: id of the only spot wanted; None for all that have their water from the station.
        first: day that the judged part begins with; None for the last third of the record.
        refit: whether constants come from the part before it.
    """

    now: float
    width: int
    form: str
    station: str | None
    spot: str | None
    first: date | None
    refit: bool

    def single(self, file: Path) -> Answer:
        """The proof, with a bar on the terminal."""
        from windows.cli.progress import LONG_RECORD, shared

        with shared("of the proof", LONG_RECORD) as progress:
            return self._made(file, progress)

    def whole(self, file: Path) -> Answer:
        """The same."""
        return self._made(file, None)

    def _made(self, file: Path, progress: Callable[[float], None] | None) -> Answer:
        from harmonics.errors import UnknownNameError
        from harmonics.records.store import read_readings
        from harmonics.stations.types import primary_of
        from windows.forecast.proving import Observed, make_proof, station_to_prove
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        station = station_to_prove(shore, self.station)
        spots = [item for item in shore.spots if primary_of(item.station) is station]
        if self.spot is not None:
            spots = [item for item in spots if item is shore.spot(self.spot)]
        if not spots:
            which = "no spot" if self.spot is None else f"no spot '{self.spot}'"
            raise UnknownNameError(f"{shore.path}: {which} has its water from station '{station.id}'")
        source = shore.records[station.id]
        t, level, weather = read_readings(source)
        observed = Observed(t, level, weather, str(source.path))
        proof = make_proof(shore, station, spots, observed, self.now, self.first, self.refit, progress)
        return Answer(write(ResultKind.PROOF, self.form, proof, RenderOptions(self.width)), ())


class SpeedJob(NamedTuple):
    """Observed currents to judge predicted ones by; `windows.cli.many.Job` is met.

    Attributes:
        now: the clock, POSIX seconds.
        width: columns of a table.
        form: name of the format.
        current: id of the station.
        speeds: the file of readings.
    """

    now: float
    width: int
    form: str
    current: str
    speeds: Path

    def single(self, file: Path) -> Answer:
        """The proof of one current."""
        from harmonics.records.current_reader import read_currents
        from harmonics.records.record_clock import with_fallback
        from harmonics.records.speeds import prove_speeds
        from windows.render.text.speed_proof import speed_proof_result
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        station = shore.current(self.current)
        read = with_fallback(lambda zone: read_currents(self.speeds, zone=zone), None, shore.head.zone)
        proof = prove_speeds(station, read.t, read.east, read.north, str(self.speeds))
        result = speed_proof_result(proof, shore.head, self.now, self.width)
        return Answer(write(ResultKind.LISTING, self.form, result, RenderOptions(self.width)), ())

    def whole(self, file: Path) -> Answer:
        """The same."""
        return self.single(file)


@click.command()
@file_argument
@click.option(
    "--current", help="Id of a current station of the file: its speeds are judged, by those of --speeds."
)
@click.option(
    "--speeds",
    type=click.Path(path_type=Path),
    help="CSV of observed currents: times, and speed and direction or two components.",
)
@click.option(
    "--station", help="Id of the station whose record is used.  [default: the only one with a record]"
)
@click.option("--spot", help="Id of one spot.  [default: all that have their water from the station]")
@click.option(
    "--from",
    "first",
    callback=date_of,
    metavar="DATE",
    help="First local day that is judged, by what the record held before.  [default: its last third]",
)
@click.option("--refit", is_flag=True, help="Take constants from the part of the record before that day.")
@target_options(ResultKind.PROOF)
@click.pass_context
def prove(
    ctx: click.Context,
    file: Path,
    current: str | None,
    speeds: Path | None,
    station: str | None,
    spot: str | None,
    first: date | None,
    refit: bool,
    target: Target,
) -> None:
    """What forecasts were worth here: those of the past against the station's record.

    FILE may be a folder of station files: each gets a result in the folder of -o.
    """
    if current is None and speeds is None:
        answer(ProofJob(now_of(ctx), screen_width(), target.form, station, spot, first, refit), file, target)
        return
    if current is None or speeds is None:
        raise click.UsageError("--current and --speeds go together: whose speeds, and what was observed")
    if station is not None or spot is not None or first is not None or refit:
        raise click.UsageError("--station, --spot, --from and --refit are for levels, not for --current")
    if target.form not in names_for(ResultKind.LISTING) or os.path.isdir(file):
        raise click.UsageError("--current takes one file, and gives a table, csv or json")
    answer(SpeedJob(now_of(ctx), screen_width(), target.form, current, speeds), file, target)
