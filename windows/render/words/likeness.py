"""Which spots compare: those with a speed with each other, those known by their fall alone likewise."""

from windows.forecast.reports import Forecast, SessionReport, SpotReport
from windows.render.words import cautions
from windows.render.words.safe_text import named

_WHICH = ((True, "with a speed"), (False, "known by their fall alone"))


def best_of_alike(forecast: Forecast) -> list[tuple[str, SessionReport]]:
    """The best session of each group of spots that compare, with the group's name where there are two."""
    found: list[tuple[str, SessionReport]] = []
    for has_speed, which in _WHICH:
        spots = {report.spot.id for report in forecast.spots if report.flow.has_speed is has_speed}
        top = next((item for item in forecast.ranking if item.spot.id in spots), None)
        if top is not None:
            name = "" if len(spots) == len(forecast.spots) else f"of the spots {which}"
            found.append((name, top))
    return found


def alike(one: SpotReport, other: SpotReport) -> bool:
    """Whether the points of two spots compare."""
    return one.flow.has_speed is other.flow.has_speed


def unlike(forecast: Forecast) -> str:
    """Which spots can't be compared with which; empty where all can."""
    falls, speeds = (
        [named(report.spot.name) for report in forecast.spots if report.flow.has_speed is has_speed]
        for has_speed in (False, True)
    )
    if not falls or not speeds:
        return ""
    return f"{', '.join(falls)} can't be compared with {', '.join(speeds)}. {cautions.FALL_ONLY}"
