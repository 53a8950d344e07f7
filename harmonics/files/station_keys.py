"""Keys of a station that go together: its unit, datum and mean level, kind of phase lag and its clock."""

from collections.abc import Mapping
from typing import Any

from harmonics.files.file_models import StationTable
from harmonics.files.problems import Here
from harmonics.units import LengthUnit

GREATEST_UTC_OFFSET = 14.0
MEAN_SEA_LEVEL = "MSL"
"""What heights are counted from where a file does not say."""


def check_phase(table: dict[str, Any], here: Here) -> None:
    """Local phases need their clock, Greenwich ones have none."""
    offset, local = table.get("utc_offset"), table.get("phase") == "local"
    if local and offset is None:
        here.at("utc_offset").missing('hours from UTC, for phase = "local"')
    if not local and offset is not None:
        here.at("utc_offset").say('utc_offset without phase = "local"', 'phase = "local", or no utc_offset')


def phase_offset(table: dict[str, Any]) -> float | None:
    """Hours from UTC of local phases; None for Greenwich ones, and for an offset that can't be used."""
    offset, local = table.get("utc_offset"), table.get("phase") == "local"
    usable = isinstance(offset, int | float) and abs(offset) <= GREATEST_UTC_OFFSET
    return float(offset) if local and usable and offset is not None else None


def length_unit(table: Mapping[str, Any], units: object) -> LengthUnit:
    """The unit of a station's numbers: its own, else the file's."""
    return LengthUnit.FEET if table.get("length_unit", units) == "feet" else LengthUnit.METRES


def zero_of(model: StationTable, here: Here) -> tuple[str, float]:
    """Datum and mean level above it; mean sea level itself where a station names neither."""
    if model.mean_level is None and model.datum is not None and model.datum != MEAN_SEA_LEVEL:
        here.at("mean_level").missing("mean sea level above the datum")
    if model.mean_level is not None and model.datum is None:
        here.at("datum").missing("what the mean level is above")
    return model.datum or MEAN_SEA_LEVEL, model.mean_level or 0.0
