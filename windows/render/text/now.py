"""The water of this minute on one screen, and as a phone message."""

from windows.forecast.now import NowReport, SpotNow
from windows.render.text.layout import Column, paragraph, table
from windows.render.text.message import LONGEST, NAME_LENGTH, TITLE_LENGTH
from windows.render.words import cautions
from windows.render.words.now import moves, next_session, since_until, what_to_do
from windows.render.words.phrases import Words, words_of
from windows.render.words.ranks import unlike
from windows.render.words.safe_text import isolated, plain, short
from windows.render.words.todays import todays_water, todays_water_short


def now_text(report: NowReport, width: int) -> str:
    """A row a spot: level, depth, flow, points, and the window one is in or the next session."""
    words = words_of(report.head)
    datums = sorted({item.spot.station.datum for item in report.spots})
    lines = [cautions.INVENTED] if report.head.invented else []
    lines.append(paragraph(f"{plain(report.head.title)}, {_when(report, words)}", width))
    heights = f"heights in {report.head.units.value} above {' or '.join(datums)}"
    lines.append(paragraph(f"Local clock of {words.zone_words([report.t])}; {heights}.", width))
    lines += [paragraph(sentence, width) for sentence in todays_water(report.forecast, words)]
    columns = [
        Column("Spot", fold=True),
        Column("Level", right=True),
        *([Column("Depth", right=True)] if _deep(report) else []),
        Column("Water"),
        Column("Since"),
        Column("Until"),
        Column("Points", right=True),
        Column("What to do", fold=True),
    ]
    rows = [_row(item, words, _deep(report)) for item in report.spots]
    parts = ["\n".join(lines), table(columns, rows, width)]
    apart = unlike(report.forecast)
    parts += [paragraph(apart, width)] if apart else []
    return "\n\n".join([*parts, paragraph(cautions.SHORT, width)]) + "\n"


def now_message(report: NowReport) -> str:
    """The same in fewer than 500 characters: as many spots as fit, the short cautions last."""
    words = words_of(report.head)
    top = [cautions.INVENTED] if report.head.invented else []
    top.append(f"{isolated(short(report.head.title, TITLE_LENGTH))}, {_when(report, words)}")
    todays = todays_water_short(report.forecast, words)
    end = [*([todays] if todays else []), cautions.SHORT]
    every = [_line(item, words) for item in report.spots]
    text = ""
    for count in range(len(every) + 1):
        left = len(every) - count
        more = [f"and {left} more spot{'s' if left > 1 else ''}"] if left else []
        longer = "\n".join([*top, *every[:count], *more, *end])
        if text and len(longer) > LONGEST:
            break
        text = longer
    return text + "\n"


def _when(report: NowReport, words: Words) -> str:
    local = words.local(report.t)
    return f"{words.day(local.date())} {local.year}, {words.clock(report.t)}"


def _deep(report: NowReport) -> bool:
    return any(item.reading.depth is not None for item in report.spots)


def _row(item: SpotNow, words: Words, deep: bool) -> list[str]:
    depth = item.reading.depth
    return [
        plain(item.spot.name),
        words.height(item.reading.level),
        *([("-" if depth is None else words.height(depth))] if deep else []),
        moves(item, words),
        *since_until(item, words),
        f"{item.points.total:.0f}",
        what_to_do(item, words),
    ]


def _line(item: SpotNow, words: Words) -> str:
    name = isolated(short(item.spot.name, NAME_LENGTH))
    _, until = since_until(item, words)
    what = what_to_do(item, words) if item.window is not None else next_session(item, words)
    return f"{name}: {words.height(item.reading.level)}, {moves(item, words)} until {until}; {what}"
