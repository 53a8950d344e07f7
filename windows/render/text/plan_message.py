"""Days out in one phone message: the best of each list with its times, and the next best."""

from windows.outing.reports import Plan, PlanList, Plans
from windows.render.text.message import LONGEST, NAME_LENGTH, TITLE_LENGTH
from windows.render.words import cautions
from windows.render.words.beside import LONG, before_going, ramp_margin
from windows.render.words.foreseen import chance_beside
from windows.render.words.phrases import Words, words_of
from windows.render.words.plans import NONE_WORTH_IT, group_name, point_hours
from windows.render.words.safe_text import isolated, short
from windows.render.words.todays import todays_water_short


def plan_message(plans: Plans) -> str:
    """The best day out of each list in fewer than 500 characters, the short cautions last.

    Where all does not fit, the last line before the cautions goes first.
    """
    words = words_of(plans.forecast.head)
    head = plans.forecast.head
    top = [cautions.INVENTED] if head.invented else []
    top.append(isolated(short(head.title, TITLE_LENGTH)))
    lines = [line for item in plans.lists for line in _best(plans, item, words)]
    lines += [line for item in plans.lists for line in _next(plans, item, words)]
    if not plans.best:
        lines = [NONE_WORTH_IT]
    todays = todays_water_short(plans.forecast, words)
    lines += [todays] if todays else []
    while len(lines) > 1 and len(_joined(top, lines)) > LONGEST:
        lines.pop()
    return _joined(top, lines)


def _joined(top: list[str], lines: list[str]) -> str:
    return "\n".join([*top, *lines, cautions.SHORT])


def _best(plans: Plans, item: PlanList, words: Words) -> list[str]:
    if not item.ranking:
        return []
    plan = item.ranking[0]
    stops = ", ".join(_stops(plan, words))
    worth = f"{point_hours(plan.worth)} {group_name(plans, item)}".rstrip()
    text = (
        f"{words.day(plan.day)}: leave {words.clock(plan.leave)}, {stops}, "
        f"home {words.day_clock(plan.home, plan.day)}, {worth}"
    )
    more = before_going(plan, words)
    text += f"; {more}" if more else ""
    check = plan.landing
    if check is not None and check.until is not None and check.until - check.clear <= LONG:
        text += f"; landing shuts {words.clock(check.until)}, {ramp_margin(check, check.until)}"
    return [text]


def _stops(plan: Plan, words: Words) -> list[str]:
    """As in the longer text, with short names and clocks alone."""
    told: list[str] = []
    for leg, before in zip(plan.stops, (None, *plan.stops), strict=False):
        if leg.place is None:
            continue
        when = f"{words.clock(leg.start)}-{words.clock(leg.end)}{chance_beside(leg.chance)}"
        if before is not None and before.place is leg.place:
            told[-1] += f" and {when}"
        else:
            told.append(f"{isolated(short(leg.place.name, NAME_LENGTH))} {when}")
    return told


def _next(plans: Plans, item: PlanList, words: Words) -> list[str]:
    following: Plan | None = item.next_best(item.ranking[0]) if item.ranking else None
    if following is None:
        return []
    name = group_name(plans, item)
    next_best = f"Next best {words.day(following.day)}, {point_hours(following.worth)}"
    return [f"{next_best} {name}".rstrip()]
