"""What stands beside a plan in words: what moves gain, other water, the landing, bait, assumed ways."""

from collections.abc import Sequence
from datetime import date

from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.outing.beside import ERRAND_COST, WITHOUT_COST, AtBadTenth, BaitSource, GateUse, IfShifted
from windows.outing.reports import Leg, LegKind, Plan, PlanList, Plans, Spent
from windows.render.words.bait import OVERNIGHT, burrows
from windows.render.words.foreseen import hundred
from windows.render.words.phrases import Words
from windows.render.words.plans import UNIT, bait_before, duration, headline, kept_words, point_hours
from windows.render.words.safe_text import named
from windows.shoreline.outings import DETOUR, WALKING_SPEED
from windows.shoreline.routes import Place, Route, RouteSource

LONG = 4 * 3600.0
"""Seconds: nobody counts the minutes of so much time to spare."""
WORTH_SAYING = 3600.0
"""Seconds of waiting."""
TENTH = 0.1
"""A place that is shut in fewer of the cases than this is shut beyond the bad tenth."""
_NUMBERS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


def beside(plans: Plans, item: PlanList, plan: Plan, words: Words) -> list[str]:
    """Sentences that stand beside a plan: what moves gain, the water early and late, the ramp, what else."""
    lines = [_gains(plan, words), *_waiting(plan), *_early_or_late(plan, words)]
    lines += [*_ramp(plans, plan, words), *_ways(plan, words), *_margin(plans, plan, words)]
    lines += bait_words(plan, words)
    if plan.dark:
        told = " and ".join(words.stretch(start, end, plan.day) for start, end in plan.dark)
        lines.append(f"Dark {told}: carry a light and tell someone ashore.")
    lines += _assumed(plans, plan)
    following = item.next_best(plan)
    if following is not None:
        lines.append(f"Next best: {headline(following, words)}.")
    return lines


def _gains(plan: Plan, words: Words) -> str:
    single = plan.single
    when = words.stretch(single.start, single.end, plan.day)
    if not plan.moves:
        return "No move gains anything: one stop is best that day."
    moves = [after - before for before, after in zip(plan.by_moves[:-1], plan.by_moves[1:], strict=True)]
    gained = ", ".join(
        f"the {_NUMBERS[i] if i < len(_NUMBERS) else f'{i + 1}th'} move adds {gain:.0f}"
        for i, gain in enumerate(moves)
    )
    return (
        f"One stop alone, {named(single.spot.name)} {when}, gives {point_hours(single.worth)}; "
        f"{gained}, each move's cost paid."
    )


def _waiting(plan: Plan) -> list[str]:
    waited = sum(seconds for leg in plan.legs for what, seconds in leg.spent if what is Spent.WAIT)
    if waited < WORTH_SAYING:
        return []
    return [f"{duration(waited)} of the {duration(plan.home - plan.leave)} out is waiting."]


def _early_or_late(plan: Plan, words: Words) -> list[str]:
    lines = []
    if plan.range is not None:
        low, high = plan.range
        lines.append(f"In eight cases of ten {low:.0f} to {point_hours(high)}.")
    told = [_shifted(item, words) for item in plan.shifted]
    if plan.bad_tenth is not None:
        told.append(_at_bad_tenth(plan.bad_tenth))
    return [*lines, f"The same hours with the water {'; '.join(told)}."]


def _shifted(item: IfShifted, words: Words) -> str:
    when = "as predicted"
    if item.seconds:
        when = f"{abs(item.seconds) / 60:.0f} min {'early' if item.seconds < 0 else 'late'}"
    text = f"{when}: {point_hours(item.worth)}"
    if item.broken:
        shut = [
            ("the way to " * broken.way + named(broken.place.name), f"at {words.clock(broken.t)}")
            for broken in item.broken
        ]
        text += f", but {_are_shut(shut)}"
    return text


def _at_bad_tenth(found: AtBadTenth) -> str:
    """Worth that nine cases of ten reach, and what is shut in one of ten or more."""
    text = f"at the record's bad tenth: {point_hours(found.worth)}"
    often = [
        (named(shut.place.name), f"in {hundred(shut.share)} of 100 cases")
        for shut in found.shut
        if shut.share >= TENTH
    ]
    return f"{text}, but {_are_shut(often)}" if often else text


def _are_shut(places: Sequence[tuple[str, str]]) -> str:
    """As "Ramp is shut at 19:05, Quay at 20:10", of places and when or how often they are."""
    (first, when), *rest = places
    return ", ".join([f"{first} is shut {when}", *(f"{place} {then}" for place, then in rest)])


def before_going(plan: Plan, words: Words) -> str:
    """What must be known with a day's headline: bait fetched before, and what is often shut; mostly empty."""
    shut = () if plan.bad_tenth is None else plan.bad_tenth.shut
    often = [
        f"{named(item.place.name)}, or the way there, is shut in {hundred(item.share)} of 100 cases"
        for item in shut
        if item.share >= TENTH
    ]
    return "; ".join(filter(None, (bait_before(plan, words), *often)))


def _ramp(plans: Plans, plan: Plan, words: Words) -> list[str]:
    if plan.landing is None or plan.launching is None:
        return []
    name = named(plans.landing.name)
    check = plan.landing
    text = f"Back at {name} {words.day_clock(check.t, plan.day)}"
    if check.clear > check.t:
        text += f", out of the water {words.clock(check.clear)}"
    text += _to_spare(check, words)
    return [f"{text}; {ramp_slack(check, words, plan.day)}."]


def _to_spare(use: GateUse, words: Words) -> str:
    return "" if use.spare is None else f" with {words.height(use.spare)} to spare"


def ramp_slack(check: GateUse, words: Words, day: date) -> str:
    """How long the landing stays open once it is needed no longer."""
    if check.until is None:
        return "it stays open for a day and more"
    until = words.day_clock(check.until, day)
    if check.until - check.clear > LONG:
        return f"it stays open until {until}"
    return f"it shuts at {until}, {ramp_margin(check, check.until)}"


def ramp_margin(check: GateUse, until: float) -> str:
    """The time to spare at a landing that shuts, counted from the end of its use."""
    return _after(until - check.clear, "out" if check.clear > check.t else "back")


def _after(slack: float, done: str) -> str:
    return f"{duration(slack)} after you are {done}" if slack else f"just as you are {done}"


def _ways(plan: Plan, words: Words) -> list[str]:
    """How long the ways that the water shuts stay open once they are passed, where that is not long."""
    return [
        f"The way to {named(leg.place.name)}, passed {words.stretch(use.t, use.clear, plan.day)}"
        f"{_to_spare(use, words)}: it shuts at {words.day_clock(use.until, plan.day)}, "
        f"{_after(use.until - use.clear, 'across')}."
        for leg, use in _gates(plan)
        if leg.kind is LegKind.TRAVEL and leg.place is not None
        if use.until is not None and use.until - use.clear <= LONG
    ]


def _gates(plan: Plan) -> list[tuple[Leg, GateUse]]:
    return [(leg, leg.gate) for leg in plan.legs if leg.gate is not None]


def _margin(plans: Plans, plan: Plan, words: Words) -> list[str]:
    """What the margin decided: where the plan keeps it and no more, and what the day would give without."""
    kept = [told for leg, use in _gates(plan) for told in kept_words(use, _gate_name(leg), words, plan.day)]
    lines = [f"Kept {', '.join([*kept[:-2], ' and '.join(kept[-2:])])}."] if kept else []
    if plan.without_margin is not None:
        worth, leave, home = plan.without_margin
        out = words.stretch(leave, home, plan.day)
        margin = duration(plans.outing.margin)
        lines.append(f"Without the margin of {margin}: {point_hours(worth)}, out {out}.")
    return lines


def _gate_name(leg: Leg) -> str:
    name = "" if leg.place is None else named(leg.place.name)
    return f"the way to {name}" if leg.kind is LegKind.TRAVEL else name


def bait_words(plan: Plan, words: Words) -> list[str]:
    """Where the day's bait comes from, and when it is gathered."""
    taken = plan.bait
    if taken is None:
        return []
    if taken.source is BaitSource.WITHOUT or taken.bank is None:
        return [
            f"Without bait of your own, which counts {WITHOUT_COST:g} {UNIT}: to gather some that day would "
            "cost more, or can't be done."
        ]
    text, cost = f"Bait from {named(taken.bank.name)}", ""
    if taken.window is None:
        text += ", gathered on the way"
    else:
        window = taken.window
        start, end = (words.day_clock(t, plan.day) for t in (window.start, window.end))
        text += f" beforehand, {start} ({window.opened_by.value}) to {end} ({window.closed_by.value})"
        if words.local(window.end).date() != words.local(plan.leave).date():
            text += OVERNIGHT[taken.bank.bait]
        cost = f" The extra way counts {ERRAND_COST:g} {UNIT}."
    if taken.bank.warm_only:
        text += burrows(None)
    return [f"{text}.{cost}"]


def _assumed(plans: Plans, plan: Plan) -> list[str]:
    """Ways whose time the file does not give, and how it was found."""
    if plans.boat is None:
        speed = f"{WALKING_SPEED * 3.6:g} km/h on foot"
    else:
        speed = f"{plans.boat.speed / METRES_PER_SECOND_PER_KNOT:g} kn"
    measured = [_way(*way) for way in plan.assumed if way[2].source is RouteSource.DISTANCE]
    told = [_way(*way) for way in plan.assumed if way[2].source is RouteSource.BANK_AWAY]
    lines: list[str] = []
    if measured:
        lines.append(
            f"Assumed, as straight lines x {DETOUR:g} at {speed}: {'; '.join(measured)}. "
            "Time them once and write [[ways]]."
        )
    if told:
        lines.append(f"As the spot says of its bank: {'; '.join(told)}.")
    return lines


def _way(one: Place, other: Place, route: Route) -> str:
    text = f"{named(one.name)} - {named(other.name)} {duration(route.seconds)}"
    return text if route.metres is None else f"{text} ({route.metres / 1000.0:.1f} km)"
