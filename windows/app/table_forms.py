"""The form of one table of a station file: its fields, what stands in them, and what is wrong there."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from harmonics.errors import Problem
from windows.app.fields import Field, Kind, fields_of, model_of, text_of, value_in
from windows.app.log_form import KIND as LOG
from windows.render.page.forms import FieldView, Group, Option
from windows.render.words import file_forms as words
from windows.render.words.safe_text import plain
from windows.shoreline.additions import HEAD
from windows.shoreline.file_schema import SINGLE
from windows.shoreline.ids import tables_of

HEAD_PATH = "head"
"""What addresses call the keys outside every table."""
_NAMED = {
    "station": ("stations",),
    "reference": ("stations", "currents"),
    "bank": ("banks",),
    "flow.current": ("currents",),
    "start": ("landings",),
    "from": ("landings", "spots", "banks"),
    "to": ("landings", "spots", "banks"),
    "quarry": ("quarry",),
}
"""Keys that name another table: the lists it may stand in."""


@dataclass(frozen=True, slots=True)
class TableForm:
    """The form of a table.

    Attributes:
        heading: what it is.
        groups: its fields.
        problems: what is wrong with none of them.
        revision: of the file that it was made from.
        note: units and the like.
        can_go: whether the table can be deleted.
    """

    heading: str
    groups: tuple[Group, ...]
    problems: tuple[str, ...]
    revision: str
    note: str
    can_go: bool


def kind_of(path: str) -> str:
    """The kind of table that an address names."""
    return HEAD if path == HEAD_PATH else path


def path_of(kind: str) -> str:
    """The other way round."""
    return kind or HEAD_PATH


def is_kind(path: str) -> bool:
    """Whether an address names a kind of table that there are forms for."""
    return path in words.LISTS or path in words.SINGLES


def name_of(document: Mapping[str, Any], kind: str, table: Mapping[str, Any]) -> str:
    """What a table is called."""
    if kind == "ways":
        ends = (str(table.get(key, "")) for key in ("from", "to"))
        return words.way_words(*(_name_of_id(document, end) for end in ends))
    if kind in SINGLE:
        return ""
    key = {"rules": "species", HEAD: "title"}.get(kind, "name")
    return plain(str(table.get(key) or table.get("id") or ""))


def _name_of_id(document: Mapping[str, Any], identifier: str) -> str:
    for kind in ("landings", "spots", "banks"):
        for table in tables_of(document, kind):
            if table.get("id") == identifier:
                return plain(str(table.get("name") or identifier))
    return plain(identifier)


def fields_of_kind(kind: str, table: Mapping[str, Any]) -> tuple[Field, ...]:
    """The fields of a table of that kind."""
    fields = fields_of(model_of(kind, table))
    if kind == LOG:  # its reader takes any path, a form only names of this folder
        return tuple(replace(field, expected=words.LOG_EXPECTED) for field in fields)
    return fields


def views_of(
    document: Mapping[str, Any],
    fields: Sequence[Field],
    values: Mapping[str, str],
    problems: Sequence[Problem],
    where: str,
) -> tuple[tuple[Group, ...], tuple[str, ...]]:
    """Groups of fields, and what is wrong with none of them.

    Args:
        document: the file as it stands.
        fields: of the table.
        values: what stands in them.
        problems: of the whole file.
        where: key path of the table, as spots[3].
    """
    keys = {field.key for field in fields}
    owned: dict[str, list[str]] = {}
    loose: list[str] = []
    for problem in problems:
        path = problem.where.removeprefix(f"{where}." if where else "")
        mine = problem.where.startswith(f"{where}.") if where else True
        key = next((key for key in keys if path == key or path.startswith((f"{key}.", f"{key}["))), None)
        if mine and key is not None:
            owned.setdefault(key, []).append(words.wrong(problem.found, problem.expected))
        else:
            loose.append(str(problem))
    groups: dict[str, list[FieldView]] = {}
    for field in fields:
        view = _view(document, field, values.get(field.key, ""), tuple(owned.get(field.key, ())))
        groups.setdefault(field.group, []).append(view)
    made = tuple(
        Group(
            words.GROUPS.get(group) or words.label_of(group) if group else "",
            tuple(views),
            not group or any(view.value or view.problems for view in views),
        )
        for group, views in sorted(groups.items(), key=lambda item: (item[0] != "", item[0] == "preferences"))
    )
    return made, tuple(loose)


def _view(document: Mapping[str, Any], field: Field, value: str, problems: tuple[str, ...]) -> FieldView:
    options: tuple[Option, ...] = tuple(Option(item, item) for item in field.choices)
    if field.kind is Kind.FLAG:
        options = (Option("true", "yes"), Option("false", "no"))
    if field.key in _NAMED:
        options = tuple(
            Option(str(table.get(key)), plain(str(table.get("name") or table.get(key))))
            for kind in _NAMED[field.key]
            for table in tables_of(document, kind)
            for key in ("name" if kind == "quarry" else "id",)
        )
    kind = "choice" if options or field.kind is Kind.FLAG else "text"
    hint = "" if kind == "choice" else words.hint_of(field.expected)
    return FieldView(field.key, words.label_of(field.key), hint, value, kind, options, problems, field.needed)


def values_of(fields: Sequence[Field], table: Mapping[str, Any]) -> dict[str, str]:
    """What stands in the fields of a table."""
    return {field.key: text_of(field.kind, value_in(table, field.key)) for field in fields}


def table_at(document: Mapping[str, Any], kind: str, place: int | None) -> Mapping[str, Any] | None:
    """A table as it stands; an empty one where it stands once and is not there; None for no such place."""
    if kind == HEAD:
        return document
    if place is None:
        found = document.get(kind, {})
        return found if isinstance(found, dict) else None
    listed = tables_of(document, kind)
    return listed[place] if 0 <= place < len(listed) else None


def where_of(kind: str, place: int | None) -> str:
    """Key path of a table."""
    return kind if place is None or kind in SINGLE else f"{kind}[{place}]"
