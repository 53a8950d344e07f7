"""The record of a station as its table names it: which file, and how to read it."""

from datetime import tzinfo
from pathlib import Path
from typing import Annotated, Any, NamedTuple

from pydantic import Field

from harmonics.files.checking import Table, checked
from harmonics.files.problems import Here
from harmonics.files.zones import zone_of
from harmonics.units import LengthUnit

FileName = Annotated[
    str,
    Field(
        min_length=1,
        max_length=1000,
        pattern=r"^[^\x00-\x1f\x7f]*$",
        description='the name of a CSV file, such as "gauge.csv", beside this one or absolute',
    ),
]
Header = Annotated[str | None, Field(min_length=1, max_length=200, description="a column's header")]
Zone = Annotated[str | None, Field(max_length=100, description='an IANA time zone such as "UTC"')]


class RecordSource(NamedTuple):
    """A file of observed levels, and how to read it.

    Attributes:
        path: the file.
        unit: of its levels; None where its header says.
        zone: of its clock; None where its stamps or its header say.
        time_column, level_column: headers; None where there is but one of each kind.
        weather: a file of the weather of its time; None without.
        fallback: zone of the clocks of both where nothing else says one.
    """

    path: Path
    unit: LengthUnit | None = None
    zone: tzinfo | None = None
    time_column: str | None = None
    level_column: str | None = None
    weather: Path | None = None
    fallback: tzinfo | None = None


class RecordTable(Table):
    """`record` of a station."""

    file: FileName
    zone: Zone = None
    units: Annotated[LengthUnit | None, Field(strict=False, description='"feet" or "metres"')] = None
    time_column: Header = None
    level_column: Header = None


def read_record_source(
    table: dict[str, Any], folder: Path, fallback: tzinfo | None, here: Here
) -> RecordSource | None:
    """The record that a station's table names; None where it names none, or with problems reported.

    Args:
        table: of the station, with `record` and `record_weather`.
        folder: that file names start from.
        fallback: zone of clocks that say none.
        here: the table's place.
    """
    weather = table.get("record_weather")
    if "record" not in table:
        if weather is not None:
            here.at("record_weather").say("weather of no record", "a record beside it, whose weather it is")
        return None
    place = here.at("record")
    model = checked(RecordTable, table["record"], place)
    if model is None:
        return None
    return RecordSource(
        folder / model.file,
        model.units,
        None if model.zone is None else place.at("zone").parsed(zone_of, model.zone),
        model.time_column,
        model.level_column,
        folder / weather if isinstance(weather, str) else None,
        fallback,
    )
