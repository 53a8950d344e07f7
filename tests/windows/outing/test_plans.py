"""Plans of plain coasts against sums written down by hand, and what holds for plans of every coast."""

from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from harmonics.errors import FileProblemsError
from tests.cli.runs import REPOSITORY
from tests.windows import strategies as coasts
from tests.windows.conftest import at, spot_text
from tests.windows.outing.planned import assert_sound, every_plan, plans_of, report_of, spent
from tests.windows.outing.shores import (
    BY_FLOW,
    EBBS,
    FIRST,
    bank,
    boat,
    coast,
    landing,
    shore_text,
    way,
    wishes,
)
from tests.windows.outing.year import lowered
from windows.conditions.cases import Water
from windows.outing.no_plan import PlanLack
from windows.outing.reports import FlowGroup, LegKind, Spent
from windows.shoreline.outing_file import parse_day_time
from windows.shoreline.shore import read_shore

HOUR = 3600.0
DEMOS = ("korimako_reach", "pellaway_sound", "skerrow_strand")


class TestTimes:
    def test_the_whole_day_is_accounted_for(self, shore):
        made = shore(
            shore_text(
                landing(keys="launch = 10"),
                boat(),
                way("ramp", "spot", "minutes = 20"),
                wishes(leave_after="11:00", home_by="19:00", from_home=30, move=15, settle=20, longest="8h"),
            )
        )
        plans = plans_of(made, FIRST, 1)
        (plan,) = every_plan(plans)
        assert_sound(plans, plan)
        kinds = [leg.kind for leg in plan.legs]
        assert kinds == [
            *(LegKind.LEAVE, LegKind.TRAVEL, LegKind.FISH, LegKind.TRAVEL, LegKind.LAND, LegKind.HOME),
        ]
        leave, there, fish, back, land, home = plan.legs
        assert leave.spent == ((Spent.HOME_WAY, 1800.0), (Spent.LAUNCH, 600.0))
        assert there.spent == ((Spent.WAY, 1200.0), (Spent.SET_UP, 900.0), (Spent.SETTLE, 1200.0))
        assert (back.spent, land.spent, home.spent) == (
            ((Spent.WAY, 1200.0),),
            ((Spent.LAUNCH, 600.0),),
            ((Spent.HOME_WAY, 1800.0),),
        )
        # the ebb runs from 12:00 to 18:00; half an ebb's strength is passed soon after its start
        assert at("2026-08-03 12:00") < fish.start < at("2026-08-03 13:00")
        assert at("2026-08-03 17:00") < fish.end < at("2026-08-03 18:00")
        assert plan.home - plan.leave == fish.end - fish.start + 1800 * 2 + 600 * 2 + 1200 * 2 + 2100
        single = plan.single
        assert (single.spot, single.start, single.end) == (fish.place, fish.start, fish.end)
        assert (single.leave, single.home, single.worth) == (plan.leave, plan.home, plan.worth)

    def test_worth_is_expected_points_times_hours(self, shore):
        made = shore(shore_text(landing("park"), wishes(longest="9h")))
        plans = plans_of(made, FIRST, 1)
        (plan,) = every_plan(plans)
        (fish,) = plan.stops
        t, points = plans.water.t, plans.water.expected[0]
        inside = (t >= fish.start) & (t <= fish.end)
        assert plan.worth == pytest.approx(np.trapezoid(points[inside], t[inside]) / HOUR)
        assert 50.0 <= points[inside].min()

    def test_worth_is_the_mean_over_cases_and_eight_in_ten_lie_in_its_range(self, shore):
        made = shore(shore_text(landing("park"), wishes(longest="9h")))
        plans = plans_of(made, FIRST, 1)
        (plan,) = every_plan(plans)
        (fish,) = plan.stops
        report = plans.forecast.spots[0]
        t, curve, conditions = report.curve.t, report.curve, report.conditions
        inside = (t >= fish.start) & (t <= fish.end)
        water = Water(float(t[0]), 300.0, curve.level, curve.departure, curve.outgoing)
        worths = [
            np.trapezoid(conditions.in_case(curve, *case)[0].sum(axis=0)[inside], t[inside]) / HOUR
            for case in conditions.cases.of(water)
        ]
        assert plan.worth == pytest.approx(np.mean(worths))
        assert plan.range == pytest.approx(np.quantile(worths, (0.1, 0.9)))
        assert plan.range[0] < plan.worth < plan.shifted[1].worth

    def test_home_by_cuts_the_day(self, shore):
        made = shore(shore_text(landing("park"), wishes(longest="9h")))
        whole = every_plan(plans_of(made, FIRST, 1))[0]
        early = made.outing._replace(home_by=parse_day_time("16:00"), leave_after=parse_day_time("12:00"))
        cut = every_plan(plans_of(made, FIRST, 1, outing=early))[0]
        assert cut.home <= at("2026-08-03 16:00")
        assert cut.worth < whole.worth

    def test_a_night_out_ends_on_the_day_after(self, shore):
        made = shore(
            shore_text(landing("park"), wishes(leave_after="21:00", home_by="06:00 next day", longest="8h"))
        )
        plans = plans_of(made, FIRST, 3)
        assert [plan.day for plan in sorted(every_plan(plans), key=lambda p: p.day)] == [
            FIRST + timedelta(days=k) for k in range(3)
        ]
        for plan in every_plan(plans):
            assert_sound(plans, plan)
            assert plan.leave >= at(f"{plan.day} 21:00")
            assert plan.home <= at(f"{plan.day + timedelta(days=1)} 06:00")

    def test_the_hours_of_a_sun_time_follow_the_sun(self, shore):
        made = shore(
            shore_text(landing("park"), wishes(leave_after="sunrise", home_by="sunset", longest="20h"))
        )
        plans = plans_of(made, FIRST, 1)
        day = plans.lists[0].days[0]
        sun = plans.forecast.spots[0].days[0].sun
        assert (day.may_leave, day.home_by) == (sun["sunrise"], sun["sunset"])

    def test_today_begins_now(self, shore):
        made = shore(shore_text(landing("park"), wishes(longest="9h")))
        now = at("2026-08-03 14:02")
        plan = every_plan(plans_of(made, FIRST, 1, now=now))[0]
        assert now <= plan.leave < now + 300
        day = plans_of(made, FIRST, 1, now=at("2026-08-03 23:57")).lists[0].days[0]
        assert day.none is not None
        assert day.none.lack is PlanLack.OVER
        past = plans_of(made, FIRST, 1, now=at("2026-08-05 12:00"))
        assert every_plan(past)[0].worth == every_plan(plans_of(made, FIRST, 1))[0].worth

    @pytest.mark.parametrize("day", [date(2026, 3, 29), date(2026, 10, 25)])
    def test_days_on_which_clocks_change(self, shore, day):
        text = shore_text(landing("park"), wishes(longest="24h"), keys="")
        made = shore(text.replace('"UTC"', '"Europe/London"'))
        plans = plans_of(made, day, 1)
        out = plans.lists[0].days[0]
        hours = (out.home_by - out.may_leave) / HOUR
        assert hours == pytest.approx(23 + 55 / 60 + (1 if day.month == 10 else -1))
        for plan in every_plan(plans):
            assert_sound(plans, plan)


class TestMoves:
    def two_spots(self, shore, lag: int = 180, cost: float = 5.0):
        """The second spot's ebb runs three hours after the first's."""
        text = shore_text(
            landing("park"),
            wishes(leave_after="11:00", home_by="23:00", longest="12h", move_cost=cost, move=5, settle=5),
        )
        return shore(text + spot_text(f"slack_lag = {lag}{BY_FLOW}\nflow = {{ {EBBS} }}", "later", 45.002))

    def test_one_moves_on_to_the_water_that_begins_later(self, shore):
        plans = plans_of(self.two_spots(shore), FIRST, 1)
        (plan,) = every_plan(plans)
        assert_sound(plans, plan)
        assert [leg.place.id for leg in plan.stops] == ["spot", "later"]
        assert plan.moves == 1
        assert plan.worth == pytest.approx(plan.by_moves[1])
        assert plan.by_moves[0] == pytest.approx(plan.single.worth)
        assert plan.cost == 5.0
        travel = [leg for leg in plan.legs if leg.kind is LegKind.TRAVEL]
        assert travel[1].worth == -5.0
        assert spent(travel[1], Spent.SET_UP) == 300.0

    def test_a_dear_move_is_left_alone(self, shore):
        (plan,) = every_plan(plans_of(self.two_spots(shore, cost=2000.0), FIRST, 1))
        assert plan.moves == 0

    def test_unlike_flows_stay_apart_unless_mixed(self, shore):
        made = self.two_spots(shore)
        fall = shore(
            shore_text(landing("park"), wishes(leave_after="11:00", home_by="23:00", longest="12h"))
            + spot_text(f"slack_lag = 180{BY_FLOW}", "fall")
        )
        plans = plans_of(fall, FIRST, 2)
        assert [item.group for item in plans.lists] == [FlowGroup.SPEED, FlowGroup.FALL]
        for item in plans.lists:
            for plan in item.ranking:
                assert_sound(plans, plan)
                assert {leg.place.id for leg in plan.stops} <= {spot.id for spot in item.spots}
        mixed = plans_of(fall, FIRST, 2, mix=True)
        assert [item.group for item in mixed.lists] == [FlowGroup.MIXED]
        assert mixed.lists[0].ranking[0].worth >= max(item.ranking[0].worth for item in plans.lists)
        assert [item.group for item in plans_of(made, FIRST, 1).lists] == [FlowGroup.SPEED]


@pytest.fixture(scope="module")
def demos():
    return {name: read_shore(REPOSITORY / "demo_stations" / f"{name}.toml") for name in DEMOS}


SAMPLED = [date(2026, 1, 5) + timedelta(days=122 * k) for k in range(3)]


@pytest.mark.parametrize("name", DEMOS)
def test_every_plan_of_the_demos_is_sound(demos, name):
    count = still = 0
    for first in SAMPLED:
        plans = plans_of(demos[name], first, 8)
        for plan in every_plan(plans):
            assert_sound(plans, plan)
            count += 1
        for item in plans.lists:
            assert [plan.rank for plan in item.ranking] == list(range(1, len(item.ranking) + 1))
            assert all(one.worth >= other.worth for one, other in pairwise(item.ranking))
            assert all((day.plan is None) != (day.none is None) for day in item.days)
            for index, day in enumerate(item.days):
                if day.none is not None and day.none.spot is not None:
                    assert day.none.no_window == report_of(plans, day.none.spot).days[index].no_window
                    still += day.none.no_window is not None
    assert count > 10
    assert still or name != "pellaway_sound"  # whose water hardly moves about the moon's crossings


@pytest.mark.parametrize("name", DEMOS[2:])
def test_more_time_and_more_places_never_lower_the_worth(demos, name):
    assert lowered(demos[name], date(2026, 5, 4), 4) == 0


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(
    *(coasts.rows, coasts.places(), st.integers(0, 300), st.sampled_from(("boat", "foot")), st.booleans()),
    st.sampled_from(("0min", "15min", "45min")),
)
def test_plans_of_any_coast_are_sound(shore, rows, place, day, means, bait, margin):
    keys = "least_level = 1.6" if means == "boat" else ""
    latitude, longitude = place["latitude"], place["longitude"]
    parts = [landing("ramp", keys, latitude + 0.01, longitude), bank(keys="bare_below = 1.8")]
    parts += [boat()] if means == "boat" else []
    parts += [way("ramp", "flat", "minutes = 10"), way("flat", "spot", "minutes = 15")]
    parts += [wishes("05:00", "22:00", bait="if possible" if bait else "none", margin=margin)]
    made = shore(coast(*parts, rows=rows, spot_at=(latitude, longitude), **place))
    try:
        plans = plans_of(made, date(2026, 1, 1) + timedelta(days=day), 3)
    except FileProblemsError as error:
        assert "no water that it can be used at" in str(error)
        return
    for plan in every_plan(plans):
        assert_sound(plans, plan)


@pytest.mark.parametrize(
    ("keys", "minutes"),
    [
        ("", 90.0),  # 25 from home, 10 at the landing, 18 on the way as 20, 15 to set up and 20 to settle
        ("travel = '12min'", 12.0),
    ],
)
def test_one_leaves_for_a_session_as_early_as_for_a_day_out(shore, keys, minutes):
    text = shore_text(
        landing("park", "launch = 10"), way("park", "spot", "minutes = 18"), wishes(from_home=25), keys=keys
    )
    forecast = plans_of(shore(text), FIRST, 1).forecast
    assert {item.leaving.ahead for item in forecast.ranking} == {minutes * 60.0}
