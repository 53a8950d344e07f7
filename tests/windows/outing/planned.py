"""Plans made from a file's text or a demo, and checks that hold for every one of them."""

from collections.abc import Iterator
from datetime import date
from itertools import pairwise, takewhile

import numpy as np

from harmonics.stations import tides
from windows.conditions.assembly import STEP
from windows.conditions.outlook import Outlook
from windows.forecast.expected import SHIFT
from windows.forecast.reports import SpotReport
from windows.outing.making import make_plans
from windows.outing.reports import Leg, LegKind, Plan, Plans, Spent
from windows.shoreline.outings import Sill
from windows.shoreline.shore import Shore
from windows.shoreline.spots import Spot

LONG_AGO = 0.0
CENTIMETRE = 0.01


def plans_of(shore: Shore, first: date, days: int = 7, now: float = LONG_AGO, **changes) -> Plans:
    return make_plans(shore, shore.spots, first, days, Outlook(now), **changes)


def every_plan(plans: Plans) -> list[Plan]:
    return [plan for item in plans.lists for plan in item.ranking]


def spent(leg: Leg, what: Spent) -> float:
    return sum(seconds for kind, seconds in leg.spent if kind is what)


def report_of(plans: Plans, spot: object) -> SpotReport:
    return next(item for item in plans.forecast.spots if item.spot is spot)


def minutes(start: float, end: float) -> np.ndarray:
    return np.arange(start, end + 1.0, 60.0)


def assert_sound(plans: Plans, plan: Plan) -> None:
    """What holds for every plan, asked of the water itself minute by minute."""
    legs = plan.legs
    assert all(one.end == other.start for one, other in pairwise(legs))
    assert [leg.kind for leg in legs[-2:]] == [LegKind.LAND, LegKind.HOME]
    assert legs[0].kind is LegKind.LEAVE
    assert sum(leg.worth for leg in legs) == np.float64(plan.worth) or np.isclose(
        sum(leg.worth for leg in legs), plan.worth, atol=1e-9
    )
    for leg in legs:
        assert leg.end >= leg.start
        if leg.kind is not LegKind.FISH and leg.kind is not LegKind.GATHER:
            assert sum(seconds for _, seconds in leg.spent) == leg.end - leg.start
    day = next(d for item in plans.lists for d in item.days if d.plan is plan)
    assert day.may_leave <= plan.leave < plan.home <= day.home_by
    assert plan.home - plan.leave <= plans.outing.longest
    assert plan.worth >= max(plan.single.worth - 1e-6, plans.outing.keep)
    assert plan.range is not None
    assert plan.range[0] <= plan.range[1]
    assert list(plan.by_moves) == sorted(plan.by_moves)
    assert plan.moves == len(plan.by_moves) - 1 <= plans.outing.most_moves
    for leg in plan.stops:
        _assert_fished_while_open(plans, leg)
    _assert_there_while_open(plans, plan)
    _assert_margin_kept(plans, plan)
    sill = plans.landing.sill
    if sill is not None:
        for leg in legs:
            if leg.kind in {LegKind.LEAVE, LegKind.LAND}:
                used = spent(leg, Spent.LAUNCH)
                start = leg.end - used if leg.kind is LegKind.LEAVE else leg.start
                _assert_water(sill, minutes(start, start + used))
                assert plans.boat is None or leg.depth is None or leg.depth >= plans.boat.draft


def _assert_fished_while_open(plans: Plans, leg: Leg) -> None:
    assert isinstance(leg.place, Spot)
    report = report_of(plans, leg.place)
    inside = slice(*np.searchsorted(report.curve.t, [leg.start, leg.end + 1.0]))
    assert report.curve.open[inside].all()
    assert (report.curve.going[inside] > 0).all()
    row = plans.forecast.spots.index(report)
    points = plans.water.expected[row][inside]
    assert (points >= leg.place.preferences.keep).all()
    assert np.isclose(np.trapezoid(points, dx=STEP / 3600.0), leg.worth, atol=1e-9)


def _assert_there_while_open(plans: Plans, plan: Plan) -> None:
    """From arriving at a spot until leaving it, each gate is open, and on each way its water."""
    for leg, following in pairwise(plan.legs):
        if leg.kind is not LegKind.TRAVEL or not isinstance(leg.place, Spot) or leg.route is None:
            continue
        waited = next((seconds for what, seconds in leg.spent if what is Spent.WAIT), 0.0)
        first = leg.spent[0][0]
        set_off = leg.start + (waited if first is Spent.WAIT else 0.0)
        arrived = set_off + spent(leg, Spent.WAY)
        report = report_of(plans, leg.place)
        inside = slice(*np.searchsorted(report.curve.t, [arrived, following.end + 1.0]))
        assert report.curve.open[inside].all()
        if leg.route.sill is not None:
            _assert_water(leg.route.sill, minutes(set_off, arrived))


def _assert_margin_kept(plans: Plans, plan: Plan) -> None:
    """Each landing and way has its water for the margin before its use and after, as far as is computed."""
    margin = plans.outing.margin
    for leg, (sill, start, end) in uses(plans, plan):
        assert leg.gate is not None
        assert (leg.gate.t, leg.gate.clear) == (start, end)
        t = minutes(max(start - margin, plans.water.t[0]), min(end + margin, plans.water.t[-1]))
        _assert_water(sill, t)
        since, until = leg.gate.since, leg.gate.until
        assert since is None or start - since >= margin or since == plans.water.t[0]
        assert until is None or until - end >= margin
        assert leg.gate.kept_after in {None, start - (since or 0.0)}
        assert leg.gate.kept_before in {None, (until or 0.0) - end}
    if margin >= SHIFT:
        shut = {broken.place.id for item in plan.shifted for broken in item.broken}
        assert plans.landing.id not in shut


def uses(plans: Plans, plan: Plan) -> Iterator[tuple[Leg, tuple[Sill, float, float]]]:
    """Legs that need the water of the landing or of a way, with it and from when to when."""
    for leg in plan.legs:
        if leg.kind is LegKind.TRAVEL and leg.route is not None and leg.route.sill is not None:
            before = takewhile(lambda part: part[0] is not Spent.WAY, leg.spent)
            start = leg.start + sum(seconds for _, seconds in before)
            yield leg, (leg.route.sill, start, start + spent(leg, Spent.WAY))
        elif leg.kind in {LegKind.LEAVE, LegKind.LAND} and plans.landing.sill is not None:
            used = spent(leg, Spent.LAUNCH)
            start = leg.end - used if leg.kind is LegKind.LEAVE else leg.start
            yield leg, (plans.landing.sill, start, start + used)


def _assert_water(sill: Sill, t: np.ndarray) -> None:
    """The water there is deep enough, to a centimetre between the five-minute steps."""
    level = tides.levels(sill.station, t)
    if sill.least_level is not None:
        assert level.min() >= sill.least_level - CENTIMETRE
    if sill.greatest_level is not None:
        assert level.max() <= sill.greatest_level + CENTIMETRE
