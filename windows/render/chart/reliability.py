"""What was said against what was seen, as a standalone SVG: on the slanting line the chances are true."""

import textwrap
from string import Template

from markupsafe import Markup

from harmonics.records.verification import Tenth
from windows.forecast.proof import Proof
from windows.render.chart.drawing import LIGHT
from windows.render.chart.marks import box, dot, joined, path, text
from windows.render.words.cautions import INVENTED, SHORT
from windows.render.words.phrases import words_of
from windows.render.words.proof import HOURS_KEY, SAID_AXIS, SEEN_AXIS, SESSIONS_KEY, headline

WIDTH, HEIGHT = 510.0, 624.0
LEFT, RIGHT, TOP, BOTTOM = 56.0, 456.0, 150.0, 550.0
LINE_LENGTH = 54
NOTICE = 24.0
"""Height of the band that says a coast is invented."""
SMALLEST, LARGEST = 3.0, 13.0
"""Radius of a dot: its area goes with the number of cases."""
_STYLE = Template(
    ".paper{fill:$paper}.title{font-size:17px;font-weight:600;fill:$ink}.mark{font-size:14px;fill:$faint}"
    ".grid{fill:none;stroke:$rule;stroke-width:.7}.true{fill:none;stroke:$ink;stroke-width:1.5}"
    ".band{fill:$ink}.warning{font-size:14px;font-weight:600;fill:$paper}"
    ".hour{fill:$in;fill-opacity:.7}.session{fill:none;stroke:$accent;stroke-width:3}"
)


def proof_svg(proof: Proof) -> str:
    """Sessions as rings, all hours as dots, larger where there are more."""
    label = headline(proof, words_of(proof.head))
    lines = textwrap.wrap(label, LINE_LENGTH)
    notice = []
    if proof.head.invented:
        notice = [box(0.0, WIDTH, 0.0, NOTICE, "band"), text(12.0, NOTICE - 7.0, INVENTED, "warning")]
    drawn = joined(
        [
            box(0.0, WIDTH, 0.0, HEIGHT, "paper"),
            *notice,
            text(12.0, NOTICE + 20.0, f"{proof.head.title}, {proof.station.name}", "mark"),
            *(text(12.0, NOTICE + 44.0 + 20.0 * i, line, "title") for i, line in enumerate(lines)),
            *_axes(),
            *_dots(proof.hour_scores.tenths, "hour"),
            *_dots(proof.session_scores.tenths, "session"),
            *_key(),
            text(12.0, HEIGHT - 8.0, SHORT, "mark"),
        ]
    )
    rules = _STYLE.substitute({name.replace("-", "_"): value for name, value in LIGHT.items()})
    told = Markup.escape(label)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}" '
        f'width="{WIDTH:.0f}" height="{HEIGHT:.0f}" font-family="sans-serif" role="img" '
        f'aria-label="{told}"><style>{rules}</style><title>{told}</title>{drawn}</svg>\n'
    )


def proof_png(proof: Proof) -> bytes:
    """The same as a picture.

    Raises:
        EbblightError: the extra `picture` is not installed.
    """
    from windows.render.chart.picture import png_of

    return png_of(proof_svg(proof))


def _x(share: float) -> float:
    return LEFT + (RIGHT - LEFT) * share


def _y(share: float) -> float:
    return BOTTOM - (BOTTOM - TOP) * share


def _axes() -> list[Markup]:
    marks = [
        path("true", f"M{_x(0.0)} {_y(0.0)}L{_x(1.0)} {_y(1.0)}"),
        text(12.0, TOP - 14.0, SEEN_AXIS, "mark"),
    ]
    for tenths in range(0, 11, 2):
        share = tenths / 10.0
        marks.append(path("grid", f"M{_x(share):.1f} {TOP}V{BOTTOM}M{LEFT} {_y(share):.1f}H{RIGHT}"))
        marks.append(text(_x(share), BOTTOM + 20.0, str(10 * tenths), "mark", "middle"))
        marks.append(text(LEFT - 16.0, _y(share) + 5.0, str(10 * tenths), "mark", "end"))
    return [*marks, text(_x(0.5), BOTTOM + 40.0, SAID_AXIS, "mark", "middle")]


def _dots(tenths: tuple[Tenth, ...], css: str) -> list[Markup]:
    most = max((item.count for item in tenths), default=1)
    return [
        dot(_x(i.said), _y(i.seen), max(SMALLEST, LARGEST * (i.count / most) ** 0.5), css) for i in tenths
    ]


def _key() -> list[Markup]:
    x, y = _x(0.06), _y(0.95)
    return [
        dot(x, y, 7.0, "session"),
        text(x + 16.0, y + 5.0, SESSIONS_KEY, "mark"),
        dot(x, y + 24.0, 7.0, "hour"),
        text(x + 16.0, y + 29.0, HOURS_KEY, "mark"),
    ]
