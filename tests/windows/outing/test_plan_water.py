"""Days out that water opens and shuts: ramps, ways and banks of bait, by sums written down by hand."""

from types import SimpleNamespace

import numpy as np
import pytest

from harmonics.errors import FileProblemsError
from tests.windows.conftest import at
from tests.windows.outing.planned import assert_sound, every_plan, plans_of
from tests.windows.outing.shores import FIRST, bank, boat, landing, shore_text, way, wishes
from windows.conditions.bait import KEEPS, GatheringWindow
from windows.outing.beside import ERRAND_COST, WITHOUT_COST, BaitSource
from windows.outing.no_plan import PlanLack
from windows.outing.options import bait_kept
from windows.outing.reports import LegKind

HOUR = 3600.0
ENDS = ((10.0, 12.0), (48.0, 50.0), (90.0, 91.0))
"""Starts and ends of times to gather bait, hours."""


def _tide(t: float) -> float:
    """The level that the shores of these tests have."""
    return float(2 + np.cos(2 * np.pi * (t - at("2026-08-03")) / 43200))


class TestWater:
    def test_a_ramp_that_dries_sends_one_home_in_time(self, shore):
        """Level 2 + cos: 1.5 m at 16:00, after which the ramp has too little."""
        keys = "launch = 15\nleast_level = 1.5"
        made = shore(shore_text(landing(keys=keys), boat(), wishes(longest="10h", move=0, settle=0)))
        plans = plans_of(made, FIRST, 1)
        (plan,) = every_plan(plans)
        assert_sound(plans, plan)
        landed = plan.legs[-2]
        assert landed.end <= at("2026-08-03 16:00") or landed.start >= at("2026-08-03 20:00")
        assert plan.landing is not None and plan.landing.spare is not None
        assert plan.landing.spare >= 0.0

    def test_slack_is_the_time_until_the_ramp_shuts(self, shore):
        keys = "launch = 15\nleast_level = 1.5"
        made = shore(
            shore_text(
                landing(keys=keys),
                boat(),
                wishes(leave_after="11:00", home_by="15:30", move=0, settle=0),
            )
        )
        (plan,) = every_plan(plans_of(made, FIRST, 1))
        assert plan.landing is not None
        assert plan.landing.until == pytest.approx(at("2026-08-03 16:00"), abs=300)
        assert plan.landing.level == pytest.approx(_tide(plan.landing.t), abs=0.01)
        assert plan.landing.clear == plan.landing.t + 900
        assert plan.landing.spare == pytest.approx(_tide(plan.landing.clear) - 1.5, abs=0.01)
        assert plan.launching is not None
        assert plan.launching.since == pytest.approx(at("2026-08-03 08:00"), abs=300)

    def test_the_draft_counts(self, shore):
        """With 0.9 m over the sill at datum, 1 m of draft wants a level of 0.1 m: it is always there."""
        for draft, shut in (("1.0", False), ("2.8", True)):
            made = shore(
                shore_text(
                    landing(keys="depth_at_datum = 0.9"),
                    boat(f"speed_kn = 6\ndraft = {draft}"),
                    wishes(leave_after="11:00", home_by="20:00", longest="9h"),
                )
            )
            (plan,) = every_plan(plans_of(made, FIRST, 1))
            assert plan.landing is not None
            assert (plan.landing.until is not None) is shut
            least = min(_tide(plan.landing.t), _tide(plan.landing.clear))
            assert plan.landing.spare == pytest.approx(least + 0.9 - float(draft), abs=0.01)

    def test_a_shut_way_is_not_taken(self, shore):
        """The only way is dry from 16:00 to 20:00: one is back before, or stays out until it floods."""
        keys = "minutes = 20\nleast_level = 1.5"
        made = shore(
            shore_text(
                landing("park"),
                way("park", "spot", keys),
                wishes(leave_after="11:00", home_by="18:30", move=0, settle=0, longest="8h"),
            )
        )
        plans = plans_of(made, FIRST, 1)
        (plan,) = every_plan(plans)
        assert_sound(plans, plan)
        assert plan.stops[-1].end <= at("2026-08-03 15:40")

    def test_early_and_late_water(self, shore):
        keys = "launch = 15\nleast_level = 1.5"
        made = shore(
            shore_text(
                landing(keys=keys),
                boat(),
                wishes(leave_after="11:00", home_by="17:00", move=0, settle=0, longest="6h"),
            )
        )
        (plan,) = every_plan(plans_of(made, FIRST, 1))
        early, predicted, late = plan.shifted
        assert (early.seconds, predicted.seconds, late.seconds) == (-1800.0, 0.0, 1800.0)
        assert predicted.broken == ()
        # back as late as the ramp allows: with the water half an hour early it is shut by then
        assert [item.place.id for item in early.broken] == ["ramp"]
        assert early.broken[0].t <= plan.legs[-2].end
        assert late.broken == ()
        assert min(early.worth, late.worth) > 0

    def test_a_landing_without_water_all_week_is_a_mistake_in_the_file(self, shore):
        text = shore_text(landing(keys="least_level = 3.5"), boat())
        with pytest.raises(FileProblemsError, match="no water that it can be used at") as caught:
            plans_of(shore(text), FIRST, 1)
        (problem,) = caught.value.problems
        assert problem.where == "landings[0]"
        assert "at least 3.50 m" in problem.expected
        assert "3.00 m" in problem.found


class TestBait:
    def shore_with(self, shore, wish, bank_keys="bare_below = 1.4", hours=""):
        return shore(
            shore_text(
                landing("park"),
                bank(keys=bank_keys),
                way("park", "flat", "minutes = 10"),
                way("flat", "spot", "minutes = 10"),
                wishes(longest="12h", bait=wish, gather=30),
                keys=hours,
            )
        )

    def test_bait_is_gathered_before_fishing(self, shore):
        plans = plans_of(self.shore_with(shore, "needed"), FIRST, 1)
        (plan,) = every_plan(plans)
        assert_sound(plans, plan)
        kinds = [leg.kind for leg in plan.legs]
        assert plan.bait is not None
        if plan.bait.source is BaitSource.ON_THE_WAY:
            gather = plan.legs[kinds.index(LegKind.GATHER)]
            assert kinds.index(LegKind.GATHER) < kinds.index(LegKind.FISH)
            assert gather.end - gather.start == 1800.0
            assert gather.level is not None and gather.level < 1.4
        else:
            assert plan.bait.window is not None
            assert plan.bait.window.end <= plan.leave
            assert plan.legs[0].worth == -ERRAND_COST

    def test_a_bank_that_bares_on_the_morning_s_way_is_used(self, shore):
        """Low water at 6 by daylight in August, the ebb from 12: gathered on the way, no extra outing."""
        hours = 'hours = "07:00-10:00"'
        made = self.shore_with(shore, "needed", "bare_below = 2.9", hours)
        plans = plans_of(made, FIRST, 1)
        for plan in every_plan(plans):
            assert_sound(plans, plan)

    def test_none_is_never_asked_for(self, shore):
        (plan,) = every_plan(plans_of(self.shore_with(shore, "none"), FIRST, 1))
        assert plan.bait is None
        assert LegKind.GATHER not in [leg.kind for leg in plan.legs]

    def test_if_possible_goes_without_where_it_is_not(self, shore):
        made = self.shore_with(shore, "if possible", "bare_below = 0.5")
        (plan,) = every_plan(plans_of(made, FIRST, 1))
        assert plan.bait is not None
        assert (plan.bait.source, plan.bait.bank) == (BaitSource.WITHOUT, None)
        needed = self.shore_with(shore, "needed", "bare_below = 0.5")
        day = plans_of(needed, FIRST, 1).lists[0].days[0]
        assert day.none is not None
        assert day.none.lack is PlanLack.BAIT
        assert day.none.instead is not None
        assert day.none.instead[0] == pytest.approx(plan.worth + WITHOUT_COST)

    def test_bait_gathered_before_is_fresh_for_a_while_and_time_gone_by_gathers_none(self):
        """One window is over by now, one has half an hour left, one is to come."""
        hours = np.arange(0.0, 120.0)
        windows = [GatheringWindow(a * HOUR, b * HOUR, a * HOUR, None, None) for a, b in ENDS]
        fresh = [(hours >= b) & (hours <= b + KEEPS / HOUR) for _, b in ENDS]
        for gather, expected in ((1800.0, fresh[1]), (2700.0, np.zeros(120, dtype=bool))):
            scene = SimpleNamespace(
                t=hours * HOUR, outlook=SimpleNamespace(now=49.5 * HOUR), gathering=(windows[:1], windows[1:])
            )
            scene.outing = SimpleNamespace(gather=gather)
            kept = bait_kept(scene)
            gone = hours < 49.5
            assert kept[gone].tolist() == (fresh[0] | fresh[1])[gone].tolist()
            assert kept[~gone].tolist() == (expected | fresh[2])[~gone].tolist()
