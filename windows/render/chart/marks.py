"""The marks a chart is made of, as markup: words and values in them are escaped by the library."""

import re
from collections.abc import Iterable, Sequence

from markupsafe import Markup, escape

_TENTHS = re.compile(r"\.0(?!\d)")


def short(value: float) -> str:
    """A place on the sheet to a tenth of a unit."""
    return f"{value:.1f}".removesuffix(".0")


def text(x: float, y: float, words: str, css: str, anchor: str = "start") -> Markup:
    """A label."""
    place = f'x="{short(x)}" y="{short(y)}"{_side(anchor)}'
    return Markup(f'<text class="{escape(css)}" {place}>{escape(words)}</text>')


def texts(css: str, anchor: str, words: Sequence[tuple[float, float, str]]) -> Markup:
    """Labels of one class and anchor: place across, place down, words; a page holds hundreds."""
    if len(words) < 2:
        return joined(text(x, y, said, css, anchor) for x, y, said in words)
    each = "".join(f'<text x="{short(x)}" y="{short(y)}">{escape(said)}</text>' for x, y, said in words)
    return Markup(f'<g class="{escape(css)}"{_side(anchor)}>{each}</g>')


def _side(anchor: str) -> str:
    return "" if anchor == "start" else f' text-anchor="{escape(anchor)}"'


def box(start: float, end: float, top: float, height: float, css: str) -> Markup:
    """A rectangle between two places across the sheet."""
    place = f'x="{short(start)}" y="{short(top)}" width="{short(max(end - start, 0.0))}"'
    return Markup(f'<rect class="{escape(css)}" {place} height="{short(height)}"/>')


def path(css: str, data: str) -> Markup:
    """A line along path data; whole numbers lose their tenths, of which a page holds hundreds."""
    return Markup(f'<path class="{escape(css)}" d="{escape(_TENTHS.sub("", data))}"/>')


def dot(x: float, y: float, radius: float, css: str) -> Markup:
    """A filled circle."""
    return Markup(f'<circle class="{escape(css)}" cx="{short(x)}" cy="{short(y)}" r="{short(radius)}"/>')


def moved(x: float, y: float, drawn: Markup) -> Markup:
    """A drawing moved right and down."""
    return Markup(f'<g transform="translate({x:.0f} {y:.0f})">{escape(drawn)}</g>')


def joined(marks: Iterable[Markup]) -> Markup:
    """One drawing after the other, the later on top."""
    return Markup("".join(map(escape, marks)))
