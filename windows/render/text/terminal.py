"""A forecast as text: the week of a spot, the best sessions, spots side by side."""

from windows.conditions.flow import FlowKind
from windows.forecast.reports import Forecast, Note, SessionReport, SpotReport
from windows.render.text.layout import Column, paragraph, table
from windows.render.text.sessions import explanations, session_table
from windows.render.words import cautions
from windows.render.words.foreseen import full_cautions
from windows.render.words.gates import limit_name, limit_value
from windows.render.words.options import Why
from windows.render.words.phrases import Words, words_of
from windows.render.words.ranks import (
    GROUP_NAMES,
    best_of_groups,
    groups_of,
    hours_words,
    level_words,
    unlike,
)
from windows.render.words.reasons import empty_days
from windows.render.words.todays import todays_water
from windows.shoreline.gates import Measure
from windows.shoreline.spots import WantedWater

MOST_LISTED = 20
"""Sessions in each table of `best`."""


def week(forecast: Forecast, width: int, why: Why = Why.BEST) -> str:
    """Day by day at each spot, then why the sessions rank, then the cautions."""
    words = words_of(forecast.head)
    parts = [heading(forecast, words, width)]
    for report in forecast.spots:
        parts.append(_spot_line(report, words, width))
        parts.append(_best_line(forecast, report, words, width))
        sessions = [item for day in report.days for item in day.sessions]
        if sessions:
            parts.append(session_table(sessions, words, width, with_spot=False))
        parts.append(_empty_days(report, words, width))
    parts += [explanations(forecast, words, width, why), closing(forecast, width)]
    return _joined(parts)


def best(forecast: Forecast, width: int, why: Why = Why.BEST) -> str:
    """Sessions of all spots in order of rank, in two lists where spots do not compare, with reasons."""
    words = words_of(forecast.head)
    parts = [heading(forecast, words, width), _best_lines(forecast, words, width)]
    several = len(forecast.spots) > 1
    for group in groups_of(forecast):
        sessions = forecast.group(group)
        if not sessions:
            continue
        if len(groups_of(forecast)) > 1:
            parts.append(f"{GROUP_NAMES[group][:1].upper()}{GROUP_NAMES[group][1:]}")
        parts.append(session_table(sessions[:MOST_LISTED], words, width, with_spot=several))
        left = len(sessions) - MOST_LISTED
        if left > 0:
            more = f"and {left} of lower rank; --format csv or json has them all."
            parts.append(paragraph(more, width))
    for report in forecast.spots:
        parts.append(_spot_line(report, words, width))
        if not any(day.sessions for day in report.days):
            parts.append(_empty_days(report, words, width))
    if several:
        parts.append(_comparability(forecast, width))
    parts += [explanations(forecast, words, width, why), closing(forecast, width)]
    return _joined(parts)


def compare(forecast: Forecast, width: int, why: Why = Why.BEST) -> str:
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
    parts.append(_best_lines(forecast, words, width))
    parts += [_spot_line(report, words, width) for report in forecast.spots]
    parts.append(_comparability(forecast, width))
    parts += [
        _empty_spots(forecast, words, width),
        explanations(forecast, words, width, why, _best_of_spots(forecast)),
    ]
    parts.append(closing(forecast, width))
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


def closing(forecast: Forecast, width: int) -> str:
    """The cautions that end every text."""
    lines = [paragraph(cautions.EVIDENCE, width), paragraph(cautions.SOLUNAR, width), "", "Cautions"]
    lines += [
        paragraph(text, width, indent=2, hanging=2)
        for text in full_cautions(forecast, words_of(forecast.head))
    ]
    return "\n".join([*lines, paragraph(cautions.SHORT, width)])


def _joined(parts: list[str]) -> str:
    return "\n\n".join(part for part in parts if part) + "\n"


def _spot_line(report: SpotReport, words: Words, width: int) -> str:
    spot = report.spot
    named = {gate: f"{limit_name(gate)} {limit_value(gate, words)}" for gate in spot.limits}
    limits = [text for gate, text in named.items() if gate.measure is Measure.LEVEL]
    if spot.preferences.water is not WantedWater.OUTGOING:
        limits.append(f"fished on {spot.preferences.water.value} water")
    if spot.preferences.lightless:
        limits.append("light counts for nothing here")
    if spot.slack_lag is not None:
        limits.append(f"the water here turns {spot.slack_lag / 60:.0f} min after high and low water")
    elif report.flow.assumed_turn:
        limits.append(Note.ASSUMED_TURN.value)
    if spot.depth_at_datum is not None:
        limits.append(f"depth {words.height(spot.depth_at_datum)} at datum")
    limits += [text for gate, text in named.items() if gate.measure is Measure.DEPTH and gate.value]
    limits += [text for gate, text in named.items() if gate.measure is Measure.CHOP]
    text = f"{spot.name}: flow known by {report.flow.kind.value}"
    hours = hours_words(report, words)
    if hours:
        limits.append(hours)
    return paragraph("; ".join([text, *limits]) + ".", width)


def _best_lines(forecast: Forecast, words: Words, width: int) -> str:
    """The best session of the spots that compare with each other."""
    return "\n".join(
        paragraph(
            f"{' '.join(['Best', *([name] if name else [])])}: {_short(top, words)}"
            f"{level_words(forecast.group(top.group), top, words)}.",
            width,
        )
        for name, top in best_of_groups(forecast)
    )


def _best_line(forecast: Forecast, report: SpotReport, words: Words, width: int) -> str:
    sessions = [item for item in forecast.ranking if item.spot.id == report.spot.id]
    if not sessions:
        return paragraph(f"No window at {report.spot.name} in these days.", width)
    level = level_words(sessions, sessions[0], words)
    return paragraph(f"Best: {_short(sessions[0], words)}{level}.", width)


def _short(report: SessionReport, words: Words) -> str:
    session = report.session
    when = words.stretch(session.start, session.end, report.day)
    leave = "" if report.leave_by is None else f", leave by {words.day_clock(report.leave_by, report.day)}"
    return (
        f"{words.day(report.day)}, {when} at {report.spot.name}, {session.points.total:.0f} of 100 points"
        f"{leave}"
    )


def _cell(report: SessionReport, words: Words) -> str:
    session = report.session
    return f"{session.points.total:.0f}  {words.short_stretch(session.start, session.end, report.day)}"


def _empty_days(report: SpotReport, words: Words, width: int) -> str:
    lines = [paragraph(text, width, indent=2, hanging=2) for text in empty_days(report, words)]
    return "\n".join(["Days without a window", *lines]) if lines else ""


def _empty_spots(forecast: Forecast, words: Words, width: int) -> str:
    parts = [
        f"{report.spot.name}\n{_empty_days(report, words, width)}"
        for report in forecast.spots
        if not any(day.sessions for day in report.days)
    ]
    return "\n\n".join(parts)


def _best_of_spots(forecast: Forecast) -> list[SessionReport]:
    """The best session of each spot, in the forecast's order."""
    first: dict[str, SessionReport] = {}
    for item in forecast.ranking:
        first.setdefault(item.spot.id, item)
    return list(first.values())


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
