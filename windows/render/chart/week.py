"""Days of a spot on one clock: a row a day with its light, points and sessions."""

from collections.abc import Iterator

import numpy as np
from markupsafe import Markup

from windows.forecast.reports import SessionReport, SpotReport
from windows.render.chart import parts
from windows.render.chart.labels import Label, Place, placed
from windows.render.chart.marks import box, joined, path, text
from windows.render.words.phrases import Words

ROW = 34.0
LIGHT = 7.0
FOOT = 19.0
CLOCK_STEP = 6
SCORE_STEPS = 4
"""The points take every fourth 5-minute step: a row is small."""
LEAST_INSIDE = 17.0
"""Narrower boxes have their points beside them."""


def height_of(days: int) -> float:
    """Of a strip of so many days."""
    return ROW * days + FOOT


def week(report: SpotReport, words: Words, best: SessionReport | None) -> Markup:
    """The spot's days as SVG content, 360 units wide and `height_of` high.

    Args:
        report: of the spot.
        words: of the reader.
        best: the session that stands out; None where there is none.
    """
    axis = parts.level_axis(report, words)
    pieces: list[Markup] = []
    for row, day in enumerate(report.days):
        top = ROW * row
        pieces.append(text(3.0, top + 18.0, f"{day.day:%a}", "name"))
        pieces.append(text(3.0, top + 31.0, str(day.day.day), "mark"))
        if day.end > day.start:
            pieces += _row(parts.Frame(report, day, words, axis), top, best)
        pieces.append(path("grid", f"M0 {top + ROW:.0f}H{parts.RIGHT}"))
    bottom = ROW * len(report.days)
    full = parts.RIGHT - parts.LEFT
    pieces += [
        text(parts.LEFT + full * hour / 24.0, bottom + 14.0, f"{hour:02d}", "mark", "middle")
        for hour in range(0, 25, CLOCK_STEP)
    ]
    return joined(pieces)


def _row(frame: parts.Frame, top: float, best: SessionReport | None) -> Iterator[Markup]:
    foot = top + ROW
    hours = [_at_hour(frame, hour) for hour in range(CLOCK_STEP, 24, CLOCK_STEP)]
    yield path("grid", "".join(f"M{x:.1f} {top + 1.0:.0f}V{foot:.0f}" for x in hours if x is not None))
    curve = frame.report.curve
    total = curve.total[frame.steps]
    for start, end in parts.runs(total > 0.0, frame.t):
        inside = (frame.t >= start) & (frame.t <= end)
        x, y = frame.x(frame.t[inside]), foot - (ROW - LIGHT - 4.0) * total[inside] / 100.0
        kept = np.unique([*range(0, len(x), SCORE_STEPS), len(x) - 1])
        along = " ".join(f"{a:.0f} {b:.0f}" for a, b in zip(x[kept].tolist(), y[kept].tolist(), strict=True))
        yield path("score", f"M{x[0]:.0f} {foot:.0f}L{along}V{foot:.0f}z")
    yield parts.ribbon(frame, top + 1.0, LIGHT)
    labels: list[Label] = []
    for item in _in_view(frame):
        start, end = frame.place(item.session.start), frame.place(item.session.end)
        upper, high = top + LIGHT + 4.0, ROW - LIGHT - 6.0
        first = item is best
        css = "top" if first else "keyed" if item.rank == 1 else "lesser"
        yield box(start, end, upper, high, css)
        if item.day == frame.day.day:
            labels.append(_points(item, start, end, upper + high / 2.0 + 4.8, css))
    yield placed(labels, [], 0.0, parts.WIDTH)


def _in_view(frame: parts.Frame) -> list[SessionReport]:
    return [
        item
        for item in frame.sessions
        if item.session.start < frame.day.end and item.session.end > frame.day.start
    ]


def _points(item: SessionReport, start: float, end: float, y: float, css: str) -> Label:
    said = f"{item.session.points.total:.0f}"
    inside = "within" if css == "lesser" else "points"
    beside = (Place(end + 3.0, y, said, "beside"), Place(start - 3.0, y, said, "beside", "end"))
    if end - start < LEAST_INSIDE:
        return beside
    return (Place((start + end) / 2.0, y, said, inside, "middle"), *beside)


def _at_hour(frame: parts.Frame, hour: int) -> float | None:
    """Where the local clock first shows an hour in the day."""
    t = frame.day.start
    while t < frame.day.end:
        local = frame.words.local(t)
        if local.hour == hour and local.minute == 0:
            return frame.place(t)
        t += 1800.0
    return None
