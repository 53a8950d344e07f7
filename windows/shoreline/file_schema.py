"""What a station file may hold, from the models that read it: for editors, and for the page of keys."""

from collections.abc import Mapping
from typing import Any

from harmonics.files.checking import Table

DIALECT = "https://json-schema.org/draft/2020-12/schema"
SINGLE = ("fishing", "weather", "log", "boat", "outing")
"""Tables that a file has once; all others are lists."""


def tables() -> Mapping[str, tuple[type[Table], ...]]:
    """The models of each top-level table of a file, in the order of the manual; of several any may hold."""
    from harmonics.files import file_models
    from windows.shoreline.log_file import LogTable
    from windows.shoreline.outing_models import BoatTable, LandingTable, OutingTable, WayTable
    from windows.shoreline.quarry_file import QuarryTable
    from windows.shoreline.rules_file import RuleTable
    from windows.shoreline.spot_models import BankTable, FishingTable, SpotTable
    from windows.shoreline.weather_file import WeatherTable

    return {
        "stations": (file_models.StationTable, file_models.SecondaryTable),
        "currents": (
            file_models.CurrentTable,
            file_models.TwoComponentTable,
            file_models.SecondaryCurrentTable,
        ),
        "spots": (SpotTable,),
        "fishing": (FishingTable,),
        "banks": (BankTable,),
        "landings": (LandingTable,),
        "boat": (BoatTable,),
        "ways": (WayTable,),
        "outing": (OutingTable,),
        "quarry": (QuarryTable,),
        "rules": (RuleTable,),
        "log": (LogTable,),
        "weather": (WeatherTable,),
    }


def schema() -> dict[str, Any]:
    """The file as JSON Schema (2020-12): keys, kinds of value, limits and what each expects.

    It knows single keys, not what they say together: `check` does.
    """
    from harmonics.files.file_models import HeadTable

    whole = HeadTable.model_json_schema(by_alias=True)
    shared: dict[str, Any] = whole.pop("$defs", {})
    for key, models in tables().items():
        found = [model.model_json_schema(by_alias=True, ref_template="#/$defs/{model}") for model in models]
        for item in found:
            shared |= item.pop("$defs", {})
        table = found[0] if len(found) == 1 else {"anyOf": found}
        whole["properties"][key] = table if key in SINGLE else {"type": "array", "items": table}
    return {"$schema": DIALECT, **whole, "title": "A station file of Ebblight", "$defs": shared}
