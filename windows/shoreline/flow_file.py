"""The [spots.flow] table: one way, and one way only, in which a spot's current is known."""

from harmonics.files.problems import Here
from harmonics.files.station_file import StationFile
from harmonics.units import METRES_PER_SECOND_PER_KNOT, MINUTE
from windows.shoreline.spot_models import FlowTable, SpotTable
from windows.shoreline.spots import BasinSource, CurrentSource, FlowSource, InletSource, ScaledSource

DEFAULT_FRICTION = 0.03
"""Darcy and Weisbach's f of a sandy inlet (from memory)."""

_CURRENT = ("current", "delay", "factor")
_BASIN = ("basin_area_m2", "opening_area_m2")
_THROAT = ("throat_length_m", "hydraulic_radius_m", "friction")
_WAYS = {
    "current": ("current",),
    "basin and opening": _BASIN,
    "strong_ebb": ("strong_ebb",),
}
_EXPECTED = (
    "one of: current (with delay, factor); basin_area_m2 and opening_area_m2 (with throat_length_m and "
    "hydraulic_radius_m, or repletion); strong_ebb"
)


def read_flow(model: SpotTable, file: StationFile, spot: Here) -> FlowSource | None:
    """The source of a spot's flow; None with problems reported where the table makes no sense."""
    table = model.flow
    if table is None:
        return None
    here = spot.at("flow")
    given = [name for name, keys in _WAYS.items() if any(_has(table, key) for key in keys)]
    if len(given) != 1:
        found = f"flow given {len(given)} ways: {', '.join(given)}" if given else "no way to know the flow"
        here.say(found, _EXPECTED)
        return None
    _check_companions(table, given[0], here)
    has_own_turn = given == ["current"] or table.repletion is not None or _has(table, "throat_length_m")
    if has_own_turn and model.slack_lag is not None:
        found = f"{model.slack_lag:g} beside a flow that has its own time of turning"
        spot.at("slack_lag").say(found, "no slack_lag there")
    if given == ["current"]:
        return _current(table, file, here)
    if not here.clean:
        return None
    if table.strong_ebb is not None:
        return ScaledSource(table.strong_ebb * METRES_PER_SECOND_PER_KNOT)
    return _basin(table)


def _has(table: FlowTable, key: str) -> bool:
    return getattr(table, key) is not None


def _check_companions(table: FlowTable, way: str, here: Here) -> None:
    """Keys that need others, or that say the same thing twice."""
    allowed = {
        "current": _CURRENT,
        "basin and opening": (*_BASIN, *_THROAT, "repletion"),
        "strong_ebb": ("strong_ebb",),
    }[way]
    for key in type(table).model_fields:
        if _has(table, key) and key not in allowed:
            here.at(key).say(f"a key that does not go with {way}", _EXPECTED)
    needed: tuple[str, ...] = ()
    if way == "basin and opening":
        throat = any(_has(table, key) for key in _THROAT)
        needed = (*_BASIN, *(_THROAT[:2] if throat else ()))
        if throat and table.repletion is not None:
            expected = "either the throat's measures or the coefficient"
            here.at("repletion").say("friction given twice", expected)
    for key in needed:
        if not _has(table, key):
            here.at(key).missing(type(table).model_fields[key].description or "a value")


def _current(table: FlowTable, file: StationFile, here: Here) -> CurrentSource | None:
    station = next((item for item in file.currents if item.id == table.current), None)
    if station is None:
        if table.current not in file.unread:
            known = ", ".join(item.id for item in file.currents) or "this file has none"
            here.at("current").say(f"'{table.current}'", f"the id of one of [[currents]] ({known})")
        return None
    delay = 0.0 if table.delay is None else table.delay * MINUTE
    return CurrentSource(station, delay, 1.0 if table.factor is None else table.factor)


def _basin(table: FlowTable) -> FlowSource | None:
    if table.basin_area_m2 is None or table.opening_area_m2 is None:
        return None
    losses = None
    if table.throat_length_m is not None and table.hydraulic_radius_m is not None:
        from harmonics.stations.inlet import friction_losses

        friction = DEFAULT_FRICTION if table.friction is None else table.friction
        losses = friction_losses(table.throat_length_m, table.hydraulic_radius_m, friction)
    if losses is None and table.repletion is None:
        return BasinSource(table.basin_area_m2, table.opening_area_m2)
    return InletSource(table.basin_area_m2, table.opening_area_m2, losses, table.repletion)
