"""What each table of a station file may hold, and what each key expects."""

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from harmonics.checking import Direction, Identifier, Latitude, Longitude, Name, Table

Unit = Annotated[Literal["feet", "metres"], Field(description='"feet" or "metres"')]
Practice = Annotated[Literal["yearly", "continuous"], Field(description='"yearly" or "continuous"')]
Phase = Annotated[
    Literal["greenwich", "local"], Field(description='"greenwich" or "local" (with utc_offset)')
]
Offset = Annotated[
    float, Field(ge=-14, le=14, allow_inf_nan=False, description="hours from UTC, east positive, -14 to 14")
]


def _named_or_listed(value: object) -> object:
    if isinstance(value, list) or (isinstance(value, str) and value.strip()):
        return value
    raise ValueError("neither a file's name nor a list")


Constituents = Annotated[
    Any,
    AfterValidator(_named_or_listed),
    Field(description="the name of a CSV file, or a list of {name, amplitude, phase}"),
]
Minutes = Annotated[
    float, Field(ge=-720, le=720, allow_inf_nan=False, description="minutes from -720 to 720")
]
Factor = Annotated[float, Field(gt=0, le=10, allow_inf_nan=False, description="a factor above 0, at most 10")]
Height = Annotated[
    float, Field(ge=-100, le=100, allow_inf_nan=False, description="a height from -100 to 100")
]


class HeadTable(Table):
    """The head of a file: the keys outside every table."""

    title: Name
    invented: Annotated[bool, Field(description="true or false")] = False
    time_zone: Annotated[str, Field(description='an IANA time zone such as "America/Chicago"')]
    units: Unit
    node_factors: Practice = "yearly"
    stations: Annotated[list[Any], Field(default_factory=list, description="[[stations]] tables")]
    currents: Annotated[list[Any], Field(default_factory=list, description="[[currents]] tables")]


class StationTable(Table):
    """[[stations]] with constituents of its own."""

    id: Identifier
    name: Name
    latitude: Latitude
    longitude: Longitude
    datum: Name
    mean_level: Height
    length_unit: Unit
    constituents: Constituents
    phase: Phase = "greenwich"
    utc_offset: Offset | None = None
    node_factors: Practice | None = None


class DifferenceTable(Table):
    """How one turning point follows the reference's."""

    minutes: Minutes = 0.0
    factor: Factor = 1.0
    offset: Height = 0.0


class SecondaryTable(Table):
    """[[stations]] that follow a reference."""

    id: Identifier
    name: Name
    reference: Identifier
    latitude: Latitude | None = None
    longitude: Longitude | None = None
    length_unit: Unit | None = None
    high_water: Annotated[DifferenceTable, Field(description="a table { minutes, factor, offset }")]
    low_water: Annotated[DifferenceTable, Field(description="a table { minutes, factor, offset }")]


class CurrentTable(Table):
    """[[currents]] with constituents of their own."""

    id: Identifier
    name: Name
    latitude: Latitude
    longitude: Longitude
    flood_direction: Direction
    ebb_direction: Direction
    mean_flow: Annotated[
        float, Field(ge=-20, le=20, allow_inf_nan=False, description="knots from -20 to 20, flood positive")
    ] = 0.0
    constituents: Constituents
    phase: Phase = "greenwich"
    utc_offset: Offset | None = None
    node_factors: Practice | None = None


class SecondaryCurrentTable(Table):
    """[[currents]] that follow a reference."""

    id: Identifier
    name: Name
    reference: Identifier
    latitude: Latitude | None = None
    longitude: Longitude | None = None
    flood_direction: Direction
    ebb_direction: Direction
    slack_before_flood: Minutes = 0.0
    flood: Minutes = 0.0
    slack_before_ebb: Minutes = 0.0
    ebb: Minutes = 0.0
    flood_ratio: Factor = 1.0
    ebb_ratio: Factor = 1.0
