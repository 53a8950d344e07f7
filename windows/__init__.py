"""Fishing windows: water and sky combined into a scored, explained forecast.

The names in `__all__` are the package's public face; each loads its module when it is first used, so that the
import itself costs next to nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from windows.astronomy import Sky as Sky
    from windows.astronomy import SkyEvent as SkyEvent
    from windows.astronomy import day_edges as day_edges
    from windows.conditions.outlook import Outlook as Outlook
    from windows.forecast.making import make_forecast as make_forecast
    from windows.forecast.reports import DayReport as DayReport
    from windows.forecast.reports import Forecast as Forecast
    from windows.forecast.reports import SessionReport as SessionReport
    from windows.forecast.reports import SpotReport as SpotReport
    from windows.outing.making import make_plans as make_plans
    from windows.outing.reports import Plan as Plan
    from windows.outing.reports import Plans as Plans
    from windows.render.records.frames import currents_frame as currents_frame
    from windows.render.records.frames import levels_frame as levels_frame
    from windows.render.records.frames import sessions_frame as sessions_frame
    from windows.render.records.frames import sky_frame as sky_frame
    from windows.render.records.frames import tides_frame as tides_frame
    from windows.render.records.plans import plans_frame as plans_frame
    from windows.shoreline.hours import Hours as Hours
    from windows.shoreline.hours import parse_hours as parse_hours
    from windows.shoreline.shore import Shore as Shore
    from windows.shoreline.shore import read_shore as read_shore
    from windows.shoreline.spots import Spot as Spot

    __version__: str

_ROOMS = {
    "astronomy": ("Sky", "SkyEvent", "day_edges"),
    "conditions.outlook": ("Outlook",),
    "forecast.making": ("make_forecast",),
    "forecast.reports": ("DayReport", "Forecast", "SessionReport", "SpotReport"),
    "outing.making": ("make_plans",),
    "outing.reports": ("Plan", "Plans"),
    "render.records.frames": (
        *("currents_frame", "levels_frame", "sessions_frame", "sky_frame", "tides_frame"),
    ),
    "render.records.plans": ("plans_frame",),
    "shoreline.hours": ("Hours", "parse_hours"),
    "shoreline.shore": ("Shore", "read_shore"),
    "shoreline.spots": ("Spot",),
}
"""Where each public name is at home."""
_HOMES = {name: f"{__name__}.{room}" for room, names in _ROOMS.items() for name in names}

__all__ = sorted(_HOMES)


def __getattr__(name: str) -> object:
    """A public name from its module, or the version of the installed package (PEP 562)."""
    if name == "__version__":
        from importlib.metadata import version

        return version("ebblight")
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found = getattr(import_module(_HOMES[name]), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """Public names beside the module's own."""
    return sorted({*globals(), *_HOMES, "__version__"})
