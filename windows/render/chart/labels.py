"""Words on a chart, each put where it covers no other: the important first, those without room left out."""

from collections.abc import Iterable
from itertools import groupby
from typing import NamedTuple

from markupsafe import Markup

from windows.render.chart.marks import joined, texts

EM = {"label": 13.5, "points": 13.5, "beside": 13.5, "within": 13.5, "mark": 13.5}
"""Sizes of the letters of each class: 14 px on a phone 390 px wide."""
BOLD = frozenset({"label", "points", "beside", "within"})
WIDTHS = {True: 0.70, False: 0.64}
"""Of a digit in a wide typeface, in em; other letters of these words are no wider on average."""
ASCENT, DESCENT = 0.76, 0.06
"""Of digits and small letters, in em."""
ROOM = 1.0
"""Units left free around every word."""


class Area(NamedTuple):
    """A rectangle on the sheet."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Area") -> bool:
        """Whether the two share more than an edge."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


class Place(NamedTuple):
    """Words at a place: `anchor` is the side of the words that stands there."""

    x: float
    y: float
    words: str
    css: str
    anchor: str = "start"

    @property
    def area(self) -> Area:
        """What the words cover, in a wide typeface."""
        em = EM[self.css]
        wide = text_width(self.words, self.css)
        left = self.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * wide
        return Area(
            left - ROOM, self.y - ASCENT * em - ROOM, left + wide + ROOM, self.y + DESCENT * em + ROOM
        )


Label = tuple[Place, ...]
"""Places for one thing to say, the best first."""


def text_width(words: str, css: str) -> float:
    """Units across that words of a class take."""
    thin = sum(char in ".:,' " for char in words)
    return EM[css] * WIDTHS[css in BOLD] * (len(words) - 0.45 * thin)


def placed(labels: Iterable[Label], taken: Iterable[Area], left: float, right: float) -> Markup:
    """Labels where they fit between two edges of the sheet, beside what is taken and each other."""
    areas = list(taken)
    kept: list[Place] = []
    for label in labels:
        for place in label:
            area = place.area
            if area.left < left or area.right > right or any(area.meets(other) for other in areas):
                continue
            areas.append(area)
            kept.append(place)
            break
    runs = groupby(kept, key=lambda place: (place.css, place.anchor))
    return joined(texts(*kind, [(item.x, item.y, item.words) for item in run]) for kind, run in runs)
