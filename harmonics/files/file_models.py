"""What each table of a station file may hold, and what each key expects."""

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from harmonics.bounds import HEIGHT, MEAN_FLOW
from harmonics.files.checking import Direction, Identifier, Latitude, Longitude, Name, Table

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
    float,
    Field(ge=HEIGHT.least, le=HEIGHT.greatest, allow_inf_nan=False, description=f"a height from {HEIGHT}"),
]
Hour = Annotated[float, Field(ge=0, le=24, allow_inf_nan=False)]
MeanFlow = Annotated[
    float,
    Field(
        ge=MEAN_FLOW.least,
        le=MEAN_FLOW.greatest,
        allow_inf_nan=False,
        description=f"knots from {MEAN_FLOW}, flood positive",
    ),
]


def _no_tables() -> list[Any]:
    """Not `list` itself: pydantic asks a function for its arguments, and a builtin takes 2 ms to say them."""
    return []


class HeadTable(Table):
    """The head of a file: the keys outside every table."""

    title: Name
    invented: Annotated[bool, Field(description="true or false")] = False
    time_zone: Annotated[str, Field(description='an IANA time zone such as "America/Chicago"')]
    units: Unit
    node_factors: Practice = "yearly"
    stations: Annotated[list[Any], Field(default_factory=_no_tables, description="[[stations]] tables")]
    currents: Annotated[list[Any], Field(default_factory=_no_tables, description="[[currents]] tables")]


class StationTable(Table):
    """[[stations]] with constituents of its own."""

    id: Identifier
    name: Name | None = None
    latitude: Latitude
    longitude: Longitude
    datum: Name | None = None
    mean_level: Height | None = None
    length_unit: Unit | None = None
    constituents: Constituents
    phase: Phase = "greenwich"
    utc_offset: Offset | None = None
    node_factors: Practice | None = None
    observed: Annotated[
        str | None, Field(min_length=1, max_length=1000, description="the name of a CSV of levels")
    ] = None
    record: Annotated[Any, Field(description="a table { file, zone, units, time_column, level_column }")] = (
        None
    )
    record_weather: Annotated[
        str | None, Field(min_length=1, max_length=1000, description="the name of a CSV of weather")
    ] = None


Two = Field(min_length=2, max_length=2)


class MinutesByHourTable(Table):
    """Two time differences by the hour of the reference's high or low water."""

    hours: Annotated[list[Hour], Two, Field(description="two hours from 0 to 24 that differ")]
    minutes: Annotated[list[Minutes], Two, Field(description="two differences in minutes")]
    utc_offset: Offset = 0.0


class FactorByHeightTable(Table):
    """Two factors by the reference's height, at springs and at neaps."""

    heights: Annotated[list[Height], Two, Field(description="two heights that differ")]
    factors: Annotated[list[Factor], Two, Field(description="two factors above 0, at most 10")]


class OffsetByHeightTable(Table):
    """Two offsets by the reference's height, at springs and at neaps."""

    heights: Annotated[list[Height], Two, Field(description="two heights that differ")]
    offsets: Annotated[list[Height], Two, Field(description="two heights from -100 to 100")]


class DifferenceTable(Table):
    """How one turning point follows the reference's."""

    minutes: Minutes = 0.0
    factor: Factor = 1.0
    offset: Height = 0.0
    minutes_by_hour: Annotated[
        MinutesByHourTable | None, Field(description="a table { hours, minutes, utc_offset }")
    ] = None
    factor_by_height: Annotated[
        FactorByHeightTable | None, Field(description="a table { heights, factors }")
    ] = None
    offset_by_height: Annotated[
        OffsetByHeightTable | None, Field(description="a table { heights, offsets }")
    ] = None


class SecondaryTable(Table):
    """[[stations]] that follow a reference."""

    id: Identifier
    name: Name | None = None
    reference: Identifier
    latitude: Latitude | None = None
    longitude: Longitude | None = None
    length_unit: Unit | None = None
    high_water: Annotated[DifferenceTable, Field(description="a table { minutes, factor, offset }")]
    low_water: Annotated[DifferenceTable, Field(description="a table { minutes, factor, offset }")]


class CurrentTable(Table):
    """[[currents]] with constituents of their own."""

    id: Identifier
    name: Name | None = None
    latitude: Latitude
    longitude: Longitude
    flood_direction: Direction
    ebb_direction: Direction
    mean_flow: MeanFlow = 0.0
    constituents: Constituents
    phase: Phase = "greenwich"
    utc_offset: Offset | None = None
    node_factors: Practice | None = None


class TwoComponentTable(Table):
    """[[currents]] with constituents on two axes at right angles."""

    id: Identifier
    name: Name | None = None
    latitude: Latitude
    longitude: Longitude
    flood_direction: Direction
    axis_direction: Direction
    across_direction: Direction
    mean_flow: MeanFlow = 0.0
    mean_across: MeanFlow = 0.0
    constituents: Constituents
    constituents_across: Constituents
    phase: Phase = "greenwich"
    utc_offset: Offset | None = None
    node_factors: Practice | None = None


class SecondaryCurrentTable(Table):
    """[[currents]] that follow a reference."""

    id: Identifier
    name: Name | None = None
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
