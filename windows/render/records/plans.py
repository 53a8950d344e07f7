"""Days out as records: a row a leg, and a JSON document with everything that stands beside the plans."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.outing.beside import GateUse
from windows.outing.reports import DayOut, Leg, LegKind, Plan, PlanList, Plans
from windows.render.records.frames import instants
from windows.render.records.tables import header, to_csv, to_json
from windows.render.words.foreseen import full_cautions, not_considered
from windows.render.words.phrases import words_of
from windows.render.words.plan_lacks import no_plan
from windows.render.words.plans import leg_note
from windows.render.words.todays import todays_water

if TYPE_CHECKING:
    import pandas as pd

COLUMNS = (
    *("plan_rank", "day", "leg", "kind", "place", "start_utc", "end_utc", "start_local", "end_local"),
    *("worth", "level_m", "depth_m", "speed_kn", "note", "chance"),
)
HOME = "home"


def plan_csv(plans: Plans) -> str:
    """A row a leg."""
    return to_csv(plans_frame(plans))


def plan_json(plans: Plans) -> str:
    """The plans with what stands beside them, then a row a leg."""
    return to_json(plans_frame(plans), plans_header(plans))


def numbered(plans: Plans) -> Iterator[tuple[int, PlanList, Plan]]:
    """Plans list by list, best first; the numbers of one list go on from those of the one before."""
    number = 0
    for item in plans.lists:
        for plan in item.ranking:
            number += 1
            yield number, item, plan


def plans_frame(plans: Plans) -> "pd.DataFrame":
    """Legs of all plans, in the columns of `COLUMNS`; empty where a leg has no such value."""
    import pandas as pd

    words = words_of(plans.forecast.head)
    rows: list[tuple[Any, ...]] = []
    times: list[tuple[float, float]] = []
    for number, _, plan in numbered(plans):
        for place, leg in enumerate(plan.legs, start=1):
            times.append((leg.start, leg.end))
            where = HOME if leg.place is None else leg.place.id
            row = (number, plan.day.isoformat(), place, leg.kind.value, where, leg.worth)
            chance = np.nan if leg.chance is None else leg.chance
            rows.append((*row, *_water(leg), leg_note(plans, leg, words), chance))
    zone = plans.forecast.head.zone
    start, end = (instants([pair[side] for pair in times], zone) for side in (0, 1))
    names = [name for name in COLUMNS if not name.endswith(("_utc", "_local"))]
    frame = pd.DataFrame(rows, columns=names)
    for name, values in (
        ("start_utc", start.utc),
        ("end_utc", end.utc),
        ("start_local", start.local),
        ("end_local", end.local),
    ):
        frame[name] = values
    return frame[list(COLUMNS)]


def _water(leg: Leg) -> tuple[float, float, float]:
    knots = None if leg.speed is None else leg.speed / METRES_PER_SECOND_PER_KNOT
    level, depth, speed = (np.nan if value is None else value for value in (leg.level, leg.depth, knots))
    return level, depth, speed


def plans_header(plans: Plans) -> dict[str, Any]:
    """What was asked, and each list with its plans and the days without one."""
    words, outing, forecast = words_of(plans.forecast.head), plans.outing, plans.forecast
    boat = plans.boat
    return {
        **header(forecast.head, forecast.made_at),
        "cautions": list(full_cautions(forecast, words)),
        "first_day": forecast.first.isoformat(),
        "days": plans.days,
        "not_considered": not_considered(forecast, words),
        "todays_water": list(todays_water(forecast, words)),
        "landing": plans.landing.id,
        "boat": None
        if boat is None
        else {"speed_kn": boat.speed / METRES_PER_SECOND_PER_KNOT, "draft_m": boat.draft},
        "wanted": {
            "leave_after": outing.leave_after.text,
            "home_by": outing.home_by.text,
            "longest_min": outing.longest / 60.0,
            "from_home_min": outing.from_home / 60.0,
            "move_min": outing.move / 60.0,
            "settle_min": outing.settle / 60.0,
            "margin_min": outing.margin / 60.0,
            "gather_min": outing.gather / 60.0,
            "bait": outing.bait.value,
            "most_moves": outing.most_moves,
            "move_cost_point_hours": outing.move_cost,
            "keep_point_hours": outing.keep,
        },
        "lists": [
            {
                "group": item.group.value,
                "spots": [spot.id for spot in item.spots],
                "plans": [
                    _plan(plans, item, number, plan) for number, own, plan in numbered(plans) if own is item
                ],
                "days_without_plan": {
                    day.day.isoformat(): _without(plans, item, index)
                    for index, day in enumerate(item.days)
                    if day.none is not None
                },
            }
            for item in plans.lists
        ],
    }


def _plan(plans: Plans, item: PlanList, number: int, plan: Plan) -> dict[str, Any]:
    following = item.next_best(plan)
    single = plan.single
    return {
        "plan_rank": number,
        "rank_in_list": plan.rank,
        "day": plan.day.isoformat(),
        "leave": _instant(plans, plan.leave),
        "home": _instant(plans, plan.home),
        "worth": plan.worth,
        "worth_low": None if plan.range is None else plan.range[0],
        "worth_high": None if plan.range is None else plan.range[1],
        "moves": plan.moves,
        "cost": plan.cost,
        "worth_with_at_most_moves": list(plan.by_moves),
        "single_stop": {
            "spot": single.spot.id,
            "worth": single.worth,
            "leave": _instant(plans, single.leave),
            "fish_from": _instant(plans, single.start),
            "fish_to": _instant(plans, single.end),
            "home": _instant(plans, single.home),
        },
        "if_water_shifts": [
            {
                "minutes_later": shifted.seconds / 60.0,
                "worth": shifted.worth,
                "shut": [
                    {"place": b.place.id, "way": b.way, "from": _instant(plans, b.t)} for b in shifted.broken
                ],
            }
            for shifted in plan.shifted
        ],
        "at_bad_tenth": None
        if plan.bad_tenth is None
        else {
            "worth": plan.bad_tenth.worth,
            "shut": [{"place": item.place.id, "share": item.share} for item in plan.bad_tenth.shut],
        },
        "launching": _gate(plans, plan.launching),
        "landing": _gate(plans, plan.landing),
        "gated_ways": [
            {"leg": number, **(_gate(plans, leg.gate) or {})}
            for number, leg in enumerate(plan.legs, start=1)
            if leg.kind is LegKind.TRAVEL and leg.gate is not None
        ],
        "without_margin": None
        if plan.without_margin is None
        else {
            "worth": plan.without_margin.worth,
            "leave": _instant(plans, plan.without_margin.leave),
            "home": _instant(plans, plan.without_margin.home),
        },
        "bait": None
        if plan.bait is None
        else {
            "source": plan.bait.source.value,
            "bank": None if plan.bait.bank is None else plan.bait.bank.id,
            "from": None if plan.bait.window is None else _instant(plans, plan.bait.window.start),
            "to": None if plan.bait.window is None else _instant(plans, plan.bait.window.end),
        },
        "assumed_ways": [
            {
                "from": one.id,
                "to": other.id,
                "minutes": way.seconds / 60.0,
                "source": way.source.value,
                "straight_m": way.metres,
            }
            for one, other, way in plan.assumed
        ],
        "dark": [{"from": _instant(plans, start), "to": _instant(plans, end)} for start, end in plan.dark],
        "next_best": None
        if following is None
        else {"day": following.day.isoformat(), "worth": following.worth},
    }


def _gate(plans: Plans, check: GateUse | None) -> dict[str, Any] | None:
    if check is None:
        return None
    return {
        "at": _instant(plans, check.t),
        "until": _instant(plans, check.clear),
        "level_m": check.level,
        "depth_m": check.depth,
        "spare_m": check.spare,
        "open_since": None if check.since is None else _instant(plans, check.since),
        "open_until": None if check.until is None else _instant(plans, check.until),
        "kept_after_min": None if check.kept_after is None else check.kept_after / 60.0,
        "kept_before_min": None if check.kept_before is None else check.kept_before / 60.0,
    }


def _without(plans: Plans, item: PlanList, index: int) -> dict[str, Any]:
    day: DayOut = item.days[index]
    none, nearest = day.none, item.nearest(day.day)
    assert none is not None
    return {
        "reason": none.lack.value,
        "words": no_plan(plans, item, index, words_of(plans.forecast.head)),
        "worth": none.worth,
        "worth_without_obstacle": None if none.instead is None else none.instead[0],
        "nearest_day": None if nearest is None else nearest.day.isoformat(),
    }


def _instant(plans: Plans, t: float) -> str:
    return str(instants([t], plans.forecast.head.zone).local[0])
