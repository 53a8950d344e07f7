"""Which sessions share a rank, and how wrong the water's time is taken to be: numbers that were decided."""

from types import SimpleNamespace

import numpy as np
import pytest

from windows.conditions import cases
from windows.forecast.ranking import level, level_ranks


def session(points: float, deviation: float = 0.0):
    return SimpleNamespace(points=SimpleNamespace(total=points), deviation=deviation)


@pytest.mark.parametrize(
    ("other", "deviations", "shared"),
    [
        (88.1, (0.0, 0.0), True),
        (88.0, (0.0, 0.0), False),
        (85.1, (6.0, 8.0), True),  # half of the root of 36 + 64 is 5
        (85.0, (6.0, 8.0), False),
        (88.1, (1.0, 1.0), True),
    ],
)
def test_below_two_points_or_half_the_joint_deviation_a_rank_is_shared(other, deviations, shared):
    first, second = deviations
    assert level(session(90.0, first), session(other, second)) is shared


def test_a_rank_is_shared_with_its_first_alone():
    """91, 89.5 and 88 lie close in a row, yet the third is 3 points below the first."""
    assert level_ranks([session(91.0), session(89.5), session(88.0), session(86.5)]) == [1, 1, 3, 3]


def test_the_water_s_time_is_unsure_by_twenty_minutes_and_by_forty_where_its_turn_is_assumed():
    steps = np.arange(-200.0, 201.0)
    water = cases.Water(0.0, 60.0, steps, np.zeros_like(steps), steps)
    for deviation, minutes in ((cases.KNOWN_TURN, 20.0), (cases.ASSUMED_TURN, 40.0)):
        shifts = [-outgoing[200] for _, outgoing in cases.TimeShifts(deviation).of(water)]
        assert len(shifts) == 20
        assert np.mean(shifts) == pytest.approx(0.0, abs=1e-9)
        # The middles of twenty equal shares hold a little less than the whole spread of a normal variable.
        assert np.std(shifts) == pytest.approx(minutes, rel=0.05)
