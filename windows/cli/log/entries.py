"""`log add` and `log edit`: a trip kept, with its forecast frozen, and what the rules say of its fish."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from windows.cli.log.asking import asked
from windows.cli.log.entry_options import told_options
from windows.cli.log.place import log_option, log_path
from windows.cli.options import file_argument, now_of
from windows.cli.output import emit, screen_width
from windows.log.told import Told

if TYPE_CHECKING:
    from windows.log.storage import SqliteStore
    from windows.log.trips import Trip
    from windows.shoreline.shore import Shore


@click.command()
@file_argument
@told_options
@click.option(
    "--planned", is_flag=True, help="A trip to come: the forecast is frozen now, the catch told later."
)
@log_option
@click.pass_context
def add(ctx: click.Context, /, file: Path, told: Told, planned: bool, path: Path | None) -> None:
    """Keep a trip: where, when, what was caught, what the water did.

    Its hours get the forecast that FILE gives now, frozen. Without what a trip needs, and at a terminal, you
    are asked. Trips without a fish belong in the log as well: --nothing.
    """
    from windows.log.entry import entered
    from windows.log.keeping import with_forecast
    from windows.log.storage import SqliteStore
    from windows.log.trips import Made
    from windows.shoreline.shore import read_shore

    now = now_of(ctx)
    shore = read_shore(file)
    place = log_path(path, shore)
    told = asked(told, shore, planned)
    with _usage():
        trip = entered(told, shore, now, planned)
    trip = with_forecast(trip, shore, now, Made.PLANNED if planned else Made.LOGGED)
    with SqliteStore(place, create=True) as store:
        kept = store.add(trip)
        _tell("planned" if planned else "kept", kept, shore, store, place, now)


@click.command()
@file_argument
@click.argument("number", type=click.IntRange(1))
@told_options
@click.option("--remove", is_flag=True, help="Take the trip out; it can be brought back.")
@click.option("--restore", is_flag=True, help="Bring back a trip that was taken out.")
@click.option("--compute", is_flag=True, help="Give a trip without a forecast one, marked as computed later.")
@log_option
@click.pass_context
def edit(
    ctx: click.Context,
    /,
    file: Path,
    number: int,
    told: Told,
    remove: bool,
    restore: bool,
    compute: bool,
    path: Path | None,
) -> None:
    """Change a trip, take it out, or bring it back.

    What you give replaces what the trip says; any fish replace its whole catch, and make a planned trip a
    fished one. A plan's forecast stays as it was frozen; other trips whose hours or spot change get a new
    one, marked as computed later.
    """
    from windows.log.keeping import NOTHING_TOLD, brought_back, changed, taken_out
    from windows.log.storage import SqliteStore
    from windows.shoreline.shore import read_shore

    if remove and restore:
        raise click.UsageError("--remove or --restore, not both")
    if told == NOTHING_TOLD and not (remove or restore or compute):
        raise click.UsageError("nothing to change: name what the trip should say instead")
    now = now_of(ctx)
    shore = read_shore(file)
    place = log_path(path, shore)

    def change(trip: "Trip") -> "Trip":
        new = changed(trip, told, shore, now, compute)
        return taken_out(new, now) if remove else brought_back(new) if restore else new

    with SqliteStore(place) as store:
        with _usage():
            kept = store.change(number, change)
        done = "taken out (--restore brings it back)" if remove else "brought back" if restore else "changed"
        _tell(done, kept, shore, store, place, now)


@contextmanager
def _usage() -> Iterator[None]:
    """What was typed wrong is wrong usage.

    Raises:
        click.UsageError: with every problem.
    """
    from windows.log.entry import EntryError

    try:
        yield
    except EntryError as error:
        raise click.UsageError(str(error)) from None


def _tell(done: str, trip: "Trip", shore: "Shore", store: "SqliteStore", place: Path, now: float) -> None:
    """Say what was kept, and what the rules say of its fish."""
    from windows.log.keeping import alike, judged
    from windows.render.text.log import entry_text

    found, twins = judged(trip, shore, store, now), alike(trip, store)
    emit(entry_text(done, trip, found, shore, str(place), screen_width(), twins), None)
