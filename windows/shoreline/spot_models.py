"""What the tables of spots, banks and preferences may hold, and what each key expects."""

from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from harmonics.files.checking import IDENTIFIER, Direction, Identifier, Latitude, Longitude, Name, Table

Points = Annotated[float, Field(ge=0, le=100, allow_inf_nan=False, description="points from 0 to 100")]
Knots = Annotated[float, Field(ge=0, le=20, allow_inf_nan=False, description="knots from 0 to 20")]
Level = Annotated[
    float, Field(ge=-100, le=100, allow_inf_nan=False, description="a height above datum from -100 to 100")
]
LagMinutes = Annotated[
    float, Field(ge=-360, le=360, allow_inf_nan=False, description="minutes from -360 to 360 after the turn")
]
SpeedFactor = Annotated[float, Field(gt=0, le=10, allow_inf_nan=False)]
Area = Annotated[float, Field(gt=0, le=1e12, allow_inf_nan=False)]
Metres = Annotated[float, Field(gt=0, le=1e5, allow_inf_nan=False)]
Friction = Annotated[float, Field(ge=0.001, le=1, allow_inf_nan=False)]
Repletion = Annotated[float, Field(ge=0.05, le=100, allow_inf_nan=False)]
Ebb = Annotated[float, Field(gt=0, le=20, allow_inf_nan=False)]
Depth = Annotated[float, Field(ge=0, le=1000, allow_inf_nan=False)]
WayMinutes = Annotated[float, Field(ge=0, le=720, allow_inf_nan=False)]
Line = Annotated[float, Field(ge=0.05, le=3, allow_inf_nan=False)]
Wind = Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)]
Percent = Annotated[float, Field(gt=0, le=100, allow_inf_nan=False)]
Kilometres = Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False, description="kilometres above 0")]
Under = Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False, description="metres above 0")]
LEAD_EXPECTED = 'a weight such as "8oz" or "230g", up to 2 kg'
WAY_EXPECTED = 'a length such as "45min" or "1h30min", up to 24h'
HOURS_EXPECTED = '"any" or a range such as "12:00-sunset+1h"'
SESSION_EXPECTED = 'a length from "30min" to "12h" in steps of 5 minutes'


class PointsTable(Table):
    """Shares of the factors."""

    flow: Points
    light: Points
    moon: Points


class SpeedsTable(Table):
    """Speeds past the spot, in knots, that fish well."""

    nothing_below: Knots = 0.1
    full_from: Knots = 0.4
    full_to: Knots = 1.2
    nothing_above: Knots = 2.0


class FishingTable(Table):
    """Preferences, for all spots or for one."""

    quarry: Annotated[str | None, Field(description="the name of one of [[quarry]]")] = None
    light: Annotated[
        Literal["low", "day", "night", "any"] | None, Field(description='"low", "day", "night" or "any"')
    ] = None
    water: Annotated[
        Literal["outgoing", "incoming", "moving"] | None,
        Field(description='"outgoing", "incoming" or "moving"'),
    ] = None
    hours: Annotated[str | None, Field(description=HOURS_EXPECTED)] = None
    days: Annotated[
        list[str] | None, Field(max_length=50, description='a list of weekdays such as ["sat", "sun"]')
    ] = None
    session: Annotated[str | None, Field(description=SESSION_EXPECTED)] = None
    points: Annotated[
        PointsTable | None, Field(description="a table { flow, light, moon } that sums to 100")
    ] = None
    keep: Annotated[Points | None, Field(description="points from 0 to 100")] = None
    speeds: Annotated[
        SpeedsTable | None,
        Field(description="a table { nothing_below, full_from, full_to, nothing_above } in knots"),
    ] = None
    daylight_only: Annotated[bool | None, Field(description="true or false")] = None
    least_speed: Annotated[Knots | None, Field(description="knots from 0 to 20")] = None
    greatest_speed: Annotated[Knots | None, Field(description="knots from 0 to 20")] = None
    greatest_wind: Annotated[Wind | None, Field(description="knots from 0 to 100")] = None
    thunder_from: Annotated[Percent | None, Field(description="per cent above 0, at most 100")] = None
    line_diameter_mm: Annotated[Line | None, Field(description="millimetres from 0.05 to 3")] = None
    sinker: Annotated[
        Literal["bank", "egg", "pyramid"] | None, Field(description='"bank", "egg" or "pyramid"')
    ] = None
    heaviest_lead: Annotated[str | None, Field(description=LEAD_EXPECTED)] = None
    travel: Annotated[str | None, Field(description=WAY_EXPECTED)] = None
    rigging: Annotated[str | None, Field(description=WAY_EXPECTED)] = None


class FlowTable(Table):
    """[spots.flow]: what is known of the current at a spot, one way only."""

    current: Annotated[str | None, Field(pattern=IDENTIFIER, description="the id of one of [[currents]]")] = (
        None
    )
    delay: Annotated[LagMinutes | None, Field(description="minutes from -360 to 360 behind the current")] = (
        None
    )
    factor: Annotated[SpeedFactor | None, Field(description="a factor above 0, at most 10")] = None
    basin_area_m2: Annotated[Area | None, Field(description="square metres above 0")] = None
    opening_area_m2: Annotated[Area | None, Field(description="square metres above 0")] = None
    throat_length_m: Annotated[Metres | None, Field(description="metres above 0")] = None
    hydraulic_radius_m: Annotated[Metres | None, Field(description="metres above 0")] = None
    friction: Annotated[
        Friction | None, Field(description="Darcy's f from 0.001 to 1, about 0.03 over sand")
    ] = None
    repletion: Annotated[Repletion | None, Field(description="Keulegan's coefficient from 0.05 to 100")] = (
        None
    )
    strong_ebb: Annotated[Ebb | None, Field(description="knots above 0, at most 20")] = None


class ExposedTable(Table):
    """A sector from which wind reaches a spot over open water."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, populate_by_name=True)

    start: Annotated[Direction, Field(alias="from")]
    end: Annotated[Direction, Field(alias="to")]
    fetch_km: Kilometres
    depth_m: Under


class SpotTable(FishingTable):
    """[[spots]]."""

    id: Identifier
    name: Name | None = None
    latitude: Latitude | None = None
    longitude: Longitude | None = None
    station: Identifier | None = None
    slack_lag: Annotated[
        LagMinutes | None, Field(description="minutes from -360 to 360 after high or low water")
    ] = None
    flow: Annotated[FlowTable | None, Field(description="a table [spots.flow]")] = None
    least_level: Annotated[Level | None, Field(description="a height above datum")] = None
    greatest_level: Annotated[Level | None, Field(description="a height above datum")] = None
    depth_at_datum: Annotated[Level | None, Field(description="the depth with the level at datum")] = None
    least_depth: Annotated[Depth | None, Field(description="a depth of 0 or more")] = None
    greatest_depth: Annotated[Depth | None, Field(description="a depth of 0 or more")] = None
    bank: Annotated[str | None, Field(pattern=IDENTIFIER, description="the id of one of [[banks]]")] = None
    bank_away: Annotated[
        WayMinutes | None, Field(description="minutes from 0 to 720 from the bank to the spot")
    ] = None
    exposed: Annotated[
        list[ExposedTable] | None,
        Field(max_length=36, description="a list of sectors { from, to, fetch_km, depth_m }"),
    ] = None
    greatest_chop: Annotated[Depth | None, Field(description="a height of 0 or more")] = None
    ebb_direction: Annotated[Direction | None, Field(description="degrees true from 0 to 360")] = None


class BankTable(Table):
    """[[banks]]."""

    id: Identifier
    name: Name | None = None
    station: Identifier | None = None
    bare_below: Annotated[Level | None, Field(description="a height above datum from -100 to 100")] = None
    bait: Annotated[
        Literal["crab", "worm", "shrimp", "other"], Field(description='"crab", "worm", "shrimp" or "other"')
    ] = "crab"
    warm_only: Annotated[bool | None, Field(description="true or false")] = None
    latitude: Annotated[Latitude | None, Field(description="degrees from -90 to 90, north positive")] = None
    longitude: Annotated[Longitude | None, Field(description="degrees from -180 to 180, east positive")] = (
        None
    )
