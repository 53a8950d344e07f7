"""Why a session ranks, and why a day has none: sentences from a finished forecast."""

import math
from itertools import groupby

from windows.astronomy import Body, SkyEventKind
from windows.conditions.clock_gates import Past
from windows.conditions.flow import Flow
from windows.forecast.reports import DayReport, Lack, NoWindow, SessionReport, SpotReport
from windows.forecast.sessions import Session
from windows.render.words.bait import bait_words
from windows.render.words.foreseen import chance_words, weather_words
from windows.render.words.gates import WORDS, edge_words
from windows.render.words.going import Going, going_of
from windows.render.words.lead import lead_words
from windows.render.words.phrases import Words
from windows.render.words.water import running
from windows.shoreline.gates import Gate
from windows.shoreline.hours import SunMark

_SUN_SAID = (SkyEventKind.RISE, SkyEventKind.SET)


def why(report: SessionReport, words: Words) -> list[str]:
    """Sentences that explain a session: where in the tide, what moves, what opens and closes it."""
    session, window, day = report.session, report.session.window, report.day
    flow, way = report.flow, going_of(report.spot.preferences.water)
    lines = [*_tide(report, words), *_outlook(report, words)]
    readings = (report.start, report.peak, report.end)
    levels = ", ".join(words.number(item.level) for item in readings)
    deep = [words.number(item.depth) for item in readings if item.depth is not None]
    depths = f"; depth {', '.join(deep)} {words.units.symbol}" if deep else ""
    unit = words.units.symbol
    departures = [item.departure for item in readings]
    if any(departures):
        alone = ", ".join(words.number(item.level - item.departure) for item in readings)
        unit = f"{unit} with {_moved_by(report)} ({alone} by the tide alone)"
    strongest = words.movement(report.strongest.going, flow.has_speed)
    lines.append(
        f"At start, most points ({words.clock(report.peak.t)}) and end: level {levels} {unit}{depths}; "
        f"{running(readings, flow.has_speed, way, words)} ({flow.kind.value}); strongest {strongest} at "
        f"{words.clock(report.strongest.t)}."
    )
    water = report.spot.preferences.water
    lines.append(
        f"Window {words.day_clock(window.start, day)} ({edge_words(window.opens, True, water)}) to "
        f"{words.day_clock(window.end, day)} ({edge_words(window.closes, False, water)}); "
        f"{light_words(session)}{_before(session)}."
    )
    lines.append(_after(report, words))
    lines += _leaving(report, words)
    lines.append(
        f"As predicted {session.predicted:.0f} points, 30 min early {session.early:.0f}, "
        f"30 min late {session.late:.0f}."
    )
    lines += [*chance_words(report, words), *weather_words(report, words), *preparations(report, words)]
    return lines


def _before(session: Session) -> str:
    """Where a session begins ahead of its window, by how much."""
    ahead = round((session.window.start - session.start) / 60.0)
    return f"; begun {ahead} min before it, in water that still can be fished" if ahead > 0 else ""


def _moved_by(report: SessionReport) -> str:
    """What puts the level beside the tide's."""
    if report.turn_uncertain is None:
        return "what the weather does to it"
    return "today's departure" if report.weather is None else "today's departure and the weather"


def light_words(session: Session) -> str:
    """The light of a session, as "daylight into low light"."""
    return " into ".join(label.value for label in session.light)


def range_words(session: Session) -> str:
    """The points that eight cases in ten lie between, as "82 to 91"."""
    return f"{session.low:.0f} to {session.high:.0f}"


def _tide(report: SessionReport, words: Words) -> list[str]:
    """Where in the tide the session lies."""
    turn, hours, day = report.turn_before, report.hours_after_turn, report.day
    if turn is None or hours is None:
        return []
    when = f"{abs(hours):.1f} h {'after' if hours >= 0 else 'before'}"
    text = f"Starts {when} {words.turn(turn, day)}"
    if report.turn_after is not None and report.range is not None:
        change = "fall" if turn.high else "rise"
        text += f", on a {change} of {words.height(report.range)} to {words.turn(report.turn_after, day)}"
    uncertain = report.turn_uncertain
    if uncertain is not None:
        if uncertain > report.session.end - report.session.start:
            text += "; with the water as it stands these times are not known today"
        else:
            text += f"; weather may shift these times by {uncertain / 60:.0f} min or more"
    if any(item.departure for item in (report.start, report.peak, report.end)):
        text += "; both by the tide alone"
    return [text + "."]


def _outlook(report: SessionReport, words: Words) -> list[str]:
    """How far the points hold when the water comes otherwise."""
    session = report.session
    lines = [f"Eight cases in ten lie from {range_words(session)} points."]
    if report.spot.preferences.lightless:
        lines.append("Light counts for nothing at this spot.")
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
    if report.stops is not None:
        goes = going_of(report.spot.preferences.water).goes
        parts.append(f"The water {goes} until {words.day_clock(report.stops, day)}")
    parts.append(sun_words(report, words))
    inside = [words.sky(event) for event in report.sky if event.body is Body.MOON or event.kind in _SUN_SAID]
    if inside:
        parts.append("within the session: " + ", ".join(inside))
    text = "; ".join(parts) + "."
    return text[0].upper() + text[1:]


_MORNING = ((SunMark.DAWN, "start of civil twilight"), (SunMark.SUNRISE, "sunrise"))
_EVENING = ((SunMark.SUNSET, "sunset"), (SunMark.DUSK, "end of civil twilight"))


def sun_words(report: SessionReport, words: Words) -> str:
    """Dawn and sunrise for a morning, sunset and dusk for an evening."""
    marks = _MORNING if report.morning else _EVENING
    told = [
        f"{name} {words.day_clock(report.sun[mark], report.day)}"
        for mark, name in marks
        if mark in report.sun
    ]
    return ", ".join(told) or f"no {' or '.join(name for _, name in marks)} that day"


def why_none(day: DayReport, report: SpotReport, words: Words) -> str:
    """One sentence on a day without a window."""
    lack = day.no_window
    if lack is None:
        return ""
    flow, way = report.flow, going_of(report.spot.preferences.water)
    range_text = (
        f"; greatest range {words.height(day.greatest_range, 2)}"
        if day.greatest_range is not None
        else "; the tide stands"
    )
    if lack.lack in {Lack.STILL, Lack.INCOMING}:
        return _still(lack, flow, way, words) + range_text + _crossing(lack, words)
    at = "" if lack.best_t is None else f" at {words.day_clock(lack.best_t, day.day)}"
    strongest = words.movement(lack.strongest, flow.has_speed)
    if lack.gate is Past:
        return "its good water is already past"
    told = {
        Lack.STRONG: f"the current never eases enough: it {way.runs} up to {strongest}",
        Lack.SHUT: f"the water {way.goes} well only while {_while(lack)}",
        Lack.FAINT: f"too few points: at best {lack.best_points:.0f}{at}, "
        f"{report.spot.preferences.keep:g} needed",
        Lack.SHORT: "good water lasts less than 30 minutes",
    }
    return told.get(lack.lack, lack.lack.value)


def _while(lack: NoWindow) -> str:
    return WORDS[lack.gate].shut if lack.gate is not None else ""


def _still(lack: NoWindow, flow: Flow, way: Going, words: Words) -> str:
    if lack.lack is Lack.INCOMING:
        return f"no water {way.going} that day"
    most = words.movement(lack.strongest, flow.has_speed)
    if math.isnan(lack.needed):
        return f"the water hardly moves: {most} at most"
    verb = way.runs if flow.has_speed else way.changes
    needed = words.movement(lack.needed, flow.has_speed)
    return f"the water hardly moves: it {verb} {most} at most, {needed} needed"


def empty_days(report: SpotReport, words: Words) -> list[str]:
    """A sentence for each run of days without a window that lack it for the same reason."""
    lines: list[str] = []
    for _, run in groupby(
        report.days, key=lambda day: day.no_window and (day.no_window.lack, day.no_window.gate)
    ):
        days = list(run)
        if days[0].no_window is None:
            continue
        first, last = days[0], days[-1]
        when = words.day(first.day) if first is last else f"{words.day(first.day)} to {words.day(last.day)}"
        lines.append(f"{when}: {why_none(max(days, key=_closeness), report, words)}.")
    return lines


def _reason(day: DayReport) -> tuple[Lack, type[Gate] | None] | None:
    return None if day.no_window is None else (day.no_window.lack, day.no_window.gate)


def _closeness(day: DayReport) -> tuple[float, float]:
    """How near a day came to a window: its points, then its movement."""
    lack = day.no_window
    return (0.0, 0.0) if lack is None else (lack.best_points, lack.strongest)


def _crossing(lack: NoWindow, words: Words) -> str:
    if lack.crossing is None:
        return ""
    when = f"{words.day(words.local(lack.crossing).date())} {words.clock(lack.crossing)}"
    return f"; the moon crosses the equator {when}, and about then this tide nearly vanishes"


def sentence(text: str) -> str:
    """A clause as a sentence; nothing of nothing."""
    return f"{text[:1].upper()}{text[1:]}." if text else ""
