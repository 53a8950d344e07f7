"""From a finished forecast to the records of its page; the template computes nothing."""

from itertools import pairwise
from pathlib import PurePath

import numpy as np

from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.forecast.reports import DayReport, Forecast, Note, SessionReport, SpotReport
from windows.render.chart import lanes, parts
from windows.render.chart.drawing import day_chart, day_starts
from windows.render.page.views import Cell, ChartView, DayView, PageView, SessionView, SideBySide
from windows.render.words import cautions
from windows.render.words.gates import edge_words
from windows.render.words.phrases import Words, shares, words_of, zone_name
from windows.render.words.points import points_words
from windows.render.words.ranks import best_of_groups, unlike
from windows.render.words.reasons import light_words, sentence, why, why_none
from windows.render.words.safe_text import named, plain
from windows.render.words.todays import todays_water
from windows.render.words.water import starts_in_tide

MOST_ROWS = 60
"""Sessions in the page's table; the machine formats have them all."""
DAYS_ACROSS = 7
"""Days of a row of spots side by side: more would not fit a phone."""
PRINTED_CHARTS = 4
"""On paper a page of several spots draws the charts of its best sessions alone: two sheets in all."""
HAZARDS = frozenset({Note.STARTS_DARK, Note.AFTER_DARK, Note.RISING, Note.UNWATCHED})
"""Notes that stand out; the others are reminders."""
CENTI = 100.0
"""Levels and falls travel to the page in whole hundredths, speeds in whole tenths, as they are shown."""


def page_view(forecast: Forecast, source: str | None) -> PageView:
    """The whole page.

    Args:
        forecast: finished.
        source: the file it was made from; only its name is shown.
    """
    words = words_of(forecast.head)
    several = len(forecast.spots) > 1
    spot = "" if several else forecast.spots[0].spot.name
    sessions = {_key(item): _session(item, forecast, words) for item in forecast.ranking}
    datums = " or ".join(sorted({plain(report.spot.station.datum) for report in forecast.spots}))
    file = f" from {plain(PurePath(source).name)}" if source else ""
    made = words.local(forecast.made_at)
    return PageView(
        head=f"{named(forecast.head.title)}{spot and f', {named(spot)}'}, {words.span(forecast)}",
        title=plain(forecast.head.title),
        spot=plain(spot) if spot else "",
        invented=cautions.INVENTED if forecast.head.invented else "",
        span=words.span(forecast),
        clock=words.zone_words(day_starts(forecast)),
        heights=f"{forecast.head.units.value} above {datums}",
        todays=todays_water(forecast, words),
        best_else=_best_else(forecast, words),
        unlike=unlike(forecast),
        several=several,
        columns=2 if len(forecast.spots) in {2, 4} else 3,
        bait=any(item.bait is not None for item in forecast.ranking),
        best=sessions[_key(forecast.ranking[0])] if forecast.ranking else None,
        nearest="" if forecast.ranking else _nearest(forecast, words),
        days=_days(forecast, words, sessions),
        ranking=tuple(sessions[_key(item)] for item in forecast.ranking[:MOST_ROWS]),
        left_out=max(0, len(forecast.ranking) - MOST_ROWS),
        beside=_side_by_side(forecast, words) if several else (),
        points=points_words(forecast, words),
        made=f"{words.day(made.date())} {made.year} {made:%H:%M} ({made:%Z}){file}",
    )


def _key(item: SessionReport) -> tuple[str, float]:
    """A session's own key: its spot and its start."""
    return item.spot.id, item.session.start


def anchor(spot: int, day: DayReport) -> str:
    """The id of a chart in the page; made of numbers alone, whatever the spot is called."""
    return f"s{spot}-{day.day:%Y%m%d}"


def _days(
    forecast: Forecast, words: Words, sessions: dict[tuple[str, float], SessionView]
) -> tuple[DayView, ...]:
    axes = [parts.level_axis(report, words) for report in forecast.spots]
    views: list[DayView] = []
    for index, day in enumerate(forecast.spots[0].days):
        charts: list[ChartView] = []
        forecast.ranking[:PRINTED_CHARTS]
        for number, report in enumerate(forecast.spots):
            here = report.days[index]
            printed = len(forecast.spots) == 1 or any(
                item in forecast.ranking[:PRINTED_CHARTS] for item in here.sessions
            )
            views_here = tuple(sessions[_key(item)] for item in here.sessions)
            frame = parts.Frame(report, here, words, axes[number])
            charts.append(_chart(frame, anchor(number, here), views_here, printed))
        best = [item for report in forecast.spots for item in [report.days[index].best] if item is not None]
        most = max((item.session.points.total for item in best), default=None)
        views.append(
            DayView(
                anchor=f"d{day.day:%Y%m%d}",
                day=words.day(day.day),
                best="none" if most is None else f"{most:.0f}",
                charts=tuple(charts),
            )
        )
    return tuple(views)


def _chart(frame: parts.Frame, ident: str, sessions: tuple[SessionView, ...], printed: bool) -> ChartView:
    report, day, words = frame.report, frame.day, frame.words
    curve, steps = report.curve, frame.steps
    levels = np.rint(curve.level[steps] / words.units.metres * CENTI).astype(int).tolist()
    moves = _moves(frame)
    points = np.rint(curve.total[steps]).astype(int).tolist()
    count = len(points) if day.end > day.start else 0
    best = day.best
    moment = best.session.peak if best is not None else (day.start + day.end) / 2.0
    value = min(max(int(np.searchsorted(frame.t, moment)), 0), max(count - 1, 0))
    return ChartView(
        anchor=ident,
        spot=plain(report.spot.name),
        day=words.day(day.day),
        svg=day_chart(report, day, words, frame.axis),
        levels=" ".join(map(str, levels)),
        moves=" ".join(map(str, moves)),
        points=" ".join(map(str, points)),
        clocks=_clocks(frame),
        ends=_clock(frame, count - 1) if count else "",
        start=int(frame.t[0]) if count else 0,
        last=count - 1,
        value=value,
        reading=_reading(frame, value, levels, moves, points) if count else "",
        cursor=lanes.cursor(frame, float(frame.t[value])) if count else "",
        unit=words.units.symbol,
        move_unit=_move_unit(frame),
        move_places=_move_places(frame),
        sessions=sessions,
        none=sentence(why_none(day, report, words)),
        water=_water(frame) if count else (),
        sky=tuple(words.sky(event) for event in day.sky if not lanes.is_sun_transit(event)),
        printed=printed,
    )


def _moves(frame: parts.Frame) -> list[int]:
    moving = frame.report.curve.outgoing[frame.steps]
    if frame.report.flow.has_speed:
        shown = moving / METRES_PER_SECOND_PER_KNOT * 10.0
    else:
        shown = moving * 3600.0 / frame.words.units.metres * CENTI
    whole: list[int] = np.rint(shown).astype(int).tolist()
    return whole


def _move_unit(frame: parts.Frame) -> str:
    return "kn" if frame.report.flow.has_speed else f"{frame.words.units.symbol}/h"


def _move_places(frame: parts.Frame) -> int:
    return 1 if frame.report.flow.has_speed else 2


def _reading(frame: parts.Frame, step: int, levels: list[int], moves: list[int], points: list[int]) -> str:
    """What the chart says of one step, word for word as its script says it."""
    places = _move_places(frame)
    move = moves[step]
    going = "going out" if move > 0 else "coming in"
    amount = f"{abs(move) / 10**places:.{places}f} {_move_unit(frame)}"
    flow = f"{going} {amount}" if move else "standing"
    level = f"level {levels[step] / CENTI:.2f} {frame.words.units.symbol}"
    when = f"{frame.words.day(frame.day.day)} {_clock(frame, step)}"
    return f"{when}: {level}, {flow}, {points[step]} points this minute"


def _clock(frame: parts.Frame, step: int) -> str:
    """The clock of a step: the day ends at 24:00, whatever the clock does then."""
    t = float(frame.t[step])
    local = frame.words.local(t)
    clock = "24:00" if t >= frame.day.end else f"{local:%H:%M}"
    return f"{clock} {zone_name(local)}" if frame.clock_changes else clock


def _clocks(frame: parts.Frame) -> str:
    """Entries "step|minutes east of UTC|name" where the clock starts and where it changes.

    Only a day with two clocks names them: there an hour may come twice.
    """
    if frame.t.size == 0:
        return ""
    if not frame.clock_changes:
        return f"0|{_east(frame.words, float(frame.t[0]))}|"
    every = [_east(frame.words, float(t)) for t in frame.t]
    starts = [0, *(step for step, (a, b) in enumerate(pairwise(every), start=1) if a != b)]
    return " ".join(
        f"{step}|{every[step]}|{zone_name(frame.words.local(float(frame.t[step])))}" for step in starts
    )


def _east(words: Words, t: float) -> int:
    offset = words.local(t).utcoffset()
    return 0 if offset is None else round(offset.total_seconds() / 60.0)


def _water(frame: parts.Frame) -> tuple[str, ...]:
    """High and low waters, and when the flow turns."""
    words, day = frame.words, frame.day
    lines = [(turn.t, words.turn(turn, day.day)) for turn in day.turns]
    for slack in day.slacks:
        way = "go out" if slack.goes_out else "come in"
        lines.append((slack.t, f"flow turns to {way} at {words.clock(slack.t)}"))
    return tuple(text for _, text in sorted(lines))


def _session(item: SessionReport, forecast: Forecast, words: Words) -> SessionView:
    index = next(i for i, report in enumerate(forecast.spots) if report.spot is item.spot)
    report = forecast.spots[index]
    session, points = item.session, item.session.points
    sentences = why(item, words)
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
        shifted=f"{session.early:.0f} / {session.late:.0f}",
        why=tuple(sentences),
        headline=_headline(item, words),
        hazards=tuple(sentence(note.value) for note in item.notes if note in HAZARDS),
        notes=tuple(sentence(note.value) for note in item.notes if note not in HAZARDS),
        step=round((session.peak - first) / step),
        anchor=anchor(index, day),
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


def _nearest(forecast: Forecast, words: Words) -> str:
    """The nearest chance of a span without a window."""
    chances = [(day, report) for report in forecast.spots for day in report.days if day.no_window is not None]
    if not chances:
        return ""
    day, report = max(chances, key=_closeness)
    lack = day.no_window
    place = f" at {named(report.spot.name)}" if len(forecast.spots) > 1 else ""
    reason = why_none(day, report, words)
    if lack is not None and lack.best_t is not None and lack.best_points > 0.0:
        when = f"{words.day(day.day)} {words.day_clock(lack.best_t, day.day)}"
        keep = report.spot.preferences.keep
        return (
            f"The nearest chance is {when}{place}: {lack.best_points:.0f} points, where {keep:.0f} are "
            f"needed for at least 30 minutes. {sentence(reason)}"
        )
    return (
        f"No moment has points. The nearest chance is {words.day(day.day)}{place}, when the water goes out "
        f"most ({reason})."
    )


def _closeness(chance: tuple[DayReport, SpotReport]) -> tuple[float, float]:
    lack = chance[0].no_window
    if lack is None:
        return (0.0, 0.0)
    return (lack.best_points, lack.strongest / lack.needed if lack.needed > 0.0 else 0.0)


def _side_by_side(forecast: Forecast, words: Words) -> tuple[SideBySide, ...]:
    tables: list[SideBySide] = []
    for first in range(0, forecast.days, DAYS_ACROSS):
        span = slice(first, first + DAYS_ACROSS)
        days = forecast.spots[0].days[span]
        rows = tuple(
            (
                plain(report.spot.name),
                tuple(
                    _cell(
                        report.days[first + i],
                        _most(forecast, report, first + i),
                        anchor(number, report.days[first + i]),
                    )
                    for i in range(len(days))
                ),
            )
            for number, report in enumerate(forecast.spots)
        )
        tables.append(SideBySide(tuple(words.day(day.day) for day in days), rows))
    return tuple(tables)


def _most(forecast: Forecast, report: SpotReport, index: int) -> float:
    """The most points of a day at any spot that compares with this one."""
    return max(_points(other.days[index]) for other in forecast.spots if report.group is other.group)


def _best_else(forecast: Forecast, words: Words) -> tuple[str, ...]:
    """The best sessions of the other spots, where they do not compare with those of the best."""
    return tuple(
        f"Best {name}: {words.day(item.day)}, "
        f"{words.stretch(item.session.start, item.session.end, item.day)} at {named(item.spot.name)}, "
        f"{item.session.points.total:.0f} points."
        for name, item in best_of_groups(forecast)
        if item is not forecast.ranking[0]
    )


def _points(day: DayReport) -> float:
    return day.best.session.points.total if day.best is not None else 0.0


def _cell(day: DayReport, most: float, ident: str) -> Cell:
    points = _points(day)
    return Cell(f"{points:.0f}" if day.best is not None else "", points > 0.0 and points >= most, ident)
