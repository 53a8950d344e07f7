"""Tables put into the text of a station file, changed in it and taken out; every other byte of it stays.

These work on texts alone: what the whole file then means is tried by `windows.shoreline.trials.tried`.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from harmonics.errors import FileProblemsError, Problem
from harmonics.files.checking import checked, parsed_document
from harmonics.files.problems import Here, Problems, shown
from harmonics.files.text_files import BYTE_ORDER_MARK
from windows.shoreline.file_schema import SINGLE, tables
from windows.shoreline.ids import tables_of, taken_ids
from windows.shoreline.sections import end_of_head, span_of
from windows.shoreline.toml_text import edited, put_in, written

HEAD = ""
"""Kind of the keys outside every table."""
Keys = Mapping[str, Any]
"""Keys of a table as they stand in the file: texts, numbers, booleans, lists and mappings of these."""


@dataclass(frozen=True, slots=True)
class Edit:
    """A changed text.

    Attributes:
        text: of the whole file.
        where: key path of the table, as spots[3].
        kind: key of its list, or of a table that stands once.
        taken: text of the table that was there before; empty for a new one.
        at: where that stood in the former text.
    """

    text: str
    where: str
    kind: str
    taken: str = ""
    at: int = 0


def place_of(path: str, document: Keys, kind: str, name: str) -> int:
    """The place of a table in its list, by its id, or a fish's name.

    Args:
        path: the file as the user named it.
        document: the file as it stands.
        kind: key of the list.
        name: looked for.

    Raises:
        FileProblemsError: there is none.
    """
    key = "name" if kind == "quarry" else "id"
    names = [str(item.get(key)) for item in tables_of(document, kind)]
    if name not in names:
        raise _refused(path, kind, f"no {key} '{name}'", f"one of {', '.join(names) or 'none'}")
    return names.index(name)


def added(path: str, text: str, kind: str, keys: Keys) -> Edit:
    """The text with one more table, after the last of its kind where it can stand there, else at the end.

    Args:
        path: the file as the user named it.
        text: of the file, with its byte order mark if it has one.
        kind: key of its list, as spots, or of a table that stands once, as boat.
        keys: of the table; None for those not given.

    Raises:
        FileProblemsError: the text is not TOML, the keys are not what such a table holds, the id is taken,
            the table stands once and is there, or the list is written in a way that takes no header.
    """
    document = _document(path, text)
    given = {key: value for key, value in keys.items() if value is not None}
    known = document.get(kind)
    listed = tables_of(document, kind)
    where = kind if kind in SINGLE else f"{kind}[{len(listed)}]"
    if known is not None and kind in SINGLE:
        raise _refused(path, kind, "such a table already", "none, to add one")
    if known is not None and kind not in SINGLE and not listed:
        raise _refused(path, kind, shown(known), f"[[{kind}]] tables, or none yet, to add one")
    if listed and span_of(_plain(text), kind, len(listed) - 1) is None:
        raise _refused(path, kind, f"{kind} in one list", f"[[{kind}]] tables, to add one")
    _check(path, document, kind, given, where)
    wanted = {**document, kind: given if kind in SINGLE else [*listed, given]}
    lines = written(kind, given, text, listed=kind not in SINGLE)
    last = span_of(text, kind, len(listed) - 1) if listed else None
    for at in (len(text) if last is None else last.last, len(text)):
        new = put_in(text, lines, at)
        if _same(new, wanted):
            return Edit(new, where, kind)
    raise _refused(path, kind, f"[[{kind}]] tables written in an unusual way", "tables with a header each")


def changed(path: str, text: str, kind: str, place: int | None, keys: Keys) -> Edit:
    """The text with keys of one table changed; its comments and the order of its keys stay.

    Args:
        path, text: as for `added`.
        kind: key of its list, of a table that stands once, or HEAD for the keys outside every table.
        place: of the table in its list; None where it stands once.
        keys: new values; None takes a key out. Keys that are not named stay. A mapping is the whole of an
            inner table.

    Raises:
        FileProblemsError: as for `added`; there is no such table, or it is written so that it can't be
            changed alone.
    """
    document = _document(path, text)
    former = document if kind == HEAD else _table(path, document, kind, place)
    table = {key: value for key, value in {**former, **keys}.items() if value is not None}
    where = kind if place is None else f"{kind}[{place}]"
    _check(path, document, kind, table, where, place)
    wanted = table if kind == HEAD else _with(document, kind, place, table)
    for start, end, first in _ranges(text, kind, place):
        new = text[:start] + edited(text[start:end], kind or None, first, keys) + text[end:]
        if _same(new, wanted):
            return Edit(new, where, kind, text[start:end], start)
    raise _refused(path, where, "keys written in an unusual way", "a table with its own header, to change it")


def removed(path: str, text: str, kind: str, place: int | None) -> Edit:
    """The text without one table, the comments right above it gone with it; `put_back` restores it.

    Args:
        path, text: as for `added`.
        kind, place: as for `changed`.

    Raises:
        FileProblemsError: as for `changed`.
    """
    document = _document(path, text)
    _table(path, document, kind, place)
    where = kind if place is None else f"{kind}[{place}]"
    span = span_of(text, kind, place)
    if span is not None:
        gap = _EMPTY_LINES.match(text, span.last)
        end = gap.end() if gap is not None else span.last
        new = text[: span.opening] + text[end:]
        if _same(new, _with(document, kind, place, None)):
            return Edit(new, where, kind, text[span.opening : end], span.opening)
    raise _refused(path, where, "a table written in an unusual way", "one with its own header, to remove it")


def put_back(path: str, text: str, edit: Edit) -> Edit:
    """The text with a removed table in its place again, or after the last of its kind if that has moved.

    Args:
        path, text: as for `added`.
        edit: what `removed` gave.

    Raises:
        FileProblemsError: it can't stand there any more, as when its id has been given to another.
    """
    if text == edit.text:
        return Edit(text[: edit.at] + edit.taken + text[edit.at :], edit.where, edit.kind)
    table = _document(path, edit.taken)[edit.kind]
    return added(path, text, edit.kind, table[0] if isinstance(table, list) else table)


_EMPTY_LINES = re.compile(r"(?:[ \t]*\r?\n)*")


def _document(path: str, text: str) -> dict[str, Any]:
    return parsed_document(_plain(text), path)


def _plain(text: str) -> str:
    return text.removeprefix(BYTE_ORDER_MARK)


def _refused(path: str, where: str, found: str, expected: str) -> FileProblemsError:
    return FileProblemsError(path, (Problem(where or "file", found, expected),))


def _table(path: str, document: Keys, kind: str, place: int | None) -> Keys:
    listed = document.get(kind)
    if place is None and isinstance(listed, dict):
        return listed
    if place is not None and isinstance(listed, list) and 0 <= place < len(listed):
        found = listed[place]
        if isinstance(found, dict):
            return found
    raise _refused(path, kind, "no such table", f"[{kind}] or [[{kind}]]")


def _with(document: Keys, kind: str, place: int | None, table: Keys | None) -> dict[str, Any]:
    """The document with one table another, or gone."""
    new: dict[str, Any] = dict(document)
    if place is None:
        new[kind] = table
    else:
        new[kind] = [
            *document[kind][:place],
            *([] if table is None else [table]),
            *document[kind][place + 1 :],
        ]
    if not new[kind] and table is None:
        del new[kind]
    return new


def _same(text: str, document: Keys) -> bool:
    """Whether a text holds just that."""
    try:
        return parsed_document(_plain(text), "") == document
    except FileProblemsError:
        return False


def _check(path: str, document: Keys, kind: str, table: Keys, where: str, place: int | None = None) -> None:
    """Whether a table is one of its kind, with an id of its own.

    Raises:
        FileProblemsError: every problem of it.
    """
    from harmonics.files.file_models import HeadTable

    problems = Problems(path)
    here = Here(where, problems)
    if kind == HEAD:
        checked(HeadTable, {key: table[key] for key in table if key not in tables()}, here)
    elif kind not in tables():
        here.say("an unknown table", f"one of {', '.join(tables())}")
    else:
        models = tables()[kind]
        telling = ("constituents_across", "reference")
        model = next(
            (item for item in models for key in telling if key in table and key in item.model_fields),
            models[0],
        )
        checked(model, dict(table), here)
        identifier = table.get("id")
        if isinstance(identifier, str) and identifier in (taken := taken_ids(document, kind, place)):
            here.at("id").say(f"'{identifier}', the id of {taken[identifier]} too", "an id of its own")
    if problems:
        raise problems.error()


def _ranges(text: str, kind: str, place: int | None) -> Iterator[tuple[int, int, int | None]]:
    """Parts of a text that hold a table, the narrowest first: start, end, and its place in that part."""
    mark = len(text) - len(_plain(text))
    if kind == HEAD:
        yield mark, end_of_head(text), None
        return
    span = span_of(text, kind, place)
    if span is not None:
        alone = None if place is None else 0
        yield span.start, span.own, alone
        yield span.start, span.last, alone
    yield mark, len(text), place
