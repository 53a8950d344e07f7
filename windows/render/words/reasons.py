"""Why a session ranks, and why a day has none: sentences from a finished forecast."""

import math

from windows.astronomy import Body, SkyEventKind
from windows.conditions.clock_gates import Past
from windows.conditions.flow import Flow
from windows.forecast.planning import LightLabel
from windows.forecast.reports import DayReport, Lack, NoWindow, SessionReport
from windows.render.words.bait import bait_words
from windows.render.words.gates import WORDS, edge_words
from windows.render.words.lead import lead_words
from windows.render.words.phrases import Words
from windows.render.words.water import running, starts_in_tide

_SUN_SAID = (SkyEventKind.RISE, SkyEventKind.SET)


def why(report: SessionReport, words: Words) -> list[str]:
    """Sentences that explain a session: where in the tide, what moves, what opens and closes it."""
    session, window, day = report.session, report.session.window, report.day
    flow = report.flow
    lines: list[str] = []
    if report.last_high is not None and report.hours_after_high is not None:
        tide = f"{starts_in_tide(report.hours_after_high)} {words.turn(report.last_high, day)}"
        if report.next_low is not None and report.range is not None:
            tide += f", on a fall of {words.height(report.range)} to {words.turn(report.next_low, day)}"
        if report.high_uncertain is not None:
            tide += f"; weather may shift these times by {report.high_uncertain / 60:.0f} min or more"
        if any(item.departure for item in (report.start, report.peak, report.end)):
            tide += "; both by the tide alone"
        lines.append(tide + ".")
    three = (report.start, report.peak, report.end)
    levels = ", ".join(words.number(item.level) for item in three)
    deep = [words.number(item.depth) for item in three if item.depth is not None]
    depths = f"; depth {', '.join(deep)} {words.units.symbol}" if deep else ""
    unit = words.units.symbol
    departures = [item.departure for item in three]
    if any(departures):
        alone = ", ".join(words.number(item.level - item.departure) for item in three)
        unit = f"{unit} with today's departure ({alone} by the tide alone)"
    lines.append(
        f"At start, peak ({words.clock(report.peak.t)}) and end: "
        f"level {levels} {unit}{depths}; {running(three, flow.has_speed, words)} ({flow.kind.value})."
    )
    light = "in the dark" if window.light is LightLabel.DARK else f"in {window.light.value}"
    lines.append(
        f"Window {words.day_clock(window.start, day)} ({edge_words(window.opens, True)}) to "
        f"{words.day_clock(window.end, day)} ({edge_words(window.closes, False)}), best {light}."
    )
    lines.append(_after(report, words))
    lines += _leaving(report, words)
    lines.append(
        f"If the water comes 30 min early {session.early:.0f} points, 30 min late {session.late:.0f}."
    )
    lines += preparations(report, words)
    return lines


def preparations(report: SessionReport, words: Words) -> list[str]:
    """Sentences on what to bring: bait and lead, where the file lets them be known."""
    bait = [] if report.bait is None else [bait_words(report, report.bait, words)]
    return [*bait, *lead_words(report, words)]


def _leaving(report: SessionReport, words: Words) -> list[str]:
    """When to leave, where the file says how long the way and the rigging take."""
    leave, leaving = report.leave_by, report.leaving
    if leave is None:
        return []
    parts = [
        (seconds, what)
        for seconds, what in ((leaving.travel, "on the way"), (leaving.rigging, "to rig"))
        if seconds is not None
    ]
    told = " and ".join(f"{seconds / 60:.0f} min {what}" for seconds, what in parts)
    return [f"Leave by {words.day_clock(leave, report.day)}: {told}."]


def _after(report: SessionReport, words: Words) -> str:
    day = report.day
    parts: list[str] = []
    if report.next_turn is not None:
        parts.append(f"The water goes out until {words.day_clock(report.next_turn, day)}")
    sun = []
    if report.sunset is not None:
        sun.append(f"sunset {words.day_clock(report.sunset, day)}")
    if report.dusk is not None:
        sun.append(f"end of civil twilight {words.day_clock(report.dusk, day)}")
    parts.append(", ".join(sun) or "the sun does not set or twilight lasts all night")
    inside = [words.sky(event) for event in report.sky if event.body is Body.MOON or event.kind in _SUN_SAID]
    if inside:
        parts.append("within the session: " + ", ".join(inside))
    text = "; ".join(parts) + "."
    return text[0].upper() + text[1:]


def why_none(day: DayReport, flow: Flow, words: Words) -> str:
    """One sentence on a day without a window."""
    lack = day.no_window
    if lack is None:
        return ""
    range_text = (
        f"; greatest range {words.height(day.greatest_range, 2)}"
        if day.greatest_range is not None
        else "; the tide stands"
    )
    if lack.lack in {Lack.STILL, Lack.INCOMING}:
        return _still(lack, flow, words) + range_text + _crossing(lack, words)
    at = "" if lack.best_t is None else f" at {words.day_clock(lack.best_t, day.day)}"
    strongest = words.movement(lack.strongest, flow.has_speed)
    if lack.gate is Past:
        return "its good water is already past"
    told = {
        Lack.STRONG: f"the current never eases enough: it runs out at up to {strongest}",
        Lack.SHUT: f"the water goes out well only while {_while(lack)}",
        Lack.FAINT: f"too few points: at best {lack.best_points:.0f}{at}",
        Lack.SHORT: "good water lasts less than 30 minutes",
    }
    return told.get(lack.lack, lack.lack.value)


def _while(lack: NoWindow) -> str:
    return WORDS[lack.gate].shut if lack.gate is not None else ""


def _still(lack: NoWindow, flow: Flow, words: Words) -> str:
    if lack.lack is Lack.INCOMING:
        return "no outgoing water that day"
    most = words.movement(lack.strongest, flow.has_speed)
    if math.isnan(lack.needed):
        return f"the water hardly moves: {most} at most"
    verb = "runs out at" if flow.has_speed else "falls"
    needed = words.movement(lack.needed, flow.has_speed)
    return f"the water hardly moves: it {verb} {most} at most, {needed} needed"


def _crossing(lack: NoWindow, words: Words) -> str:
    if lack.crossing is None:
        return ""
    when = f"{words.day(words.local(lack.crossing).date())} {words.clock(lack.crossing)}"
    return f"; the moon crosses the equator {when}, and about then this tide nearly vanishes"
