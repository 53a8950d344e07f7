"""Why days have no plan, and the nearest that has one, in words."""

from collections.abc import Sequence
from datetime import date

from windows.forecast.reports import DayReport, SpotReport
from windows.outing.no_plan import NoPlan, PlanLack
from windows.outing.reports import PlanList, Plans
from windows.render.words.phrases import Words
from windows.render.words.plans import duration, point_hours
from windows.render.words.reasons import why_none
from windows.render.words.safe_text import named


def no_plan(plans: Plans, item: PlanList, index: int, words: Words) -> str:
    """Why one day of a list has no plan, and the nearest that has one."""
    day = item.days[index]
    none = day.none
    if none is None:
        return ""
    nearest = _nearest(item, day.day, words)
    return _reason(plans, item, index, none, words) + (f"; {nearest}" if nearest else "")


def no_plans(plans: Plans, item: PlanList, words: Words) -> list[str]:
    """Each day without a plan with its reason; days in a row with one reason are told once.

    The nearest day with a plan stands with the first of the days in a row that have the same.
    """
    told: list[tuple[list[date], str, str]] = []
    for index, day in enumerate(item.days):
        if day.none is None:
            continue
        why, nearest = _reason(plans, item, index, day.none, words), _nearest(item, day.day, words)
        if told and told[-1][1:] == (why, nearest):
            told[-1][0].append(day.day)
        else:
            told.append(([day.day], why, nearest))
    befores = ["", *(nearest for _, _, nearest in told)]
    return [
        f"{_days(days, words)}: {why}{f'; {nearest}' if nearest and nearest != before else ''}."
        for (days, why, nearest), before in zip(told, befores, strict=False)
    ]


def _nearest(item: PlanList, day: date, words: Words) -> str:
    found = item.nearest(day)
    return "" if found is None else f"the nearest is {words.day(found.day)}, {point_hours(found.worth)}"


def _days(days: Sequence[date], words: Words) -> str:
    return words.day(days[0]) if len(days) == 1 else f"{words.day(days[0])} to {words.day(days[-1])}"


def _reason(plans: Plans, item: PlanList, index: int, none: NoPlan, words: Words) -> str:
    day = item.days[index]
    if none.instead is not None:
        worth, leave, home = none.instead
        hours = f"{words.day_clock(leave, day.day)}-{words.day_clock(home, day.day)}"
        with_it = f", and without the margin of {duration(plans.outing.margin)}" if none.bare else ""
        told = {
            PlanLack.MARGIN: f"the margin of {duration(plans.outing.margin)} at {named(plans.landing.name)} "
            f"or a way rules it out; without it {point_hours(worth)} out {hours} (`margin` in [outing])",
            PlanLack.LANDING: f"the tide shuts {named(plans.landing.name)} or a way then; were both open, "
            f"{point_hours(worth)}",
            PlanLack.BAIT: f"{_no_bait(none)}; with bait, {point_hours(worth)}",
            PlanLack.LENGTH: f"it takes longer than {duration(plans.outing.longest)}: {point_hours(worth)} "
            f"out {hours}",
            PlanLack.HOURS: f"outside your hours: {point_hours(worth)} out {hours}",
            PlanLack.HOURS_AND_BAIT: f"outside your hours: {point_hours(worth)} out {hours}, with bait "
            "in hand",
        }[none.lack]
        return f"{told}{with_it}"
    if none.lack is PlanLack.NO_TIME:
        home_by, may_leave = words.day_clock(day.home_by, day.day), words.day_clock(day.may_leave, day.day)
        return f"home by {home_by} comes before leaving at {may_leave}"
    if none.lack is PlanLack.FAINT and none.worth is not None:
        return f"worth {_little(none.worth)} at best, {none.needed:g} needed"
    plain_words = {PlanLack.OVER: "already over", PlanLack.DAY_OFF: "not one of your days"}
    return plain_words.get(none.lack) or _water(plans, index, none, words)


def _no_bait(none: NoPlan) -> str:
    """What is wrong with bait: none in time, or to fetch it leaves too little."""
    if none.worth is None:
        return "no bait can be gathered in time"
    return f"to gather bait first leaves {_little(none.worth)}, {none.needed:g} needed"


def _little(worth: float) -> str:
    return point_hours(worth) if worth > 0 else "less than going costs"


def _water(plans: Plans, index: int, none: NoPlan, words: Words) -> str:
    """Why no spot has water: of the one that comes nearest."""
    report, day = _report(plans, none, index)
    name = named(report.spot.name)
    if none.no_window is not None:
        return f"{name} comes nearest: {why_none(day, report, words)}"
    at = "" if none.t is None else f" at {words.day_clock(none.t, day.day)}"
    return f"{name} comes nearest: {none.points:.0f} points{at}, not for long enough"


def _report(plans: Plans, none: NoPlan, index: int) -> tuple[SpotReport, DayReport]:
    report = next(item for item in plans.forecast.spots if item.spot is none.spot)
    return report, report.days[index]
