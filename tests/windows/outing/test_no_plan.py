"""Days without a plan, each with its reason, and what is refused."""

from datetime import timedelta
from types import SimpleNamespace

import pytest

from harmonics.errors import EbblightError, UnknownNameError
from tests.windows.conftest import at
from tests.windows.outing.planned import plans_of
from tests.windows.outing.shores import (
    FIRST,
    bank,
    boat,
    coast,
    landing,
    shore_text,
    way,
    wishes,
)
from windows.outing.lacks import LackFinder
from windows.outing.making import LOOK_AHEAD
from windows.outing.no_plan import PlanLack
from windows.shoreline.outing_file import parse_day_time


class TestLacks:
    def lack(self, shore, text, **more):
        day = plans_of(shore(text), FIRST, 1, **more).lists[0].days[0]
        assert day.none is not None
        return day.none

    def test_the_hours_are_in_the_way(self, shore):
        none = self.lack(shore, shore_text(landing("park"), wishes(leave_after="06:30", home_by="11:30")))
        assert none.lack is PlanLack.HOURS
        assert none.instead is not None and none.instead[0] > 50

    def test_what_longer_hours_would_give_today_is_yet_to_come(self, shore):
        text = shore_text(landing("park"), wishes(leave_after="06:30", home_by="15:00", keep=100))
        now = at("2026-08-03 14:00")
        none = self.lack(shore, text, now=now)
        assert none.lack is PlanLack.HOURS
        assert none.instead is not None
        assert none.instead[1] >= now

    def test_hours_and_bait_are_in_the_way_together(self, shore):
        """The bank never bares, and one may be out on the flood alone: neither by itself is the reason."""
        wish = {"leave_after": "06:30", "home_by": "11:30", "bait": "needed"}
        dry = bank(keys="bare_below = 0.5\nwarm_only = false\nlatitude = 45.01\nlongitude = 0.0")
        none = self.lack(shore, shore_text(landing("park"), dry, wishes(**wish)))
        assert none.lack is PlanLack.HOURS_AND_BAIT
        assert none.instead is not None and none.instead[0] > 50

    def test_the_day_out_is_too_short(self, shore):
        none = self.lack(
            shore,
            shore_text(
                landing("park"),
                way("park", "spot", "minutes = 100"),
                wishes(longest="3h", leave_after="09:00"),
            ),
        )
        assert none.lack is PlanLack.LENGTH

    def test_the_landing_is_in_the_way(self, shore):
        """The ramp is open from 10 to 14 and from 22 to 2 alone: nobody is back by 19 from an ebb."""
        keys = "least_level = 2.5\nlaunch = 15"
        none = self.lack(
            shore,
            shore_text(
                landing(keys=keys),
                boat(),
                way("ramp", "spot", "minutes = 60"),
                wishes(leave_after="11:00", home_by="21:00", longest="10h"),
            ),
        )
        assert none.lack is PlanLack.LANDING

    def test_days_off(self, shore):
        none = self.lack(shore, shore_text(landing("park"), wishes(), keys='days = ["sun"]'))
        assert none.lack is PlanLack.DAY_OFF

    def test_a_sun_that_sets_before_one_may_leave(self, shore):
        none = self.lack(shore, shore_text(landing("park"), wishes(leave_after="21:30", home_by="sunset")))
        assert none.lack is PlanLack.NO_TIME

    def test_little_worth(self, shore):
        none = self.lack(shore, shore_text(landing("park"), wishes(keep=2000)))
        assert none.lack is PlanLack.FAINT
        assert none.worth is not None and 0 < none.worth < none.needed == 2000

    def test_no_water(self, shore):
        none = self.lack(shore, shore_text(landing("park"), wishes(), keys="keep = 100\nleast_level = 4.5"))
        assert none.lack is PlanLack.NO_WATER
        assert none.spot is not None

    def test_the_nearest_day_and_the_next_best_are_found_beyond_the_days_asked(self, shore):
        made = shore(shore_text(landing("park"), wishes(), keys='days = ["wed", "sun"]'))
        (item,) = plans_of(made, FIRST, 1).lists
        assert item.ranking == ()
        nearest = item.nearest(FIRST)
        assert nearest is not None
        assert nearest.day == FIRST + timedelta(days=2)
        assert len(item.later) == LOOK_AHEAD - 1
        assert all(day.none is None for day in item.later)  # nobody asked why
        (item,) = plans_of(made, FIRST + timedelta(days=2), 1).lists
        following = item.next_best(item.ranking[0])
        assert following is not None
        assert following.day != item.ranking[0].day


class TestRefusals:
    def test_no_landing(self, shore):
        with pytest.raises(UnknownNameError, match=r"no \[\[landings\]\]"):
            plans_of(shore(coast()), FIRST)

    def test_home_before_leaving(self, shore):
        made = shore(shore_text(landing("park")))
        early = made.outing._replace(home_by=parse_day_time("11:00"))
        with pytest.raises(EbblightError, match="home by '11:00' comes before leaving after '12:00'"):
            plans_of(made, FIRST, outing=early)

    def test_a_landing_that_is_not_there(self, shore):
        made = shore(shore_text(landing("park")))
        with pytest.raises(UnknownNameError, match="no landing 'quay'"):
            plans_of(made, FIRST, outing=made.outing._replace(start="quay"))


@pytest.mark.parametrize(("now", "first"), [(-1.0, 0), (50_000.0, 167), (50_100.0, 167), (86_400.0, 0)])
def test_longer_hours_begin_at_midnight_or_now(now, first):
    """In steps of five minutes, to six hours after the day; one leaves before midnight."""
    day = SimpleNamespace(start=0.0, end=86_400.0)
    scene = SimpleNamespace(
        reports=[SimpleNamespace(days=[day])],
        outlook=SimpleNamespace(now=now),
        step=lambda t: int(t // 300.0),
    )
    found = LackFinder(scene, (), None, None, ())._whole(0)
    assert (found.first, found.last, found.latest) == (first, 360, 287)
