"""The dynamic programme against every day out there is, and against sums written down by hand."""

import os
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.windows.outing.exhaustive import best, order, random_case
from windows.outing.ground import NO_WAY, Course, Daytime, Ground, Rules, Start, Visit, clear
from windows.outing.layout import MOST_MOVES, MOST_STEPS
from windows.outing.solving import solve, solve_each

CASES = int(os.environ.get("EBBLIGHT_DAYS_OUT", "120"))
"""The long run takes 500."""
PARTS = 5


@pytest.mark.parametrize("part", range(PARTS))
def test_it_finds_what_exhaustive_search_finds(part):
    """Worth to 1e-9 and, of what is equally good, the very course that the rule names."""
    moved = done = 0
    for seed in range(part * CASES // PARTS, (part + 1) * CASES // PARTS):
        ground, rules, day, allowed = random_case(seed)
        (found,) = solve(ground, rules, [day], allowed)
        for course, wanted in zip(found, best(ground, rules, day, allowed=allowed), strict=True):
            assert (course is None) == (wanted is None), seed
            if course is not None and wanted is not None:
                assert course.worth == pytest.approx(wanted.worth, abs=1e-9), seed
                assert order(course) == order(wanted), seed
                assert course == wanted._replace(worth=course.worth), seed
                moved += course.moves > 0
                done += 1
    assert done > CASES // PARTS // 2
    assert moved > 0


def plain(worth, **changes) -> Ground:
    """A ground whose gates are always open and whose ways take one step."""
    worth = np.array(worth, dtype=float)
    spots, steps = worth.shape
    banks = changes.pop("banks", 0)
    places = 1 + banks + spots
    ground = Ground(
        worth,
        np.ones((spots, steps), dtype=bool),
        np.ones((banks, steps), dtype=bool),
        np.ones(steps, dtype=bool),
        np.ones((places, places), dtype=np.int64),
    )
    return replace(ground, **changes)


def flags(text: str) -> np.ndarray:
    return np.array([sign == "x" for sign in text])


class TestByHand:
    def test_one_spot(self):
        ((found,),) = solve(plain([[0, 0, 3, 3, 3, 0, 0, 0]]), Rules(1, 0, 0, most_moves=0), [Daytime(0, 8)])
        assert found == Course(0, 1, (Visit(1, 1, 2, 5),), 6, 6, 7, 0, 9.0)

    def test_a_move_is_made_only_where_it_pays(self):
        worth = [[4, 4, 4, 4, 0, 0, 0, 0, 0], [0, 0, 0, 0, 0, 3, 3, 0, 0]]
        rules = Rules(launch=0, most_moves=1, move_cost=5.9)
        ((alone, moved),) = solve(plain(worth), rules, [Daytime(0, 9)])
        assert alone is not None and moved is not None
        assert (alone.worth, alone.moves) == (12, 0)
        assert (moved.worth, moved.moves) == (pytest.approx(12.1), 1)
        assert [(v.place, v.arrived, v.left) for v in moved.visits] == [(1, 1, 4), (2, 5, 7)]
        ((_, still),) = solve(plain(worth), rules._replace(move_cost=6.0), [Daytime(0, 9)])
        assert still == alone  # no gain: the fewer moves

    def test_bait_comes_first_and_costs_its_time(self):
        ground = plain([[2.0] * 9], banks=1)
        ((found,),) = solve(ground, Rules(0, 0, 0, 2, bait=True, most_moves=0), [Daytime(0, 8)])
        assert found is not None
        assert [(v.place, v.arrived, v.left) for v in found.visits] == [(1, 1, 3), (2, 4, 7)]
        ((without,),) = solve(ground, Rules(0, 0, 0, 2, bait=False, most_moves=0), [Daytime(0, 8)])
        assert without is not None
        assert without.worth == 12

    def test_the_landing_must_be_open_all_the_while_at_both_ends(self):
        ground = plain([[1.0] * 12], ramp_open=flags("..xxx....xxx"))
        ((found,),) = solve(ground, Rules(1, 3, 0, most_moves=0), [Daytime(0, 12)])
        assert found is None  # home would be at 13
        ((found,),) = solve(ground, Rules(0, 3, 0, most_moves=0), [Daytime(0, 12)])
        assert found == Course(2, 5, (Visit(1, 5, 6, 8),), 9, 12, 12, 0, 2.0)

    def test_one_waits_for_the_landing_where_one_must(self):
        ground = plain(
            [[1, 1, 1, 0, 0, 0, 0, 0]], spot_open=flags("xxx.....")[None], ramp_open=flags("x....xxx")
        )
        ((found,),) = solve(ground, Rules(0, 1, 0, most_moves=0), [Daytime(0, 8)])
        assert found == Course(0, 1, (Visit(1, 1, 2, 3),), 4, 6, 6, 0, 1.0)

    def test_a_shut_spot_is_left_before_it_shuts(self):
        ground = plain([[1.0] * 9], spot_open=flags("..xxx.xxx")[None])
        ((found,),) = solve(ground, Rules(0, 0, 1, most_moves=0), [Daytime(0, 9)])
        assert found is not None
        assert (found.visits[0].arrived, found.visits[0].left) == (2, 5)  # set up from 2 to 3

    def test_a_way_is_passed_only_while_it_is_open(self):
        ways = np.array([[1, 2], [2, 1]])
        gate = {(0, 1): flags(".xx....."), (1, 0): flags("xxxxxx..")}
        ground = plain([[1.0] * 8], ways=ways, way_open=gate)
        ((found,),) = solve(ground, Rules(0, 0, 0, most_moves=0), [Daytime(0, 8)])
        assert found == Course(1, 1, (Visit(1, 1, 3, 4),), 6, 6, 6, 0, 1.0)

    def test_no_way_is_no_way(self):
        ways = np.array([[1, NO_WAY], [1, 1]])
        assert solve(plain([[1.0] * 8], ways=ways), Rules(0, 0, 0), [Daytime(0, 8)]) == [(None,) * 4]

    def test_the_longest_day_out_takes_its_best_part(self):
        worth = [[1, 1, 1, 1, 1, 1, 5, 5, 1, 1, 1, 1]]
        ((found,),) = solve(plain(worth), Rules(0, 0, 0, most_moves=0, longest=4), [Daytime(0, 12)])
        assert found == Course(5, 5, (Visit(1, 5, 6, 8),), 9, 9, 9, 0, 10.0)

    def test_days_without_time_or_spots_have_no_course(self):
        rules = Rules(most_moves=1)
        assert solve(plain([[1.0] * 8]), rules, [Daytime(5, 5), Daytime(6, 2)]) == [(None, None)] * 2
        empty = plain(np.empty((0, 8)))
        assert solve(empty, rules, [Daytime(0, 8)]) == [(None, None)]
        assert solve(plain([[1.0] * 8]), rules._replace(bait=True), [Daytime(0, 8)]) == [(None, None)]


class TestRefusals:
    def test_days_and_moves_beyond_the_tables(self):
        ground = plain([[1.0] * 8])
        with pytest.raises(ValueError, match="at most"):
            solve(ground, Rules(most_moves=MOST_MOVES + 1), [Daytime(0, 8)])
        with pytest.raises(ValueError, match="at most"):
            solve(ground, Rules(), [Daytime(0, MOST_STEPS)])

    @pytest.mark.parametrize(
        "changes",
        [
            {"worth": np.full((1, 8), -1.0)},
            {"worth": np.full((1, 8), np.nan)},
            {"ramp_open": flags("xxx")},
            {"ways": np.ones((3, 3), dtype=np.int64)},
            {"ways": np.zeros((2, 2), dtype=np.int64)},
        ],
    )
    def test_grounds_that_make_no_sense(self, changes):
        with pytest.raises(ValueError):
            plain(changes.pop("worth", [[1.0] * 8]), **changes)


def test_clear_counts_the_steps_ahead():
    assert clear(flags("xx.xxx"), 2).tolist() == [True, False, False, True, True, False, False]
    assert clear(flags("xx"), 3).tolist() == [False, False, False]
    assert clear(flags(".."), 0).tolist() == [True, True, True]


seeds = st.integers(1000, 100_000)


@examples(60)
@given(seeds)
def test_more_time_moves_or_places_never_lower_the_worth(seed):
    ground, rules, day, allowed = random_case(seed)

    def worth(ground=ground, rules=rules, day=day):
        found = solve(ground, rules, [day], allowed)[0]
        worths = [-np.inf if course is None else course.worth for course in found]
        assert all(b >= a - 1e-6 for a, b in pairwise(worths))
        return worths[-1]

    whole = worth()
    assert whole >= worth(day=day._replace(first=day.first + 1)) - 1e-6
    assert whole >= worth(day=day._replace(last=day.last - 1)) - 1e-6
    assert (
        whole >= worth(day=day._replace(latest=(day.last if day.latest is None else day.latest) - 1)) - 1e-6
    )
    if rules.longest is not None:
        assert worth(rules=rules._replace(longest=rules.longest + 1)) >= whole - 1e-6
    if ground.spots > 1:
        keep = list(range(1 + ground.banks + ground.spots - 1))
        fewer = replace(
            ground,
            worth=ground.worth[:-1],
            spot_open=ground.spot_open[:-1],
            ways=ground.ways[np.ix_(keep, keep)],
            way_open={k: v for k, v in ground.way_open.items() if set(k) <= set(keep)},
        )
        assert whole >= worth(ground=fewer) - 1e-6


@examples(30)
@given(seeds, st.integers(2, 6))
def test_days_side_by_side_are_the_days_one_by_one(seed, count):
    ground, rules, day, allowed = random_case(seed)
    days = [Daytime(max(0, day.first - k % 3), max(0, day.last - k), day.latest) for k in range(count)]
    assert solve(ground, rules, days, allowed) == [solve(ground, rules, [one], allowed)[0] for one in days]


def test_each_way_to_begin_has_what_it_has_alone():
    """Days out of several ways to begin share their tables: with a bank first, at some times only, at any."""
    baited = 0
    for seed in range(60):
        ground, rules, day, _ = random_case(seed)
        allowed = np.arange(ground.steps + 1) % 3 == seed % 3
        starts = [Start(bait, when) for bait in (True, False) for when in (None, allowed)]
        for start, found in zip(starts, solve_each(ground, rules, [day], starts), strict=True):
            assert found == solve(ground, rules._replace(bait=start.bait), [day], start.allowed), seed
            baited += start.bait and found[0][-1] is not None
    assert baited > 10
