"""The parts of a day's chart, each a piece of SVG: light, level, flow, turns, windows, sun and moon.

A frame places one local day on a sheet 360 units wide, so that a phone shows it at about its own size.
Time runs by elapsed seconds of the local day (of 23, 24 or 25 hours); labels follow the local clock.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from markupsafe import Markup

from harmonics.arrays import Array, Flags
from windows.forecast.reports import DayReport, SessionReport, SpotReport, Turn
from windows.render.chart.labels import ROOM, Label, Place, text_width
from windows.render.chart.marks import box, dot, joined, path, short, text, texts
from windows.render.words.phrases import Words

WIDTH, HEIGHT = 360.0, 238.0
LEFT, RIGHT = 34.0, 352.0
RIBBON_TOP, RIBBON = 3.0, 11.0
TOP, BOTTOM = 22.0, 126.0
HOURS_Y = 142.0
SCORE_TOP, SCORE_BOTTOM = 152.0, 176.0
STROKE_STEP = 900.0
"""A flow stroke every quarter hour: apart on a phone, yet dense enough to read as one shade."""
LONGEST_STROKE = 15.0
LEAST_STROKE = 0.8
"""Shorter flow strokes are left out: the water stands."""
LINE_STEPS = 2
"""The level line takes every second 5-minute step: a kink of less than a tenth of a unit."""
LIGHT_EDGES = (-12.0, -6.0, 6.0)
LIGHT_CLASSES = ("night", "twilight", "low-light", "")
"""Sun altitudes (degrees) between nautical night, twilight, low light and day."""
BELOW, ABOVE = 0.24, 0.2
"""Room below and above the levels, in shares of their range: labels stand above and hang below."""
TICK_HOURS = 3


class LevelAxis(NamedTuple):
    """Levels of all days of a spot, so that days compare: metres, and marks in the reader's unit."""

    low: float
    high: float
    marks: tuple[float, ...]


def level_axis(report: SpotReport, words: Words) -> LevelAxis:
    """The axis that holds every level of the days asked for."""
    inside = slice(*np.searchsorted(report.curve.t, [report.days[0].start, report.days[-1].end + 1.0]))
    return axis_of(report.curve.level[inside], words)


def axis_of(metres: Array, words: Words) -> LevelAxis:
    """The axis that holds some levels."""
    level = metres / words.units.metres
    low, high = (float(level.min()), float(level.max())) if level.size else (0.0, 1.0)
    rough = max(high - low, 0.2) / 3.0
    power = 10.0 ** np.floor(np.log10(rough))
    step = float(power * min((1.0, 2.0, 5.0, 10.0), key=lambda size: abs(size * power - rough)))
    marks = np.arange(np.ceil(low / step), np.floor(high / step) + 1.0) * step + 0.0
    room = max(high - low, 0.2)
    scale = words.units.metres
    shown = tuple(float(mark) for mark in marks)
    return LevelAxis((low - BELOW * room) * scale, (high + ABOVE * room) * scale, shown)


@dataclass(frozen=True, eq=False)
class Frame:
    """One day of one spot on the sheet; its curves may be left for a page's script to draw."""

    report: SpotReport
    day: DayReport
    words: Words
    axis: LevelAxis
    drawn: bool = True

    @cached_property
    def steps(self) -> slice:
        """The curve's steps inside the day, its end included."""
        return slice(*np.searchsorted(self.report.curve.t, [self.day.start, self.day.end + 1.0]))

    @cached_property
    def t(self) -> Array:
        """POSIX seconds of the steps."""
        return self.report.curve.t[self.steps]

    @cached_property
    def clock_changes(self) -> bool:
        """Whether the day has two clocks, so that an hour may come twice."""
        starts, ends = (self.words.local(t).utcoffset() for t in (self.day.start, self.day.end - 60.0))
        return starts != ends

    def place(self, t: float) -> float:
        """Place of one time across the sheet, kept within the day."""
        share = (t - self.day.start) / (self.day.end - self.day.start)
        return LEFT + (RIGHT - LEFT) * min(max(share, 0.0), 1.0)

    def height(self, level: float) -> float:
        """Place of one level up the plot."""
        return BOTTOM - (BOTTOM - TOP) * (level - self.axis.low) / (self.axis.high - self.axis.low)

    def x(self, t: Array) -> Array:
        """Places of times across the sheet, kept within the day."""
        share = (t - self.day.start) / (self.day.end - self.day.start)
        return LEFT + (RIGHT - LEFT) * np.clip(share, 0.0, 1.0)

    def y(self, level: Array) -> Array:
        """Places of levels up the plot."""
        share = (level - self.axis.low) / (self.axis.high - self.axis.low)
        return BOTTOM - (BOTTOM - TOP) * share

    def level(self, t: float) -> float:
        """Level at a time of the day, metres."""
        return float(np.interp(t, self.t, self.report.curve.level[self.steps]))

    def turned_at(self, turn: Turn) -> float:
        """Level of a high or low water as drawn, metres: the tide's and what readings and weather add."""
        return turn.height + float(np.interp(turn.t, self.t, self.report.curve.departure[self.steps]))

    @cached_property
    def sessions(self) -> list[SessionReport]:
        """Sessions of any day whose window or stretch touches this one."""
        every = (item for day in self.report.days for item in day.sessions)
        return [
            item
            for item in every
            if min(item.session.start, item.session.window.start) < self.day.end
            and max(item.session.end, item.session.window.end) > self.day.start
        ]


def runs(flags: Flags, t: Array) -> Iterable[tuple[float, float]]:
    """Stretches of time over which the flags hold."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], flags, [False])).astype(np.int8)))
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        yield float(t[start]), float(t[min(end, len(t) - 1)])


def line(x: Array, y: Array) -> str:
    """Path data through points."""
    return "M" + "L".join(f"{a:.1f} {b:.1f}" for a, b in zip(x.tolist(), y.tolist(), strict=True))


def light_bands(frame: Frame) -> Markup:
    """Night, twilight and low light in a ribbon above the plot."""
    return ribbon(frame, RIBBON_TOP, RIBBON)


def ribbon(frame: Frame, top: float, height: float) -> Markup:
    """The light from the sun's altitude: night full, twilight half as high, low light framed, day empty.

    Forms tell them apart where glare takes the colours.
    """
    bands = np.digitize(frame.report.curve.sun_altitude[frame.steps], LIGHT_EDGES)
    pieces = [path("axis", f"M{LEFT} {top + height:.1f}H{RIGHT}")]
    for band, css in enumerate(LIGHT_CLASSES):
        if css:
            part = height / 2.0 if css == "twilight" else height
            for start, end in runs(bands == band, frame.t):
                pieces.append(box(frame.place(start), frame.place(end), top + height - part, part, css))
    return joined(pieces)


def level_marks(frame: Frame) -> Markup:
    """Lines and numbers of the level axis."""
    pieces = [text(LEFT - 5.0, TOP - 8.0, frame.words.units.symbol, "mark", "end")]
    places = [(frame.height(mark * frame.words.units.metres), mark) for mark in frame.axis.marks]
    pieces.append(path("grid", "".join(f"M{short(LEFT)} {short(y)}H{short(RIGHT)}" for y, _ in places)))
    said = [(LEFT - 4.0, y + 4.6, mark_words(mark)) for y, mark in places]
    pieces.append(texts("mark", "end", said))
    return joined(pieces)


def mark_words(mark: float) -> str:
    """A number of the level axis, without zeros that say nothing."""
    return f"{mark:.2f}".rstrip("0").rstrip(".")


def hour_marks(frame: Frame) -> Markup:
    """Ticks of the local clock below the plot, and a line where it changes."""
    ticks = "".join(f"M{short(frame.place(t))} {short(BOTTOM)}v4" for t, _ in _ticks(frame))
    changes = (path("change", f"M{frame.place(t):.1f} {TOP}V{BOTTOM}") for t, *_ in _changes(frame))
    return joined([path("grid", ticks), *changes])


def hour_labels(frame: Frame) -> list[Label]:
    """The hours of the local clock."""
    return [(Place(frame.place(t), HOURS_Y, f"{local:%H}", "mark", "middle"),) for t, local in _ticks(frame)]


def change_labels(frame: Frame) -> list[Label]:
    """What the clock does where it changes: an hour that comes twice, or one that is missing."""
    labels: list[Label] = []
    for t, before, after in _changes(frame):
        x, way = frame.place(t), "back" if after < before else "on"
        clock = frame.words.clock(t)
        labels.append(
            tuple(
                Place(x + side, y, words, "mark", anchor)
                for words in (f"clock {way} to {clock}", f"{way} to {clock}")
                for y in (BOTTOM - 4.0, TOP + 12.0, BOTTOM - 20.0, TOP + 28.0)
                for side, anchor in ((3.0, "start"), (-3.0, "end"))
            )
        )
    return labels


def _half_hours(frame: Frame) -> tuple[tuple[float, datetime], ...]:
    return _clock(frame.day.start, frame.day.end, frame.words)


@lru_cache(maxsize=64)
def _clock(start: float, end: float, words: Words) -> tuple[tuple[float, datetime], ...]:
    """Half hours with their local time; charts of several spots share a day."""
    return tuple((t, words.local(t)) for t in np.arange(start, end, 1800.0).tolist())


def _ticks(frame: Frame) -> list[tuple[float, datetime]]:
    return [(t, local) for t, local in _half_hours(frame) if not (local.hour % TICK_HOURS or local.minute)]


def _changes(frame: Frame) -> list[tuple[float, timedelta, timedelta]]:
    """When the clock changes within the day, and its offsets from UTC before and after."""
    found: list[tuple[float, timedelta, timedelta]] = []
    for (_, earlier), (t, later) in pairwise(_half_hours(frame)):
        before, after = earlier.utcoffset(), later.utcoffset()
        if before is not None and after is not None and before != after:
            found.append((t, before, after))
    return found


def greatest(report: SpotReport) -> float:
    """The greatest movement of the days, either way, m/s as the flow has it: the longest stroke is its."""
    curve = report.curve
    shown = slice(*np.searchsorted(curve.t, [report.days[0].start, report.days[-1].end]))
    return float(np.abs(curve.outgoing[shown]).max(initial=0.0))


def flow_strokes(frame: Frame) -> Markup:
    """Strokes that hang from the level line while water goes out and stand on it while it comes in."""
    curve = frame.report.curve
    if not frame.drawn:
        return path("incoming", "") + path("outgoing", "")
    step = round(STROKE_STEP / float(curve.t[1] - curve.t[0]))
    t, moving = frame.t[::step], curve.outgoing[frame.steps][::step]
    most = greatest(frame.report)
    if most <= 0.0:
        return Markup()
    length = LONGEST_STROKE * moving / most
    x, y = frame.x(t).tolist(), frame.y(curve.level[frame.steps][::step]).tolist()
    strokes: dict[str, list[str]] = {"outgoing": [], "incoming": []}
    for a, b, size in zip(x, y, length.tolist(), strict=True):
        if abs(size) >= LEAST_STROKE:
            strokes["outgoing" if size > 0 else "incoming"].append(f"M{a:.1f} {b:.1f}v{size:.1f}")
    return joined(path(css, "".join(parts)) for css, parts in strokes.items() if parts)


def level_line(frame: Frame) -> Markup:
    """The level, heavier over sessions."""
    level = frame.report.curve.level[frame.steps]
    if not frame.drawn:
        return path("level", "") + path("fished", "")
    pieces = [path("level", line(frame.x(frame.t[::LINE_STEPS]), frame.y(level[::LINE_STEPS])))]
    for item in frame.sessions:
        inside = (frame.t >= item.session.start) & (frame.t <= item.session.end)
        if inside.sum() > 1:
            pieces.append(path("fished", line(frame.x(frame.t[inside]), frame.y(level[inside]))))
    return joined(pieces)


def turns(frame: Frame) -> Markup:
    """Dots at high and low waters, and diamonds where the flow turns."""
    pieces: list[Markup] = []
    for slack in frame.day.slacks:
        x, y = frame.place(slack.t), frame.height(frame.level(slack.t))
        pieces.append(path("slack", f"M{x:.1f} {y - 4:.1f}l4 4l-4 4l-4 -4z"))
    for turn in frame.day.turns:
        pieces.append(dot(frame.place(turn.t), frame.height(frame.turned_at(turn)), 2.4, "turn"))
    return joined(pieces)


def turn_labels(frame: Frame) -> list[Label]:
    """Clock and height of high and low waters; the clock alone where there is room for no more."""
    labels: list[Label] = []
    for turn in frame.day.turns:
        level = frame.turned_at(turn)
        x, y = frame.place(turn.t), frame.height(level)
        clock, base = frame.words.clock(turn.t), y - 7.0 if turn.high else y + 16.0
        places: list[Place] = []
        for words in (f"{clock} {frame.words.number(level)}", clock):
            half = text_width(words, "label") / 2.0 + ROOM
            places += [
                Place(min(max(x + share * half, LEFT + half), RIGHT - half), base, words, "label", "middle")
                for share in (0.0, -0.5, 0.5, -1.0, 1.0)
            ]
        labels.append(tuple(places))
    return labels
