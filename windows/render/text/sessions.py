"""Sessions as text: a table by rank, a line each, and why they rank."""

from collections.abc import Sequence

from windows.forecast.expected import SHIFT
from windows.forecast.reports import Forecast, SessionReport
from windows.render.text.layout import Column, paragraph, table
from windows.render.words.foreseen import chance_cell, not_considered
from windows.render.words.options import Why
from windows.render.words.phrases import Words, shares
from windows.render.words.ranks import rank_text
from windows.render.words.reasons import light_words, range_words, why

MOST_EXPLAINED = 10
"""Sessions explained at length or in a line; the rest stand in the table and in the machine formats."""


def session_table(sessions: Sequence[SessionReport], words: Words, width: int, with_spot: bool) -> str:
    """Sessions in the order given, a row each."""
    leaving = any(item.leave_by is not None for item in sessions)
    seen = any(item.session.seen is not None for item in sessions)
    columns = [
        Column("Rank", right=True),
        Column("Day", tight=2),
        *([Column("Spot", fold=True)] if with_spot else []),
        Column("Session"),
        *([Column("Leave by", tight=1)] if leaving else []),
        Column("Points, flow+light+moon", fold=seen, tight=1),
        Column("8 in 10", right=True, tight=1),
        *([Column("Chance", right=True)] if seen else []),
        Column("Strongest", right=True),
        Column("Light", fold=True),
    ]
    return table(columns, [_row(item, words, with_spot, leaving, seen) for item in sessions], width)


def _row(item: SessionReport, words: Words, with_spot: bool, leaving: bool, seen: bool) -> list[str]:
    session = item.session
    total, flow, light, moon = shares(session.points, 0)
    given = "-" if item.spot.preferences.lightless else light
    leave = "" if item.leave_by is None else words.day_clock(item.leave_by, item.day)
    return [
        rank_text(item),
        words.day(item.day),
        *([item.spot.name] if with_spot else []),
        words.short_stretch(session.start, session.end, item.day),
        *([leave] if leaving else []),
        f"{total:>3}  {flow}+{given}+{moon}",
        f"{session.low:.0f}-{session.high:.0f}",
        *([chance_cell(session.chance)] if seen else []),
        words.movement(item.strongest.going, item.flow.has_speed),
        light_words(session),
    ]


def explanations(
    forecast: Forecast,
    words: Words,
    width: int,
    length: Why,
    chosen: Sequence[SessionReport] | None = None,
) -> str:
    """Why the chosen sessions rank, or the first few: at length, in a line, or not at all."""
    if not forecast.ranking or length is Why.NONE:
        return ""
    every = chosen or dict.fromkeys((*forecast.firsts, *forecast.ranking))
    explained = list(every)[:MOST_EXPLAINED]
    firsts = {id(item) for item in forecast.firsts}
    at_length = [item for item in explained if length is Why.ALL or id(item) in firsts]
    rest = [item for item in explained if id(item) not in {id(full) for full in at_length}]
    several = len(forecast.spots) > 1
    shift = round(SHIFT / 60)
    lines = [
        paragraph(
            f"Why ({not_considered(forecast, words)}; early or late: the water alone {shift} min)", width
        )
    ]
    for item in at_length:
        lines += ["", *_at_length(item, words, width, several)]
    if rest:
        lines += ["", "The others, in a line each"]
        lines += [paragraph(_in_a_line(item, words, several), width, indent=2, hanging=2) for item in rest]
    left = len(forecast.ranking) - len(explained)
    if left > 0:
        more = f"{left} more are not explained here; --format csv or json has every number of each."
        lines += ["", paragraph(more, width)]
    return "\n".join(lines)


def _place(item: SessionReport, several: bool) -> str:
    return f" at {item.spot.name}" if several else ""


def _at_length(item: SessionReport, words: Words, width: int, several: bool) -> list[str]:
    session = item.session
    when = words.stretch(session.start, session.end, item.day)
    total, flow, light, moon = shares(session.points, 1)
    head = (
        f"{rank_text(item)}. {words.day(item.day)}, {when}{_place(item, several)}: {total} points = "
        f"flow {flow} + light {light} + moon {moon}."
    )
    lines = [paragraph(head, width)]
    lines += [paragraph(text, width, indent=3) for text in why(item, words)]
    lines += [paragraph(f"! {note.value}", width, indent=3, hanging=2) for note in item.notes]
    return lines


def _in_a_line(item: SessionReport, words: Words, several: bool) -> str:
    session = item.session
    when = words.stretch(session.start, session.end, item.day)
    parts = [
        f"{session.points.total:.0f} points ({range_words(session)})",
        light_words(session),
        f"strongest {words.movement(item.strongest.going, item.flow.has_speed)} at "
        f"{words.clock(item.strongest.t)}",
        *(note.value for note in item.notes),
    ]
    return f"{rank_text(item)}. {words.day(item.day)}, {when}{_place(item, several)}: {'; '.join(parts)}."
