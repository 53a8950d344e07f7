"""How points come about, in the words of the preferences that gave them."""

from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.flow import FallingWater
from windows.planning import LEAST_WINDOW
from windows.render import cautions
from windows.render.names import plain
from windows.render.words import Words
from windows.reports import Forecast, SpotReport
from windows.scoring import MAJOR_HALF_WIDTH, MINOR_FACTOR, MINOR_HALF_WIDTH
from windows.spots import WEEKDAYS, LightPreference, Preferences, SpeedRange

_LIGHT = {
    LightPreference.LOW: "low light: all of them with the sun from 6 degrees below the horizon to 6 above, "
    "fewer in the dark, fewest by day",
    LightPreference.DAY: "daylight: all of them from a sun 6 degrees up, fewest from 6 degrees below",
    LightPreference.NIGHT: "darkness: all of them from a sun 12 degrees below the horizon, fewest by day",
}


def points_words(forecast: Forecast, words: Words) -> tuple[str, ...]:
    """Sentences on points: shared ones once, and each spot's own where spots differ."""
    lines = [
        "Points run from 0 to 100 and count only while the water goes out and nothing shuts the spot. A "
        "session's points are the mean over its whole length."
    ]
    groups: dict[tuple[str, ...], list[str]] = {}
    for report in forecast.spots:
        groups.setdefault(tuple(_own(report, words)), []).append(plain(report.spot.name))
    for own, names in groups.items():
        lead = f"{', '.join(names)}: " if len(groups) > 1 else ""
        lines.append(lead + " ".join(own))
    lines += [cautions.EVIDENCE, cautions.SOLUNAR]
    if any(not report.flow.has_speed for report in forecast.spots):
        lines.append(cautions.FALL_ONLY)
    return tuple(lines)


def _own(report: SpotReport, words: Words) -> list[str]:
    preferences, flow = report.spot.preferences, report.flow
    lines = [_shares(preferences)]
    if flow.has_speed:
        lines.append(_speeds(preferences.speeds))
    elif isinstance(flow, FallingWater):
        low, high = (words.movement(rate, False) for rate in (flow.nothing_below, flow.full_from))
        lines.append(f"Flow is told from the fall of the level: it counts from {low}, in full from {high}.")
    major, minor = MAJOR_HALF_WIDTH / 60.0, MINOR_HALF_WIDTH / 60.0
    if preferences.points.moon:
        lines.append(
            f"Moon: all its points within {major:.0f} minutes of the moon's upper or lower transit, "
            f"{MINOR_FACTOR:.0%} of them within {minor:.0f} minutes of moonrise or moonset."
        )
    lines.append(
        f"A window is kept from {preferences.keep:.0f} points, with the flow at least half as good as it can "
        f"be, for {LEAST_WINDOW / 60.0:.0f} minutes or more; the session is its best stretch of "
        f"{preferences.session / 3600.0:g} h."
    )
    return lines + _gates(report, words)


def _shares(preferences: Preferences) -> str:
    points = preferences.points
    if preferences.light is LightPreference.ANY:
        return (
            f"Up to {points.flow + points.light:.0f} points for outgoing flow in any light, "
            f"{points.moon:.0f} for the moon."
        )
    return (
        f"Up to {points.flow:.0f} points for outgoing flow, {points.light:.0f} for light, {points.moon:.0f} for "
        f"the moon. Light here means {_LIGHT[preferences.light]}."
    )


def _speeds(speeds: SpeedRange) -> str:
    nothing, full, full_to, most = (
        f"{speed / METRES_PER_SECOND_PER_KNOT:.1f}"
        for speed in (speeds.nothing_below, speeds.full_from, speeds.full_to, speeds.nothing_above)
    )
    return (
        f"Flow counts from {nothing} kn past the spot, in full from {full} to {full_to}, not from {most} on."
    )


def _gates(report: SpotReport, words: Words) -> list[str]:
    spot, preferences = report.spot, report.spot.preferences
    shut: list[str] = []
    if preferences.hours is not None and not preferences.hours.any:
        shut.append(f"outside {preferences.hours.text}")
    if len(preferences.days) < len(WEEKDAYS):
        shut.append(f"on days other than {', '.join(WEEKDAYS[day].capitalize() for day in preferences.days)}")
    if preferences.daylight_only:
        shut.append("while the sun is down")
    if spot.least_level is not None:
        shut.append(f"below a level of {words.height(spot.least_level)}")
    if spot.greatest_level is not None:
        shut.append(f"above a level of {words.height(spot.greatest_level)}")
    if preferences.greatest_speed is not None and report.flow.has_speed:
        shut.append(f"in a current above {words.movement(preferences.greatest_speed, True)}")
    return [f"Shut {'; '.join(shut)}."] if shut else []
