"""The `ebblight` command: parse, forecast, render. Heavy libraries load only when a command needs them."""

import atexit
import gc
import os
import sys
from importlib import import_module
from keyword import iskeyword
from typing import Any

import click

# Matrix products here are small: a second BLAS thread gains little on an idle machine and loses much on a
# busy one. It must be said before numpy is first imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# Nor is there a reason to look through every installed package for plugins to pydantic.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

OBJECTS_BEFORE_A_SEARCH = 50_000
"""More than a week's forecast leaves behind; some ten megabytes at most."""

_COMMANDS = {
    "week": ("forecasts", "The coming week at a spot: windows, sessions and why they rank."),
    "best": ("forecasts", "Which afternoon: sessions of all spots in order of rank."),
    "compare": ("forecasts", "Spots side by side, day by day."),
    "plan": ("outing", "The best day out: leave, gather, fish, move, be home in time."),
    "tides": ("tides", "High and low waters."),
    "currents": ("currents", "Slacks, floods and ebbs of a current station."),
    "levels": ("levels", "Levels at even steps."),
    "sky": ("sky", "Sun and moon: rise, set, twilight, transit, phases."),
    "datums": ("datums", "Tidal datums, ranges, kind and age of the tide."),
    "import": ("import_", "A published constituent table, made ready for a station file."),
    "fit": ("fit", "Constituents from observed levels."),
    "check": ("check", "What a file means, and every problem in it."),
    "guide": ("guide", "The manual, a page a topic."),
}


class _Lazy(click.Group):
    """Commands whose modules are imported only when they run: `--help` stays quick."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _COMMANDS:
            return None
        module, _ = _COMMANDS[cmd_name]
        name = f"{cmd_name}_" if iskeyword(cmd_name) else cmd_name
        command = getattr(import_module(f"windows.cli.{module}"), name)
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in _COMMANDS.items()])

    def invoke(self, ctx: click.Context) -> Any:
        from harmonics.errors import EbblightError

        try:
            return super().invoke(ctx)
        except EbblightError as error:
            click.echo(f"ebblight: {error}", err=True)
            ctx.exit(1)


@click.group(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"]})
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
