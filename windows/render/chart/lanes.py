"""The lanes below a day's plot: points and shut gates, windows and sessions, bait, sun and moon."""

import numpy as np
from markupsafe import Markup

from windows.astronomy import Body, SkyEvent, SkyEventKind
from windows.forecast.reports import SessionReport
from windows.render.chart.labels import ROOM, Area, Label, Place, text_width
from windows.render.chart.marks import box, joined, path, text
from windows.render.chart.parts import (
    LEFT,
    LINE_STEPS,
    RIGHT,
    SCORE_BOTTOM,
    SCORE_TOP,
    TOP,
    Frame,
    line,
    runs,
)

SESSION_TOP, SESSION_HEIGHT = 179.0, 17.0
SUN_Y, MOON_Y = 214.0, 233.0
LEAST_LABELLED = 17.0
"""Bars narrower than this stay without their points."""


def score_lane(frame: Frame) -> Markup:
    """Points below the plot against the keep mark, and a hatch where a gate is shut."""
    curve = frame.report.curve
    total, is_open = curve.total[frame.steps], curve.open[frame.steps]
    height = SCORE_BOTTOM - SCORE_TOP
    pieces = [path("grid", f"M{LEFT} {SCORE_BOTTOM}H{RIGHT}")]
    if not frame.drawn:
        pieces.append(path("score", ""))
    for start, end in runs(total > 0, frame.t) if frame.drawn else ():
        inside = (frame.t >= start) & (frame.t <= end)
        x, y = frame.x(frame.t[inside]), SCORE_BOTTOM - height * total[inside] / 100.0
        first, last = float(x[0]), float(x[-1])
        kept = np.unique([*range(0, len(x), LINE_STEPS), len(x) - 1])
        area = f"M{first:.1f} {SCORE_BOTTOM}L{line(x[kept], y[kept])[1:]}L{last:.1f} {SCORE_BOTTOM}z"
        pieces.append(path("score", area))
    for start, end in runs(~is_open, frame.t):
        pieces.append(_hatch(frame.place(start), frame.place(end)))
    keep = SCORE_BOTTOM - height * frame.report.spot.preferences.keep / 100.0
    pieces.append(path("keep", f"M{LEFT} {keep:.1f}H{RIGHT}"))
    pieces.append(text(LEFT - 4.0, keep + 4.6, f"{frame.report.spot.preferences.keep:.0f}", "mark", "end"))
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
    return joined(pieces)


def point_labels(frame: Frame) -> list[Label]:
    """Points of each session in the middle of its bar, where the bar holds them."""
    labels: list[Label] = []
    for start, end, item in _bars(frame):
        points = f"{item.session.points.total:.0f}"
        if end - start >= LEAST_LABELLED:
            labels.append((Place((start + end) / 2.0, SESSION_TOP + 13.3, points, "points", "middle"),))
    return labels


def session_areas(frame: Frame) -> list[Area]:
    """What the bars of sessions cover."""
    return [Area(start, SESSION_TOP, end, SESSION_TOP + SESSION_HEIGHT) for start, end, _ in _bars(frame)]


def _bars(frame: Frame) -> list[tuple[float, float, SessionReport]]:
    places = [
        (frame.place(item.session.start), frame.place(item.session.end), item) for item in frame.sessions
    ]
    return [(start, end, item) for start, end, item in places if end > start]


def bait(frame: Frame) -> Markup:
    """Times to gather bait for any session, as open bars."""
    return joined(
        box(start, end, SESSION_TOP + 1.0, SESSION_HEIGHT - 2.0, "bait") for start, end in _gatherings(frame)
    )


def bait_labels(frame: Frame) -> list[Label]:
    """The word in each of those bars, in a part that no session covers."""
    half = text_width("bait", "mark") / 2.0 + ROOM
    return [
        tuple(
            Place(x, SESSION_TOP + 12.8, "bait", "mark", "middle")
            for x in ((start + end) / 2.0, start + half, end - half)
        )
        for start, end in _gatherings(frame)
        if end - start >= 2.0 * half
    ]


def _gatherings(frame: Frame) -> list[tuple[float, float]]:
    """Ends of the bars across the sheet."""
    found = {
        (item.bait.window.start, item.bait.window.end)
        for day in frame.report.days
        for item in day.sessions
        if item.bait is not None and item.bait.window is not None
    }
    places = [(frame.place(begins), frame.place(ends)) for begins, ends in sorted(found)]
    return [(start, end) for start, end in places if end > start]


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
    """A row of the sun's rise and set, one of the moon's with its transits."""
    heads = [text(0.0, SUN_Y, "sun", "mark"), text(0.0, MOON_Y, "moon", "mark")]
    signs = [
        path(event.body.value, f"M{x:.1f} {y - 4:.1f}{_SKY[event.kind]}") for x, y, event in _events(frame)
    ]
    return joined([*heads, *signs])


def sky_labels(frame: Frame) -> list[Label]:
    """Clock times beside the signs of sun and moon."""
    return [
        tuple(
            Place(x + side, y, frame.words.clock(event.t), "mark", anchor)
            for side, anchor in ((6.0, "start"), (-6.0, "end"))
        )
        for x, y, event in _events(frame)
    ]


def sky_areas(frame: Frame) -> list[Area]:
    """What the signs and the heads of their rows cover."""
    signs = [Area(x - 4.0, y - 8.0, x + 4.0, y + 1.0) for x, y, _ in _events(frame)]
    return [*signs, *(Place(0.0, y, "moon", "mark").area for y in (SUN_Y, MOON_Y))]


def _events(frame: Frame) -> list[tuple[float, float, SkyEvent]]:
    """Events that have a sign, with its place."""
    rows = {Body.SUN: SUN_Y, Body.MOON: MOON_Y}
    return [
        (frame.place(event.t), rows[event.body], event)
        for event in frame.day.sky
        if event.kind in _SKY and not is_sun_transit(event)
    ]
