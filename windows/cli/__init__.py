"""The `ebblight` command: parse, forecast, render. Heavy libraries load only when a command needs them."""

import atexit
import gc
import os
import sys
from typing import Any

import click

from windows.cli.lazy import LazyGroup

# Matrix products here are small: a second BLAS thread gains little on an idle machine and loses much on a
# busy one. It must be said before numpy is first imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# Nor is there a reason to look through every installed package for plugins to pydantic.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

OBJECTS_BEFORE_A_SEARCH = 200_000
"""Twice and more what a forecast leaves behind; some tens of megabytes at most."""

_COMMANDS = {
    "week": ("forecasts", "The coming week at a spot: windows, sessions and why they rank."),
    "best": ("forecasts", "Which afternoon: sessions of all spots in order of rank."),
    "compare": ("forecasts", "Spots side by side, day by day."),
    "now": ("now", "This minute at each spot: level, flow, points, what is left or comes next."),
    "plan": ("outing", "The best day out: leave, gather, fish, move, be home in time."),
    "tides": ("tides", "High and low waters."),
    "currents": ("currents", "Slacks, floods and ebbs of a current station."),
    "levels": ("levels", "Levels at even steps."),
    "sky": ("sky", "Sun and moon: rise, set, twilight, transit, phases."),
    "datums": ("datums", "Tidal datums, ranges, kind and age of the tide."),
    "log": ("log", "Trips: kept, listed, counted, and what they teach."),
    "prove": ("prove", "What forecasts were worth: those of the past against a record."),
    "new": ("new", "A first file from a published table and a few answers."),
    "add": ("add", "One more spot, station, bank, landing, boat, way or current in a file."),
    "import": ("import_", "A published constituent table, made ready for a station file."),
    "fit": ("fit", "Constituents from observed levels."),
    "check": ("check", "What a file means, and every problem in it."),
    "serve": ("serve", "The whole tool as pages in the browser, for this machine alone."),
    "guide": ("guide", "The manual, a page a topic."),
}


class _Root(LazyGroup):
    """The command itself: errors of the input become a message and exit status 1."""

    def invoke(self, ctx: click.Context) -> Any:
        from harmonics.errors import EbblightError

        try:
            return super().invoke(ctx)
        except EbblightError as error:
            click.echo(f"ebblight: {error}", err=True)
            ctx.exit(1)


@click.group(
    cls=_Root,
    package=__name__,
    table=_COMMANDS,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(package_name="ebblight", message="%(prog)s %(version)s")
def main() -> None:
    """Windows of outgoing water and low light at your fishing spots, from your own tidal constituents.

    FILE is a TOML file of stations and spots; `ebblight check FILE` says what it means.

    Not for navigation; weather moves the water; wear a lifejacket; check local rules.
    """
    # Python searches for cycles of garbage after every 700 objects and at its end: a tenth of a short run,
    # nearly all of whose objects are modules, classes and functions that live as long as it does.
    gc.set_threshold(OBJECTS_BEFORE_A_SEARCH)
    atexit.register(gc.freeze)
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
