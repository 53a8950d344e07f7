"""The hours around one session, large: light, level with its turns, and the flow as an area."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from markupsafe import Markup

from harmonics.arrays import Array
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.forecast.reports import DayReport, SessionReport, SpotReport, Turn
from windows.render.chart import parts
from windows.render.chart.labels import ROOM, Area, Label, Place, placed, text_width
from windows.render.chart.marks import box, dot, joined, path, text
from windows.render.words.going import flow_side
from windows.render.words.phrases import Words

HEIGHT = 164.0
BEFORE, AFTER = 10800.0, 9000.0
"""Seconds shown around the session: the turn before it is mostly among them."""
LEVEL_TOP, LEVEL_BOTTOM = 34.0, 84.0
FLOW_TOP, ZERO, FLOW_BOTTOM = 97.0, 131.0, 144.0
HOURS_Y = 160.0
HOUR = 3600.0
MARK_ROOM = 13.0
"""Units from one number of an axis to the next: the height of its letters."""
TELLING = 0.1
"""A side of the flow with less of the greatest movement goes unsaid."""


def hero(item: SessionReport, report: SpotReport, words: Words) -> Markup:
    """The session's hours as SVG content, 360 by 164 units.

    Args:
        item: the session.
        report: its spot's.
        words: of the reader.
    """
    return joined(_Hero(item, report, words).drawn())


def frame_around(item: SessionReport, report: SpotReport, words: Words) -> parts.Frame:
    """The hours that `hero` draws."""
    return _Hero(item, report, words).frame


class _Hero:
    """A frame over the session's hours, and what is drawn in it."""

    def __init__(self, item: SessionReport, report: SpotReport, words: Words) -> None:
        self.item, self.report, self.words = item, report, words
        curve = report.curve
        start = max(np.floor((item.session.start - BEFORE) / HOUR) * HOUR, float(curve.t[0]))
        end = min(np.ceil((item.session.end + AFTER) / HOUR) * HOUR, float(curve.t[-1]))
        held = next((day for day in report.days if day.day == item.day), report.days[0])
        hours: DayReport = replace(held, start=start, end=end)
        inside = slice(*np.searchsorted(curve.t, [start, end + 1.0]))
        axis = parts.axis_of(curve.level[inside], words)
        self.frame = parts.Frame(report, hours, words, axis)
        self.moving: Array = curve.outgoing[inside]
        self.level: Array = curve.level[inside]
        most = float(np.abs(self.moving).max())
        self.most = most if most > 0.0 else 1.0

    def height(self, level: Array) -> Array:
        """Places of levels up the upper plot."""
        low, high = float(self.level.min()), float(self.level.max())
        return LEVEL_BOTTOM - (LEVEL_BOTTOM - LEVEL_TOP) * (level - low) / max(high - low, 0.05)

    def _up(self, level: float) -> float:
        return float(self.height(np.array([level]))[0])

    def flow(self, moving: Array) -> Array:
        """Places of movements in the lower plot, outgoing up."""
        up, down = (ZERO - FLOW_TOP) / self.most, (FLOW_BOTTOM - ZERO) / self.most
        return np.asarray(ZERO - np.where(moving > 0.0, moving * up, moving * down))

    def drawn(self) -> Iterator[Markup]:
        """Every mark, the words last."""
        yield self._stripe()
        yield from self._hours()
        yield from self._scale()
        yield from self._flow()
        frame = self.frame
        yield path("level", parts.line(frame.x(frame.t), self.height(self.level)))
        turns = [turn for day in self.report.days for turn in day.turns if self._shown(turn.t)]
        for turn in turns:
            yield dot(frame.place(turn.t), self._up(frame.turned_at(turn)), 3.2, "turn")
        yield parts.ribbon(frame, parts.RIBBON_TOP, parts.RIBBON)
        labels = [*(self._turn(turn) for turn in turns), *self._sides()]
        light = Area(parts.LEFT, 0.0, parts.RIGHT, parts.RIBBON_TOP + parts.RIBBON)
        yield placed(labels, [light], parts.LEFT, parts.RIGHT + 4.0)

    def _shown(self, t: float) -> bool:
        return self.frame.day.start <= t <= self.frame.day.end

    def _stripe(self) -> Markup:
        top = parts.RIBBON_TOP + parts.RIBBON
        start, end = (self.frame.place(t) for t in (self.item.session.start, self.item.session.end))
        edges = path("edge", f"M{start:.1f} {top}V{FLOW_BOTTOM}M{end:.1f} {top}V{FLOW_BOTTOM}")
        return box(start, end, top, FLOW_BOTTOM - top, "stripe") + edges

    def _hours(self) -> Iterator[Markup]:
        for t in np.arange(np.ceil(self.frame.day.start / HOUR) * HOUR, self.frame.day.end + 1.0, 1800.0):
            local = self.words.local(float(t))
            if local.minute == 0:
                x = self.frame.place(float(t))
                yield path("grid", f"M{x:.1f} {ZERO - 3.0}V{ZERO + 3.0}")
                yield text(x, HOURS_Y, f"{local:%H}", "mark", "middle")

    def _scale(self) -> Iterator[Markup]:
        """The axis of the level, and one mark of the flow's."""
        for mark, y in self._marks():
            yield path("grid", f"M{parts.LEFT} {y:.1f}H{parts.RIGHT}")
            yield text(parts.LEFT - 5.0, y + 4.6, parts.mark_words(mark), "mark", "end")
        yield text(parts.LEFT - 5.0, parts.RIBBON_TOP + 10.0, self.words.units.symbol, "mark", "end")
        scale = METRES_PER_SECOND_PER_KNOT if self.report.flow.has_speed else self.words.units.metres / HOUR
        most = self.most / scale
        power = 10.0 ** np.floor(np.log10(most))
        size = max(step for step in (1.0, 2.0, 5.0) if step * power <= most * 1.0001) * power
        y = float(self.flow(np.array([size * scale]))[0])
        yield path("grid", f"M{parts.LEFT} {y:.1f}H{parts.RIGHT}")
        yield text(parts.LEFT - 5.0, y + 4.6, f"{size:.3g}", "mark", "end")
        if self.report.flow.has_speed:
            yield text(parts.LEFT - 5.0, ZERO + 4.6, "kn", "mark", "end")

    def _marks(self) -> list[tuple[float, float]]:
        """Numbers of the level's axis and their places, far enough apart to be read; zero is among them."""
        low, high = float(self.level.min()), float(self.level.max())
        marks, metres = self.frame.axis.marks, self.words.units.metres
        if len(marks) < 2:
            every = step = 1.0
        else:
            step = marks[1] - marks[0]
            every = np.ceil(MARK_ROOM / (self._up(0.0) - self._up(step * metres)))
        return [
            (mark, self._up(mark * metres))
            for mark in marks
            if low - 0.02 <= mark * metres <= high + 0.02 and round(mark / step) % every == 0
        ]

    def _flow(self) -> Iterator[Markup]:
        x = self.frame.x(self.frame.t)
        for css, flags in (("run", self.moving > 0.0), ("back", self.moving < 0.0)):
            kept = np.where(flags, self.moving, 0.0)
            if flags.any():
                area = parts.line(x, self.flow(kept))[1:]
                yield path(css, f"M{x[0]:.1f} {ZERO}L{area}L{x[-1]:.1f} {ZERO}z")
        yield path("axis", f"M{parts.LEFT} {ZERO}H{parts.RIGHT}")

    def _turn(self, turn: Turn) -> Label:
        level = self.frame.turned_at(turn)
        x, y = self.frame.place(turn.t), self._up(level)
        kind, clock = "high" if turn.high else "low", self.words.clock(turn.t)
        above, below = y - 7.0, y + 16.0
        heights = (above, above + 3.0, below) if turn.high else (below, below + 7.0, above)
        places: list[Place] = []
        for said in (f"{kind} {clock} {self.words.height(level)}", f"{kind} {clock}", clock):
            half = text_width(said, "label") / 2.0 + ROOM
            middle = min(max(x, parts.LEFT + half), parts.RIGHT - half)
            places += [Place(middle, base, said, "label", "middle") for base in heights]
        return tuple(places)

    def _sides(self) -> Iterator[Label]:
        """What the two sides of the flow are: the greatest of each, at its place."""
        for out in (True, False):
            moving = self.moving if out else -self.moving
            most = int(moving.argmax())
            if moving[most] <= TELLING * self.most:
                continue
            amount = self.words.movement(float(moving[most]), self.report.flow.has_speed)
            said = f"{flow_side(out)} {amount}"
            half = text_width(said, "label") / 2.0 + ROOM
            x = min(max(self.frame.place(float(self.frame.t[most])), parts.LEFT + half), parts.RIGHT - half)
            if out:
                y = float(self.flow(np.array([self.moving[most]]))[0])
                yield tuple(Place(x, y - up, said, "label", "middle") for up in (4.0, 12.0))
            elif self._free(x - half, x + half):
                yield (Place(x, ZERO - 5.0, said, "label", "middle"),)

    def _free(self, left: float, right: float) -> bool:
        """Whether no outgoing water is drawn between two places."""
        x = self.frame.x(self.frame.t)
        return bool((self.moving[(x >= left) & (x <= right)] <= 0.0).all())
