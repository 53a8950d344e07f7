"""From a finished forecast to the records of its page; the template computes nothing."""

from pathlib import PurePath

from windows.forecast.ranking import RankGroup
from windows.forecast.reports import DayReport, Forecast, SessionReport, SpotReport
from windows.render.chart import parts
from windows.render.chart.drawing import day_starts
from windows.render.chart.shore import Sketch
from windows.render.chart.week import height_of, week
from windows.render.page.charts import chart_view
from windows.render.page.hours import hours_view
from windows.render.page.opening import Opening
from windows.render.page.sessions import anchor, session_view
from windows.render.page.views import (
    Cards,
    Cell,
    ChartView,
    DayView,
    PageView,
    SessionView,
    SheetRow,
    SideBySide,
    StripView,
)
from windows.render.words import cautions
from windows.render.words.brief import (
    bait_in_brief,
    day_in_brief,
    days_in_brief,
    shore_words,
    sun_in_brief,
    turns_in_brief,
)
from windows.render.words.phrases import Words, words_of
from windows.render.words.points import points_words
from windows.render.words.ranks import GROUP_NAMES, best_of_groups, groups_of, unlike
from windows.render.words.reasons import sentence, why_none
from windows.render.words.safe_text import named, plain
from windows.render.words.todays import todays_water

MOST_ROWS = 60
"""Sessions in the page's table; the machine formats have them all."""
MOST_CARDS = 6
"""Sessions of each group that the page of `best` opens with."""
DAYS_ACROSS = 7
"""Days of a row of spots side by side: more would not fit a phone."""
DRAWN_CHARTS = 3
"""Charts that are there without script; the others are drawn by it when their day is opened."""


def page_view(forecast: Forecast, source: str | None, opening: Opening = Opening.WEEK) -> PageView:
    """The whole page.

    Args:
        forecast: finished.
        source: the file it was made from; only its name is shown.
        opening: what the page opens with.
    """
    words = words_of(forecast.head)
    several = len(forecast.spots) > 1
    spot = "" if several else forecast.spots[0].spot.name
    sessions = {_key(item): session_view(item, forecast, words) for item in forecast.ranking}
    datums = " or ".join(sorted({plain(report.spot.station.datum) for report in forecast.spots}))
    file = f" from {plain(PurePath(source).name)}" if source else ""
    made = words.local(forecast.made_at)
    best = forecast.ranking[0] if forecast.ranking else None
    focus = _focus(forecast)
    sketch = Sketch(forecast, focus.days[0].start if best is None else best.session.strongest)
    return PageView(
        head=f"{named(forecast.head.title)}{spot and f', {named(spot)}'}, {words.span(forecast)}",
        title=plain(forecast.head.title),
        opening=opening.value,
        spot=plain(spot) if spot else "",
        focus=plain(focus.spot.name),
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
        best=None if best is None else sessions[_key(best)],
        hero=None if best is None else hours_view(best, focus, words),
        strip=_strip(focus, words, best),
        cards=_cards(forecast, sessions) if opening is Opening.BEST else (),
        sheet=_sheet(focus, words, sessions),
        nearest="" if forecast.ranking else _nearest(forecast, words),
        days=_days(forecast, words, sessions),
        ranking=tuple(sessions[_key(item)] for item in forecast.ranking[:MOST_ROWS]),
        left_out=max(0, len(forecast.ranking) - MOST_ROWS),
        beside=_side_by_side(forecast, words) if several else (),
        shore=sketch.drawn(),
        shore_words=shore_words(sketch.t, sketch.flows, words),
        points=points_words(forecast, words),
        made_at=round(forecast.made_at),
        made=f"{words.day(made.date())} {made.year} {made:%H:%M} ({made:%Z}){file}",
    )


def _key(item: SessionReport) -> tuple[str, float]:
    """A session's own key: its spot and its start."""
    return item.spot.id, item.session.start


def _days(
    forecast: Forecast, words: Words, sessions: dict[tuple[str, float], SessionView]
) -> tuple[DayView, ...]:
    axes = [parts.level_axis(report, words) for report in forecast.spots]
    views: list[DayView] = []
    for index, day in enumerate(forecast.spots[0].days):
        charts: list[ChartView] = []
        for number, report in enumerate(forecast.spots):
            here = report.days[index]
            drawn = index * len(forecast.spots) + number < DRAWN_CHARTS
            frame = parts.Frame(report, here, words, axes[number], drawn)
            told = tuple(sessions[_key(item)] for item in here.sessions)
            charts.append(chart_view(frame, anchor(number, here), told))
        best = [item for report in forecast.spots for item in [report.days[index].best] if item is not None]
        most = max(best, key=lambda item: item.session.points.total, default=None)
        views.append(
            DayView(
                anchor=f"d{day.day:%Y%m%d}",
                day=words.day(day.day),
                weekday=f"{day.day:%a}",
                number=str(day.day.day),
                best="none" if most is None else f"{most.session.points.total:.0f}",
                told=day_in_brief(
                    day if most is None else _day_of(forecast, most), words, len(forecast.spots) > 1
                ),
                charts=tuple(charts),
            )
        )
    return tuple(views)


def _day_of(forecast: Forecast, item: SessionReport) -> DayReport:
    report = next(report for report in forecast.spots if report.spot is item.spot)
    return next(day for day in report.days if day.day == item.day)


def _focus(forecast: Forecast) -> SpotReport:
    """The spot of the best session; the first where nothing ranks."""
    if not forecast.ranking:
        return forecast.spots[0]
    return next(report for report in forecast.spots if report.spot is forecast.ranking[0].spot)


def _strip(report: SpotReport, words: Words, best: SessionReport | None) -> StripView:
    return StripView(
        svg=week(report, words, best),
        height=f"{height_of(len(report.days)):.0f}",
        label=days_in_brief(report, words),
        days=" ".join(f"{day.start:.0f}-{day.end:.0f}" for day in report.days),
    )


def _cards(forecast: Forecast, sessions: dict[tuple[str, float], SessionView]) -> tuple[Cards, ...]:
    """The best sessions of each group in order, after the one that the page opens with."""
    several, cards = len(groups_of(forecast)) > 1, []
    for group in RankGroup:
        first = 1 if forecast.group(group)[:1] == forecast.ranking[:1] else 0
        told = tuple(sessions[_key(item)] for item in forecast.group(group)[first : first + MOST_CARDS])
        if told:
            of = f" of {GROUP_NAMES[group]}" if several else ""
            cards.append(Cards(f"{'Next' if first else 'Best'}{of}", told, first + 1))
    return tuple(cards)


def _sheet(
    report: SpotReport, words: Words, sessions: dict[tuple[str, float], SessionView]
) -> tuple[SheetRow, ...]:
    """A row a day for paper."""
    return tuple(
        SheetRow(
            day=words.day(day.day),
            sun=sun_in_brief(day, report, words),
            sessions=tuple(sessions[_key(item)] for item in day.sessions),
            bait=bait_in_brief(day, words),
            none=sentence(why_none(day, report, words)),
            turns=turns_in_brief(day, words),
        )
        for day in report.days
    )


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
        tables.append(SideBySide(tuple(f"{day.day:%a} {day.day.day}" for day in days), rows))
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
