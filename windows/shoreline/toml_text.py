"""Tables as TOML text: written, put into a text, keys changed with all comments kept."""

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tomlkit.items import Item


def _newline(text: str) -> str:
    """The line end of a text."""
    first = text.find("\n")
    return "\r\n" if first > 0 and text[first - 1] == "\r" else "\n"


def written(kind: str, keys: Mapping[str, Any], text: str, *, listed: bool) -> str:
    """A table of a kind, alone or one of a list, as lines that suit a text."""
    import tomlkit

    table = tomlkit.table()
    for key, value in keys.items():
        table[key] = _item(value)
    whole: Any = table
    if listed:
        whole = tomlkit.aot()
        whole.append(table)
    return tomlkit.dumps({kind: whole}).rstrip("\n").replace("\n", _newline(text)) + _newline(text)


def put_in(text: str, lines: str, at: int) -> str:
    """The text with lines put in there, parted by empty lines."""
    end = _newline(text)
    before, after = text[:at], text[at:]
    if before and not before.endswith("\n"):
        before += end
    if before.strip() and not before.endswith((f"{end}{end}", "\n\n")):
        before += end
    if after and not _EMPTY_LINE.match(after):
        lines += end
    return before + lines + after


_EMPTY_LINE = re.compile(r"[ \t]*\r?\n")


def edited(text: str, kind: str | None, place: int | None, keys: Mapping[str, Any]) -> str:
    """A text with keys of one table changed; the same text where it can't be told how.

    Args:
        text: TOML, a whole file or a part of it.
        kind: key of the table; None for the keys outside every table.
        place: of the table in its list; None where it stands once.
        keys: new values; None takes a key out.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        document: Any = tomlkit.parse(text)
        table = document if kind is None else document[kind]
        if place is not None:
            table = table[place]
        for key, value in keys.items():
            _assign(table, key, value)
        new = tomlkit.dumps(document)
    except (TOMLKitError, LookupError, TypeError, ValueError):
        return text
    if _newline(text) == "\r\n" and not _BARE.search(text):
        new = _BARE.sub("\r\n", new)
    return new


_BARE = re.compile(r"(?<!\r)\n")


def _assign(table: Any, key: str, value: Any) -> None:
    """A key's new value; what does not change keeps its look."""
    if value is None:
        if key in table:
            del table[key]
        return
    former = table.get(key)
    if isinstance(value, Mapping) and isinstance(former, dict):
        for inner in [inner for inner in former if inner not in value]:
            del former[inner]
        for inner, new in value.items():
            _assign(former, inner, new)
    elif former is None or former != value or isinstance(former, bool) != isinstance(value, bool):
        table[key] = _item(value)


def _item(value: Any) -> "Item":
    """A value on one line."""
    import tomlkit

    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        for key, inner in value.items():
            if inner is not None:
                table[key] = _item(inner)
        return table
    if isinstance(value, list | tuple):
        array = tomlkit.array()
        for inner in value:
            array.append(_item(inner))
        return array
    item: Item = tomlkit.item(value)
    return item
