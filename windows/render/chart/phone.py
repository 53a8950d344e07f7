"""A sheet as wide as a phone: the best session with its water, then the days of each spot on one clock."""

import textwrap
from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from markupsafe import Markup

from windows.forecast.reports import DayReport, Forecast, SpotReport
from windows.render.chart import hero, parts, week
from windows.render.chart.drawing import (
    BANNER,
    LIGHT,
    MARGIN,
    NAME_LENGTH,
    SHEET_STYLE,
    TITLE_LENGTH,
    day_starts,
    drawn_spots,
    sheet,
    span_of_days,
    style,
)
from windows.render.chart.marks import box, joined, moved, text
from windows.render.words.brief import KEY, clock_of, leave_words, not_drawn, water_line
from windows.render.words.cautions import INVENTED, SHORT
from windows.render.words.foreseen import not_considered
from windows.render.words.phrases import Words, words_of
from windows.render.words.safe_text import plain, short
from windows.render.words.todays import todays_water

LINE = 17.0
CHARACTERS = 52
GAP = 10.0


def svg_phone(forecast: Forecast, days: Sequence[DayReport] | None = None) -> str:
    """The sheet as a standalone SVG, 360 units wide; of many spots those that rank best.

    Args:
        forecast: finished.
        days: which local days, by any spot's reports; all where None.
    """
    words = words_of(forecast.head)
    wanted = None if days is None else {item.day for item in days}
    spots = [_of_days(report, wanted) for report in drawn_spots(forecast)]
    rows = [day.day for day in spots[0].days]
    pile = _Pile()
    if forecast.head.invented:
        pile.add(
            box(0.0, parts.WIDTH, 0.0, BANNER, "banner") + text(MARGIN, 15.0, INVENTED, "warning"), BANNER
        )
    pile.add(text(MARGIN, 20.0, short(forecast.head.title, TITLE_LENGTH), "title"), 24.0)
    pile.say(span_of_days(rows, words))
    pile.say(clock_of(words.zone_words(day_starts(forecast))))
    _best(pile, forecast, wanted, words)
    for report in spots:
        pile.add(text(MARGIN, 14.0, short(report.spot.name, NAME_LENGTH), "title"), 20.0)
        best = forecast.ranking[0] if forecast.ranking else None
        pile.add(week.week(report, words, best), week.height_of(len(report.days)) + GAP)
    left = len(forecast.spots) - len(spots)
    more = f" {not_drawn(left)}" if left else ""
    unseen = not_considered(forecast, words)
    todays = "".join(f" {sentence}" for sentence in todays_water(forecast, words))
    pile.say(f"{KEY} {SHORT} {unseen[:1].upper()}{unseen[1:]}.{more}{todays}")
    label = f"{plain(forecast.head.title)}, {span_of_days(rows, words)}"
    rules = style(LIGHT) + SHEET_STYLE.substitute(LIGHT) + ".line{font-size:13.5px}"
    return sheet(parts.WIDTH, pile.height + 6.0, label, rules, joined(pile.pieces))


class _Pile:
    """Pieces one below the other."""

    def __init__(self) -> None:
        self.pieces: list[Markup] = []
        self.height = 0.0

    def add(self, piece: Markup, height: float) -> None:
        """One piece, and how much it needs."""
        self.pieces.append(moved(0.0, self.height, piece))
        self.height += height

    def say(self, sentence: str) -> None:
        """A sentence in lines."""
        for part in textwrap.wrap(sentence, CHARACTERS):
            self.add(text(MARGIN, 14.0, part, "line"), LINE)


def _of_days(report: SpotReport, wanted: set[date] | None) -> SpotReport:
    if wanted is None:
        return report
    return replace(report, days=tuple(day for day in report.days if day.day in wanted))


def _best(pile: _Pile, forecast: Forecast, wanted: set[date] | None, words: Words) -> None:
    """The best session of the days, large."""
    best = next((item for item in forecast.ranking if wanted is None or item.day in wanted), None)
    if best is None:
        return
    report = next(report for report in forecast.spots if report.spot is best.spot)
    session = best.session
    when = words.stretch(session.start, session.end, best.day)
    head = f"{words.day(best.day)} {when}, {session.points.total:.0f} points"
    pile.add(text(MARGIN, 24.0, head, "title"), 30.0)
    place = f"{short(best.spot.name, NAME_LENGTH)}. " if len(forecast.spots) > 1 else ""
    pile.say(f"{place}{leave_words(best, words)} {water_line(best, words)}".strip())
    pile.add(Markup(), 4.0)
    pile.add(hero.hero(best, report, words), hero.HEIGHT + GAP)
