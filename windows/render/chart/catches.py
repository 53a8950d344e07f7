"""A log's catches against the points of their hours, as a standalone SVG."""

from collections.abc import Mapping, Sequence
from string import Template

import numpy as np
from markupsafe import Markup

from windows.log.report import Band, LogReport
from windows.render.chart.drawing import LIGHT
from windows.render.chart.marks import box, dot, joined, path, text
from windows.render.words.cautions import SHORT
from windows.render.words.log import CLIPPED, POINTS_AXIS, RATES_AXIS, verdict_words

WIDTH, HEIGHT = 640.0, 420.0
LEFT, RIGHT, TOP, BOTTOM = 56.0, 620.0, 84.0, 350.0
MOST_DOTS = 2000
"""Of a longer log the last trips are drawn; its bands count them all."""
_STYLE = (
    (".paper", Template("{fill:$paper}")),
    (".title", Template("{font-size:17px;font-weight:600;fill:$ink}")),
    (".mark", Template("{font-size:14px;fill:$faint}")),
    (".grid", Template("{fill:none;stroke:$rule;stroke-width:.7}")),
    (".trip", Template("{fill:$in;fill-opacity:.55}")),
    (".band", Template("{fill:$soft}")),
    (".rate", Template("{fill:none;stroke:$accent;stroke-width:3}")),
)
LINE_LENGTH = 74


def catches_svg(report: LogReport) -> str:
    """Trips as dots, bands as their rate inside its 95 % interval."""
    drawn, rules = catches_marks(report), catches_rules(LIGHT)
    label = Markup.escape(verdict_words(report))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}" '
        f'width="{WIDTH:.0f}" height="{HEIGHT:.0f}" font-family="sans-serif" role="img" '
        f'aria-label="{label}"><style>{rules}</style><title>{label}</title>{drawn}</svg>\n'
    )


def catches_marks(report: LogReport) -> Markup:
    """What is drawn, on `WIDTH` by `HEIGHT`."""
    counts = report.counts
    rates = counts.caught / counts.effort
    most = _most(rates.tolist(), report.bands)
    return joined(
        [
            box(0.0, WIDTH, 0.0, HEIGHT, "paper"),
            *_head(verdict_words(report)),
            *_axes(most, clipped=bool((rates > most).any())),
            *(_band(item, most) for item in report.bands),
            *_dots(counts.points.tolist(), rates.tolist(), most),
        ]
    )


def catches_rules(colours: Mapping[str, str], inside: str = "") -> str:
    """Rules for its classes with the given colours.

    Args:
        colours: by name.
        inside: selector of what the drawing stands in, where a page has other drawings.
    """
    return "".join(f"{inside}{name}{rule.substitute(colours)}" for name, rule in _STYLE)


def _most(rates: Sequence[float], bands: Sequence[Band]) -> float:
    """The top of the scale: nine in ten trips and every interval fit; what lies higher stands at the top."""
    high = [band.rate.high for band in bands]
    usual = [float(np.quantile(rates, 0.9))] if rates else []
    return max([*high, *usual, 0.1]) * 1.05


def _x(points: float) -> float:
    return LEFT + (RIGHT - LEFT) * points / 100.0


def _y(rate: float, most: float) -> float:
    return BOTTOM - (BOTTOM - TOP) * min(rate / most, 1.0)


def _head(words: str) -> list[Markup]:
    import textwrap

    lines = textwrap.wrap(words, LINE_LENGTH)[:3]
    marks = [text(12.0, 24.0 + 19.0 * i, line, "title") for i, line in enumerate(lines)]
    return [*marks, text(12.0, HEIGHT - 10.0, SHORT, "mark")]


def _axes(most: float, clipped: bool) -> list[Markup]:
    marks = [text(LEFT, TOP - 8.0, RATES_AXIS + (CLIPPED if clipped else ""), "mark")]
    for points in range(0, 101, 20):
        marks.append(path("grid", f"M{_x(points):.1f} {BOTTOM}v5"))
        marks.append(text(_x(points), BOTTOM + 20.0, str(points), "mark", "middle"))
    marks.append(text(_x(50.0), BOTTOM + 40.0, POINTS_AXIS, "mark", "middle"))
    power = 10.0 ** np.floor(np.log10(most / 3.0))
    step = float(power * min((1.0, 2.0, 5.0, 10.0), key=lambda size: abs(size * power - most / 3.0)))
    for number in range(int(most / step) + 1):
        y = _y(number * step, most)
        marks.append(path("grid", f"M{LEFT} {y:.1f}H{RIGHT}"))
        marks.append(text(LEFT - 6.0, y + 5.0, f"{number * step:g}", "mark", "end"))
    return marks


def _band(item: Band, most: float) -> Markup:
    start, end = _x(item.low), max(_x(item.high), _x(item.low) + 4.0)
    top, bottom = _y(item.rate.high, most), _y(item.rate.low, most)
    y = _y(item.rate.rate, most)
    bar = box(start, end, top, bottom - top, "band")
    return joined([bar, path("rate", f"M{start:.1f} {y:.1f}H{end:.1f}")])


def _dots(points: Sequence[float], rates: Sequence[float], most: float) -> list[Markup]:
    pairs = list(zip(points, rates, strict=True))[-MOST_DOTS:]
    return [dot(_x(x), _y(rate, most), 4.0, "trip") for x, rate in pairs]
