"""`guide`: the manual on the screen."""

import sys
from io import StringIO

import click

from windows.cli.output import emit, screen_width

WIDEST = 100
"""Longer lines are hard to read."""


@click.command()
@click.argument("topic", required=False)
def guide(topic: str | None) -> None:
    """Show the manual: the page on TOPIC, or the list of topics."""
    from windows.guide import page

    emit(_rendered(_contents() if topic is None else page(topic).text), None)


def _contents() -> str:
    from windows.guide import pages

    lines = ["# The manual", "", "`ebblight guide TOPIC` shows a page.", ""]
    lines += ["| topic | page |", "| --- | --- |"]
    lines += [f"| {item.topic} | **{item.title}.** {item.purpose} |" for item in pages()]
    return "\n".join(lines)


def _rendered(text: str) -> str:
    """Markdown for the screen: coloured on a terminal, plain elsewhere."""
    from rich.console import Console
    from rich.markdown import Markdown

    stream = StringIO()
    width = min(screen_width(), WIDEST)
    if sys.stdout.isatty():
        console = Console(file=stream, width=width, force_terminal=True)
    else:
        console = Console(file=stream, width=width, color_system=None)
    console.print(Markdown(text, code_theme="ansi_dark", hyperlinks=False))
    return "\n".join(line.rstrip() for line in stream.getvalue().splitlines()) + "\n"
