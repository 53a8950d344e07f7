"""Lessons written into a station file's text: comments, order and spacing of the file stay."""

import copy
import tomllib
from collections.abc import Callable, Iterable, MutableMapping
from typing import Any

from harmonics.errors import EbblightError
from windows.log.lessons import Lesson


class FileEditError(EbblightError):
    """A file whose text can't be changed where the lesson belongs."""


def with_lessons(text: str, path: str, lessons: Iterable[Lesson]) -> str:
    """The file's text with the values of the lessons that change something.

    Args:
        text: of a file that has been read without a problem.
        path: as the user named it.
        lessons: about its spots and banks.

    Raises:
        FileEditError: the text can't be changed so that it says just that; change it by hand.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    wanted = copy.deepcopy(tomllib.loads(text))
    try:
        document = tomlkit.parse(text)
        for lesson in lessons:
            if lesson.value is not None:
                _put(document, lesson, tomlkit.table, tomlkit.inline_table)
                _put(wanted, lesson, dict, dict)
        changed = tomlkit.dumps(document)
        same = tomllib.loads(changed) == wanted
    except (TOMLKitError, tomllib.TOMLDecodeError, LookupError, TypeError, ValueError):
        same = False
    if not same:
        raise FileEditError(f"{path}: its text can't be changed safely; paste the lines by hand")
    return changed


def _put(
    document: MutableMapping[str, Any], lesson: Lesson, table: Callable[[], Any], inline: Callable[[], Any]
) -> None:
    """Set the lesson's value in a document, in place; new tables from `table`, inner ones from `inline`."""
    if lesson.setting.table == "fishing":
        if "fishing" not in document:
            document["fishing"] = table()
        owner = document["fishing"]
    else:
        tables = {item["id"]: item for item in document[lesson.setting.table]}
        owner = tables[lesson.owner]
    *inner, last = lesson.setting.keys
    for key in inner:
        if key not in owner:
            owner[key] = inline()
        owner = owner[key]
    if isinstance(lesson.value, dict):
        if last not in owner:
            owner[last] = inline()
        for key, value in lesson.value.items():
            owner[last][key] = plain(value)
    elif lesson.value is not None:
        owner[last] = plain(lesson.value)


def plain(value: float) -> int | float:
    """A number as people write it: whole ones without a point."""
    return int(value) if value.is_integer() else value
