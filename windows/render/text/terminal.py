"""A forecast as text: the week of a spot, the best sessions, spots side by side."""

from collections.abc import Sequence

from windows.conditions.flow import FlowKind
from windows.forecast.planning import SHIFT
from windows.forecast.reports import Forecast, Note, SessionReport, SpotReport
from windows.render.text.layout import Column, paragraph, table
from windows.render.words import cautions
from windows.render.words.gates import limit_name, limit_value
from windows.render.words.likeness import best_of_alike, unlike
from windows.render.words.phrases import Words, shares, words_of
from windows.render.words.reasons import why, why_none
from windows.render.words.todays import todays_water
from windows.shoreline.gates import Measure

MOST_LISTED = 20
"""Sessions in the table of `best`."""
MOST_EXPLAINED = 10
"""Sessions explained at length; the rest stand in the table and in the machine formats."""


def week(forecast: Forecast, width: int) -> str:
    """Day by day at each spot, then why the sessions rank, then the cautions."""
    words = words_of(forecast.head)
    parts = [heading(forecast, words, width)]
    for report in forecast.spots:
        parts.append(_spot_line(report, words, width))
        parts.append(_best_line(forecast, report, words, width))
        sessions = [item for day in report.days for item in day.sessions]
        if sessions:
            parts.append(_session_table(forecast, sessions, words, width, with_spot=False))
        parts.append(_empty_days(report, words, width))
    parts += [_explanations(forecast, words, width), closing(width)]
    return _joined(parts)


def best(forecast: Forecast, width: int) -> str:
    """Sessions of all spots in order of rank, with reasons."""
    words = words_of(forecast.head)
    parts = [heading(forecast, words, width)]
    several = len(forecast.spots) > 1
    if forecast.ranking:
        top = list(forecast.ranking[:MOST_LISTED])
        parts.append(_session_table(forecast, top, words, width, with_spot=several))
        left = len(forecast.ranking) - len(top)
        if left:
            more = f"and {left} of lower rank; --format csv or json has them all."
            parts.append(paragraph(more, width))
    for report in forecast.spots:
        parts.append(_spot_line(report, words, width))
        if not any(day.sessions for day in report.days):
            parts.append(_empty_days(report, words, width))
    if several:
        parts.append(_comparability(forecast, width))
    parts += [_explanations(forecast, words, width), closing(width)]
    return _joined(parts)


def compare(forecast: Forecast, width: int) -> str:
    """Spots side by side by day, each with its best session, then what may be compared."""
    words = words_of(forecast.head)
    columns = [
        Column("Day"),
        *(Column(report.spot.name, fold=True) for report in forecast.spots),
    ]
    rows: list[list[str]] = []
    for index, day in enumerate(forecast.spots[0].days):
        row = [words.day(day.day)]
        for report in forecast.spots:
            best_here = report.days[index].best
            row.append(_cell(best_here, words) if best_here else "-")
        rows.append(row)
    parts = [heading(forecast, words, width), table(columns, rows, width)]
    parts += [_spot_line(report, words, width) for report in forecast.spots]
    parts.append(_comparability(forecast, width))
    parts.append(_best_lines(forecast, words, width))
    parts += [
        _empty_spots(forecast, words, width),
        _explanations(forecast, words, width, _best_of_spots(forecast)),
    ]
    parts.append(closing(width))
    return _joined(parts)


def heading(forecast: Forecast, words: Words, width: int) -> str:
    """Title, span, zone and units; the invented notice before anything else."""
    lines = [cautions.INVENTED] if forecast.head.invented else []
    lines.append(paragraph(f"{forecast.head.title}, {words.span(forecast)}", width))
    days = forecast.spots[0].days
    zone = words.zone_words([*(day.start for day in days), days[-1].end])
    datums = sorted({report.spot.station.datum for report in forecast.spots})
    heights = f"heights in {forecast.head.units.value} above {' or '.join(datums)}"
    lines.append(paragraph(f"Local clock of {zone}; {heights}.", width))
    lines += [paragraph(sentence, width) for sentence in todays_water(forecast, words)]
    return "\n".join(lines)


def closing(width: int) -> str:
    """The cautions that end every text."""
    lines = [paragraph(cautions.EVIDENCE, width), paragraph(cautions.SOLUNAR, width), "", "Cautions"]
    lines += [paragraph(text, width, indent=2, hanging=2) for text in cautions.FULL]
    return "\n".join([*lines, paragraph(cautions.SHORT, width)])


def _joined(parts: list[str]) -> str:
    return "\n\n".join(part for part in parts if part) + "\n"


def _spot_line(report: SpotReport, words: Words, width: int) -> str:
    spot = report.spot
    named = {gate: f"{limit_name(gate)} {limit_value(gate, words)}" for gate in spot.limits}
    limits = [text for gate, text in named.items() if gate.measure is Measure.LEVEL]
    if spot.slack_lag is not None:
        limits.append(f"the water here turns {spot.slack_lag / 60:.0f} min after high and low water")
    elif report.flow.assumed_turn:
        limits.append(Note.ASSUMED_TURN.value)
    if spot.depth_at_datum is not None:
        limits.append(f"depth {words.height(spot.depth_at_datum)} at datum")
    limits += [text for gate, text in named.items() if gate.measure is Measure.DEPTH and gate.value]
    text = f"{spot.name}: flow known by {report.flow.kind.value}"
    if not report.hours.any:
        limits.append(f"fished {report.hours.text}")
    return paragraph("; ".join([text, *limits]) + ".", width)


def _best_lines(forecast: Forecast, words: Words, width: int) -> str:
    """The best session of the spots that compare with each other."""
    return "\n".join(
        paragraph(f"{' '.join(['Best', *([name] if name else [])])}: {_short(top, words)}.", width)
        for name, top in best_of_alike(forecast)
    )


def _best_line(forecast: Forecast, report: SpotReport, words: Words, width: int) -> str:
    top = next((item for item in forecast.ranking if item.spot.id == report.spot.id), None)
    if top is None:
        return paragraph(f"No window at {report.spot.name} in these days.", width)
    return paragraph(f"Best: {_short(top, words)}.", width)


def _short(report: SessionReport, words: Words) -> str:
    session = report.session
    when = words.stretch(session.start, session.end, report.day)
    return f"{words.day(report.day)}, {when} at {report.spot.name}, {session.points.total:.0f} of 100 points"


def _cell(report: SessionReport, words: Words) -> str:
    session = report.session
    return f"{session.points.total:.0f}  {words.short_stretch(session.start, session.end, report.day)}"


def _session_table(
    forecast: Forecast, sessions: list[SessionReport], words: Words, width: int, with_spot: bool
) -> str:
    columns = [
        Column("Rank", right=True),
        Column("Day"),
        *([Column("Spot", fold=True)] if with_spot else []),
        Column("Session"),
        Column("Window"),
        Column("Points, flow+light+moon"),
        Column("Water", right=True),
        Column("Light"),
    ]
    rows = []
    for item in sessions:
        session, points = item.session, item.session.points
        has_speed = item.flow.has_speed
        total, flow, light, moon = shares(points, 0)
        rows.append(
            [
                str(item.rank),
                words.day(item.day),
                *([item.spot.name] if with_spot else []),
                words.short_stretch(session.start, session.end, item.day),
                words.short_stretch(session.window.start, session.window.end, item.day),
                f"{total:>3}  {flow}+{light}+{moon}",
                words.movement(item.peak.outgoing, has_speed),
                session.window.light.value,
            ]
        )
    return table(columns, rows, width)


def _empty_days(report: SpotReport, words: Words, width: int) -> str:
    lines = [
        paragraph(f"{words.day(day.day)}: {why_none(day, report.flow, words)}.", width, indent=2, hanging=2)
        for day in report.days
        if day.no_window is not None
    ]
    return "\n".join(["Days without a window", *lines]) if lines else ""


def _empty_spots(forecast: Forecast, words: Words, width: int) -> str:
    parts = [
        f"{report.spot.name}\n{_empty_days(report, words, width)}"
        for report in forecast.spots
        if not any(day.sessions for day in report.days)
    ]
    return "\n\n".join(parts)


def _explanations(
    forecast: Forecast, words: Words, width: int, chosen: Sequence[SessionReport] | None = None
) -> str:
    """Reasons of the chosen sessions, of the best few where none are named; each under its rank."""
    if not forecast.ranking:
        return ""
    explained = forecast.ranking[:MOST_EXPLAINED] if chosen is None else chosen
    several = len(forecast.spots) > 1
    shift = round(SHIFT / 60)
    title = f"Why they rank (best first; {cautions.UNSEEN}; early or late: the water alone {shift} min)"
    lines = [paragraph(title, width)]
    for item in explained:
        session = item.session
        place = f" at {item.spot.name}" if several else ""
        when = words.stretch(session.start, session.end, item.day)
        total, flow, light, moon = shares(session.points, 1)
        lines.append("")
        lines.append(
            paragraph(
                f"{item.rank}. {words.day(item.day)}, {when}{place}: {total} points = "
                f"flow {flow} + light {light} + moon {moon}.",
                width,
            )
        )
        for text in why(item, words):
            lines.append(paragraph(text, width, indent=3))
        for note in item.notes:
            lines.append(paragraph(f"! {note.value}", width, indent=3, hanging=2))
    left = len(forecast.ranking) - len(explained)
    if left > 0:
        more = f"{left} more are not explained here; --format csv or json has every number of each."
        lines += ["", paragraph(more, width)]
    return "\n".join(lines)


def _best_of_spots(forecast: Forecast) -> list[SessionReport]:
    """The best session of each spot, best first."""
    first: dict[str, SessionReport] = {}
    for item in forecast.ranking:
        first.setdefault(item.spot.id, item)
    return list(first.values())[:MOST_EXPLAINED]


def _comparability(forecast: Forecast, width: int) -> str:
    """What each spot's flow is worth, and which spots do not compare."""
    names: dict[FlowKind, list[str]] = {}
    for report in forecast.spots:
        names.setdefault(report.flow.kind, []).append(report.spot.name)
    lines = ["What each flow is worth"]
    for kind in FlowKind:
        if kind in names:
            text = f"{', '.join(names[kind])}: {kind.value}, {kind.trust}."
            lines.append(paragraph(text, width, indent=2, hanging=2))
    apart = unlike(forecast)
    if apart:
        lines.append(paragraph(apart, width, indent=2, hanging=2))
    return "\n".join(lines)
