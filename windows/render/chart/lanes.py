"""The lanes below a day's plot: points and shut gates, windows and sessions, bait, sun and moon."""

import numpy as np
from markupsafe import Markup

from windows.astronomy import Body, SkyEvent, SkyEventKind
from windows.render.chart.marks import box, joined, path, text
from windows.render.chart.parts import LEFT, RIGHT, SCORE_BOTTOM, SCORE_TOP, TOP, Frame, line, runs

SESSION_TOP, SESSION_HEIGHT = 169.0, 13.0
SUN_Y, MOON_Y = 194.0, 208.0
LABEL_WIDTH, LABEL_GAP = 29.0, 4.0
"""Of a clock time in small letters, in a wide typeface."""
LEAST_LABELLED, LEAST_BAIT = 15.0, 22.0
"""Bars narrower than these stay without their words."""


def score_lane(frame: Frame) -> Markup:
    """Points below the plot against the keep mark, and a hatch where a gate is shut."""
    curve = frame.report.curve
    total, is_open = curve.total[frame.steps], curve.open[frame.steps]
    height = SCORE_BOTTOM - SCORE_TOP
    pieces = [path("grid", f"M{LEFT} {SCORE_BOTTOM}H{RIGHT}")]
    for start, end in runs(total > 0, frame.t):
        inside = (frame.t >= start) & (frame.t <= end)
        x, y = frame.x(frame.t[inside]), SCORE_BOTTOM - height * total[inside] / 100.0
        first, last = float(x[0]), float(x[-1])
        area = f"M{first:.1f} {SCORE_BOTTOM}L{line(x, y)[1:]}L{last:.1f} {SCORE_BOTTOM}z"
        pieces.append(path("score", area))
    for start, end in runs(~is_open, frame.t):
        pieces.append(_hatch(frame.place(start), frame.place(end)))
    keep = SCORE_BOTTOM - height * frame.report.spot.preferences.keep / 100.0
    pieces.append(path("keep", f"M{LEFT} {keep:.1f}H{RIGHT}"))
    pieces.append(text(LEFT - 4.0, keep + 3.2, f"{frame.report.spot.preferences.keep:.0f}", "mark", "end"))
    return joined(pieces)


def _hatch(start: float, end: float) -> Markup:
    lean = 8.0
    strokes = "".join(
        f"M{x:.1f} {SCORE_BOTTOM}l{lean} {SCORE_TOP - SCORE_BOTTOM}"
        for x in np.arange(start, end - lean, 6.0)
    )
    outline = box(start, end, SCORE_TOP, SCORE_BOTTOM - SCORE_TOP, "shut")
    return outline + (path("hatch", strokes) if strokes else Markup())


def windows(frame: Frame) -> Markup:
    """A bracket over each window, open where it runs past the day, and a bar with its points a session."""
    pieces: list[Markup] = []
    for item in frame.sessions:
        session, window = item.session, item.session.window
        start, end = frame.place(window.start), frame.place(window.end)
        if end > start:
            foot = SCORE_TOP + 4.0
            left = f" {foot}V" if window.start >= frame.day.start else " "
            right = f"V{foot}" if window.end <= frame.day.end else ""
            pieces.append(path("window", f"M{start:.1f}{left}{SCORE_TOP - 3}H{end:.1f}{right}"))
        start, end = frame.place(session.start), frame.place(session.end)
        if end > start:
            pieces.append(box(start, end, SESSION_TOP, SESSION_HEIGHT, "session"))
        if end - start >= LEAST_LABELLED:
            middle = (start + end) / 2.0
            points = f"{session.points.total:.0f}"
            pieces.append(text(middle, SESSION_TOP + 10.2, points, "points", "middle"))
    return joined(pieces)


def bait(frame: Frame) -> Markup:
    """Times to gather bait for any session, as open bars."""
    found = {
        (item.bait.window.start, item.bait.window.end)
        for day in frame.report.days
        for item in day.sessions
        if item.bait is not None and item.bait.window is not None
    }
    pieces: list[Markup] = []
    for begins, ends in sorted(found):
        start, end = frame.place(begins), frame.place(ends)
        if end > start:
            pieces.append(box(start, end, SESSION_TOP + 1.0, SESSION_HEIGHT - 2.0, "bait"))
            if end - start >= LEAST_BAIT:
                pieces.append(text((start + end) / 2.0, SESSION_TOP + 9.6, "bait", "mark", "middle"))
    return joined(pieces)


_SKY = {
    SkyEventKind.RISE: "m0 -4l3.5 6h-7z",
    SkyEventKind.SET: "m0 3l3.5 -6h-7z",
    SkyEventKind.UPPER_TRANSIT: "m-1 -5h2v9h-2z",
    SkyEventKind.LOWER_TRANSIT: "m-4 -1.5h8v2h-8z",
}
"""Rise points up, set points down; a transit is an upright bar, a lower transit a lying one."""


def is_sun_transit(event: SkyEvent) -> bool:
    """Whether it is the sun's noon or midnight, which nobody fishes by."""
    return event.body is Body.SUN and event.kind in {SkyEventKind.UPPER_TRANSIT, SkyEventKind.LOWER_TRANSIT}


def cursor(frame: Frame, t: float) -> str:
    """Path data of an upright line at a time."""
    return f"M{frame.place(t):.1f} {TOP:.0f}V{SCORE_BOTTOM:.0f}"


def sky_marks(frame: Frame) -> Markup:
    """A row of the sun's rise and set, one of the moon's with its transits; clock times where they fit."""
    pieces = [text(0.0, SUN_Y, "sun", "mark"), text(0.0, MOON_Y, "moon", "mark")]
    for body, y in ((Body.SUN, SUN_Y), (Body.MOON, MOON_Y)):
        taken = LEFT - 12.0
        for event in frame.day.sky:
            if event.body is not body or event.kind not in _SKY or is_sun_transit(event):
                continue
            x = frame.place(event.t)
            pieces.append(path(body.value, f"M{x:.1f} {y - 3:.1f}{_SKY[event.kind]}"))
            fits = x + 6.0 + LABEL_WIDTH <= RIGHT + 8.0
            begins = x + 6.0 if fits else x - 6.0 - LABEL_WIDTH
            if begins >= taken + LABEL_GAP:
                place = (x + 6.0, "start") if fits else (x - 6.0, "end")
                pieces.append(text(place[0], y, frame.words.clock(event.t), "mark", place[1]))
                taken = max(begins + LABEL_WIDTH, x + 6.0)
    return joined(pieces)
