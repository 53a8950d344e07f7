"""`guide`: the manual on the screen."""

import re
import sys
from io import StringIO

import click

from windows.cli.output import emit, screen_width

WIDEST = 100
"""Longer lines are hard to read."""
PICTURE = re.compile(r"!\[([^\]]*)\]\(pictures/([^)]*)\)")


@click.command()
@click.argument("topic", required=False)
@click.option("--schema", is_flag=True, help="The keys of a station file as JSON Schema, for an editor.")
def guide(topic: str | None, schema: bool) -> None:
    """Show the manual: the page on TOPIC, or the list of topics."""
    if schema:
        if topic is not None:
            raise click.UsageError("--schema stands alone: it is of the whole file")
        emit(_schema(), None)
        return
    from windows.guide import page

    emit(_rendered(_contents() if topic is None else page(topic).text), None)


def _schema() -> str:
    """What a file may hold, for editors."""
    import json

    from windows.shoreline.file_schema import schema

    return json.dumps(schema(), indent=2) + "\n"


def _contents() -> str:
    from windows.guide import pages

    lines = ["# The manual", "", "`ebblight guide TOPIC` shows a page.", ""]
    lines += ["| topic | page |", "| --- | --- |"]
    lines += [f"| {item.topic} | **{item.title}.** {item.purpose} |" for item in pages()]
    return "\n".join(lines)


def _rendered(text: str) -> str:
    """Markdown for the screen: coloured on a terminal, plain elsewhere; pictures are named."""
    text = PICTURE.sub(r"Picture `\2`: \1. `ebblight serve` shows it under Guide.", text)
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
