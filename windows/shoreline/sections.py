"""A station file's text cut at its table headers, so that one table changes and every other byte stays."""

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, unique

_HEADER = re.compile(
    r"""\ufeff?[ \t]*(\[\[?)[ \t]*((?:"(?:[^"\\\r\n]|\\.)*"|'[^'\r\n]*'|[^\[\]\r\n"'#])+)"""
    r"""\]\]?[ \t]*(?:\#[^\r\n]*)?(?:\r?\n|\Z)"""
)
_TOKEN = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:[^"\\\r\n]|\\.)*"|\'[^\'\r\n]*\'|#[^\r\n]*|[\[{]|[\]}]|\n',
    re.DOTALL,
)
"""What can hide the end of a line or a bracket from a reader of lines, in the order looked for."""
_EMPTY = re.compile(r"[ \t]*(?:\r?\n|\Z)")
_COMMENT = re.compile(r"\ufeff?[ \t]*#[^\r\n]*(?:\r?\n|\Z)")


@dataclass(frozen=True, slots=True)
class Section:
    """A table's part of a text: its header and its keys.

    Attributes:
        keys: of the header, such as ("spots", "flow").
        listed: whether it is one of a list, written in double brackets.
        opening: where the comments right above its header begin, or else the header.
        start: of the header.
        last: end of its last key, with the comments right below unless they lead to the next header.
    """

    keys: tuple[str, ...]
    listed: bool
    opening: int
    start: int
    last: int


@unique
class _Kind(Enum):
    HEADER, KEY, COMMENT, EMPTY = range(4)


def sections(text: str) -> tuple[Section, ...]:
    """The tables of a text that is TOML, in its order; what stands before the first header is in none."""
    starts = list(_line_starts(text))
    kinds = [_kind(text, start) for start in starts]
    heads = [line for line, kind in enumerate(kinds) if kind is _Kind.HEADER]
    openings = [_above(kinds, head) for head in heads] + [len(starts)]
    ends = [*heads, len(starts)][1:]
    starts.append(len(text))
    found = []
    for i, (head, end) in enumerate(zip(heads, ends, strict=True)):
        last = (
            next(line for line in range(end - 1, head - 1, -1) if kinds[line] in (_Kind.KEY, _Kind.HEADER))
            + 1
        )
        while last < openings[i + 1] and kinds[last] is _Kind.COMMENT:
            last += 1
        keys, listed = _header(text, starts[head])
        places = (starts[line] for line in (openings[i], head, last))
        found.append(Section(keys, listed, *places))
    return tuple(found)


def _above(kinds: list[_Kind], head: int) -> int:
    """The line at which the comments right above a header begin."""
    while head > 0 and kinds[head - 1] is _Kind.COMMENT:
        head -= 1
    return head


def _kind(text: str, start: int) -> _Kind:
    for kind, pattern in ((_Kind.EMPTY, _EMPTY), (_Kind.COMMENT, _COMMENT), (_Kind.HEADER, _HEADER)):
        if pattern.match(text, start):
            return kind
    return _Kind.KEY


def _header(text: str, start: int) -> tuple[tuple[str, ...], bool]:
    """The parts of a header's name, and whether its table is one of a list."""
    match = _HEADER.match(text, start)
    assert match is not None
    document: object = tomllib.loads(f"[{match[2]}]\n")
    found: list[str] = []
    while isinstance(document, dict) and document:
        (key, document), *_ = document.items()
        found.append(key)
    return tuple(found), match[1] == "[["


@dataclass(frozen=True, slots=True)
class Span:
    """A whole table in a text, its inner tables with it.

    Attributes:
        opening: where the comments right above it begin.
        start: of its header.
        own: end of its own keys, before those of inner tables.
        last: end of its last key.
    """

    opening: int
    start: int
    own: int
    last: int


def span_of(text: str, kind: str, place: int | None) -> Span | None:
    """Where a table stands; None where it is not written with a header of its own.

    Args:
        text: TOML.
        kind: key of the list, or of a table that stands once.
        place: of the table in its list; None for one that stands once.
    """
    found = sections(text)
    heads = [i for i, item in enumerate(found) if item.keys == (kind,) and item.listed == (place is not None)]
    if len(heads) <= (place or 0):
        return None
    last = first = heads[place or 0]
    while last + 1 < len(found) and len(found[last + 1].keys) > 1 and found[last + 1].keys[0] == kind:
        last += 1
    return Span(found[first].opening, found[first].start, found[first].last, found[last].last)


def end_of_head(text: str) -> int:
    """Where the last of the keys outside every table ends; 0 where there are none."""
    starts = list(_line_starts(text))
    end = 0
    for start, following in zip(starts, [*starts[1:], len(text)], strict=True):
        kind = _kind(text, start)
        if kind is _Kind.HEADER:
            break
        end = following if kind is _Kind.KEY else end
    return end


def _line_starts(text: str) -> Iterator[int]:
    """Where lines begin that are neither in a string nor in brackets."""
    depth, place = 0, 0
    yield 0
    while (match := _TOKEN.search(text, place)) is not None:
        place = match.end()
        token = match[0]
        if token in {"[", "{"}:
            depth += 1
        elif token in {"]", "}"}:
            depth = max(0, depth - 1)
        elif token == "\n" and depth == 0:
            yield place
