"""Days out as text: the best day, the days in order, and the timetable with what stands beside it."""

from windows.outing.reports import Plan, PlanList, Plans
from windows.render.text.layout import Column, paragraph, table
from windows.render.text.terminal import closing
from windows.render.words import cautions
from windows.render.words.beside import before_going, beside, ramp_slack
from windows.render.words.foreseen import chance_cell, not_considered
from windows.render.words.phrases import Words, words_of
from windows.render.words.plan_lacks import no_plans
from windows.render.words.plans import (
    group_name,
    headline,
    leg_note,
    leg_words,
    list_heading,
    point_hours,
    rules,
    span_words,
    stops,
)
from windows.render.words.todays import todays_water


def plan_text(plans: Plans, width: int) -> str:
    """The plans of the days asked for, best first, and the best one's timetable."""
    words = words_of(plans.forecast.head)
    parts = [_heading(plans, words, width)]
    for item in plans.lists:
        parts.append(_best_line(plans, item, words, width))
        if plans.days > 1 and item.ranking:
            parts.append(_days_table(plans, item, words, width))
        without = no_plans(plans, item, words)
        if without:
            lines = [paragraph(line, width, indent=2, hanging=2) for line in without]
            parts.append("\n".join(["Days without a plan", *lines]))
    for item in plans.lists:
        if item.ranking:
            parts.append(_timetable(plans, item, item.ranking[0], words, width))
    parts.append("\n".join(paragraph(line, width) for line in rules(plans, words)))
    unseen = not_considered(plans.forecast, words)
    parts.append(paragraph(f"{unseen[0].upper()}{unseen[1:]}.", width))
    return "\n\n".join([*parts, closing(plans.forecast, width)]) + "\n"


def _heading(plans: Plans, words: Words, width: int) -> str:
    forecast = plans.forecast
    lines = [cautions.INVENTED] if forecast.head.invented else []
    days = forecast.spots[0].days[: plans.days]
    lines.append(paragraph(f"{forecast.head.title}, {span_words(plans, words)}", width))
    zone = words.zone_words([*(day.start for day in days), days[-1].end])
    datums = sorted({report.spot.station.datum for report in forecast.spots})
    heights = f"heights in {forecast.head.units.value} above {' or '.join(datums)}"
    lines.append(paragraph(f"Local clock of {zone}; {heights}.", width))
    lines += [paragraph(sentence, width) for sentence in todays_water(forecast, words)]
    return "\n".join(lines)


def _best_line(plans: Plans, item: PlanList, words: Words, width: int) -> str:
    told = list_heading(plans, item)
    if not item.ranking:
        return paragraph(f"{told}.", width)
    more = before_going(item.ranking[0], words)
    return paragraph(f"{told}: {headline(item.ranking[0], words)}{f'; {more}' if more else ''}.", width)


def _days_table(plans: Plans, item: PlanList, words: Words, width: int) -> str:
    seen = any(leg.chance is not None for plan in item.ranking for leg in plan.stops)
    ramp = any(plan.landing is not None for plan in item.ranking)
    columns = [
        Column("Rank", right=True),
        Column("Day"),
        Column("Leave", right=True),
        Column("Stops", fold=True),
        *([Column("Chance", right=True)] if seen else []),
        Column("Home", right=True),
        Column("Worth", right=True),
        *([Column("At the landing", fold=True)] if ramp else []),
    ]
    rows = [
        [
            str(day.plan.rank),
            words.day(day.day),
            words.clock(day.plan.leave),
            ", ".join(stops(day.plan, words, chances=False)),
            *([", ".join(chance_cell(leg.chance) for leg in day.plan.stops)] if seen else []),
            words.day_clock(day.plan.home, day.day),
            f"{day.plan.worth:.0f}",
            *([_landing(day.plan, words)] if ramp else []),
        ]
        for day in item.days
        if day.plan is not None
    ]
    return table(columns, rows, width)


def _landing(plan: Plan, words: Words) -> str:
    return "" if plan.landing is None else ramp_slack(plan.landing, words, plan.day)


def _timetable(plans: Plans, item: PlanList, plan: Plan, words: Words, width: int) -> str:
    name = group_name(plans, item)
    title = f"The plan of {words.day(plan.day)}, {point_hours(plan.worth)}{f', {name}' if name else ''}"
    columns = [Column("From", right=True), Column("To", right=True), Column("What"), Column("How", fold=True)]
    rows = [
        [
            words.day_clock(leg.start, plan.day),
            words.day_clock(leg.end, plan.day),
            leg_words(plans, leg, words),
            leg_note(plans, leg, words),
        ]
        for leg in plan.legs
        if leg.end > leg.start
    ]
    lines = [paragraph(line, width, indent=2, hanging=2) for line in beside(plans, item, plan, words)]
    return "\n".join([paragraph(title, width), "", table(columns, rows, width), "", *lines])
