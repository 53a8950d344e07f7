"""The JSON Schema of a station file: it holds for files that are read, and catches slips of single keys."""

import json
import tomllib

import jsonschema
import pytest

from harmonics.files.file_models import HeadTable
from tests.cli.runs import DEMOS, REPOSITORY, done, run
from tests.cli.test_one_mistake import FILE
from windows.shoreline.file_schema import SINGLE, schema, tables
from windows.shoreline.shore import OTHER_TABLES

RECORDED = tuple(sorted((REPOSITORY / "demo_stations" / "recorded").glob("*.toml")))
SLIPS = {
    "a key misspelt": ("slack_lag", "slak_lag", "spots"),
    "a latitude beyond the pole": ("latitude = 43.105", "latitude = 431.05", "spots"),
    "a number in quotes": ("mean_level = 1.02", 'mean_level = "1.02"', "stations"),
    "a unit that is none": ('units = "metres"', 'units = "yards"', "units"),
    "a key that is missing": ("bare_below", "bear_below", "banks"),
}


def slips(text):
    """Where a file's text goes against the schema that the command prints."""
    validator = jsonschema.Draft202012Validator(json.loads(done("guide", "--schema")))
    return [next(iter(error.absolute_path), "file") for error in validator.iter_errors(tomllib.loads(text))]


def test_it_is_a_schema():
    jsonschema.Draft202012Validator.check_schema(schema())


def test_it_speaks_of_every_table_that_is_read():
    assert set(tables()) == {*OTHER_TABLES, "stations", "currents"}
    assert set(schema()["properties"]) == {*OTHER_TABLES, *HeadTable.model_fields}
    assert set(SINGLE) < set(tables())


@pytest.mark.parametrize("path", [*DEMOS, *RECORDED], ids=lambda path: path.stem)
def test_files_that_are_read_keep_to_it(path):
    assert slips(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("name", SLIPS)
def test_slips_of_a_key_are_caught(name):
    old, new, where = SLIPS[name]
    assert slips(FILE) == []
    assert set(slips(FILE.replace(old, new, 1))) == {where}


def test_a_topic_beside_it_is_wrong_usage():
    assert run("guide", "file", "--schema").code == 2
