"""The guide's page of every key, made from the models of a file: `python -m tests.keys_page` writes it."""

import re
from pathlib import Path
from typing import Any

from harmonics.files.checking import Table
from harmonics.files.file_models import HeadTable
from windows.shoreline.file_schema import SINGLE, tables

PAGE = Path(__file__).parents[1] / "windows" / "guide" / "keys.md"
HEAD = """# Every key

All that a station file may hold, key by key, in one list.

The pages `file`, `stations`, `spots`, `preferences`, `outing`, `fish` and `records` say what the keys mean.
`ebblight guide --schema` prints the same as JSON Schema, with which an editor completes keys and marks slips.
"""


def keys_page() -> str:
    """The whole page."""
    parts = [HEAD, _part("The head", HeadTable)]
    for key, models in tables().items():
        heading = f"[{key}]" if key in SINGLE else f"[[{key}]]"
        for model in models:
            said = (model.__doc__ or "").split("]", 1)[-1].strip("]. \n").partition("\n")[0]
            parts.append(_part(f"`{heading}`{f' {said}' if len(models) > 1 and said else ''}", model))
            inner = model.model_json_schema(by_alias=True).get("$defs", {})
            parts += [_rows(f"Inside it, {name}", item) for name, item in sorted(_named(inner).items())]
    return "\n".join(parts)


def _named(inner: dict[str, Any]) -> dict[str, Any]:
    """Tables inside a table, by words instead of the names of their classes."""
    words = {name: re.sub(r"(?<!^)(?=[A-Z])", " ", name.removesuffix("Table")).lower() for name in inner}
    return {words[name]: item for name, item in inner.items() if "properties" in item}


def _part(heading: str, model: type[Table]) -> str:
    return _rows(heading, model.model_json_schema(by_alias=True), level=2)


def _rows(heading: str, schema: dict[str, Any], level: int = 3) -> str:
    lines = [f"{'#' * level} {heading}", "", "| key | holds |", "| --- | --- |"]
    needed = schema.get("required", [])
    for key, item in schema["properties"].items():
        lines.append(f"| `{key}` | {_holds(item)}{'; needed' if key in needed else ''}{_default(item)} |")
    return "\n".join([*lines, ""])


def _holds(item: dict[str, Any]) -> str:
    """What a key holds in words: its own, those of its choices, or its kind."""
    inner = [item, *item.get("anyOf", ())]
    said = next((choice["description"] for choice in inner if "description" in choice), None)
    if said is None:
        choices = next((choice["enum"] for choice in inner if "enum" in choice), None)
        named = [f'"{choice}"' for choice in choices or ()]
        said = " or ".join(named) or next((choice["type"] for choice in inner if "type" in choice), "a table")
    return str(said).replace("|", "\\|")


def _default(item: dict[str, Any]) -> str:
    default = item.get("default")
    if default is None:
        return ""
    shown = str(default).lower() if isinstance(default, bool) else default
    return f"; default {shown}"


if __name__ == "__main__":
    PAGE.write_text(keys_page(), encoding="utf-8")
