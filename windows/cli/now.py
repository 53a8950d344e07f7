"""`now`: this minute at each spot."""

import os
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from windows.cli.answer import answer
from windows.cli.options import file_argument, now_of, observed_option, target_options, weather_option
from windows.cli.output import Answer, Target, screen_width
from windows.render.formats import RenderOptions, ResultKind, write

if TYPE_CHECKING:
    from windows.conditions.todays_water import Reading
    from windows.shoreline.head import Head


class NowJob(NamedTuple):
    """The water of an instant asked for; `windows.cli.many.Job` is met.

    Attributes:
        now: the clock, POSIX seconds.
        width: columns of a table.
        form: name of the format.
        spot: id of the only one wanted; None for all.
        observed: a file of readings; None for the file's own.
        reading: one level as typed, instead of those; None for none.
        weather: a file of weather; None for the file's own.
    """

    now: float
    width: int
    form: str
    spot: str | None
    observed: Path | None
    reading: str | None
    weather: Path | None

    def single(self, file: Path) -> Answer:
        """This minute at the spots of a file, or at the one named."""
        from windows.cli.forecasts import chosen_spots
        from windows.conditions.knowledge import outlook_of
        from windows.forecast.now import make_now
        from windows.render.words.doubts import doubts
        from windows.render.words.phrases import words_of
        from windows.render.words.todays import todays_water
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        spots = chosen_spots(shore, self.spot, several=True)
        stations = [item.station for item in spots]
        read = self.observed if self.reading is None else _read_off(self.reading, shore.head, self.now)
        outlook = outlook_of(shore, stations, self.now, read, self.weather)
        report = make_now(shore, spots, outlook)
        remarks = doubts(shore)
        if self.form == "csv":  # the one format with no room for sentences
            remarks += tuple(todays_water(report.forecast, words_of(shore.head)))
        return Answer(write(ResultKind.NOW, self.form, report, RenderOptions(self.width)), remarks)

    def whole(self, file: Path) -> Answer:
        """The same."""
        return self.single(file)


def _read_off(text: str, head: "Head", now: float) -> "Reading":
    """A level as typed: in the file's unit, of now or of the last such time.

    Raises:
        click.UsageError: it is none.
    """
    from windows.log.read_off import read_off

    try:
        return read_off(text, head, now)
    except ValueError as error:
        raise click.UsageError(f"--reading: found '{text}'; expected {error}") from None


@click.command()
@file_argument
@click.option("--spot", help="Id of one spot of the file.")
@observed_option
@click.option(
    "--reading", help="The level you read off now, above the station's datum, as 2.4; or earlier, 2.4@17:30."
)
@weather_option
@target_options(ResultKind.NOW)
@click.pass_context
def now(
    ctx: click.Context,
    file: Path,
    spot: str | None,
    observed: Path | None,
    reading: str | None,
    weather: Path | None,
    target: Target,
) -> None:
    """This minute at each spot: level, flow, points, what is left of the window, or the next session.

    FILE may be a folder of station files: each gets a result in the folder of -o.
    """
    if observed is not None and os.path.isdir(file):
        raise click.UsageError("--observed has readings of one station: name one file, not a folder")
    if reading is not None and (observed is not None or os.path.isdir(file)):
        raise click.UsageError("--reading is of one station, and stands without --observed or a folder")
    job = NowJob(now_of(ctx), screen_width(), target.form, spot, observed, reading, weather)
    answer(job, file, target)
