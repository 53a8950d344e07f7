"""The margin that a day out keeps to the water that opens and shuts a landing or a way."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.windows.conftest import at
from tests.windows.outing.exhaustive import best, order, random_case
from tests.windows.outing.planned import assert_sound, every_plan, plans_of
from tests.windows.outing.shores import FIRST, boat, landing, shore_text, way, wishes
from tests.windows.outing.test_solving import flags
from windows.conditions.assembly import STEP
from windows.outing.ground import Ground
from windows.outing.no_plan import PlanLack
from windows.outing.reports import LegKind, Plans
from windows.outing.scene import within
from windows.outing.solving import solve
from windows.render.words.beside import beside
from windows.render.words.phrases import words_of
from windows.render.words.plan_lacks import no_plans
from windows.render.words.plans import rules
from windows.shoreline.outings import DEFAULT_MARGIN
from windows.shoreline.shore import Shore

CASES = 40
QUARTER = 900.0


def kept(ground: Ground, margin: int) -> Ground:
    """A ground on which the landing and the ways are used within a margin of some steps."""
    gates = {pair: within(gate, margin) for pair, gate in ground.way_open.items()}
    return replace(ground, ramp_open=within(ground.ramp_open, margin), way_open=gates)


class TestWithin:
    @pytest.mark.parametrize(
        ("open_", "margin", "usable"),
        [
            ("..xxxxxx..", 0, "..xxxxxx.."),
            ("..xxxxxx..", 2, "....xx...."),
            ("..xxxxx..x", 2, "....x....."),  # just twice the margin and the step itself
            ("..xxxx..xx", 2, ".........."),  # less: never
            ("xxxx....xx", 2, "xx........"),  # what came before is not known, and what follows is not shut
            ("....xxx..x", 1, ".....x...."),
            ("xxxxxxxxxx", 20, "xxxxxxxxxx"),
            ("xxxxx.xxxx", 20, ".........."),
        ],
    )
    def test_by_hand(self, open_, margin, usable):
        assert within(flags(open_), margin).tolist() == flags(usable).tolist()

    @examples(50)
    @given(st.lists(st.booleans(), max_size=40), st.integers(0, 12))
    def test_every_point_up_to_the_margin_away_is_open(self, open_, margin):
        found = within(np.array(open_, dtype=bool), margin)
        wanted = [all(open_[max(0, k - margin) : k + margin + 1]) for k in range(len(open_))]
        assert found.tolist() == wanted


@pytest.mark.parametrize("margin", [1, 2, 3])
def test_it_finds_what_exhaustive_search_finds(margin):
    """That search asks of each use of a landing and way that it be open before and after."""
    decided = done = 0
    for seed in range(5000 + margin * CASES, 5000 + (margin + 1) * CASES):
        ground, rules_, day, allowed = random_case(seed)
        (found,) = solve(kept(ground, margin), rules_, [day], allowed)
        for course, wanted in zip(found, best(ground, rules_, day, margin, allowed), strict=True):
            assert (course is None) == (wanted is None), seed
            if course is not None and wanted is not None:
                assert course.worth == pytest.approx(wanted.worth, abs=1e-9), seed
                assert order(course) == order(wanted), seed
                assert course == wanted._replace(worth=course.worth), seed
                done += 1
        (bare,) = solve(ground, rules_, [day], allowed)
        decided += bare != found
    assert done > CASES // 3
    assert decided > CASES // 10


@examples(40)
@given(st.integers(1000, 100_000), st.integers(0, 4), st.integers(1, 4))
def test_a_larger_margin_never_raises_the_worth(seed, margin, more):
    ground, rules_, day, allowed = random_case(seed)
    worths = []
    for steps in (margin, margin + more):
        (found,) = solve(kept(ground, steps), rules_, [day], allowed)
        worths.append([-np.inf if course is None else course.worth for course in found])
    assert all(after <= before + 1e-9 for before, after in zip(*worths, strict=True))


def ramp_shore(shore, **keys: object) -> Shore:
    """Level 2 + cos: the ramp has its 1.49 m until 16:00, and again from 20:00."""
    keys = {"leave_after": "11:00", "home_by": "17:00", "move": 0, "settle": 0, **keys}
    return shore(shore_text(landing(keys="launch = 15\nleast_level = 1.49"), boat(), wishes(**keys)))


def sand_shore(shore, *, margin: str, greatest: float, **keys: object) -> Shore:
    """The ebb runs from 15:00 to 21:00; the sand on the way is bare below a level, low water is at 18:00."""
    sand = way("park", "spot", f"minutes = 10\ngreatest_level = {greatest}")
    keys = {"move": 0, "settle": 0, "margin": margin, "keep": 20, **keys}
    text = shore_text(landing("park"), sand, wishes(**keys))
    return shore(text.replace("slack_lag = 0", "slack_lag = 180"))


def told(plans: Plans) -> str:
    """What stands beside the first plan."""
    (item,) = plans.lists
    return " ".join(beside(plans, item, item.ranking[0], words_of(plans.forecast.head)))


class TestAtALanding:
    @pytest.mark.parametrize(("margin", "minutes"), [("15min", 15), ("20min", 20), ("22min", 25), ("1h", 60)])
    def test_it_is_kept_to_the_step_where_it_decides(self, shore, margin, minutes):
        plans = plans_of(ramp_shore(shore, margin=margin), FIRST, 1)
        (plan,) = every_plan(plans)
        assert_sound(plans, plan)
        assert plan.landing is not None
        assert plan.landing.clear == at("2026-08-03 16:00") - minutes * 60.0
        assert plan.landing.until == at("2026-08-03 16:00")
        assert (plan.landing.kept_after, plan.landing.kept_before) == (None, minutes * 60.0)
        bare = every_plan(plans_of(ramp_shore(shore, margin="0min"), FIRST, 1))[0]
        assert plan.without_margin == pytest.approx((bare.worth, bare.leave, bare.home))
        assert plan.worth < bare.worth
        length = "1 h" if minutes == 60 else f"{minutes} min"
        assert f"Kept {length} before Ramp shuts at 16:00." in told(plans)
        out = words_of(plans.forecast.head).stretch(bare.leave, bare.home, FIRST)
        assert f": {bare.worth:.0f} point-hours, out {out}." in told(plans)

    def test_none_is_none(self, shore):
        plans = plans_of(ramp_shore(shore, margin="0min"), FIRST, 1)
        (plan,) = every_plan(plans)
        assert_sound(plans, plan)
        assert plan.landing is not None
        assert plan.landing.until == plan.landing.clear == at("2026-08-03 16:00")
        assert (plan.landing.kept_before, plan.without_margin) == (None, None)
        assert "Kept" not in told(plans) and "margin" not in told(plans)
        assert any(line.startswith("No margin:") for line in rules(plans, words_of(plans.forecast.head)))

    def test_a_quarter_of_an_hour_where_the_file_says_nothing(self, shore):
        made = ramp_shore(shore)
        assert made.outing.margin == DEFAULT_MARGIN == QUARTER
        (plan,) = every_plan(plans_of(made, FIRST, 1))
        assert plan.landing is not None
        assert plan.landing.kept_before == QUARTER

    def test_a_landing_that_takes_no_time_needs_its_water_for_a_step_still(self, shore):
        """On foot, from a place that floods: back a step before, so that it is still there."""
        wanted = wishes(leave_after="11:00", home_by="17:00", move=0, settle=0)
        text = shore_text(landing(keys="least_level = 1.49"), wanted)
        (plan,) = every_plan(plans_of(shore(text), FIRST, 1))
        assert plan.landing is not None
        assert plan.landing.t == plan.landing.clear == at("2026-08-03 15:40")
        assert plan.landing.kept_before == QUARTER + STEP

    def test_a_ramp_that_opens_is_left_alone_for_as_long(self, shore):
        """From 20:00 in the flood: whoever must be out before 16:00 or after 20:15 is back then."""
        made = ramp_shore(shore, leave_after="15:30", home_by="23:00", margin="15min", keep=0, longest="8h")
        for plan in every_plan(plans_of(made, FIRST, 1)):
            for check in (plan.launching, plan.landing):
                assert check is not None
                assert check.clear <= at("2026-08-03 15:45") or check.t >= at("2026-08-03 20:15")

    def test_early_water_asks_for_water_alone(self, shore):
        """Back half an hour before the ramp shuts, a plan outlasts water half an hour early."""
        for margin, outlasts in (("0min", False), ("25min", False), ("30min", True)):
            (plan,) = every_plan(plans_of(ramp_shore(shore, margin=margin), FIRST, 1))
            early = plan.shifted[0]
            assert (early.seconds, early.broken == ()) == (-1800.0, outlasts), margin

    def test_no_word_of_it_where_no_water_shuts_a_thing(self, shore):
        plans = plans_of(shore(shore_text(landing("park"), wishes(longest="9h"))), FIRST, 1)
        (plan,) = every_plan(plans)
        assert (plan.landing, plan.without_margin, plans.gated) == (None, None, False)
        assert not [line for line in rules(plans, words_of(plans.forecast.head)) if "argin" in line]


class TestOnAWay:
    def test_one_sets_out_a_margin_after_it_opens(self, shore):
        plans = plans_of(sand_shore(shore, margin="20min", greatest=1.52, leave_after="12:00"), FIRST, 1)
        (plan,) = every_plan(plans)
        assert_sound(plans, plan)
        there, back = (leg.gate for leg in plan.legs if leg.kind is LegKind.TRAVEL)
        assert there is not None and back is not None
        assert there.t == at("2026-08-03 16:20")
        assert (there.since, there.kept_after) == (at("2026-08-03 16:00"), 1200.0)
        assert (back.until, back.kept_before) == (back.clear + 1200.0, 1200.0)
        for said in (
            "Kept 20 min after the way to spot opens at 16:00 and 20 min before the way to Park shuts at",
            "The way to Park, passed 19:30-19:40: it shuts at 20:00, 20 min after you are across.",
        ):
            assert said in told(plans)

    def test_a_way_that_other_water_shuts_is_told_as_one(self, shore):
        """Half an hour early the sand floods before one is back; half an hour late one sets out too soon."""
        plans = plans_of(sand_shore(shore, margin="0min", greatest=1.52, leave_after="12:00"), FIRST, 1)
        (plan,) = every_plan(plans)
        early, predicted, late = (
            [(broken.place.id, broken.way) for broken in item.broken] for item in plan.shifted
        )
        assert (early, predicted, late) == ([("park", True)], [], [("spot", True)])
        assert "but the way to Park is shut at 19:" in told(plans)
        assert "but the way to spot is shut at 16:00" in told(plans)

    def test_a_way_open_for_less_than_two_margins_is_none(self, shore):
        """Below 1.05 m for 73 minutes around 18:00: crossing takes 10 and the spot a while."""
        plans = plans_of(sand_shore(shore, margin="5min", greatest=1.05), FIRST, 1)
        (plan,) = every_plan(plans)
        assert_sound(plans, plan)
        plans = plans_of(sand_shore(shore, margin="40min", greatest=1.05), FIRST, 1)
        (item,) = plans.lists
        none = item.days[0].none
        assert none is not None and none.instead is not None
        bare = every_plan(plans_of(sand_shore(shore, margin="0min", greatest=1.05), FIRST, 1))[0]
        assert (none.lack, none.bare) == (PlanLack.MARGIN, False)
        assert none.instead == pytest.approx((bare.worth, bare.leave, bare.home))
        (line, *_) = no_plans(plans, item, words_of(plans.forecast.head))
        assert "the margin of 40 min at Park or a way rules it out; without it" in line
        assert "(`margin` in [outing])" in line

    def test_hours_and_margin_together(self, shore):
        """Neither longer hours nor the margin alone make a day of it."""
        made = sand_shore(shore, margin="40min", greatest=1.05, leave_after="08:00", home_by="11:30")
        plans = plans_of(made, FIRST, 1)
        (item,) = plans.lists
        none = item.days[0].none
        assert none is not None
        assert (none.lack, none.bare) == (PlanLack.HOURS, True)
        (line, *_) = no_plans(plans, item, words_of(plans.forecast.head))
        assert "outside your hours" in line and "and without the margin of 40 min" in line
