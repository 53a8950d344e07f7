"""A day's chart as SVG, and whole sheets of days; the page and the picture draw from here."""

import textwrap
from collections.abc import Mapping, Sequence
from datetime import date
from string import Template

from markupsafe import Markup

from windows.forecast.reports import DayReport, Forecast, SpotReport
from windows.render.chart import lanes, parts
from windows.render.chart.labels import placed
from windows.render.chart.marks import box, joined, moved, text
from windows.render.words.cautions import INVENTED, SHORT
from windows.render.words.foreseen import chance_short, not_considered
from windows.render.words.phrases import Words, words_of
from windows.render.words.safe_text import plain, short
from windows.render.words.todays import todays_water

LIGHT: Mapping[str, str] = {
    "paper": "#fcfbf7", "ink": "#191a17", "faint": "#4d5049", "rule": "#b9b5a7",
    "accent": "#8a3b12", "soft": "#e9c9ad", "out": "#15594a", "in": "#656b60",
    "night": "#191a17", "gold": "#ffc83d",
}  # fmt: skip
DARK: Mapping[str, str] = {
    "paper": "#171613", "ink": "#efeadd", "faint": "#bdb8aa", "rule": "#57534a",
    "accent": "#f2ab6d", "soft": "#6b4526", "out": "#8fd0b8", "in": "#8f948a",
    "night": "#a8a498", "gold": "#463606",
}  # fmt: skip
GLARE: Mapping[str, str] = {
    "paper": "#ffffff", "ink": "#000000", "faint": "#000000", "rule": "#6b6b6b",
    "accent": "#7a2a00", "soft": "#f1d3bd", "out": "#003d30", "in": "#3d3d3d",
    "night": "#000000", "gold": "#ffcf33",
}  # fmt: skip
RED: Mapping[str, str] = {
    "paper": "#000000", "ink": "#ff5a47", "faint": "#ef4f3d", "rule": "#8a2a20",
    "accent": "#ff7a66", "soft": "#541008", "out": "#ff6a57", "in": "#c23b2c",
    "night": "#c23b2c", "gold": "#3a0a05",
}  # fmt: skip
"""Ink on paper in glare, pale on black in the dark; text of every colour on paper reaches contrast AA."""

_STYLE = Template(
    ".mark{font-size:13.5px;fill:$faint}"
    ".label,.points,.beside,.within{font-size:13.5px;font-weight:600}"
    ".label,.beside{fill:$ink;stroke:$paper;stroke-width:3px;stroke-linejoin:round;paint-order:stroke}"
    ".points{fill:$paper}.beside,.within{fill:$accent}"
    ".night,.twilight{fill:$night}.low-light{fill:$gold;stroke:$ink;stroke-width:1}"
    ".name{font-size:13.5px;font-weight:600;fill:$ink}.axis{fill:none;stroke:$ink;stroke-width:1}"
    ".stripe{fill:$soft}.edge{fill:none;stroke:$accent;stroke-width:1.6}"
    ".run{fill:$out}.back{fill:$paper;stroke:$in;stroke-width:1.2}"
    ".lesser{fill:$paper;stroke:$accent;stroke-width:1.6}"
    ".top{fill:$accent;stroke:$ink;stroke-width:2.4}.keyed{fill:$accent;stroke:$paper;stroke-width:1}"
    ".place{fill:$accent}.gauge{fill:$paper;stroke:$ink;stroke-width:1.6}"
    ".edge-ink{fill:none;stroke:$ink;stroke-width:1.6}"
    ".flowing,.filling{fill:none;stroke:$out;stroke-width:3;stroke-linecap:round}"
    ".filling{stroke:$in;stroke-dasharray:2 4}"
    ".grid,.change,.level,.fished,.outgoing,.incoming,.keep,.window,.hatch{fill:none}"
    ".grid{stroke:$rule;stroke-width:.7}"
    ".change,.keep{stroke:$faint;stroke-width:.8;stroke-dasharray:3 3}"
    ".level{stroke:$ink;stroke-width:1.5}.fished{stroke:$accent;stroke-width:4}"
    ".outgoing{stroke:$out;stroke-width:1.9}.incoming{stroke:$in;stroke-width:.8}"
    ".turn{fill:$ink}.slack{fill:$paper;stroke:$ink;stroke-width:1.2}"
    ".score{fill:$soft;stroke:$accent;stroke-width:1}"
    ".window{stroke:$accent;stroke-width:1.8}.session{fill:$accent}"
    ".bait{fill:none;stroke:$ink;stroke-width:1.1}"
    ".shut{fill:none;stroke:$rule;stroke-width:.7}.hatch{stroke:$faint;stroke-width:.7}"
    ".sun,.moon{fill:$ink}.moon{fill:$faint}"
)
SHEET_STYLE = Template(
    ".paper{fill:$paper}.title{font-size:15px;font-weight:600;fill:$ink}.line{font-size:12px;fill:$ink}"
    ".banner{fill:$ink}.warning{font-size:12px;font-weight:600;fill:$paper}"
)
MOST_COLUMNS = 4
"""Spots on one sheet: more would be too small to read."""
HEAD, DAY_HEAD, FOOT, GAP = 70.0, 22.0, 26.0, 8.0
BANNER = 22.0
MARGIN = 6.0
TITLE_LENGTH, NAME_LENGTH = 40, 34


def style(colours: Mapping[str, str]) -> str:
    """Rules for the chart's classes with the given colours, which may be CSS variables."""
    return _STYLE.substitute(colours)


def day_chart(frame: parts.Frame) -> Markup:
    """One day of a spot as SVG content, 360 by 238 units; colours come from classes.

    A date that the place skipped has no hours and an empty chart.
    """
    if frame.day.end <= frame.day.start:
        return Markup()
    drawn = (
        parts.light_bands,
        parts.level_marks,
        parts.hour_marks,
        lanes.score_lane,
        parts.flow_strokes,
        parts.level_line,
        lanes.bait,
        lanes.windows,
        parts.turns,
        lanes.sky_marks,
    )
    labels = (
        parts.turn_labels,
        lanes.point_labels,
        lanes.sky_labels,
        parts.hour_labels,
        parts.change_labels,
    )
    bars, signs = lanes.session_areas(frame), lanes.sky_areas(frame)
    words_of_day = [label for part in labels for label in part(frame)]
    return joined(
        [
            *(part(frame) for part in drawn),
            placed(words_of_day, signs, 0.0, parts.WIDTH),
            placed(lanes.bait_labels(frame), bars, 0.0, parts.WIDTH),
        ]
    )


def svg_days(forecast: Forecast, days: Sequence[DayReport] | None = None) -> str:
    """A sheet of day charts as a standalone SVG: days downwards, spots across (the best four of many).

    Args:
        forecast: finished.
        days: which local days, by any spot's reports; all where None.
    """
    words = words_of(forecast.head)
    wanted = None if days is None else {item.day for item in days}
    columns = drawn_spots(forecast)
    rows = [day.day for day in columns[0].days if wanted is None or day.day in wanted]
    span = span_of_days(rows, words)
    head, top = _head(forecast, words, span, len(columns))
    foot = top + len(rows) * (DAY_HEAD + parts.HEIGHT + GAP)
    body = joined(
        moved(parts.WIDTH * place, 0.0, _column(report, rows, words, top))
        for place, report in enumerate(columns)
    )
    foot_lines, height = _lines(_caution(forecast, len(columns)), len(columns), foot + 12.0)
    rules = style(LIGHT) + SHEET_STYLE.substitute(LIGHT)
    label = f"{plain(forecast.head.title)}, {span}"
    return sheet(len(columns) * parts.WIDTH, height, label, rules, head + body + foot_lines)


def sheet(width: float, height: float, label: str, rules: str, body: Markup) -> str:
    """A standalone SVG with its own rules of style."""
    return str(_SHEET.format(width=width, height=height, label=label, rules=Markup(rules), body=body))


_SHEET = Markup(
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" '
    'width="{width:.0f}" height="{height:.0f}" font-family="sans-serif" role="img" aria-label="{label}">'
    "<style>{rules}</style><title>{label}</title>"
    '<rect class="paper" width="{width:.0f}" height="{height:.0f}"/>{body}</svg>\n'
)


def _column(report: SpotReport, rows: list[date], words: Words, top: float) -> Markup:
    """The chosen days of one spot, one below the other."""
    axis = parts.level_axis(report, words)
    pieces = [text(MARGIN, top - 8.0, short(report.spot.name, NAME_LENGTH), "title")]
    for row, day in enumerate(day for day in report.days if day.day in rows):
        y = top + row * (DAY_HEAD + parts.HEIGHT + GAP)
        pieces.append(text(MARGIN, y + 14.0, _day_line(day, words), "line"))
        pieces.append(moved(0.0, y + DAY_HEAD, day_chart(parts.Frame(report, day, words, axis))))
    return joined(pieces)


def span_of_days(days: list[date], words: Words) -> str:
    """As Mon 10 Aug to Sun 16 Aug 2026, or the one day."""
    first = f"{words.day(days[0])} to " if len(days) > 1 else ""
    return f"{first}{words.day(days[-1])} {days[-1].year}"


def drawn_spots(forecast: Forecast) -> list[SpotReport]:
    """The spots to draw, in the file's order: those that rank best where there are too many."""
    if len(forecast.spots) <= MOST_COLUMNS:
        return list(forecast.spots)
    last = len(forecast.ranking)

    def place(report: SpotReport) -> int:
        return min((item.rank for item in forecast.ranking if item.spot is report.spot), default=last + 1)

    best = sorted(forecast.spots, key=place)[:MOST_COLUMNS]
    return [report for report in forecast.spots if report in best]


def _head(forecast: Forecast, words: Words, span: str, columns: int) -> tuple[Markup, float]:
    pieces: list[Markup] = []
    y = 0.0
    if forecast.head.invented:
        pieces.append(box(0.0, columns * parts.WIDTH, 0.0, BANNER, "banner"))
        pieces.append(text(MARGIN, 15.0, INVENTED, "warning"))
        y = BANNER
    pieces.append(text(MARGIN, y + 20.0, short(forecast.head.title, TITLE_LENGTH), "title"))
    zone = words.zone_words(day_starts(forecast))
    pieces.append(text(MARGIN, y + 38.0, span, "line"))
    pieces.append(text(MARGIN, y + 54.0, f"clock: {zone}", "mark"))
    return joined(pieces), y + HEAD + 18.0


def _day_line(day: DayReport, words: Words) -> str:
    best = day.best
    if best is None:
        return f"{words.day(day.day)}: no window"
    stretch = words.stretch(best.session.start, best.session.end, day.day)
    told = f"{best.session.points.total:.0f} points{chance_short(best.session.chance)}"
    return f"{words.day(day.day)}: {stretch}, {told}"


def _caution(forecast: Forecast, columns: int) -> str:
    left_out = len(forecast.spots) - columns
    more = f" {left_out} more spots are not drawn." if left_out else ""
    words = words_of(forecast.head)
    todays = "".join(f" {sentence}" for sentence in todays_water(forecast, words))
    unseen = not_considered(forecast, words)
    return f"{SHORT} {unseen[0].upper()}{unseen[1:]}.{more}{todays}"


def _lines(sentence: str, columns: int, y: float) -> tuple[Markup, float]:
    lines = textwrap.wrap(sentence, 58 * columns)
    drawn = [text(MARGIN, y + 15.0 * row, line, "line") for row, line in enumerate(lines)]
    return joined(drawn), y + 15.0 * len(lines) + FOOT / 2


def day_starts(forecast: Forecast) -> list[float]:
    """Starts of the local days and the last one's end, POSIX seconds: what the zone's words ask for."""
    days = forecast.spots[0].days
    return [*(day.start for day in days), days[-1].end]
