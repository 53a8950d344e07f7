"""Tables of a TOML file checked against a model; every mismatch is reported with its key path.

Each field of a model carries in its `description` what it expects; that text is the error's second half.
"""

import copy
import re
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Annotated, Any, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from harmonics.errors import FileProblemsError, Problem
from harmonics.files.problems import MAXIMUM_SHOWN, MISSING, MOST_PROBLEMS, Here, shown
from harmonics.files.text_files import read_text

MAXIMUM_BYTES = 4 * 2**20
DEEPEST_KEY = 100
"""Parts of one key: reading a dotted key takes the square of its depth, and no file needs more than three."""
_KEY_PART = r"""(?>"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+'|[A-Za-z0-9_-]++)[ \t]*+"""
_DEEP_KEY = re.compile(rf"(?<![A-Za-z0-9_.-])(?:{_KEY_PART}\.[ \t]*+){{{DEEPEST_KEY}}}")
NESTED = "lists and tables nested too deeply"
DEEPEST_VALUE = 20
"""Lists and tables in one another, the file one of them: some that can be read are too deep to walk."""
DEEPEST_TABLE = 4
"""A table, two inside one another, and their values: taking out what is wrong may leave each too poor."""
IDENTIFIER = r"^[A-Za-z0-9_-]{1,64}$"

Latitude = Annotated[
    float, Field(ge=-90, le=90, allow_inf_nan=False, description="degrees from -90 to 90, north positive")
]
Longitude = Annotated[
    float, Field(ge=-180, le=180, allow_inf_nan=False, description="degrees from -180 to 180, east positive")
]
Direction = Annotated[
    float, Field(ge=0, le=360, allow_inf_nan=False, description="degrees true from 0 to 360")
]
Identifier = Annotated[
    str, Field(pattern=IDENTIFIER, description="1 to 64 letters, digits, '-' or '_', without spaces")
]
Name = Annotated[
    str,
    Field(
        min_length=1,
        max_length=200,
        pattern=r"^[^\x00-\x1f\x7f-\x9f]*$",
        description="a text of 1 to 200 characters on one line",
    ),
]


class Table(BaseModel):
    """A table of the file: unknown keys are refused and nothing is converted in silence."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, defer_build=True)


T = TypeVar("T", bound=Table)


def load_document(path: Path) -> dict[str, Any]:
    """The TOML document at that path.

    Raises:
        FileProblemsError: the file can't be read, or is not TOML; the line is named.
    """
    return parsed_document(read_text(path, "a TOML file of stations and spots", MAXIMUM_BYTES), path)


def parsed_document(text: str, path: Path | str) -> dict[str, Any]:
    """The TOML document that a text is.

    Args:
        text: without a byte order mark.
        path: the file as the user named it.

    Raises:
        FileProblemsError: it is not TOML; the line is named.
    """
    found, expected = "a key nested too deeply", "lists and tables a few levels deep"
    if not _DEEP_KEY.search(text):
        try:
            document = tomllib.loads(text)
            if not too_deep(document):
                return document
            found = NESTED
        except ValueError as error:
            reason = (
                error if isinstance(error, tomllib.TOMLDecodeError) else "a number of thousands of digits"
            )
            found, expected = f"text that is not TOML: {reason}", "key = value lines and [[tables]]"
        except RecursionError:
            found = NESTED
    raise FileProblemsError(str(path), (Problem("file", found, expected),))


def too_deep(value: object) -> bool:
    """Whether lists and tables stand in one another deeper than any that a file needs."""
    level: list[Any] = [value]
    for _ in range(DEEPEST_VALUE):
        inside = (part.values() if isinstance(part, dict) else part for part in level)
        level = [item for part in inside for item in part if isinstance(item, dict | list)]
        if not level:
            return False
    return True


def checked(model: type[T], value: object, here: Here) -> T | None:
    """The value found here as that model, or None with every mismatch reported."""
    if not isinstance(value, dict):
        here.say(shown(value), f"a table with {_keys(model)}")
        return None
    try:
        return model.model_validate(value)
    except ValidationError as error:
        if error.error_count() > MOST_PROBLEMS:
            here.say(f"{error.error_count():,} problems in one table", f"a table with {_keys(model)}")
            return None
        for item in error.errors(include_url=False):
            _report(model, item, here)
        return None


def refuse_unknown(document: dict[str, Any], model: type[Table], others: Sequence[str], here: Here) -> None:
    """Report and take out top-level keys that neither the model nor anybody else knows."""
    known = [*model.model_fields, *others]
    for key in [key for key in document if key not in known]:
        del document[key]
        _say_unknown(here.at(key), key, known)


def checked_on(model: type[T], value: object, here: Here, stand_ins: Mapping[str, object]) -> T | None:
    """As `checked`, but of a table with problems what is right in it, so that the rest can be checked on.

    Args:
        model, value, here: as for `checked`.
        stand_ins: values of keys that the model can't do without; those it does not know are left out.

    Returns:
        None where nothing is left to go by. A caller must use it for finding problems alone: what it finds
        wrong for want of a key that was reported already, `without_echoes` drops.
    """
    whole = checked(model, value, here)
    if whole is not None or not isinstance(value, dict):
        return whole
    rest, needed = copy.deepcopy(value), {k: v for k, v in stand_ins.items() if k in model.model_fields}
    for _ in range(DEEPEST_TABLE):
        try:
            return model.model_validate(needed | rest)
        except ValidationError as error:
            if error.error_count() > MOST_PROBLEMS:
                break
            for item in error.errors(include_url=False):
                _drop(rest, item["loc"][:-1] if item["type"] == "missing" else item["loc"])
    return None


def _drop(table: dict[str, Any], location: tuple[int | str, ...]) -> None:
    """Take the value at that location out of a table; of a list nothing stays."""
    for depth, part in enumerate(location):
        inner = table.get(str(part))
        if depth + 1 == len(location) or not isinstance(inner, dict):
            table.pop(str(part), None)
            return
        table = inner


def _report(model: type[Table], item: Any, here: Here) -> None:
    location = [part for part in item["loc"] if not str(part).startswith(("function-", "constrained-"))]
    owner, field = _owner(model, location)
    place = here.at(*location)
    if item["type"] == "extra_forbidden":
        _say_unknown(place, str(location[-1]), list(owner.model_fields))
        return
    found = MISSING if item["type"] == "missing" else shown(item["input"])
    place.say(found, field or item["msg"])


def _say_unknown(place: Here, key: str, known: list[str]) -> None:
    import difflib

    near = difflib.get_close_matches(key[:MAXIMUM_SHOWN], known, 1)
    hint = f"'{near[0]}'? known keys: " if near else "one of "
    place.say("an unknown key", hint + ", ".join(known))


def _owner(model: type[Table], location: list[Any]) -> tuple[type[Table], str | None]:
    """The table a location lies in, and what its field expects."""
    owner, expected = model, None
    for part in location:
        field = owner.model_fields.get(str(part)) or _aliased(owner, str(part))
        if field is None:
            continue
        expected = field.description or _description(field.annotation)
        inner = _inner_table(field.annotation)
        if inner is not None:
            owner = inner
    return owner, expected


def _aliased(owner: type[Table], key: str) -> Any:
    """The field of a key that Python has for itself, such as `from`."""
    return next((field for field in owner.model_fields.values() if field.alias == key), None)


def _inner_table(annotation: Any) -> type[Table] | None:
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    for argument in get_args(annotation):
        found = _inner_table(argument)
        if found is not None:
            return found
    return None


def _description(annotation: Any) -> str | None:
    """What an optional value expects when it is there."""
    for argument in get_args(annotation):
        found = getattr(argument, "description", None) or _description(argument)
        if found is not None:
            return str(found)
    return None


def _keys(model: type[Table]) -> str:
    return ", ".join(model.model_fields)
