"""Plain text for a terminal or a file: aligned tables, folded paragraphs, nothing read as markup."""

from collections.abc import Sequence
from io import StringIO
from typing import NamedTuple

from windows.render.words.safe_text import unsteered

FALLBACK_WIDTH = 100
"""Columns where the output is not a terminal."""
NARROWEST = 40
GAP = 2
"""Blanks between columns; the table draws one of them itself."""
ITEM_GAP = 3
LONGEST_WORD = 16
"""A folding column keeps words up to this long whole."""


class Column(NamedTuple):
    """Heading and alignment of one column.

    `fold` lets it take several lines; `tight` where the table does not fit otherwise, 2 as a last resort.
    """

    heading: str
    right: bool = False
    fold: bool = False
    tight: int = 0


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int) -> str:
    """Rows under headings, aligned; drawn closer where the width is short, else a paragraph each."""
    from rich import box
    from rich.table import Table
    from rich.text import Text

    texts = [[column.heading, *(row[i] for row in rows)] for i, column in enumerate(columns)]
    for tight, gap in ((0, GAP), (1, GAP), (1, 1), (2, 1)):
        taken = [column._replace(fold=column.fold or 0 < column.tight <= tight) for column in columns]
        least = [_least_width(column, cells) for column, cells in zip(taken, texts, strict=True)]
        room = width - gap * len(columns)
        if sum(least) <= room:
            break
    else:
        return "\n".join(_as_paragraph(columns, row, width) for row in rows)
    made = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, gap - 1, 0, 0))
    for column, cells in zip(taken, _widths(columns, texts, least, room), strict=True):
        made.add_column(
            Text(unsteered(column.heading)),
            justify="right" if column.right else "left",
            no_wrap=not column.fold,
            overflow="fold",
            width=cells,
        )
    for row in rows:
        made.add_row(*(Text(unsteered(cell)) for cell in row))
    return _printed(made, width)


def _least_width(column: Column, texts: Sequence[str]) -> int:
    """Cells that the column can't do without: its longest word where it folds, else its longest text."""
    from rich.cells import cell_len

    if not column.fold:
        return max(map(cell_len, texts))
    words = [word for text in texts for word in text.split()]
    return min(LONGEST_WORD, max(map(cell_len, words), default=1))


def _widths(
    columns: Sequence[Column], texts: Sequence[Sequence[str]], least: Sequence[int], room: int
) -> list[int]:
    """Cells for each column.

    What is left over goes to tight columns, where least is missing first, then to those that fold, one cell
    each in turn.
    """
    from rich.cells import cell_len

    missing = [max(map(cell_len, cells)) - width for cells, width in zip(texts, least, strict=True)]
    widths, left = list(least), room - sum(least)
    for i in sorted((i for i, column in enumerate(columns) if column.tight), key=missing.__getitem__):
        given = min(missing[i], left)
        widths[i], missing[i], left = widths[i] + given, missing[i] - given, left - given
    while left > 0 and any(missing):
        for i, more in enumerate(missing):
            given = min(more, left, 1)
            widths[i], missing[i], left = widths[i] + given, more - given, left - given
    return widths


def _as_paragraph(columns: Sequence[Column], row: Sequence[str], width: int) -> str:
    pairs = [f"{column.heading}: {' '.join(cell.split())}" for column, cell in zip(columns, row, strict=True)]
    return paragraph("; ".join(pairs), width, hanging=2)


def filled(items: Sequence[str], width: int) -> str:
    """Items side by side, as many on a line as fit, none broken."""
    lines: list[str] = []
    for item in items:
        if lines and len(lines[-1]) + ITEM_GAP + len(item) <= width:
            lines[-1] += " " * ITEM_GAP + item
        else:
            lines.append(item)
    return "\n".join(lines)


def paragraph(text: str, width: int, indent: int = 0, hanging: int = 0) -> str:
    """Text folded between words to the width, its first line indented, the others by `hanging` more."""
    from rich.cells import cell_len

    limit = max(width, NARROWEST)
    first, *words = unsteered(text).split() or [""]
    lines = [" " * indent + first]
    for word in words:
        longer = f"{lines[-1]} {word}"
        if cell_len(longer) <= limit:
            lines[-1] = longer
        else:
            lines.append(" " * (indent + hanging) + word)
    return "\n".join(lines)


def _printed(renderable: object, width: int) -> str:
    from rich.console import Console

    stream = StringIO()
    console = Console(file=stream, width=max(width, NARROWEST), color_system=None, highlight=False)
    console.print(renderable)
    return "\n".join(line.rstrip() for line in stream.getvalue().splitlines())
