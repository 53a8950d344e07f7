"""Words, names and kinds that stand once for all of the water."""

import ast
from pathlib import Path

import pytest

import harmonics
from harmonics.files.published.units import TableUnit
from harmonics.stations.datums import Datums
from harmonics.units import DATUM_NAMES, LENGTH_WORDS, METRES_PER_SECOND_PER_KNOT, LengthUnit

MODULES = sorted(Path(harmonics.__file__).parent.rglob("*.py"))


def test_units_by_their_definitions():
    assert METRES_PER_SECOND_PER_KNOT == 1852 / 3600  # the international nautical mile an hour
    assert (LengthUnit.FEET.metres, LengthUnit.METRES.metres) == (0.3048, 1.0)  # the international foot
    assert {unit.symbol for unit in LengthUnit} == {"ft", "m"}


@pytest.mark.parametrize(
    ("unit", "si", "of_currents"),
    [
        ("metres", 1.0, False),
        ("centimetres", 0.01, False),
        ("millimetres", 0.001, False),
        ("feet", 0.3048, False),
        ("inches", 0.0254, False),
        ("knots", 1852 / 3600, True),
        ("m/s", 1.0, True),
        ("cm/s", 0.01, True),
        ("mm/s", 0.001, True),
    ],
)
def test_units_of_published_tables(unit, si, of_currents):
    assert TableUnit(unit).si == pytest.approx(si, rel=1e-15)
    assert TableUnit(unit).of_currents is of_currents


@pytest.mark.parametrize("unit", LengthUnit)
def test_a_units_own_names_are_among_its_words(unit):
    for word in (unit.value, unit.symbol):
        assert LENGTH_WORDS[word] is unit
    assert all(word == word.lower() for word in LENGTH_WORDS)


def test_datums_have_each_name_highest_first():
    assert DATUM_NAMES == Datums._fields
    found = Datums(*(float(len(DATUM_NAMES) - i) for i in range(len(DATUM_NAMES))))
    assert [found.named(name.upper()) for name in DATUM_NAMES] == [9, 8, 7, 6, 5, 4, 3, 2, 1]


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_no_kind_is_an_alias_of_another(path):
    """An enum whose members share a value loses one of them without a word: `unique` refuses it."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ClassDef) and any(
            isinstance(base, ast.Name) and base.id.endswith("Enum") for base in node.bases
        ):
            marks = [mark.id for mark in node.decorator_list if isinstance(mark, ast.Name)]
            assert "unique" in marks, node.name
