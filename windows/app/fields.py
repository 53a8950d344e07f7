"""Tables of a station file as forms: fields from the models that read them, texts to values and back."""

import re
import tomllib
import types
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum, unique
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from harmonics.files.angles import EXAMPLES, typed_angle
from harmonics.files.checking import Table, too_deep
from windows.shoreline.additions import HEAD
from windows.shoreline.file_schema import tables
from windows.shoreline.outing_models import SillTable
from windows.shoreline.spot_models import FishingTable
from windows.shoreline.toml_text import written

HIDDEN = frozenset(
    {
        *("constituents", "constituents_across", "observed", "record", "record_weather", "file"),
        *("stations", "currents"),
    }
)
"""Keys that name other files, which no form opens, and the lists of the head."""
_WIDER: Mapping[type[Table], str] = {FishingTable: "preferences", SillTable: "sill"}
"""Models that others build on, and the group that their keys stand in there."""
_NUMBER = re.compile(r"[+-]?[0-9]{1,15}(\.[0-9]{1,15})?")
_FLAGS = {"true": True, "false": False}


@unique
class Kind(Enum):
    """What a field takes."""

    TEXT = "text"
    NUMBER = "number"
    CHOICE = "choice"
    FLAG = "yes or no"
    WORDS = "words"
    DATE = "date"
    RAW = "as the file writes it"


@dataclass(frozen=True, slots=True)
class Field:
    """A key of a table that a form asks for.

    Attributes:
        key: its path in the table, as flow.strong_ebb.
        kind: what it takes.
        expected: what its value may be, in words.
        choices: of a CHOICE.
        needed: whether the table can't do without it.
        group: key of the inner table it belongs to, or the model it comes from where that is a wider one.
    """

    key: str
    kind: Kind
    expected: str
    choices: tuple[str, ...]
    needed: bool
    group: str


def model_of(kind: str, table: Mapping[str, Any]) -> type[Table]:
    """The model that a table of that kind is read by."""
    from harmonics.files.file_models import HeadTable

    if kind == HEAD:
        return HeadTable
    models = tables()[kind]
    telling = ("constituents_across", "reference")
    return next((m for m in models for key in telling if key in table and key in m.model_fields), models[0])


def fields_of(model: type[Table]) -> tuple[Field, ...]:
    """The fields of a table, in the model's order; its id is no field, for other tables name it."""
    return tuple(_fields(model, "", ""))


def _fields(model: type[Table], prefix: str, group: str) -> Iterator[Field]:
    own = model.__annotations__
    for name, info in model.model_fields.items():
        key = info.alias or name
        if key in HIDDEN or (key == "id" and not prefix):
            continue
        bare = _bare(info.annotation)
        wider = group or ("" if name in own else _WIDER[_owner(model, name)])
        if isinstance(bare, type) and issubclass(bare, Table) and not prefix:
            yield from _fields(bare, f"{key}.", key)
            continue
        expected = info.description or _description(info.annotation) or ""
        choices = _choices(bare)
        yield Field(
            f"{prefix}{key}", _kind(bare), expected, choices, info.is_required() and not prefix, wider
        )


def _owner(model: type[Table], name: str) -> type[Table]:
    """The model of which another one has a field."""
    return next(base for base in model.__mro__ if issubclass(base, Table) and name in base.__annotations__)


def _bare(annotation: Any) -> Any:
    """A type without its marks, and without None."""
    if get_origin(annotation) is Annotated:
        return _bare(get_args(annotation)[0])
    if get_origin(annotation) in {Union, types.UnionType}:
        inner = [item for item in get_args(annotation) if item is not type(None)]
        return _bare(inner[0]) if len(inner) == 1 else Any
    return annotation


def _description(annotation: Any) -> str | None:
    for item in get_args(annotation):
        found = getattr(item, "description", None) or _description(item)
        if found:
            return str(found)
    return None


def _choices(bare: Any) -> tuple[str, ...]:
    if isinstance(bare, type) and issubclass(bare, Enum):
        return tuple(str(item.value) for item in bare)
    return tuple(map(str, get_args(bare))) if get_origin(bare) is Literal else ()


def _kind(bare: Any) -> Kind:
    if _choices(bare):
        return Kind.CHOICE
    if get_origin(bare) is list and _bare(get_args(bare)[0]) is str:
        return Kind.WORDS
    return {bool: Kind.FLAG, int: Kind.NUMBER, float: Kind.NUMBER, str: Kind.TEXT, date: Kind.DATE}.get(
        bare, Kind.RAW
    )


def value_in(table: Mapping[str, Any], key: str) -> Any:
    """The value of a key, or of one of an inner table; None where there is none."""
    found: Any = table
    for part in key.split("."):
        if not isinstance(found, Mapping):
            return None
        found = found.get(part)
    return found


def text_of(kind: Kind, value: Any) -> str:
    """A value as its field shows it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if kind is Kind.WORDS and isinstance(value, list):
        return ", ".join(map(str, value))
    if isinstance(value, list | dict):
        return written("table", {"value": value}, "", listed=False).partition("value = ")[2].strip()
    return str(value)


def value_of(kind: Kind, text: str) -> Any:
    """What a field's text means, None where it is empty.

    A text that means nothing of the kind stays one, for the reader to refuse.
    """
    plain = text.strip()
    return _READ.get(kind, _one_line)(plain) if plain else None


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _number(text: str) -> float | int | str:
    match = _NUMBER.fullmatch(text)
    return text if match is None else float(text) if match[1] else int(text)


def number_in(key: str, text: str) -> Any:
    """What a field of a number means; a position may be in degrees and minutes, with its side."""
    found = value_of(Kind.NUMBER, text)
    angle = typed_angle(key, text) if isinstance(found, str) and key in EXAMPLES else None
    return found if angle is None else angle


def _words(text: str) -> list[str]:
    return [item.strip() for item in re.split(r"[,\n]", text) if item.strip()]


def _date(text: str) -> date | str:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text


def _raw(text: str) -> Any:
    try:
        document = tomllib.loads(f"value = {text}\n")
    except (ValueError, RecursionError):
        return text
    return document["value"] if list(document) == ["value"] and not too_deep(document) else text


_READ: Mapping[Kind, Callable[[str], Any]] = {
    Kind.NUMBER: _number,
    Kind.FLAG: lambda text: _FLAGS.get(text, text),
    Kind.WORDS: _words,
    Kind.DATE: _date,
    Kind.RAW: _raw,
}


def keys_said(
    fields: tuple[Field, ...], given: Mapping[str, str], table: Mapping[str, Any]
) -> dict[str, Any]:
    """What a form says otherwise than the table, as `additions.changed` takes it.

    Args:
        fields: of the form.
        given: texts by key; a field that is not there is not spoken of.
        table: as it stands; empty for a new one.
    """
    changes: dict[str, Any] = {}
    for field in fields:
        if field.key not in given:
            continue
        meant = number_in(field.key, given[field.key]) if field.kind is Kind.NUMBER else None
        value = value_of(field.kind, given[field.key]) if meant is None else meant
        former = value_in(table, field.key)
        if value == former and isinstance(value, bool) is isinstance(former, bool):
            continue
        outer, _, inner = field.key.partition(".")
        if not inner:
            changes[outer] = value
            continue
        known = table.get(outer)
        there = changes.get(outer, dict(known) if isinstance(known, Mapping) else {}) or {}
        there = {**there, inner: value}
        changes[outer] = {key: item for key, item in there.items() if item is not None} or None
    return changes
