"""The [[spots]] and [fishing] tables of a file, read and checked."""

from collections.abc import Callable
from dataclasses import replace
from typing import Annotated, Any, Literal, TypeVar

from pydantic import Field

from harmonics.checking import Identifier, Latitude, Longitude, Name, Table, checked, shown
from harmonics.errors import Problem
from harmonics.station_file import StationFile
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.hours import parse_duration, parse_hours
from windows.spots import WEEKDAYS, LightPreference, PointShares, Preferences, SpeedRange, Spot

SHORTEST_SESSION, LONGEST_SESSION = 1800.0, 12 * 3600.0
SESSION_STEP = 300.0
_DAY_NUMBERS = {
    name: number
    for number, day in enumerate(
        ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
    )
    for name in (day, day[:3])
}
V = TypeVar("V")

Points = Annotated[float, Field(ge=0, le=100, allow_inf_nan=False, description="points from 0 to 100")]
Knots = Annotated[float, Field(ge=0, le=20, allow_inf_nan=False, description="knots from 0 to 20")]
Level = Annotated[
    float, Field(ge=-100, le=100, allow_inf_nan=False, description="a height above datum from -100 to 100")
]
LagMinutes = Annotated[
    float, Field(ge=-360, le=360, allow_inf_nan=False, description="minutes from -360 to 360 after the turn")
]
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

    light: Annotated[
        Literal["low", "day", "night", "any"] | None, Field(description='"low", "day", "night" or "any"')
    ] = None
    hours: Annotated[str | None, Field(description=HOURS_EXPECTED)] = None
    days: Annotated[list[str] | None, Field(description='a list of weekdays such as ["sat", "sun"]')] = None
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
    greatest_speed: Annotated[Knots | None, Field(description="knots from 0 to 20")] = None


class SpotTable(FishingTable):
    """[[spots]]."""

    id: Identifier
    name: Name
    latitude: Latitude
    longitude: Longitude
    station: Identifier
    slack_lag: Annotated[
        LagMinutes | None, Field(description="minutes from -360 to 360 after high or low water")
    ] = None
    least_level: Annotated[Level | None, Field(description="a height above datum")] = None
    greatest_level: Annotated[Level | None, Field(description="a height above datum")] = None


def read_spots(file: StationFile, problems: list[Problem]) -> tuple[Spot, ...]:
    """Spots of the file with their preferences; problems are added to the list."""
    fishing = file.other_tables.get("fishing", {})
    general = Preferences()
    table = checked(FishingTable, fishing, "fishing", problems)
    if table is not None:
        general = _preferences(table, general, "fishing", problems)
    spots: dict[str, Spot] = {}
    tables = file.other_tables.get("spots", [])
    if not isinstance(tables, list):
        problems.append(Problem("spots", shown(tables), "[[spots]] tables"))
        return ()
    for index, item in enumerate(tables):
        where = f"spots[{index}]"
        model = checked(SpotTable, item, where, problems)
        if model is None:
            continue
        if model.id in spots:
            problems.append(Problem(f"{where}.id", f"'{model.id}' a second time", "an id of its own"))
            continue
        spot = _spot(model, file, general, where, problems)
        if spot is not None:
            spots[spot.id] = spot
    return tuple(spots.values())


def _spot(
    model: SpotTable, file: StationFile, general: Preferences, where: str, problems: list[Problem]
) -> Spot | None:
    preferences = _preferences(model, general, where, problems)
    least, greatest = model.least_level, model.greatest_level
    if least is not None and greatest is not None and least >= greatest:
        expected = f"more than least_level, {least:g}"
        problems.append(Problem(f"{where}.greatest_level", f"{greatest:g}", expected))
    station = next((item for item in file.stations if item.id == model.station), None)
    is_current = any(item.id == model.station for item in file.currents)
    if station is None and model.station in file.declared and not is_current:
        return None
    if station is None:
        known = ", ".join(item.id for item in file.stations) or "none that could be read"
        problems.append(
            Problem(f"{where}.station", f"'{model.station}'", f"the id of one of [[stations]] ({known})")
        )
        return None
    unit = file.units.metres
    return Spot(
        id=model.id,
        name=model.name,
        latitude=model.latitude,
        longitude=model.longitude,
        station=station,
        slack_lag=None if model.slack_lag is None else model.slack_lag * 60.0,
        least_level=None if least is None else least * unit,
        greatest_level=None if greatest is None else greatest * unit,
        preferences=preferences,
    )


def _preferences(table: FishingTable, base: Preferences, where: str, problems: list[Problem]) -> Preferences:
    """The base with what the table sets on top."""
    changes: dict[str, Any] = {}
    if table.light is not None:
        changes["light"] = LightPreference(table.light)
    if table.hours is not None:
        changes["hours"] = _parsed(parse_hours, table.hours, f"{where}.hours", problems)
    if table.days is not None:
        changes["days"] = _weekdays(table.days, f"{where}.days", problems)
    if table.session is not None:
        changes["session"] = _parsed(parse_session, table.session, f"{where}.session", problems)
    if table.points is not None:
        changes["points"] = _points(table.points, f"{where}.points", problems)
    if table.speeds is not None:
        changes["speeds"] = _speeds(table.speeds, f"{where}.speeds", problems)
    for key in ("keep", "daylight_only"):
        if getattr(table, key) is not None:
            changes[key] = getattr(table, key)
    if table.greatest_speed is not None:
        changes["greatest_speed"] = table.greatest_speed * METRES_PER_SECOND_PER_KNOT
    return replace(base, **{key: value for key, value in changes.items() if value is not None})


def parse_session(text: str) -> float:
    """Seconds of a session's length.

    Raises:
        ValueError: not a length from 30 minutes to 12 hours in steps of 5 minutes.
    """
    seconds = parse_duration(text)
    if not SHORTEST_SESSION <= seconds <= LONGEST_SESSION or seconds % SESSION_STEP:
        raise ValueError(SESSION_EXPECTED)
    return seconds


def _parsed(parse: Callable[[str], V], text: str, where: str, problems: list[Problem]) -> V | None:
    try:
        return parse(text)
    except ValueError as error:
        problems.append(Problem(where, shown(text), str(error)))
        return None


def _weekdays(names: list[str], where: str, problems: list[Problem]) -> tuple[int, ...] | None:
    plain = [name.strip().lower() for name in names]
    wrong = [name for name, key in zip(names, plain, strict=True) if key not in _DAY_NUMBERS]
    if wrong or not names:
        found = ", ".join(shown(name) for name in wrong) or "an empty list"
        problems.append(Problem(where, found, f"weekdays: {', '.join(WEEKDAYS)}"))
        return None
    return tuple(sorted({_DAY_NUMBERS[key] for key in plain}))


def _points(table: PointsTable, where: str, problems: list[Problem]) -> PointShares | None:
    total = table.flow + table.light + table.moon
    if abs(total - 100.0) > 1e-6:
        found = f"flow {table.flow:g} + light {table.light:g} + moon {table.moon:g} = {total:g}"
        problems.append(Problem(where, found, "points that sum to 100"))
        return None
    return PointShares(table.flow, table.light, table.moon)


def _speeds(table: SpeedsTable, where: str, problems: list[Problem]) -> SpeedRange | None:
    corners = (table.nothing_below, table.full_from, table.full_to, table.nothing_above)
    if not corners[0] < corners[1] <= corners[2] < corners[3]:
        found = ", ".join(f"{corner:g}" for corner in corners)
        expected = "knots that grow: nothing_below < full_from <= full_to < nothing_above"
        problems.append(Problem(where, found, expected))
        return None
    return SpeedRange(*(corner * METRES_PER_SECOND_PER_KNOT for corner in corners))
