"""A secondary place's clock, the reference's curve at uneven times, and differences that make no sense."""

import numpy as np
import pytest

from harmonics.stations.currents import current_difference_problem
from harmonics.stations.secondary import difference_problem
from harmonics.stations.types import (
    CurrentDifferences,
    CurrentStation,
    HeightDifference,
    SecondaryCurrentStation,
    SecondaryStation,
)
from harmonics.stations.warps import NODE_STEP, Warp, curve_at, resets_between
from harmonics.sums.series import sums_at
from harmonics.sums.waves import NodePractice, year_start
from tests.harmonics.conftest import constants_of, published_station, station_of, utc

HOUR, DAY = 3600.0, 86400.0
WARP = Warp(np.array([0.0, 100.0, 400.0]), np.array([10.0, 130.0, 400.0]))


class TestClocks:
    def test_straight_between_the_pairs_and_even_beyond_them(self):
        t = np.array([0.0, 10.0, 70.0, 130.0, 265.0, 400.0, 450.0])
        there, pace = WARP.to_reference(t)
        assert there.tolist() == pytest.approx([-10.0, 0.0, 50.0, 100.0, 250.0, 400.0, 450.0])
        assert pace.tolist() == pytest.approx([1.0, 1 / 1.2, 1 / 1.2, 1 / 0.9, 1 / 0.9, 1.0, 1.0])

    def test_the_pair_at_or_before_a_time(self):
        assert WARP.interval(np.array([9.0, 10.0, 129.0, 130.0, 401.0])).tolist() == [-1, 0, 0, 1, 2]

    def test_there_and_back(self):
        t = np.linspace(-50.0, 500.0, 23)
        assert WARP.to_secondary(WARP.to_reference(t)[0]) == pytest.approx(t)

    def test_without_pairs_both_clocks_are_one(self):
        t = np.array([[1.0, 2.0]])
        there, pace = Warp(np.empty(0), np.empty(0)).to_reference(t)
        assert there.tolist() == t.tolist() and pace.tolist() == [[1.0, 1.0]]


class TestCurves:
    @pytest.mark.parametrize("practice", NodePractice)
    @pytest.mark.parametrize("spread", [NODE_STEP * 5.0, NODE_STEP * 50.0])
    def test_any_times_dense_or_sparse_over_new_year_are_the_sum(self, practice, spread):
        """Cubics between 10-minute steps stay within 3e-5 of an eighth-diurnal overtide."""
        constants = published_station("8443970").constants
        t = year_start(2027) + spread * np.random.default_rng(3).uniform(-200.0, 200.0, 400)
        value, rate = curve_at(constants, practice, t)
        assert value == pytest.approx(sums_at(constants, practice, t), abs=2e-6)
        assert rate == pytest.approx(sums_at(constants, practice, t, order=1), abs=2e-8)

    def test_one_time_and_none(self):
        constants = constants_of([("S2", 1.0, 0.0)])
        noon = year_start(2026) + 12 * HOUR
        value, rate = curve_at(constants, NodePractice.YEARLY, np.array([noon, noon]))
        assert value == pytest.approx([1.0, 1.0]) and rate == pytest.approx([0.0, 0.0], abs=1e-12)
        assert [len(part) for part in curve_at(constants, NodePractice.YEARLY, np.empty(0))] == [0, 0]

    def test_the_sum_is_reset_at_each_new_year(self):
        t = [year_start(2026) - 1.0, year_start(2026), year_start(2027) - 1.0, year_start(2028) + 1.0]
        assert resets_between(NodePractice.YEARLY, np.array(t)).tolist() == [True, False, True]
        assert resets_between(NodePractice.CONTINUOUS, np.array(t)).tolist() == [False] * 3
        assert resets_between(NodePractice.YEARLY, np.array(t[:1])).tolist() == []
        assert resets_between(NodePractice.YEARLY, np.empty(0)).tolist() == []


SPAN = utc("2026-05-05 00:00") - HOUR, utc("2026-05-12 00:00")
"""S2 of lag 0 has high water at 0 h and 12 h UTC."""


class TestDifferences:
    def of(self, high=None, low=None):
        port = station_of([("S2", 1.0, 0.0)])
        none = HeightDifference()
        return SecondaryStation("n", "N", None, None, port, high or none, low or none)

    @pytest.mark.parametrize(
        ("high", "low", "start", "told"),
        [
            (
                HeightDifference(seconds=7 * HOUR),
                None,
                SPAN[0],
                "high water of 2026-05-05T00:00 UTC at the reference after the low water",
            ),
            (
                None,
                HeightDifference(seconds=7 * HOUR),
                SPAN[0],
                "low water of 2026-05-05T06:00 UTC at the reference after the high water",
            ),
            (
                HeightDifference(offset=-3.0),
                None,
                SPAN[0],
                "high water of 2026-05-05T00:00 UTC at the reference below the low water",
            ),
            (
                None,
                HeightDifference(offset=3.0),
                SPAN[0] + 2 * HOUR,
                "low water of 2026-05-05T06:00 UTC at the reference above the high water",
            ),
        ],
    )
    def test_turns_that_swap(self, high, low, start, told):
        problem = difference_problem(self.of(high, low), start, SPAN[1])
        assert problem == f"the differences put the {told} that follows it"

    @pytest.mark.parametrize("hours", [5.5, -5.5])
    def test_turns_that_stay_in_order(self, hours):
        for near in (self.of(HeightDifference(seconds=hours * HOUR)), self.of(HeightDifference(offset=-1.9))):
            assert difference_problem(near, *SPAN) is None

    def test_one_turn_alone_swaps_with_nothing(self):
        near = self.of(HeightDifference(seconds=9 * HOUR))
        assert difference_problem(near, SPAN[0], SPAN[0] + 3 * HOUR) is None
        assert difference_problem(near, SPAN[0], SPAN[0] + 9 * HOUR) is not None

    @pytest.mark.parametrize(
        ("differences", "told"),
        [
            (
                {"flood": 4 * HOUR},
                "flood of 2026-05-05T00:00 UTC at the reference after the slack before ebb",
            ),
            (
                {"slack_before_ebb": 4 * HOUR},
                "slack before ebb of 2026-05-05T03:00 UTC at the reference after the ebb",
            ),
            ({"ebb": 4 * HOUR}, "ebb of 2026-05-05T06:00 UTC at the reference after the slack before flood"),
            (
                {"slack_before_flood": 4 * HOUR},
                "slack before flood of 2026-05-05T09:00 UTC at the reference after the flood",
            ),
        ],
    )
    def test_events_of_a_current_that_swap(self, differences, told):
        own = CurrentStation("a", "A", 0.0, 0.0, 90.0, 270.0, 0.0, constants_of([("S2", 1.0, 0.0)]))
        near = SecondaryCurrentStation(
            "b", "B", None, None, 90.0, 270.0, own, CurrentDifferences(**differences)
        )
        problem = current_difference_problem(near, *SPAN)
        assert problem == f"the differences put the {told} that follows it"
