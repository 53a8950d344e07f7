"""Scores of forecasts by hand and by their properties."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from harmonics.records.verification import (
    Tenth,
    brier,
    climate_brier,
    coverage,
    range_of_eight_in_ten,
    reliability,
    spread,
)

chances = hnp.arrays(float, st.integers(1, 60), elements=st.floats(0.0, 1.0))


def test_by_hand():
    said, came = [0.9, 0.8, 0.2, 0.0], [True, False, False, False]
    assert brier(said, came) == pytest.approx((0.01 + 0.64 + 0.04 + 0.0) / 4)
    assert climate_brier(came) == pytest.approx(0.1875)
    assert coverage([0, 0, 0, 0], [1, 1, 1, 1], [0.0, 1.0, 1.1, np.nan]) == pytest.approx(2 / 3)
    assert spread([1.0, 3.0, np.nan]) == (2.0, 1.0, 2)


def test_tenths_hold_their_lower_edge_and_the_last_one_certainty():
    found = reliability([0.0, 0.05, 0.1, 0.95, 1.0], [False, True, False, True, True])
    assert found == (Tenth(0.025, 0.5, 2), Tenth(0.1, 0.0, 1), Tenth(0.975, 1.0, 2))


def test_of_no_case_nothing_is_known():
    assert np.isnan(brier([], []))
    assert np.isnan(climate_brier([]))
    assert reliability([], []) == ()
    assert np.isnan(coverage([], [], []))
    assert np.isnan(spread([np.nan])[0])


@given(chances, st.randoms())
def test_a_brier_score_is_its_reliability_and_the_rest(said, random):
    """Murphy's decomposition holds exactly where all of a tenth were said alike."""
    said = np.round(said, 1)
    came = np.array([random.random() < 0.5 for _ in said])
    tenths = reliability(said + 1e-9, came)
    count = sum(item.count for item in tenths)
    assert count == len(said)
    miss = sum(item.count * (item.said - item.seen) ** 2 for item in tenths) / count
    noise = sum(item.count * item.seen * (1 - item.seen) for item in tenths) / count
    alike = np.unique(said).size == len(tenths)
    if alike:
        assert brier(said, came) == pytest.approx(miss + noise, abs=1e-6)


@given(chances)
def test_certain_and_right_is_best(said):
    came = said >= 0.5
    assert brier(came.astype(float), came) == 0.0
    assert 0.0 <= brier(said, came) <= 1.0
    assert 0.0 <= climate_brier(came) <= 0.25


def test_eight_in_ten():
    low, high = range_of_eight_in_ten(np.arange(11.0)[:, None] * np.array([1.0, 2.0]))
    assert low == pytest.approx([0.2, 0.4])  # the k-th of 11 has k / 12 of all below it
    assert high == pytest.approx([9.8, 19.6])


@pytest.mark.parametrize("count", [20, 27, 60, 200])
def test_another_of_the_same_kind_lies_in_it_eight_times_in_ten(count):
    drawn = np.random.default_rng(count).exponential(size=(count + 1, 40_000))
    low, high = range_of_eight_in_ten(drawn[1:])
    share = coverage(low, high, drawn[0])
    assert share == pytest.approx(0.8, abs=0.012)
    usual = coverage(*np.quantile(drawn[1:], (0.1, 0.9), axis=0), drawn[0])
    assert usual == pytest.approx(0.8 * (count - 1) / (count + 1), abs=0.012)
