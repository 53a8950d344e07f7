"""The manual's tables of keys against the models that read them."""

import importlib
import pkgutil
import re

import pytest

from harmonics.files.checking import Table
from tests.documents import names, section, table
from windows.guide import page
from windows.shoreline.spot_models import FishingTable
from windows.shoreline.spots import Points, SpeedRange

KEY_TABLES = {
    ("file", "The head"): "HeadTable",
    ("stations", "A tide station"): "StationTable",
    ("stations", "One constituent"): "ConstituentTable",
    ("stations", "A secondary station"): "SecondaryTable",
    ("stations", "Differences of high or low water"): "DifferenceTable",
    ("stations", "By the hour"): "MinutesByHourTable",
    ("stations", "Factors by height"): "FactorByHeightTable",
    ("stations", "Offsets by height"): "OffsetByHeightTable",
    ("stations", "A current station"): "CurrentTable",
    ("stations", "On two axes"): "TwoComponentTable",
    ("stations", "A secondary current"): "SecondaryCurrentTable",
    ("records", "The record"): "RecordTable",
    ("records", "The weather"): "WeatherTable",
    ("records", "Open to the wind"): "ExposedTable",
    ("spots", "A spot"): "SpotTable",
    ("spots", "How the current is known"): "FlowTable",
    ("spots", "Banks"): "BankTable",
    ("preferences", "Preferences"): "FishingTable",
    ("preferences", "Shares of the points"): "PointsTable",
    ("preferences", "Speeds that fish well"): "SpeedsTable",
    ("outing", "Landings"): "LandingTable",
    ("outing", "The water a landing or a way wants"): "SillTable",
    ("outing", "The boat"): "BoatTable",
    ("outing", "Ways"): "WayTable",
    ("outing", "How you want to spend the day"): "OutingTable",
    ("fish", "Quarry"): "QuarryTable",
    ("fish", "Rules"): "RuleTable",
    ("fish", "Where trips are kept"): "LogTable",
}
"""The table of a file that each table of keys speaks of."""


def models() -> dict[str, type[Table]]:
    """Every table that a file may hold, by the name of its model."""
    for package in ("harmonics.files", "windows.shoreline"):
        for module in pkgutil.iter_modules(importlib.import_module(package).__path__):
            importlib.import_module(f"{package}.{module.name}")

    def below(kind: type[Table]) -> set[type[Table]]:
        return {kind, *(item for child in kind.__subclasses__() for item in below(child))}

    found = {kind.__name__: kind for kind in below(Table) - {Table}}
    return {
        name: kind for name, kind in found.items() if kind.__module__.startswith(("harmonics.", "windows."))
    }


class TestKeys:
    def test_every_table_of_a_file_has_its_keys_listed(self):
        assert sorted(KEY_TABLES.values()) == sorted(models())

    @pytest.mark.parametrize(("topic", "heading"), KEY_TABLES)
    def test_keys_are_those_that_are_read(self, topic, heading):
        model = models()[KEY_TABLES[topic, heading]]
        read = {field.alias or name for name, field in model.model_fields.items()}
        if model is not FishingTable and issubclass(model, FishingTable):
            read -= set(FishingTable.model_fields)  # told on a page of their own
        listed = [name for row in table(section(page(topic).text, heading)) for name in names(row[0])]
        assert sorted(listed) == sorted(read)

    @pytest.mark.parametrize(("topic", "heading"), KEY_TABLES)
    def test_needed_keys_are_said_to_be_needed(self, topic, heading):
        model = models()[KEY_TABLES[topic, heading]]
        needed = {field.alias or name for name, field in model.model_fields.items() if field.is_required()}
        said = {
            name
            for row in table(section(page(topic).text, heading))
            if re.search(r"(?<!\")\bneeded\b(?! beside|\")", row[1])
            for name in names(row[0])
        }
        pairs = {"MinutesByHourTable", "FactorByHeightTable", "OffsetByHeightTable", "PointsTable"}
        if model.__name__ in pairs:  # both keys of a pair, and all shares: said in the lines above
            assert not said
        else:
            assert said == needed

    def test_defaults_are_those_of_the_program(self):
        text = page("preferences").text
        shares = {names(row[0])[0]: row[1] for row in table(section(text, "Shares of the points"))}
        for key, words in shares.items():
            assert f"default {getattr(Points(), key):g}" in words
        speeds = {names(row[0])[0]: row[1] for row in table(section(text, "Speeds that fish well"))}
        for key, words in speeds.items():
            assert f"default {getattr(SpeedRange(), key) / 0.514444:.1f}" in words
