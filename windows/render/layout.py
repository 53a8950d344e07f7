"""Plain text for a terminal or a file: aligned tables, folded paragraphs, nothing read as markup."""

from collections.abc import Sequence
from io import StringIO
from typing import NamedTuple

FALLBACK_WIDTH = 100
"""Columns where the output is not a terminal."""
NARROWEST = 40


class Column(NamedTuple):
    """Heading and alignment of one column; `fold` lets it take several lines."""

    heading: str
    right: bool = False
    fold: bool = False


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int) -> str:
    """Rows under headings, aligned; wide columns fold where the width is short."""
    from rich import box
    from rich.table import Table
    from rich.text import Text

    made = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, 1), header_style="bold")
    for column in columns:
        made.add_column(
            Text(column.heading),
            justify="right" if column.right else "left",
            no_wrap=not column.fold,
            overflow="fold",
        )
    for row in rows:
        made.add_row(*(Text(cell) for cell in row))
    return _printed(made, width)


def paragraph(text: str, width: int, indent: int = 0, hanging: int = 0) -> str:
    """Text folded to the width, its first line indented, the others indented by `hanging` more."""
    from textwrap import fill

    first, rest = " " * indent, " " * (indent + hanging)
    return fill(
        text,
        max(width, NARROWEST),
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
    )


def _printed(renderable: object, width: int) -> str:
    from rich.console import Console

    stream = StringIO()
    console = Console(file=stream, width=max(width, NARROWEST), color_system=None, highlight=False)
    console.print(renderable)
    return "\n".join(line.rstrip() for line in stream.getvalue().splitlines())
