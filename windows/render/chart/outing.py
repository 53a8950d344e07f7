"""A day out as a strip: places below each other, time across, and the day's course from place to place."""

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from string import Template

import numpy as np
from markupsafe import Markup

from harmonics.arrays import Array
from windows.outing.reports import Leg, LegKind, Plan, PlanList, Plans
from windows.render.chart.drawing import LIGHT, style
from windows.render.chart.marks import box, joined, moved, path, text
from windows.render.chart.parts import LIGHT_CLASSES, LIGHT_EDGES, RIBBON, WIDTH, line, runs
from windows.render.words import cautions
from windows.render.words.foreseen import not_considered
from windows.render.words.phrases import Words, words_of
from windows.render.words.plans import NONE_WORTH_IT, group_name, headline, level_line, point_hours
from windows.render.words.safe_text import plain, short
from windows.shoreline.routes import Place
from windows.shoreline.spots import Spot

MARGIN = 8.0
LEFT, RIGHT = 8.0, 352.0
NAME, LANE, GAP = 16.0, 29.0, 5.0
"""Height of a lane's name, of the lane, and of the room below it."""
LEVEL = 34.0
HOURS, FOOT = 18.0, 16.0
BANNER, TITLE = 22.0, 24.0
EDGE = 1800.0
"""Seconds of room before leaving and after being home."""
CHARACTERS = 50
LINE = 17.0
LABEL = 82.0
"""Width of a stretch of clock times."""
_RULES = Template(
    ".mark{font-size:13.5px;stroke:$paper;stroke-width:3px;stroke-linejoin:round;paint-order:stroke}"
    ".label{font-size:14px}"
    ".course{fill:none;stroke:$ink;stroke-width:2;stroke-linejoin:round}"
    ".stay{fill:$accent}.other{fill:$ink}.dry{fill:none;stroke:$faint;stroke-width:.8;stroke-dasharray:2 3}"
)
_SHEET_RULES = Template(
    ".paper{fill:$paper}.title{font-size:16px;font-weight:600;fill:$ink}.line{font-size:14px;fill:$ink}"
    ".banner{fill:$ink}.warning{font-size:14px;font-weight:600;fill:$paper}"
)
_SHEET = Markup(
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" '
    'width="{width:.0f}" height="{height:.0f}" font-family="sans-serif" role="img" aria-label="{label}">'
    "<style>{rules}</style><title>{label}</title>"
    '<rect class="paper" width="{width:.0f}" height="{height:.0f}"/>{body}</svg>\n'
)


def plan_svg(plans: Plans) -> str:
    """The best plan of each list, one strip below the other, as a standalone SVG."""
    words = words_of(plans.forecast.head)
    head, y = _head(plans)
    body: list[Markup] = [head]
    for item in plans.lists:
        if item.ranking:
            strip = Strip(plans, item, item.ranking[0], words)
            body.append(moved(0.0, y, strip.drawn()))
            y += strip.height
    if not plans.best:
        body.append(text(MARGIN, y + 10.0, NONE_WORTH_IT, "line"))
        y += 30.0
    unseen = not_considered(plans.forecast, words)
    foot, height = _wrapped(f"{cautions.SHORT} {unseen[0].upper()}{unseen[1:]}.", y + 10.0)
    return str(
        _SHEET.format(
            width=WIDTH,
            height=height,
            label=f"{plain(plans.forecast.head.title)}: a day out",
            rules=Markup(style(LIGHT) + strip_rules(LIGHT) + _SHEET_RULES.substitute(LIGHT)),
            body=joined([*body, foot]),
        )
    )


def strip_rules(colours: Mapping[str, str]) -> str:
    """Rules for a strip's own classes with the given colours, on top of the charts'."""
    return _RULES.substitute({name: colours[name] for name in ("ink", "accent", "faint", "paper")})


def plan_png(plans: Plans) -> bytes:
    """The same as a picture.

    Raises:
        EbblightError: the extra `picture` is not installed.
    """
    from windows.render.chart.picture import png_of

    return png_of(plan_svg(plans))


def _head(plans: Plans) -> tuple[Markup, float]:
    pieces: list[Markup] = []
    y = 0.0
    if plans.forecast.head.invented:
        pieces.append(box(0.0, WIDTH, 0.0, BANNER, "banner"))
        pieces.append(text(MARGIN, 15.0, cautions.INVENTED, "warning"))
        y = BANNER
    pieces.append(text(MARGIN, y + 18.0, short(plans.forecast.head.title, 40), "title"))
    return joined(pieces), y + TITLE


def _wrapped(sentence: str, y: float) -> tuple[Markup, float]:
    lines = textwrap.wrap(sentence, CHARACTERS)
    drawn = joined(text(MARGIN, y + LINE * row, part, "line") for row, part in enumerate(lines))
    return drawn, y + LINE * len(lines) + 4.0


@dataclass(frozen=True, eq=False)
class Strip:
    """One plan on the sheet; `titled` where nothing above it says what it is."""

    plans: Plans
    item: PlanList
    plan: Plan
    words: Words
    titled: bool = True

    @cached_property
    def places(self) -> list[Place]:
        """The landing first, then where the day leads, each once."""
        found: list[Place] = [self.plans.landing]
        for leg in self.plan.legs:
            if leg.place is not None and all(leg.place is not place for place in found):
                found.append(leg.place)
        return found

    @cached_property
    def title(self) -> list[str]:
        """What the plan is, in lines."""
        if not self.titled:
            return []
        name = group_name(self.plans, self.item)
        return textwrap.wrap(f"{headline(self.plan, self.words)}{f', {name}' if name else ''}", CHARACTERS)

    @property
    def top(self) -> float:
        """Where the lanes begin."""
        return (6.0 + LINE * len(self.title) + 6.0 if self.titled else 2.0) + RIBBON + 3.0

    @property
    def bottom(self) -> float:
        """Where they end."""
        level = LEVEL + NAME if self.plans.water.level is not None else 0.0
        return self.top + len(self.places) * (NAME + LANE + GAP) + level

    @property
    def height(self) -> float:
        """Of the whole strip."""
        return self.bottom + HOURS + FOOT

    @cached_property
    def steps(self) -> slice:
        """Steps of the water that the strip shows."""
        edges = [self.plan.leave - EDGE, self.plan.home + EDGE]
        return slice(*np.searchsorted(self.plans.water.t, edges))

    @cached_property
    def t(self) -> Array:
        """POSIX seconds of those steps."""
        return self.plans.water.t[self.steps]

    def x(self, t: Array) -> Array:
        """Places of times across the sheet."""
        share = (t - self.t[0]) / (self.t[-1] - self.t[0])
        return np.asarray(LEFT + (RIGHT - LEFT) * np.clip(share, 0.0, 1.0))

    def place(self, t: float) -> float:
        """Place of one time across the sheet."""
        return float(self.x(np.array([t]))[0])

    def lane(self, place: Place) -> float:
        """Upper edge of a place's lane."""
        row = next(row for row, other in enumerate(self.places) if other is place)
        return self.top + row * (NAME + LANE + GAP) + NAME

    def drawn(self) -> Markup:
        """The strip as SVG content."""
        below = (self._light(), self._hours(), self._lanes(), self._level())
        parts = (*below, self._course(), self._names(), self._title())
        return joined(piece for part in parts for piece in part)

    def _title(self) -> Iterator[Markup]:
        for row, part in enumerate(self.title):
            yield text(MARGIN, 6.0 + LINE * (row + 1), part, "line")

    def _light(self) -> Iterator[Markup]:
        altitude = self.plans.forecast.spots[0].curve.sun_altitude[self.steps]
        bands = np.digitize(altitude, LIGHT_EDGES)
        yield path("axis", f"M{LEFT} {self.top - 3.0:.1f}H{RIGHT}")
        for band, css in enumerate(LIGHT_CLASSES):
            if css:
                high = RIBBON / 2.0 if css == "twilight" else RIBBON
                for start, end in runs(bands == band, self.t):
                    yield box(self.place(start), self.place(end), self.top - 3.0 - high, high, css)

    def _lanes(self) -> Iterator[Markup]:
        for place in self.places:
            y = self.lane(place)
            yield path("grid", f"M{LEFT} {y + LANE:.1f}H{RIGHT}")
            if isinstance(place, Spot):
                yield self._points(place, y)
            elif place is self.plans.landing:
                for start, end in runs(~self.plans.water.open[self.steps], self.t):
                    yield box(self.place(start), self.place(end), y, LANE, "dry")

    def _names(self) -> Iterator[Markup]:
        for place in self.places:
            yield text(LEFT, self.lane(place) - 3.5, short(place.name, 40), "mark")

    def _points(self, spot: Spot, y: float) -> Markup:
        row = next(i for i, report in enumerate(self.plans.forecast.spots) if report.spot is spot)
        points = self.plans.water.expected[row][self.steps]
        x, top = self.x(self.t), y + LANE * (1.0 - points / 100.0)
        foot = y + LANE
        return path("score", f"M{x[0]:.1f} {foot:.1f}L{line(x, top)[1:]}L{x[-1]:.1f} {foot:.1f}z")

    def _level(self) -> Iterator[Markup]:
        level = self.plans.water.level
        if level is None:
            return
        shown = level[self.steps]
        low, high = float(shown.min()), float(shown.max())
        room = max(high - low, 0.05)

        def y(value: Array) -> Array:
            return np.asarray(self.bottom - 3.0 - (LEVEL - 6.0) * (value - low) / room)

        said = level_line(self.plans.landing.name, low, high, self.words)
        yield text(LEFT, self.bottom - LEVEL - 3.5, said, "mark")
        yield path("level", line(self.x(self.t), y(shown)))
        sill = self.plans.landing.sill
        if sill is not None and sill.least_level is not None and low <= sill.least_level <= high:
            yield path("keep", f"M{LEFT} {float(y(np.array([sill.least_level]))[0]):.1f}H{RIGHT}")

    def _hours(self) -> Iterator[Markup]:
        marks = np.arange(np.ceil(self.t[0] / 1800.0) * 1800.0, self.t[-1] + 1.0, 1800.0)
        every = 1 if len(marks) <= 24 else 3
        for t in marks.tolist():
            local = self.words.local(t)
            if local.minute == 0 and local.hour % every == 0:
                x = self.place(t)
                yield path("grid", f"M{x:.1f} {self.top:.1f}V{self.bottom + 3.0:.1f}")
                yield text(x, self.bottom + 14.0, f"{local:%H}", "mark", "middle")

    def _course(self) -> Iterator[Markup]:
        """Bars where one stays, a line from bar to bar, and the hours of each stay."""
        points: list[str] = []
        staying = [leg for leg in self.plan.legs if leg.kind not in {LegKind.TRAVEL, LegKind.HOME}]
        for leg in staying:
            if leg.place is None:
                continue
            y = self.lane(leg.place) + LANE - 5.0
            start, end = self.place(leg.start), self.place(leg.end)
            points += [f"{start:.1f} {y:.1f}", f"{end:.1f} {y:.1f}"]
            css = "stay" if leg.kind is LegKind.FISH else "other"
            yield box(start, max(end, start + 2.0), y - 4.0, 8.0, css)
        yield path("course", f"M{'L'.join(points)}")
        yield from (self._label(leg) for leg in staying)

    def _label(self, leg: Leg) -> Markup:
        if leg.place is None:
            return Markup("")
        y = self.lane(leg.place) + LANE - 14.0
        start, end = self.place(leg.start), self.place(leg.end)
        if leg.kind in {LegKind.LEAVE, LegKind.LAND}:
            leaving = leg.kind is LegKind.LEAVE
            told = self.words.clock(leg.start if leaving else leg.end)
            return text(start if leaving else end, y, told, "label", "start" if leaving else "end")
        told = f"{self.words.clock(leg.start)}-{self.words.clock(leg.end)}"
        if leg.kind is LegKind.FISH and self.plan.moves and end - start > 2.0 * LABEL:
            told += f", {point_hours(leg.worth)}"
        middle = min(max((start + end) / 2.0, LEFT + LABEL / 2.0), RIGHT - LABEL / 2.0)
        return text(middle, y, told, "label", "middle")
