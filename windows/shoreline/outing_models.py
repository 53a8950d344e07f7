"""What the tables of a day out may hold, and what each key expects."""

from typing import Annotated, Any, Literal

from pydantic import Field, create_model

from harmonics.files.checking import IDENTIFIER, Identifier, Latitude, Longitude, Name, Table
from windows.shoreline.spot_models import Level

PLACE_EXPECTED = "the id of a landing, spot or bank"
TIME_EXPECTED = 'a clock or sun time such as "12:30", "sunset+1h" or "02:00 next day"'
LEAVE_EXPECTED = 'a clock or sun time of the day one leaves on, such as "12:30" or "sunrise+1h"'
LENGTH_EXPECTED = 'a length such as "6h" or "5h30min", up to 48h'
MARGIN_EXPECTED = 'a length from "0min" to "3h", such as "20min"'
Minutes = Annotated[float, Field(ge=0, le=720, allow_inf_nan=False, description="minutes from 0 to 720")]
Speed = Annotated[float, Field(gt=0, le=60, allow_inf_nan=False, description="knots above 0, at most 60")]
Draft = Annotated[float, Field(ge=0, le=20, allow_inf_nan=False, description="a depth from 0 to 20")]
Worth = Annotated[float, Field(ge=0, le=2400, allow_inf_nan=False, description="point-hours from 0 to 2400")]
Time = Annotated[str, Field(max_length=60, description=TIME_EXPECTED)]
StationId = Annotated[str | None, Field(pattern=IDENTIFIER, description="the id of one of [[stations]]")]
AtLevel = Annotated[Level | None, Field(description="a height above datum from -100 to 100")]
Length = Annotated[str | None, Field(max_length=60, description=LENGTH_EXPECTED)]
Margin = Annotated[str | None, Field(max_length=60, description=MARGIN_EXPECTED)]


class SillTable(Table):
    """The water a place or way wants."""

    station: StationId = None
    least_level: AtLevel = None
    greatest_level: AtLevel = None
    depth_at_datum: AtLevel = None


class LandingTable(SillTable):
    """[[landings]]."""

    id: Identifier
    name: Name | None = None
    latitude: Latitude
    longitude: Longitude
    launch: Annotated[Minutes | None, Field(description="minutes from 0 to 720")] = None


class BoatTable(Table):
    """[boat]."""

    speed_kn: Speed
    draft: Draft = 0.0


_Place = Annotated[str, Field(pattern=IDENTIFIER, description=PLACE_EXPECTED)]


_WAY: dict[str, Any] = {
    "from": (_Place, ...),
    "to": (_Place, ...),
    "minutes": (Annotated[Minutes | None, Field(description="minutes from 0 to 720")], None),
}
WayTable = create_model("WayTable", __base__=SillTable, **_WAY)
"""[[ways]]: `from` is a word of the language, so that no class can spell it."""


class OutingTable(Table):
    """[outing]."""

    start: Annotated[str | None, Field(pattern=IDENTIFIER, description="the id of one of [[landings]]")] = (
        None
    )
    leave_after: Annotated[Time | None, Field(description=LEAVE_EXPECTED)] = None
    home_by: Annotated[Time | None, Field(description=TIME_EXPECTED)] = None
    longest: Length = None
    from_home: Annotated[Minutes | None, Field(description="minutes from 0 to 720")] = None
    move: Annotated[Minutes | None, Field(description="minutes from 0 to 720")] = None
    settle: Annotated[Minutes | None, Field(description="minutes from 0 to 720")] = None
    margin: Margin = None
    gather: Annotated[Minutes | None, Field(description="minutes from 0 to 720")] = None
    bait: Annotated[
        Literal["needed", "if possible", "none"] | None,
        Field(description='"needed", "if possible" or "none"'),
    ] = None
    most_moves: Annotated[int | None, Field(ge=0, le=15, description="a whole number from 0 to 15")] = None
    move_cost: Annotated[Worth | None, Field(description="point-hours from 0 to 2400")] = None
    keep: Annotated[Worth | None, Field(description="point-hours from 0 to 2400")] = None
