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

    Attributes:
        heading: its title.
        right: whether its cells stand at the right.
        fold: it may take several lines.
        fold_last: so may this one where the table does not fit otherwise.
    """

    heading: str
    right: bool = False
    fold: bool = False
    fold_last: bool = False


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int) -> str:
    """Rows under headings, aligned. Where the width is too short for that, each row as a paragraph."""
    from rich import box
    from rich.table import Table
    from rich.text import Text

    texts = [[column.heading, *(row[i] for row in rows)] for i, column in enumerate(columns)]
    room = width - GAP * len(columns)
    least = _least_widths(columns, texts)
    if sum(least) > room:
        columns = [column._replace(fold=column.fold or column.fold_last) for column in columns]
        least = _least_widths(columns, texts)
    if sum(least) > room:
        return "\n".join(_as_paragraph(columns, row, width) for row in rows)
    made = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, GAP - 1, 0, 0))
    for column, cells in zip(columns, _widths(texts, least, room), strict=True):
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


def _least_widths(columns: Sequence[Column], texts: Sequence[Sequence[str]]) -> list[int]:
    return [_least_width(column, cells) for column, cells in zip(columns, texts, strict=True)]


def _least_width(column: Column, texts: Sequence[str]) -> int:
    """Cells that the column can't do without: its longest word where it folds, else its longest text."""
    from rich.cells import cell_len

    if not column.fold:
        return max(map(cell_len, texts))
    words = [word for text in texts for word in text.split()]
    return min(LONGEST_WORD, max(map(cell_len, words), default=1))


def _widths(texts: Sequence[Sequence[str]], least: Sequence[int], room: int) -> list[int]:
    """Cells for each column: what is left over goes to those that still fold, one cell each in turn."""
    from rich.cells import cell_len

    wanted = [max(map(cell_len, cells)) for cells in texts]
    widths, left = list(least), room - sum(least)
    while left > 0 and any(width < most for width, most in zip(widths, wanted, strict=True)):
        for i, most in enumerate(wanted):
            if widths[i] < most and left > 0:
                widths[i] += 1
                left -= 1
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
