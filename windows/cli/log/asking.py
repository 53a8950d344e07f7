"""Questions for what a new trip still lacks, where a person sits at a terminal."""

import sys
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from windows.log.told import Told

if TYPE_CHECKING:
    from windows.shoreline.shore import Shore

_NEEDED = {
    "spot": "--spot ID",
    "start": "--start WHEN",
    "end": "--end WHEN",
    "catch": "--kept FISH, --released FISH, --sought SPECIES or --nothing",
}
_MORE = (
    ("anglers", "How many fished", "1"),
    ("bait", "Bait", ""),
    ("turned_out", "When the current began to go out (18:20)", ""),
    ("turned_in", "When the current began to come in", ""),
    ("drift", "Speed of a drift, knots (0.8@18:20)", ""),
    ("lead", "Lead that held bottom (6oz, 170g)", ""),
    ("temperature", "Water temperature (18C, 64F)", ""),
    ("wind", "Wind (12kn SW, calm)", ""),
    ("clarity", "Water: clear, cloudy or muddy", ""),
    ("words", "Anything else", ""),
)
"""Asked for where nothing was said of it; Enter passes over."""


def at_a_terminal() -> bool:
    """Whether a person can be asked."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def asked(told: Told, shore: "Shore", planned: bool) -> Told:
    """What was typed, with answers for what a trip can't do without, and for the rest on the way.

    Raises:
        click.UsageError: something is missing and nobody is there to ask.
    """
    missing = told.missing(shore, planned)
    if not missing:
        return told
    if not at_a_terminal():
        lines = "\n".join(f"  {_NEEDED[name]}" for name in missing)
        raise click.UsageError(f"a trip needs more, and there is no terminal to ask at:\n{lines}")
    if "spot" in missing:
        names = [spot.id for spot in shore.spots]
        told = replace(told, spot=click.prompt("Spot", type=click.Choice(names)))
    if "start" in missing:
        told = replace(told, start=click.prompt("From (17:30, or 2026-08-15 17:30)"))
    if "end" in missing:
        told = replace(told, end=click.prompt("To (20:10)"))
    if "catch" in missing:
        told = _catch(told)
    return told if planned else _more(told)


def _catch(told: Told) -> Told:
    kept = _several("Fish kept: species and lengths, or a count (flounder 38 41.5; bass x2)")
    released = _several("Fish released, alike")
    if kept or released:
        measured = click.prompt("Measured", type=click.Choice(["fork", "total"]), default="total")
        return replace(told, kept=kept, released=released, measured=told.measured or measured)
    return replace(told, nothing=click.confirm("No fish at all?", default=True, abort=True))


def _several(question: str) -> tuple[str, ...]:
    """Answers until an empty one."""
    answers: list[str] = []
    while answer := click.prompt(question, default="", show_default=False).strip():
        answers.append(answer)
        question = "More"
    return tuple(answers)


def _more(told: Told) -> Told:
    for key, question, default in _MORE:
        if getattr(told, key) not in (None, ()):
            continue
        kind = click.IntRange(1) if key == "anglers" else str
        answer = click.prompt(question, default=default, type=kind, show_default=bool(default))
        if answer != "":
            value: Any = (answer,) if isinstance(getattr(told, key), tuple) else answer
            told = replace(told, **{key: value})
    return told
