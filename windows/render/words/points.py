"""How points come about, in the words of the preferences that gave them."""

from calendar import month_abbr

from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.conditions.cases import ASSUMED_TURN, KNOWN_TURN
from windows.conditions.flow import FallingWater
from windows.conditions.scoring import MAJOR_HALF_WIDTH, MINOR_FACTOR, MINOR_HALF_WIDTH
from windows.forecast.planning import LEAST_WINDOW
from windows.forecast.reports import Forecast, SpotReport
from windows.render.words import cautions
from windows.render.words.gates import shut_words
from windows.render.words.phrases import Words
from windows.render.words.safe_text import named
from windows.shoreline.gates import Limit, Measure
from windows.shoreline.spots import ALL_MONTHS, WEEKDAYS, LightPreference, SpeedRange

_LIGHT = {
    LightPreference.LOW: "low light: all of them with the sun from 6 degrees below the horizon to 6 above, "
    "fewer in the dark, fewest by day",
    LightPreference.DAY: "daylight: all of them from a sun 6 degrees up, fewest from 6 degrees below",
    LightPreference.NIGHT: "darkness: all of them from a sun 12 degrees below the horizon, fewest by day",
}


def points_words(forecast: Forecast, words: Words) -> tuple[str, ...]:
    """Sentences on points: shared ones once, and each spot's own where spots differ."""
    lines = [
        "Points run from 0 to 100 and count only while the water goes as it should and nothing shuts the "
        "spot. A chart's points are those of a minute with the water as predicted. A session's are what is "
        "expected of it: the mean over how wrong the water can be, summed over the session and divided by "
        "the length you want, so that one that ends early counts for less. Eight cases in ten lie in the "
        "range beside them.",
        *_cases(forecast),
    ]
    every = [named(report.spot.name) for report in forecast.spots]
    for kind in (_quarry, _shares, _flow, _moon, _keep, _gates):
        groups: dict[str, list[str]] = {}
        for report, name in zip(forecast.spots, every, strict=True):
            groups.setdefault(kind(report, words), []).append(name)
        for sentence, names in groups.items():
            if sentence:
                lines.append(sentence if len(groups) == 1 else f"{', '.join(names)}: {sentence}")
    lines += [cautions.EVIDENCE, cautions.SOLUNAR]
    if any(not report.flow.has_speed for report in forecast.spots):
        lines.append(cautions.FALL_ONLY)
    return tuple(lines)


def _cases(forecast: Forecast) -> list[str]:
    """How wrong the water is taken to be where no record says."""
    shifts = {
        ASSUMED_TURN if report.flow.assumed_turn else KNOWN_TURN
        for report in forecast.spots
        if report.conditions.record is None
    }
    if not shifts:
        return []
    told = " or ".join(f"{shift / 60.0:.0f}" for shift in sorted(shifts))
    more = "; the greater where the turn of the current is assumed" if len(shifts) > 1 else ""
    return [
        f"Without a record the water's time is taken to be off by {told} minutes (standard deviation){more}."
    ]


def _quarry(report: SpotReport, _words: Words) -> str:
    name = report.spot.preferences.quarry
    return "" if name is None else f"After {named(name)}: light, speeds and months are those said of it."


def _shares(report: SpotReport, _words: Words) -> str:
    points, light = report.spot.preferences.points, report.spot.preferences.light
    if light is LightPreference.ANY:
        return (
            f"Up to {points.flow + points.light:.0f} points for outgoing flow in any light, "
            f"{points.moon:.0f} for the moon."
        )
    return (
        f"Up to {points.flow:.0f} points for outgoing flow, {points.light:.0f} for light, "
        f"{points.moon:.0f} for the moon. Light here means {_LIGHT[light]}."
    )


def _flow(report: SpotReport, words: Words) -> str:
    flow = report.flow
    if isinstance(flow, FallingWater):
        low, high = (words.movement(rate, False) for rate in (flow.nothing_below, flow.full_from))
        scale = f"Flow is judged by the fall of the level: it counts from {low}, in full from {high}"
    else:
        scale = _speeds(report.spot.preferences.speeds)
    return f"{scale} ({flow.kind.value}: {flow.kind.trust})."


def _moon(report: SpotReport, _words: Words) -> str:
    if not report.spot.preferences.points.moon:
        return ""
    return (
        f"Moon: all its points within {MAJOR_HALF_WIDTH / 60.0:.0f} minutes of the moon's upper or lower "
        f"transit, {MINOR_FACTOR:.0%} of them within {MINOR_HALF_WIDTH / 60.0:.0f} minutes of moonrise or "
        "moonset."
    )


def _keep(report: SpotReport, _words: Words) -> str:
    preferences = report.spot.preferences
    return (
        f"A window is kept from {preferences.keep:.0f} points, with the flow at least half as good as it can "
        f"be, for {LEAST_WINDOW / 60.0:.0f} minutes or more; the session is its best stretch of "
        f"{preferences.session / 3600.0:g} h."
    )


def _speeds(speeds: SpeedRange) -> str:
    nothing, full, full_to, most = (
        f"{speed / METRES_PER_SECOND_PER_KNOT:.1f}"
        for speed in (speeds.nothing_below, speeds.full_from, speeds.full_to, speeds.nothing_above)
    )
    return (
        f"Flow counts from {nothing} kn past the spot, in full from {full} to {full_to}, not from {most} on"
    )


def _gates(report: SpotReport, words: Words) -> str:
    spot, preferences = report.spot, report.spot.preferences
    shut: list[str] = []
    if not report.hours.any:
        shut.append(f"outside {report.hours.text}")
    if len(preferences.days) < len(WEEKDAYS):
        shut.append(f"on days other than {', '.join(WEEKDAYS[day].capitalize() for day in preferences.days)}")
    if len(preferences.months) < len(ALL_MONTHS):
        shut.append(f"outside {', '.join(month_abbr[month] for month in preferences.months)}")
    for gate in spot.gates:
        if isinstance(gate, Limit) and gate.measure is Measure.SPEED and not report.flow.has_speed:
            continue
        shut.append(shut_words(gate, words))
    return f"Shut {'; '.join(shut)}." if shut else ""
