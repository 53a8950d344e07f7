"""Where in a text its table of constituents lies: the header, how lines divide, and which cell is what."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from harmonics.catalogue.constituents import MAXIMUM_NAME_LENGTH, knows
from harmonics.files.published.columns import Column, Role, column, only_units
from harmonics.files.published.lines import (
    Line,
    Splitter,
    columns_of,
    divided,
    header_cells,
    is_rule,
    pieces,
    placed,
    uncommented,
)
from harmonics.files.published.numbers import CommaReading, number

MOST_COLUMNS = 60
MOST_HEADERS = 200
"""Lines tried as a header; prose on a page rarely names amplitude and phase."""
ROWS_TRIED = 40
_MEAN_NAMES = frozenset({"z0", "zo", "a0", "s0", "so", "m0", "msl", "mean"})
_HINT = re.compile(
    r"amp|phase|pha\b|lag\b|fase|epoch|kappa|κ|sema\b|\bg\b|\bh\b|major|situation", re.IGNORECASE
)
_NAME_LIKE = re.compile(r"(?=.*[A-Za-zΑ-ω])[\w()+\-' .]{1,24}")


@dataclass(frozen=True, slots=True)
class Layout:
    """How one table is laid out.

    Attributes:
        splitter: what stands between cells.
        header: its lines; the first row comes after them.
        start: index of the line after the header.
        groups: columns of each block, where a line holds several constituents side by side.
        width: cells of a whole row.
        spans: columns of the page, where gaps divide.
    """

    splitter: Splitter
    header: tuple[Line, ...]
    start: int
    groups: tuple[tuple[Column, ...], ...]
    width: int
    spans: tuple[tuple[int, int], ...] = ()

    @property
    def columns(self) -> tuple[Column, ...]:
        """Of all blocks."""
        return tuple(item for group in self.groups for item in group)

    def cells(self, line: Line) -> list[str]:
        """The line's cells in the header's order; another number of them where it does not fit."""
        cells = divided(line, self.splitter)
        if self.splitter is Splitter.GAPS and line.cells is None and len(cells) != self.width and self.spans:
            return placed(pieces(line.text), self.spans) or cells
        if len(cells) > self.width:
            if self.splitter is Splitter.SPACES and self.columns[-1].role is Role.OTHER:
                return [*cells[: self.width - 1], " ".join(cells[self.width - 1 :])]
            while len(cells) > self.width and not cells[-1]:
                cells.pop()
        return cells


def known(name: str) -> bool:
    """Whether the catalogue explains the name."""
    return 1 < len(name) <= MAXIMUM_NAME_LENGTH and name[0].isalnum() and knows(name)


def is_mean(name: str) -> bool:
    """True for the line that holds the mean level among constituents, such as Z0."""
    return name.lower().strip(".() ") in _MEAN_NAMES


def name_like(cell: str) -> bool:
    """True for what could be a constituent's name, known or not."""
    return _NAME_LIKE.fullmatch(cell) is not None and cell[0] not in "-+."


def find_layouts(lines: Sequence[Line]) -> list[Layout]:
    """Every table of constituents that the lines hold, in their order; those with rows first of all.

    A header whose words say name, amplitude and phase counts; where several readings of one do, that which
    finds most rows.
    """
    best: dict[int, tuple[int, Layout]] = {}
    tried = 0
    hinted = False
    for index, line in enumerate(lines):
        before, hinted = hinted, _HINT.search(line.text) is not None
        if not (hinted or before) or tried >= MOST_HEADERS:
            continue
        tried += 1
        for layout in _readings(lines, index):
            score = _count(lines, layout)
            if layout.start not in best or score > best[layout.start][0]:
                best[layout.start] = score, layout
    found: list[tuple[int, Layout]] = []
    for score, layout in sorted(best.values(), key=lambda item: item[1].start):
        if found and _heads_the_same(lines, found[-1][1], layout):
            other = found.pop()
            found.append(other if other[0] > score else (score, layout))
        else:
            found.append((score, layout))
    with_rows = [layout for score, layout in found if score]
    return with_rows or [layout for _, layout in found[:1]]


def _heads_the_same(lines: Sequence[Line], first: Layout, second: Layout) -> bool:
    """True where no row lies between two headers: lines of one header, or prose above it."""
    between = lines[first.start : second.start - 1]
    return not any(_is_good_row(first, line) for line in between)


def _readings(lines: Sequence[Line], index: int) -> Iterator[Layout]:
    line = lines[index]
    for splitter in Splitter:
        above = [i for i in (index - 1, index - 2) if i >= 0]
        for first in (index, *above):
            block = [replace(item, text=_bared(item)) for item in lines[first : index + 1]]
            if any(is_rule(item.text) or _holds_numbers(item, splitter) for item in block):
                break
            layout = _layout(lines, block, index + 1, splitter)
            if layout is not None:
                yield layout
                break
        if line.cells is not None:
            return


def _holds_numbers(line: Line, splitter: Splitter) -> bool:
    """True for a row of a table, which heads nothing."""
    return any(map(_numeric, divided(line, splitter)))


def _bared(line: Line) -> str:
    text = uncommented(line.text)
    return text if text.strip() else line.text


def _layout(lines: Sequence[Line], block: Sequence[Line], start: int, splitter: Splitter) -> Layout | None:
    under = lines[start] if start < len(lines) else None
    spans: list[tuple[int, int]] = []
    if splitter is Splitter.GAPS and len(block) + (under is not None) > 1:
        spans = _spans(lines, start)
    titles = _titles(block, splitter, spans)
    if titles is None or not 3 <= len(titles) <= MOST_COLUMNS:
        return None
    header = list(block)
    if under is not None and not is_rule(under.text):
        more = _titles([under], splitter, spans)
        if more is not None and len(more) == len(titles) and only_units(more):
            titles = [f"{title} {unit}".strip() for title, unit in zip(titles, more, strict=True)]
            header.append(under)
            start += 1
    columns = [column(i, title) for i, title in enumerate(titles)]
    groups = _groups(columns)
    if groups is None:
        return None
    layout = Layout(splitter, tuple(header), start, groups, len(columns), tuple(spans))
    return _numbered(lines, layout)


def _titles(block: Sequence[Line], splitter: Splitter, spans: list[tuple[int, int]]) -> list[str] | None:
    """The words above each column, lines joined; None where they don't fit one another."""
    rows: list[list[str]] = []
    for line in block:
        cells = header_cells(line, splitter)
        if splitter is Splitter.GAPS and spans and len(cells) != len(spans):
            found = placed(pieces(line.text), spans)
            if found is None:
                return None
            cells = found
        rows.append(cells)
    if len({len(cells) for cells in rows}) != 1:
        return None
    return [" ".join(dict.fromkeys(filter(None, words))) for words in zip(*rows, strict=True)]


def _spans(lines: Sequence[Line], start: int) -> list[tuple[int, int]]:
    """The columns of the page under a header, from rows with the usual number of pieces."""
    rows = []
    for line in lines[start : start + ROWS_TRIED]:
        row = pieces(line.text) if line.cells is None else []
        if any(known(piece.text) for piece in row):
            rows.append(row)
    if not rows:
        return []
    widths = [len(row) for row in rows]
    usual = max(widths, key=lambda width: (widths.count(width), width))
    return columns_of(row for row in rows if len(row) == usual)


def _groups(columns: list[Column]) -> tuple[tuple[Column, ...], ...] | None:
    """The blocks of a header that each hold name, amplitude and phase; None where there is none."""
    names = [item.index for item in columns if item.role is Role.NAME]
    titles = [columns[i].title.lower() for i in names]
    if len(names) > 1 and len(set(titles)) == 1:
        ends = [*names[1:], len(columns)]
        numbered = columns[0].role is Role.NUMBER and names[0] == 1
        groups = [
            tuple(columns[a : b - numbered * (b < len(columns))]) for a, b in zip(names, ends, strict=True)
        ]
    else:
        groups = [tuple(columns)]
    complete = all(
        {Role.NAME, Role.AMPLITUDE, Role.PHASE} <= {item.role for item in group} for group in groups
    )
    return tuple(groups) if complete else None


def _numbered(lines: Sequence[Line], layout: Layout) -> Layout:
    """The same with a column in front, where rows are numbered and the header does not say so."""
    wider = Layout(
        layout.splitter,
        layout.header,
        layout.start,
        tuple(
            (
                *(Column(0, "#", Role.NUMBER),) * (k == 0),
                *(replace(item, index=item.index + 1) for item in group),
            )
            for k, group in enumerate(layout.groups)
        ),
        layout.width + 1,
    )
    return wider if _count(lines, wider) and not _count(lines, layout) else layout


def _count(lines: Sequence[Line], layout: Layout) -> int:
    """Of the first lines under a header those that are whole rows of known names."""
    return sum(_is_good_row(layout, line) for line in lines[layout.start : layout.start + ROWS_TRIED])


def _is_good_row(layout: Layout, line: Line) -> bool:
    cells = layout.cells(line)
    return len(cells) == layout.width and _is_good(cells, layout.groups[0])


def _is_good(cells: list[str], group: Sequence[Column]) -> bool:
    def has(role: Role) -> bool:
        return any(_numeric(cells[item.index]) for item in group if item.role is role)

    named = any(known(cells[item.index]) for item in group if item.role is Role.NAME)
    return named and has(Role.AMPLITUDE) and has(Role.PHASE)


def _numeric(cell: str) -> bool:
    return any(
        number(cell, reading) is not None for reading in (CommaReading.DECIMAL, CommaReading.THOUSANDS)
    )
