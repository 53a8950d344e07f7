"""A text divided into the rows of its table of constituents and the lines that only speak of it."""

from collections.abc import Sequence
from dataclasses import dataclass

from harmonics.files.problems import Here
from harmonics.files.published.columns import Column, Role
from harmonics.files.published.layouts import Layout, find_layouts, is_mean, known, name_like
from harmonics.files.published.lines import COMMENT, Line, Splitter, is_rule
from harmonics.files.published.numbers import CommaReading, absent, comma_reading, number
from harmonics.files.published.transposed import upright

EXPECTED_HEADER = "a header with name, amplitude and phase"


@dataclass(frozen=True, slots=True)
class Row:
    """One constituent's cells in the order of the columns."""

    line: Line
    name: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PublishedRows:
    """The table of a text.

    Attributes:
        columns: of one block, indexes into the cells of a row.
        header: the lines above the rows.
        rows: constituents.
        means: rows that hold a mean level, such as Z0.
        prose: lines above, between and below.
        passed_over: lines between the first row and the last that were read as no rows.
        commas: what commas inside numbers stand for.
    """

    columns: tuple[Column, ...]
    header: tuple[Line, ...]
    rows: tuple[Row, ...]
    means: tuple[Row, ...]
    prose: tuple[Line, ...]
    passed_over: tuple[Line, ...]
    commas: CommaReading


def published_rows(lines: Sequence[Line], top: Here) -> PublishedRows | None:
    """The rows of the one table in these lines, or None with the problems reported."""
    if not any(line.text.strip() for line in lines):
        top.say("no text", EXPECTED_HEADER)
        return None
    lines = upright(lines)
    layouts = find_layouts(lines)
    if not layouts:
        _say_no_header(lines, top)
        return None
    layout = layouts[0]
    titles = [item.title for item in layout.columns]
    for other in layouts[1:]:
        if [item.title for item in other.columns] != titles:
            first, second = layout.header[-1].where, other.header[-1].where
            top.say(f"two tables, under {first} and under {second}", "one table")
            return None
    tables = {item.header[-1].table for item in layouts}
    return _Body(lines, layout, tables, top).read()


def _say_no_header(lines: Sequence[Line], top: Here) -> None:
    """Report what stands where a header should be."""
    for line in lines:
        words = line.text.replace(",", " ").replace(";", " ").replace("|", " ").split()
        if any(known(word) for word in words[:3]) and sum(number(word) is not None for word in words) > 1:
            found = f"'{' '.join(words)[:60]}' with no header above that says which number is which"
            top.line(line.where).say(found, "a line such as name,amplitude,phase above the rows")
            return
    first = next(line for line in lines if line.text.strip())
    top.line(first.where).say(f"'{' '.join(first.text.split())[:80]}'", EXPECTED_HEADER)


class _Body:
    """Reads what stands under a header."""

    def __init__(self, lines: Sequence[Line], layout: Layout, tables: set[int], top: Here) -> None:
        self.lines = lines
        self.tables = tables
        self.rows: list[Row] = []
        self.prose = list(lines[: layout.start - len(layout.header)])
        self.passed: list[Line] = []
        self.layout = layout
        self.top = top
        self.names = [self._name_column(group) for group in layout.groups]
        self.numbers = [i for i in layout.groups[0] if i.role in (Role.AMPLITUDE, Role.PHASE)]

    def read(self) -> PublishedRows:
        layout, rows = self.layout, self.rows
        headings = {" ".join(line.text.split()) for line in layout.header}
        between: list[Line] = []
        for line in self.lines[layout.start :]:
            comment = line.cells is None and COMMENT.match(line.text) is not None
            if (is_rule(line.text) and not line.cells) or " ".join(line.text.split()) in headings:
                continue
            found = [] if comment or line.table not in self.tables else self._rows(line, bool(between))
            if found is None or found:
                rows += found or []
                self.passed += between
                between = []
            else:
                self.prose.append(line)
                between += [line] if rows and not comment and line.table in self.tables else []
        return PublishedRows(
            layout.groups[0],
            layout.header,
            tuple(row for row in rows if not _holds_mean(row)),
            tuple(row for row in rows if _holds_mean(row)),
            tuple(self.prose),
            tuple(self.passed + [line for line in between if self._is_lost(line)]),
            comma_reading(cell for row in rows for cell in row.cells),
        )

    def _is_lost(self, line: Line) -> bool:
        """True for a line below the table that holds numbers as a row does."""
        cells = self.layout.cells(line)
        return len(cells) == self.layout.width and all(_numeric(cells[item.index]) for item in self.numbers)

    def _name_column(self, group: Sequence[Column]) -> int:
        """Of several columns that could hold names, that which holds most that the catalogue knows."""
        places = [item.index for item in group if item.role is Role.NAME]
        if len(places) == 1:
            return places[0]
        rows = [self.layout.cells(line) for line in self.lines[self.layout.start :]]
        rows = [cells for cells in rows if len(cells) == self.layout.width]
        return max(places, key=lambda place: sum(known(bare_name(cells[place])) for cells in rows))

    def _rows(self, line: Line, after_prose: bool) -> list[Row] | None:
        """The constituents of a line: none for prose; None for a broken row, with its problem.

        After prose only names that the catalogue knows begin a row: a page may list other things below.
        """
        layout = self.layout
        cells = layout.cells(line)
        if len(cells) < layout.width and len(layout.groups) > 1:
            cells = self._padded(cells)
        if len(cells) != layout.width:
            if not self._is_broken(cells):
                return []
            expected = f"{layout.width}, as in the header"
            self.top.line(line.where).say(f"{len(cells)} fields", expected)
            return None
        if [cell.strip("() ") for cell in cells] == [str(number + 1) for number in range(len(cells))]:
            return []  # columns numbered under their titles
        found = []
        for group, place in zip(layout.groups, self.names, strict=True):
            mine = tuple(cells[item.index] for item in group)
            name = bare_name(cells[place])
            if self._is_row(name, mine) and (not after_prose or known(name)):
                found.append(Row(line, name, mine))
        return found

    def _padded(self, cells: list[str]) -> list[str]:
        widths = [len(group) for group in self.layout.groups]
        ends = {sum(widths[: k + 1]) for k in range(len(widths))}
        return cells + [""] * (self.layout.width - len(cells)) if len(cells) in ends else cells

    def _is_row(self, name: str, cells: Sequence[str]) -> bool:
        first = self.layout.groups[0][0].index
        places = [item.index - first for item in self.numbers]
        if max(places, default=0) >= len(cells):
            return False  # beside the first table stands one of fewer columns
        values = [cells[place] for place in places]
        numeric = [_numeric(value) for value in values]
        if known(name):
            said = any(values) and self.layout.splitter not in (Splitter.GAPS, Splitter.SPACES)
            return said or any(numeric) or all(absent(value) for value in values)
        return any(numeric) if name_like(name) else all(numeric)

    def _is_broken(self, cells: list[str]) -> bool:
        """True for what starts as a row does but has too many cells or too few."""
        named = [i for i, cell in enumerate(cells[:3]) if known(bare_name(cell))]
        if self.layout.splitter not in (Splitter.GAPS, Splitter.SPACES):
            return bool(named) and len(cells) > 1
        return bool(named) and len(cells) > named[0] + 1 and _numeric(cells[named[0] + 1])


def _holds_mean(row: Row) -> bool:
    return is_mean(row.name) and not known(row.name)


def bare_name(cell: str) -> str:
    """A constituent's name without the marks of footnotes."""
    return cell.strip(" *†‡§:")


def _numeric(cell: str) -> bool:
    return any(
        number(cell, reading) is not None for reading in (CommaReading.DECIMAL, CommaReading.THOUSANDS)
    )
