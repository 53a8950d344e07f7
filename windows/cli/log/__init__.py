"""`log`: trips kept, listed, counted, and what they teach."""

import click

from windows.cli.lazy import LazyGroup

_COMMANDS = {
    "add": ("entries", "Keep a trip: where, when, what was caught, what the water did."),
    "list": ("listing", "The trips of the log."),
    "edit": ("entries", "Change a trip, take it out, or bring it back."),
    "report": ("reporting", "Whether hours with more points caught more, honestly counted."),
    "learn": ("teaching", "What the trips teach about a file's spots."),
    "export": ("moving", "The whole log as CSV."),
    "import": ("moving", "Trips from CSV: a log's own, or a notebook's."),
}


@click.group(cls=LazyGroup, package=__name__, table=_COMMANDS)
def log() -> None:
    """Trips: kept, listed, counted, and what they teach.

    The log is one file. It lies where --log says, else where the station FILE says ([log] path = "trips.db"),
    else in your folder for data.
    """
