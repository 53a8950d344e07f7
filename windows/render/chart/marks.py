"""The marks a chart is made of, as markup: words and values in them are escaped by the library."""

from collections.abc import Iterable, Sequence

from markupsafe import Markup

_TEXT = Markup('<text class="{}" x="{}" y="{}"{}>{}</text>')
_TEXTS = Markup('<g class="{}"{}>{}</g>')
_ONE = Markup('<text x="{}" y="{}">{}</text>')
_ANCHOR = Markup(' text-anchor="{}"')
_BOX = Markup('<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>')
_PATH = Markup('<path class="{}" d="{}"/>')
_DOT = Markup('<circle class="{}" cx="{}" cy="{}" r="{}"/>')
_GROUP = Markup('<g transform="translate({:.0f} {:.0f})">{}</g>')


def short(value: float) -> str:
    """A place on the sheet to a tenth of a unit."""
    return f"{value:.1f}".removesuffix(".0")


def text(x: float, y: float, words: str, css: str, anchor: str = "start") -> Markup:
    """A label."""
    return _TEXT.format(
        css, short(x), short(y), Markup() if anchor == "start" else _ANCHOR.format(anchor), words
    )


def texts(css: str, anchor: str, words: Sequence[tuple[float, float, str]]) -> Markup:
    """Labels of one class and anchor: place across, place down, words; a page holds hundreds."""
    if len(words) < 2:
        return joined(text(x, y, said, css, anchor) for x, y, said in words)
    side = Markup() if anchor == "start" else _ANCHOR.format(anchor)
    return _TEXTS.format(css, side, joined(_ONE.format(short(x), short(y), said) for x, y, said in words))


def box(start: float, end: float, top: float, height: float, css: str) -> Markup:
    """A rectangle between two places across the sheet."""
    return _BOX.format(css, *map(short, (start, top, max(end - start, 0.0), height)))


def path(css: str, data: str) -> Markup:
    """A line along path data."""
    return _PATH.format(css, data)


def dot(x: float, y: float, radius: float, css: str) -> Markup:
    """A filled circle."""
    return _DOT.format(css, *map(short, (x, y, radius)))


def moved(x: float, y: float, drawn: Markup) -> Markup:
    """A drawing moved right and down."""
    return _GROUP.format(x, y, drawn)


def joined(marks: Iterable[Markup]) -> Markup:
    """One drawing after the other, the later on top."""
    return Markup().join(marks)
