"""Every number of a file has a least and a greatest value that no water or gear passes."""

import importlib
import inspect
import pkgutil
from collections.abc import Iterator

import pytest
from pydantic import BaseModel

import harmonics
import windows
from harmonics.bounds import FARTHEST_LEVEL
from harmonics.errors import FileProblemsError
from harmonics.records.reader import parse_record

LARGEST = 1e9
"""Nothing measured on a shore is larger; the areas of bays, in square metres, come near."""


def models() -> Iterator[type[BaseModel]]:
    """Every model of the packages, once."""
    seen: set[type[BaseModel]] = set()
    for package in (harmonics, windows):
        for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            if found.name.endswith("__main__"):
                continue
            for _, item in inspect.getmembers(importlib.import_module(found.name), inspect.isclass):
                if issubclass(item, BaseModel) and item is not BaseModel and item not in seen:
                    seen.add(item)
                    yield item


def numbers(schema: dict, path: str) -> Iterator[tuple[str, float | None, float | None]]:
    """Numbers of a field's schema with their bounds; tables in it are models of their own."""
    for key in ("anyOf", "oneOf", "allOf", "prefixItems"):
        for part in schema.get(key, []):
            yield from numbers(part, path)
    for key in ("items", "additionalProperties"):
        if isinstance(schema.get(key), dict):
            yield from numbers(schema[key], f"{path}[]")
    if schema.get("type") in ("number", "integer"):
        least = schema.get("minimum", schema.get("exclusiveMinimum"))
        yield path, least, schema.get("maximum", schema.get("exclusiveMaximum"))


def test_every_number_of_every_table_has_bounds():
    found = {
        f"{model.__name__}.{path}": (least, most)
        for model in models()
        for name, schema in model.model_json_schema().get("properties", {}).items()
        for path, least, most in numbers(schema, name)
    }
    assert len(found) > 60
    assert {name for name, bounds in found.items() if None in bounds} == set()
    wide = {name for name, bounds in found.items() if max(map(abs, bounds)) > LARGEST}
    assert {name.rpartition("_")[2] for name in wide} <= {"m2"}, wide


@pytest.mark.parametrize(
    ("unit", "farthest", "said"), [("m", FARTHEST_LEVEL, "1,000"), ("ft", 3281.0, "3,281")]
)
def test_a_level_has_bounds(unit, farthest, said):
    def read(value):
        rows = f"2026-01-01 00:00,{value}\n2026-01-01 01:00,2\n"
        return parse_record(f"time_utc,level_{unit}\n{rows}", "gauge.csv")

    assert len(read(0.99 * farthest).level) == len(read(-0.99 * farthest).level) == 2
    for value in ("1e300", "-1e300", f"{1.01 * farthest}", f"{-1.01 * farthest}"):
        with pytest.raises(
            FileProblemsError, match=f"line 2: found '{value}'; expected a level from -{said}"
        ):
            read(value)
