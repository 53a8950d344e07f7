"""Pages saved from a browser: their tables row by row, and the text between them line by line."""

import re
from typing import TYPE_CHECKING, Any

from harmonics.errors import FileProblemsError, Problem
from harmonics.files.published.lines import Line
from harmonics.files.published.numbers import plain

if TYPE_CHECKING:
    from lxml.etree import _Element

MOST_ELEMENTS = 200_000
"""A saved page of a few hundred constituents has some thousands."""
MOST_SPANNED = 500
"""Rows or columns that one cell may span."""
_LOOKS_LIKE = re.compile(r"<\s*(?:!doctype\s+html|html|table|pre|body|head|tr|div)\b", re.IGNORECASE)
_UNSEEN = frozenset({"script", "style", "template", "noscript", "head", "select", "svg", "button"})
_BREAKS = frozenset(
    "p div br li ul ol h1 h2 h3 h4 h5 h6 dl dt dd section article header footer main nav form caption table "
    "tr hr blockquote figure figcaption details summary".split()
)


def is_html(text: str) -> bool:
    """Whether a text is a page, or a piece of one."""
    return _LOOKS_LIKE.search(text[:100_000]) is not None


def lines_of_html(text: str, path: str) -> list[Line]:
    """The lines of a page in its order; the rows of its tables have cells.

    Raises:
        FileProblemsError: no page at all, or one too large or too deep to be read whole.
    """
    from lxml import etree

    parser = etree.HTMLParser(encoding="utf-8", no_network=True, remove_comments=True, remove_pis=True)
    try:
        root = etree.fromstring(text.encode("utf-8", "replace"), parser)
    except etree.LxmlError:
        root = None
    if root is None:
        raise _refused(path, "HTML that can't be read")
    if any("depth" in entry.message.lower() for entry in parser.error_log):
        raise _refused(path, "HTML nested too deeply")
    for count, _ in enumerate(root.iter()):
        if count > MOST_ELEMENTS:
            raise _refused(path, f"HTML of more than {MOST_ELEMENTS:,} elements")
    page = _Page()
    page.read(root)
    page.end_line()
    return page.lines


def _refused(path: str, found: str) -> FileProblemsError:
    return FileProblemsError(path, (Problem("file", found, "a page saved with its table"),))


class _Page:
    """Collects the lines of one page."""

    def __init__(self) -> None:
        self.lines: list[Line] = []
        self.words: list[str] = []
        self.number = 1
        self.table = 0
        self.spanning: dict[int, tuple[int, str]] = {}

    def read(self, element: "_Element") -> None:
        """The element's own text and that of everything inside."""
        tag = _tag(element)
        if tag in _UNSEEN:
            if tag == "head" and (title := element.findtext("title")):
                self.add(title)
                self.end_line()
            return
        self.number = getattr(element, "sourceline", None) or self.number
        if tag in _BREAKS:
            self.end_line()
        if tag == "table":
            self.table += 1
            self.spanning = {}
        if tag == "tr":
            self.row(element)
        elif tag == "pre":
            self.end_line()
            for offset, line in enumerate(_text(element).splitlines()):
                self.lines.append(Line(self.number + offset, plain(line)))
        else:
            self.add(element.text)
            for child in element:
                self.read(child)
                self.add(child.tail)
        if tag in _BREAKS:
            self.end_line()

    def row(self, element: "_Element") -> None:
        """One row of a table; a table inside a cell is read by itself instead."""
        cells: list[str] = []
        tables: list[Any] = []
        for cell in element:
            if _tag(cell) not in ("td", "th"):
                continue
            self.fill(cells)
            inner = _tables(cell)
            tables += inner
            text = "" if inner else " ".join(plain(_text(cell)).split())
            rows = _span(cell, "rowspan")
            for _ in range(_span(cell, "colspan")):
                if rows > 1:
                    self.spanning[len(cells)] = rows - 1, text
                cells.append(text)
        self.fill(cells)
        if any(cells):
            words = dict.fromkeys(filter(None, cells))
            self.lines.append(Line(self.number, "  ".join(words), tuple(cells), table=self.table))
        for table in tables:
            self.read(table)

    def fill(self, cells: list[str]) -> None:
        """Cells that reach down from a row above."""
        while (found := self.spanning.pop(len(cells), None)) is not None:
            rows, text = found
            if rows > 1:
                self.spanning[len(cells)] = rows - 1, text
            cells.append(text)

    def add(self, text: str | None) -> None:
        """Words of the line being read."""
        if text and not text.isspace():
            self.words.append(text)

    def end_line(self) -> None:
        """The words so far are a line."""
        if self.words:
            self.lines.append(Line(self.number, " ".join(plain(" ".join(self.words)).split())))
            self.words = []


def _tag(element: "_Element") -> str:
    tag = element.tag
    return tag.lower() if isinstance(tag, str) else ""


def _tables(cell: "_Element") -> list["_Element"]:
    """The tables inside a cell, less those inside one of them, which it reads itself."""
    found: list[_Element] = []
    waiting = list(reversed(cell))
    while waiting:
        element = waiting.pop()
        if _tag(element) == "table":
            found.append(element)
        else:
            waiting += reversed(element)
    return found


def _text(element: "_Element") -> str:
    """All text inside, script and style left out; a subscript stays with its letter."""
    parts: list[str] = []
    for node in element.iter():
        if node is not element and _tag(node) in ("br", "p", "div", "li"):
            parts.append(" " if _tag(element) != "pre" else "\n")
        if _tag(node) not in _UNSEEN:
            parts.append(node.text or "")
        if node is not element:
            parts.append(node.tail or "")
    return "".join(parts)


def _span(cell: "_Element", key: str) -> int:
    said = cell.get(key, "1").strip()
    return min(max(int(said), 1), MOST_SPANNED) if said.isascii() and said.isdigit() and len(said) < 4 else 1
