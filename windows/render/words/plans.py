"""Days out in words: the headline, what each leg is, what stands beside a plan, why a day has none."""

from datetime import date

from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.outing.beside import WITHOUT_COST, GateUse
from windows.outing.reports import FlowGroup, Leg, LegKind, Plan, PlanList, Plans, Spent
from windows.render.words import cautions
from windows.render.words.foreseen import chance_beside, chance_short, unknown_chance, wind_words
from windows.render.words.lead import weights_of
from windows.render.words.phrases import Words
from windows.render.words.ranks import unlike
from windows.render.words.safe_text import named, short
from windows.shoreline.outings import BaitWish

UNIT = "point-hours"
NONE_WORTH_IT = "No day out is worth going in these days."
_GROUPS = {
    FlowGroup.SPEED: "of the spots with a speed",
    FlowGroup.FALL: "of the spots known by their fall alone",
    FlowGroup.MIXED: "",
}
_SPENT = {
    Spent.LAUNCH: "at {place}",
    Spent.WAY: "on the way",
    Spent.WAIT: "to wait",
    Spent.SET_UP: "to set up",
    Spent.SETTLE: "to settle",
}


def group_name(plans: Plans, item: PlanList) -> str:
    """Which spots a list is of; empty where there is but one list."""
    return _GROUPS[item.group] if len(plans.lists) > 1 else ""


def list_heading(plans: Plans, item: PlanList) -> str:
    """What a list answers, as Best day out of the spots with a speed."""
    name = group_name(plans, item)
    if item.ranking:
        return f"Best day out {name}".rstrip()
    return f"{f'No day out {name}'.rstrip()} is worth going in these days"


def span_words(plans: Plans, words: Words) -> str:
    """The days asked for and the landing, as days out Mon 10 Aug to Sun 23 Aug 2026, from Cane ramp."""
    days = plans.forecast.spots[0].days[: plans.days]
    first, last = days[0].day, days[-1].day
    start = f"{words.day(first)} to " if last != first else ""
    return f"days out {start}{words.day(last)} {last.year}, from {named(plans.landing.name)}"


def point_hours(worth: float) -> str:
    """As 441 point-hours."""
    return f"{worth:.0f} {UNIT}"


def duration(seconds: float) -> str:
    """As 35 min or 2 h 05 min."""
    minutes = round(seconds / 60.0)
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{minutes} min"
    return f"{hours} h {rest:02d} min" if rest else f"{hours} h"


def level_line(name: str, low: float, high: float, words: Words) -> str:
    """What the level does at a landing over a strip of time."""
    return f"level at {short(name, 24)}: {words.number(low)} to {words.height(high)}"


def stops(plan: Plan, words: Words, chances: bool = True) -> list[str]:
    """Each stop as Marsh drain 14:35-20:30 (chance 85 %), the chance where it is known and asked for.

    Stretches of one stay are told together, as Marsh drain 14:35-17:00 and 18:10-20:30.
    """
    told: list[str] = []
    for leg, before in zip(plan.stops, (None, *plan.stops), strict=False):
        if leg.place is None:
            continue
        when = words.stretch(leg.start, leg.end, plan.day)
        chance = chance_beside(leg.chance) if chances else ""
        if before is not None and before.place is leg.place:
            told[-1] += f" and {when}{chance}"
        else:
            told.append(f"{named(leg.place.name)} {when}{chance}")
    return told


def headline(plan: Plan, words: Words) -> str:
    """The whole day in one sentence's middle: leave, stops, home, worth."""
    return (
        f"{words.day(plan.day)}, leave {words.day_clock(plan.leave, plan.day)}, "
        f"{', then '.join(stops(plan, words))}, home {words.day_clock(plan.home, plan.day)}: "
        f"{point_hours(plan.worth)}"
    )


def bait_before(plan: Plan, words: Words) -> str:
    """As "bait from Mullet flat beforehand, Fri 21 Aug 16:02-19:24"; empty where none is fetched before."""
    taken = plan.bait
    if taken is None or taken.bank is None or taken.window is None:
        return ""
    when = words.stretch(taken.window.start, taken.window.end, plan.day)
    return f"bait from {named(taken.bank.name)} beforehand, {when}"


def leg_words(plans: Plans, leg: Leg, words: Words) -> str:
    """What a leg is, as To Marsh drain."""
    name = "" if leg.place is None else named(leg.place.name)
    if leg.kind is LegKind.TRAVEL and leg.route is None:
        return f"Stay at {name}"
    on_foot = plans.boat is None
    return {
        LegKind.LEAVE: f"Leave for {name}",
        LegKind.GATHER: f"Gather bait at {name}",
        LegKind.TRAVEL: f"To {name}",
        LegKind.FISH: f"Fish {name}",
        LegKind.LAND: f"Back at {name}" if on_foot else f"Take out at {name}",
        LegKind.HOME: "Home",
    }[leg.kind]


def leg_note(plans: Plans, leg: Leg, words: Words) -> str:
    """What a leg's time and water are, in one line; empty where there is nothing to say."""
    parts = _time_parts(plans, leg)
    if leg.wind is not None:
        parts.append(wind_words(leg.wind.speed, leg.wind.gust, leg.wind.whence))
    if leg.kind is LegKind.FISH:
        parts = _fishing(leg, words)
    elif leg.level is not None:
        parts.append(f"level {words.height(leg.level)}")
        if leg.depth is not None:
            parts.append(f"depth {words.height(leg.depth)}")
        if leg.depth is not None and plans.boat is not None:
            parts.append(f"{words.height(leg.depth - plans.boat.draft)} under the boat")
    if leg.gate is not None:
        gate = "the way" if leg.kind is LegKind.TRAVEL else "the landing"
        day = words.local(leg.start).date()
        parts += [f"kept {told}" for told in kept_words(leg.gate, gate, words, day)]
    return ", ".join(parts)


def kept_words(use: GateUse, name: str, words: Words, day: date) -> list[str]:
    """As "15 min before Cane ramp shuts at 18:40": the margin, where a plan keeps it and no more."""
    told = []
    if use.kept_after is not None and use.since is not None:
        told.append(f"{duration(use.kept_after)} after {name} opens at {words.day_clock(use.since, day)}")
    if use.kept_before is not None and use.until is not None:
        told.append(f"{duration(use.kept_before)} before {name} shuts at {words.day_clock(use.until, day)}")
    return told


def _time_parts(plans: Plans, leg: Leg) -> list[str]:
    out: list[str] = []
    for what, seconds in leg.spent:
        told = _SPENT.get(what, "")
        if what is Spent.HOME_WAY:
            told = "there" if leg.kind is LegKind.LEAVE else "home"
        elif what is Spent.LAUNCH:
            told = ("to launch" if leg.kind is LegKind.LEAVE else "to take out") if plans.boat else "there"
        elif what is Spent.WAIT and leg.place is plans.landing:
            told = "to wait for the landing" if _is_last(out) else "to wait"
        out.append(f"{duration(seconds)} {told}")
    return out


def _is_last(parts: list[str]) -> bool:
    return any(part.endswith("on the way") for part in parts)


def _fishing(leg: Leg, words: Words) -> list[str]:
    start, best, end = leg.readings
    mean = leg.worth * 3600.0 / (leg.end - leg.start)
    parts = [
        f"{mean:.0f} points on average{chance_short(leg.chance)}, best at {words.clock(best.t)}",
        f"level {_run(start.level, end.level, words)}",
    ]
    if start.depth is not None and end.depth is not None:
        parts.append(f"depth {_run(start.depth, end.depth, words)}")
    if leg.speed is not None:
        speeds = [item.going / METRES_PER_SECOND_PER_KNOT for item in leg.readings]
        parts.append(f"{', '.join(f'{speed:.1f}' for speed in speeds)} kn at start, best and end")
    else:
        parts.append(f"falls {words.movement(best.going, False)}")
    if best.lead is not None:
        parts.append(f"lead {weights_of([best.lead], words.units)}")
    if leg.lead_slips is not None:
        parts.append(f"your heaviest lead may slip from {words.clock(leg.lead_slips)}")
    return parts


def _run(start: float, end: float, words: Words) -> str:
    return f"{words.number(start)} to {words.height(end)}"


def rules(plans: Plans, words: Words) -> list[str]:
    """What worth is and what the plans were bound by."""
    outing = plans.outing
    hours = (
        f"out between {outing.leave_after.text} and {outing.home_by.text}, {duration(outing.longest)} at most"
    )
    lines = [
        f"Worth is expected points x hours: two hours at 80 points are 160 {UNIT}. Water below a spot's keep "
        f"mark counts nothing, a move costs {outing.move_cost:g}, a day is worth going from {outing.keep:g}.",
        f"Planned: {hours}; at each spot {duration(outing.move)} to set up and {duration(outing.settle)} "
        f"to settle before fishing counts; at most {outing.most_moves} moves.",
        *_margin(plans),
    ]
    if len(plans.lists) > 1:
        lines.append(unlike(plans.forecast))
    elif plans.lists[0].group is FlowGroup.MIXED and unlike(plans.forecast):
        lines.append(f"Mixed as asked: {cautions.FALL_ONLY[0].lower()}{cautions.FALL_ONLY[1:]}")
    unknown = unknown_chance(plans.forecast)
    if unknown:
        lines.append(unknown)
    if outing.bait is not BaitWish.NONE:
        wish = "Bait is needed" if outing.bait is BaitWish.NEEDED else "Bait if possible"
        without = f"; to go without counts {WITHOUT_COST:g} {UNIT}"
        cost = without if outing.bait is BaitWish.IF_POSSIBLE else ""
        lines.append(f"{wish}: {duration(outing.gather)} of gathering{cost}.")
    return lines


def _margin(plans: Plans) -> list[str]:
    """The margin that was kept, and that other water may use it up; none where no water shuts a thing."""
    if not plans.gated:
        return []
    margin = plans.outing.margin
    if not margin:
        return ["No margin: a landing or way is used until the minute the water shuts it."]
    return [
        f"Margin: a landing or way is used from {duration(margin)} after the water opens it until "
        f"{duration(margin)} before it shuts it (`margin` in [outing]). With the water early or late, and in "
        "a record's cases, shut means that the water is gone: there the margin may be used up."
    ]
