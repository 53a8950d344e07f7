"""The view of the large chart: its drawing, and the curves that a reading of it follows."""

import numpy as np

from windows.forecast.reports import SessionReport, SpotReport
from windows.render.chart.hero import frame_around, hero
from windows.render.page.charts import (
    clocks_of,
    levels_of,
    move_places,
    move_unit,
    moves_of,
    reading,
    steps_between,
)
from windows.render.page.views import HoursView
from windows.render.words.phrases import Words, zone_name


def hours_view(item: SessionReport, report: SpotReport, words: Words) -> HoursView:
    """The hours around a session.

    Args:
        item: the session.
        report: its spot's.
        words: of the reader.
    """
    frame = frame_around(item, report, words)
    levels, moves = levels_of(frame), moves_of(frame)
    points = np.rint(report.curve.total[frame.steps]).astype(int).tolist()
    last = len(levels) - 1
    value = min(max(int(np.searchsorted(frame.t, item.session.peak)), 0), last)
    locals_ = [words.local(float(t)) for t in frame.t]
    clocks = [f"{local:%H:%M}{f' {zone_name(local)}' if frame.clock_changes else ''}" for local in locals_]
    days = dict.fromkeys(words.day(local.date()) for local in locals_)
    when = f"{words.day(locals_[value].date())} {clocks[value]}"
    return HoursView(
        svg=hero(item, report, words),
        levels=steps_between(levels),
        moves=steps_between(moves),
        points=steps_between(points),
        clocks=clocks_of(frame),
        ends=clocks[-1],
        days="|".join(days),
        start=int(frame.t[0]),
        last=last,
        value=value,
        reading=reading(frame, when, levels[value], moves[value], points[value]),
        unit=words.units.symbol,
        move_unit=move_unit(frame),
        move_places=move_places(frame),
    )
