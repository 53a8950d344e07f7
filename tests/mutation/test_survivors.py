"""The list of changes that don't matter tells of the code as it is."""

from functools import lru_cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LISTED = [
    line.removeprefix("- `").removesuffix("`")
    for line in (Path(__file__).parent / "survivors.md").read_text(encoding="utf-8").splitlines()
    if line.startswith("- ")
]


@lru_cache
def text_of(path: str) -> str:
    """Of a module, on one line."""
    return " ".join(line.strip() for line in (ROOT / path).read_text(encoding="utf-8").splitlines())


@pytest.mark.parametrize("name", LISTED)
def test_what_is_changed_stands_in_the_code(name):
    place, _, change = name.partition(": ")
    before, arrow, after = change.partition(" => ")
    assert arrow and before != after
    assert before in text_of(place.split()[0]), "the code has changed: try the change again, or drop the line"


def test_none_is_listed_twice():
    assert len(LISTED) == len(set(LISTED))
