"""`plan`: the best day out, from leaving home to being home again."""

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from windows.cli.answer import answer
from windows.cli.options import (
    Span,
    date_of,
    file_argument,
    group,
    now_of,
    observed_option,
    quarry_option,
    span_options,
    target_options,
    weather_option,
)
from windows.cli.output import Answer, Target, earlier, screen_width
from windows.render.formats import RenderOptions, ResultKind, write

if TYPE_CHECKING:
    from windows.shoreline.outings import DayTime, Outing
    from windows.shoreline.shore import Shore
    from windows.shoreline.spots import Spot

DAYS = 14
MOST_PLAN_DAYS = 400


class Asked(NamedTuple):
    """What is asked of a plan beside its days.

    Attributes:
        day: the only day wanted; None for those of the span.
        spot: ids of the only spots wanted; empty for all.
        quarry: name of the fish one is after; None for the file's own.
        landing: id of the landing to start from; None for the file's.
        leave_after, home_by: when one can be out; None for the file's.
        longest: seconds out at most; None for the file's.
        margin: seconds to stay clear of the water that opens and shuts a landing or way; None for the file's.
        mix: whether spots whose points do not compare may share a plan.
        observed: a file of readings; None for the file's own.
        weather: a file of weather; None for the file's own.
    """

    day: date | None
    spot: tuple[str, ...]
    quarry: str | None
    landing: str | None
    leave_after: "DayTime | None"
    home_by: "DayTime | None"
    longest: float | None
    margin: float | None
    mix: bool
    observed: Path | None
    weather: Path | None


class PlanJob(NamedTuple):
    """Plans asked for; `windows.cli.many.Job` is met.

    Attributes:
        now: the clock, POSIX seconds.
        width: columns of a table.
        form: name of the format.
        span: the days.
        asked: the rest.
        before: where an earlier calendar may lie, which the new one takes the place of.
    """

    now: float
    width: int
    form: str
    span: Span
    asked: Asked
    before: Path | None = None

    def single(self, file: Path) -> Answer:
        """The plans of a file, with a bar on the terminal where they take long."""
        from windows.cli.progress import counted
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        spots = shore.sought(chosen(shore, self.asked.spot), self.asked.quarry)
        with counted("spots", len(spots), self.span.days) as progress:
            return self._written(shore, spots, progress)

    def whole(self, file: Path) -> Answer:
        """The plans of a file."""
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        spots = shore.sought(chosen(shore, self.asked.spot), self.asked.quarry)
        return self._written(shore, spots, None)

    def _written(
        self, shore: "Shore", spots: "tuple[Spot, ...]", progress: Callable[[int], None] | None
    ) -> Answer:
        from windows.conditions.knowledge import outlook_of
        from windows.outing.making import make_plans
        from windows.render.words.doubts import doubts
        from windows.render.words.phrases import words_of
        from windows.render.words.todays import todays_water

        outing = self._wanted(shore)
        asked = self.asked
        stations = [item.station for item in spots]
        outlook = outlook_of(shore, stations, self.now, asked.observed, asked.weather)
        first = self.asked.day or self.span.first(self.now, shore.head.zone)
        days = self.span.days if self.asked.day is None else 1
        plans = make_plans(shore, spots, first, days, outlook, outing, self.asked.mix, progress)
        remarks = doubts(shore)
        if self.form == "csv":  # the one format with no room for sentences
            remarks += tuple(todays_water(plans.forecast, words_of(plans.forecast.head)))
        options = RenderOptions(self.width, shore.path.name, before=earlier(self.before))
        return Answer(write(ResultKind.PLAN, self.form, plans, options), remarks)

    def _wanted(self, shore: "Shore") -> "Outing":
        """The file's wishes with the command's in their place."""
        asked = self.asked
        given: dict[str, Any] = {
            "start": asked.landing,
            "leave_after": asked.leave_after,
            "home_by": asked.home_by,
            "longest": asked.longest,
            "margin": asked.margin,
        }
        return shore.outing._replace(**{key: value for key, value in given.items() if value is not None})


def chosen(shore: "Shore", names: tuple[str, ...]) -> "tuple[Spot, ...]":
    """The spots named, in the file's order; all of them where none is.

    Raises:
        UnknownNameError: the file has no spot of that id, or none at all.
    """
    from harmonics.errors import UnknownNameError

    if not shore.spots:
        raise UnknownNameError(f"{shore.path}: the file has no [[spots]]; a plan needs one to fish at")
    wanted = [shore.spot(name).id for name in names]
    return tuple(spot for spot in shore.spots if not names or spot.id in wanted)


def _wish(ctx: click.Context, param: click.Parameter, value: str | None) -> Any:
    """What the file's key of that name would mean, or a usage error that says what was expected."""
    from windows.shoreline.outing_file import WISHES

    if value is None:
        return None
    try:
        return WISHES[str(param.name)](value)
    except ValueError as error:
        raise click.BadParameter(f"'{value}': expected {error}", ctx=ctx, param=param) from None


_asked = group(
    "asked",
    Asked,
    click.option(
        "--day",
        callback=date_of,
        metavar="DATE",
        help="One local day, YYYY-MM-DD, instead of --start and --days.",
    ),
    click.option(
        "--spot", multiple=True, help="Id of a spot of the file; may be given again.  [default: all]"
    ),
    click.option("--from", "landing", help="Id of the landing to start from.  [default: the file's]"),
    click.option(
        "--leave-after",
        callback=_wish,
        help='Not gone from home before: "12:30", "sunrise", ...  [default: the file\'s, or 12:00]',
    ),
    click.option(
        "--home-by",
        callback=_wish,
        help='Home again by: "18:00", "sunset+1h", "02:00 next day" ...  '
        "[default: the file's, or sunset+1h]",
    ),
    click.option(
        "--longest",
        callback=_wish,
        metavar="LENGTH",
        help='From leaving home to being home: "4h", "5h30min" ...  [default: the file\'s, or 6h]',
    ),
    click.option(
        "--margin",
        callback=_wish,
        metavar="LENGTH",
        help="Kept from the times at which the water opens and shuts a landing or way, up to 3h.  "
        "[default: the file's, or 15min]",
    ),
    click.option(
        "--mix",
        is_flag=True,
        help="Let spots with a speed and spots known by their fall alone share a plan.",
    ),
    quarry_option,
    observed_option,
    weather_option,
)


@click.command()
@file_argument
@span_options(DAYS, MOST_PLAN_DAYS)
@_asked
@target_options(ResultKind.PLAN)
@click.pass_context
def plan(ctx: click.Context, file: Path, span: Span, asked: Asked, target: Target) -> None:
    """The best day out: leave, gather bait, fish, move, be back at the landing and home.

    FILE may be a folder of station files: each gets a result in the folder of -o.
    """
    if asked.day is not None and (span.start is not None or span.days != DAYS):
        raise click.UsageError("--day is one day: leave out --start and --days")
    if asked.observed is not None and os.path.isdir(file):
        raise click.UsageError("--observed has readings of one station: name one file, not a folder")
    before = None if os.path.isdir(file) else target.calendar
    answer(PlanJob(now_of(ctx), screen_width(), target.form, span, asked, before), file, target)
