"""JSON documents laid out as lines: what they say beside their list, and the list as a table."""

import json
from typing import Any

from harmonics.errors import FileProblemsError, Problem
from harmonics.files.problems import MAXIMUM_BITS
from harmonics.files.published.lines import Line
from harmonics.files.published.numbers import plain

MOST_KEYS = 60
LONGEST_VALUE = 300


def lines_of_json(text: str, path: str) -> list[Line]:
    """The lines of a document that holds one list of objects.

    Raises:
        FileProblemsError: no JSON, or none or several lists of objects in it.
    """
    document = _document(text, path)
    head: dict[str, Any] = document if isinstance(document, dict) else {}
    lists = [document] if isinstance(document, list) else [v for v in head.values() if isinstance(v, list)]
    tables = [items for items in lists if items and all(isinstance(item, dict) for item in items)]
    if len(tables) != 1:
        raise _refused(path, f"{len(tables)} lists of constituents", "one list of objects")
    items = tables[0]
    keys = list(dict.fromkeys(str(key) for item in items for key in item))
    if len(keys) > MOST_KEYS:
        raise _refused(path, f"objects of {len(keys):,} different keys", "name, amplitude and phase")
    lines = [
        Line(0, f"{key}: {_shown(value)}", (plain(key), _shown(value)), f"key {key[:LONGEST_VALUE]}")
        for key, value in _scalars(head)
    ]
    lines.append(Line(0, "  ".join(map(plain, keys)), tuple(map(plain, keys)), "keys"))
    for number, item in enumerate(items, start=1):
        cells = tuple(_shown(item.get(key, "")) for key in keys)
        lines.append(Line(number, "  ".join(filter(None, cells)), cells, f"constituent {number}"))
    return lines


def _document(text: str, path: str) -> Any:
    try:
        return json.loads(text)
    except json.JSONDecodeError as error:
        raise _refused(path, f"text that is not JSON ({error})", "a JSON table") from None
    except (ValueError, RecursionError):
        found = "text that is not JSON (brackets too deep, or a number of thousands of digits)"
        raise _refused(path, found, "a JSON table") from None


def _refused(path: str, found: str, expected: str) -> FileProblemsError:
    return FileProblemsError(path, (Problem("file", found, expected),))


def _scalars(head: dict[str, Any]) -> list[tuple[str, Any]]:
    """Single values of the head and of the objects in it."""
    found: list[tuple[str, Any]] = []
    for key, value in head.items():
        inner = value.items() if isinstance(value, dict) else ((key, value),)
        found += [(str(name), item) for name, item in inner if not isinstance(item, dict | list)]
    return found


def _shown(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return plain(" ".join(value[:LONGEST_VALUE].split()))
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and value.bit_length() > MAXIMUM_BITS:
        return "a huge whole number"
    return repr(value) if isinstance(value, int | float) else f"a {type(value).__name__}"
