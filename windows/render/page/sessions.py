"""The view of a session: its times, points and water in words."""

import numpy as np

from windows.forecast.reports import DayReport, Forecast, SessionReport, SpotReport
from windows.render.page.views import SessionView
from windows.render.words.brief import HAZARDS, chips, expected_range, leave_words, water_line
from windows.render.words.gates import edge_words
from windows.render.words.phrases import Words, shares
from windows.render.words.ranks import rank_text
from windows.render.words.reasons import light_words, sentence, why
from windows.render.words.safe_text import named, plain
from windows.render.words.water import starts_in_tide

MOST_AT_LENGTH = 60
"""Sessions of a page of several spots that tell why at length: the first of the order."""


def anchor(spot: int, day: DayReport) -> str:
    """The id of a chart in the page; made of numbers alone, whatever the spot is called."""
    return f"s{spot}-{day.day:%Y%m%d}"


def session_view(item: SessionReport, forecast: Forecast, words: Words) -> SessionView:
    """A session in words."""
    index = next(i for i, report in enumerate(forecast.spots) if report.spot is item.spot)
    report = forecast.spots[index]
    session, points = item.session, item.session.points
    sentences = why(item, words)
    foremost = any(item is other for other in forecast.ranking[:MOST_AT_LENGTH])
    held = [day for day in report.days if day.start <= session.peak < day.end]
    day = held[0] if held else next(day for day in report.days if day.day == item.day)
    first = float(report.curve.t[np.searchsorted(report.curve.t, day.start)])
    step = float(report.curve.t[1] - report.curve.t[0])
    starts = words.local(session.start).date()
    total, flow, light, moon = shares(points, 0)
    return SessionView(
        day=words.day(starts),
        stretch=words.stretch(session.start, session.end, starts),
        in_day=words.stretch(session.start, session.end, item.day),
        spot=plain(item.spot.name),
        light=light_words(session),
        points=total,
        shares=f"flow {flow} + light {light} + moon {moon}",
        water=words.movement(item.strongest.going, report.flow.has_speed),
        levels=f"{words.number(item.start.level)} to {words.height(item.end.level)}",
        shifted=f"{session.early:.0f} / {session.predicted:.0f} / {session.late:.0f}",
        why=tuple(sentences),
        headline=_headline(item, words),
        hazards=tuple(sentence(note.value) for note in item.notes if note in HAZARDS),
        notes=tuple(sentence(note.value) for note in item.notes if note not in HAZARDS),
        step=round((session.peak - first) / step),
        anchor=anchor(index, day),
        rank=rank_text(item),
        range=expected_range(item),
        leave=leave_words(item, words),
        line=water_line(item, words),
        chips=chips(item, words),
        starts=round(session.start),
        ends=round(session.end),
        at_length=len(forecast.spots) == 1 or (foremost and item is _listed(report, item).best),
    )


def _headline(item: SessionReport, words: Words) -> tuple[str, ...]:
    """The reasons in brief: place in the tide, what opens and closes the window, bait."""
    window, lines = item.session.window, []
    turn, hours = item.turn_before, item.hours_after_turn
    if turn is not None and hours is not None:
        change = "fall" if turn.high else "rise"
        on = f", on a {change} of {words.height(item.range)}" if item.range is not None else ""
        kind = "high" if turn.high else "low"
        lines.append(f"{starts_in_tide(hours)} {kind} water{on}.")
    opens, closes = words.day_clock(window.start, item.day), words.day_clock(window.end, item.day)
    lines.append(
        f"Window {opens} ({edge_words(window.opens, True, item.spot.preferences.water)}) to {closes} "
        f"({edge_words(window.closes, False, item.spot.preferences.water)}); {light_words(item.session)}."
    )
    bait = item.bait.window if item.bait is not None else None
    if item.bait is not None and bait is not None:
        when = words.stretch(bait.start, bait.end, item.day)
        lines.append(f"Bait at {named(item.bait.bank.name)} {when}.")
    return tuple(lines)


def _listed(report: SpotReport, item: SessionReport) -> DayReport:
    return next(day for day in report.days if day.day == item.day)
