"""Extremes of a sum and the pairs dropped as stands: by hand, one rule at a time."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from harmonics.stations.events import high_low_waters
from harmonics.sums.extremes import (
    SAMPLES,
    Extremes,
    Sum,
    _horner,
    _polynomials,
    extremes,
    outermost,
    without_stands,
)
from harmonics.sums.waves import NodePractice, year_start
from tests.harmonics.conftest import constants_of, station_of, utc

LEAST = 0.010


def turning(*values: float) -> Extremes:
    """Extremes an hour apart with the span's ends first and last; a value may be a pair at a reset."""
    pairs = [value if isinstance(value, tuple) else (value, value) for value in values]
    before, after = (np.array(column, dtype=float) for column in zip(*pairs, strict=True))
    high = np.append(np.diff(before) < 0, False)
    return Extremes(3600.0 * np.arange(len(values)), before, after, high)


def kept(*values: float) -> tuple[list[float], list[list[float]]]:
    """Hours of the extremes that stay, and of the stands."""
    found, stands = without_stands(turning(*values), LEAST)
    return (found.t / 3600.0).tolist(), (stands / 3600.0).tolist()


@given(st.lists(st.floats(-2.0, 2.0), min_size=1, max_size=10), st.floats(-1.0, 1.0))
def test_values_and_slopes_of_polynomials(terms, x):
    column = np.array(terms)[:, None]
    (value,), (slope,) = _horner(column, np.array([x]))
    assert value == pytest.approx(np.polynomial.polynomial.polyval(x, terms), abs=1e-9)
    own = sum(power * term * x ** (power - 1) for power, term in enumerate(terms) if power)
    assert slope == pytest.approx(own, abs=1e-9)


def test_polynomials_pass_through_their_samples():
    samples = np.cos(0.9 * np.arange(SAMPLES))
    terms = (_polynomials() @ samples)[:, None]
    places = np.arange(SAMPLES) - (SAMPLES - 1) / 2
    found = [_horner(terms, np.array([place]))[0][0] for place in places]
    assert found == pytest.approx(samples.tolist(), abs=1e-9)


def test_extremes_far_apart_all_stay_and_the_ends_never_do():
    assert kept(0.5, 1.0, 0.0, 1.0, 0.5) == ([1, 2, 3], [])


def test_the_closest_pair_goes_first():
    # 1.000, 0.996, 1.002: of the two pairs 4 and 6 mm apart the first goes, and 1.002 is the crest
    assert kept(0.0, 1.000, 0.996, 1.002, 0.0, 1.0) == ([3, 4], [[1, 2]])
    assert kept(0.0, 1.002, 0.996, 1.000, 0.0, 1.0) == ([1, 4], [[2, 3]])


def test_dropping_one_pair_may_bring_another_together():
    # without 0.5040 and 0.5010 the trough of 0.4950 and the crest of 0.5045 are neighbours, 9.5 mm apart
    assert kept(1.0, 0.495, 0.504, 0.501, 0.5045, 0.0, 1.0) == ([5], [[1, 4], [2, 3]])


def test_a_turn_beside_an_end_that_hardly_differs_is_none_and_no_stand():
    assert kept(0.999, 1.0, 0.0, 1.0, 0.5) == ([2, 3], [])
    assert kept(0.5, 1.0, 0.0, 1.0, 0.999) == ([1, 2], [])


def test_one_extreme_left_alone_goes_too():
    """Both crests go with the ends beside them: a trough between no crests is no low water."""
    assert kept(0.999, 1.0, 0.985, 1.0, 0.999) == ([], [])
    assert kept(0.5, 1.0, 0.985, 1.0, 0.5) == ([1, 2, 3], [])


def test_a_year_of_millimetres_has_no_low_water_of_its_own():
    """Sa of 4 mm: both crests of this span lie beside its ends, the trough of September between them."""
    station = station_of([("SA", 0.004, 0.0)])
    start, end = utc("2001-03-01 00:00"), utc("2002-04-01 00:00")
    curve = Sum(0.0, station.constants, station.practice)
    found = extremes(curve, start - 15 * 86400.0, end + 15 * 86400.0)
    assert found.high[1:-1].tolist() == [True, False, True]
    assert len(high_low_waters(station, start, end).turns) == 0


def test_a_pair_at_least_the_range_apart_stays():
    assert kept(0.0, 1.0, 0.9899, 1.0, 0.0)[1] == []
    assert kept(0.0, 1.0, 0.9901, 1.0, 0.0)[1] == [[1, 2]]


def test_a_step_at_a_reset_counts_from_the_side_it_is_seen_from():
    # the sum steps from 1.000 down to 0.995 at the reset, an extreme of the year before by its outer value
    found = turning(0.0, (1.0, 0.995), 0.0, (0.0, 0.004), 1.0)
    assert_allclose(outermost(found), [0.0, 1.0, 0.0, 0.0, 1.0])
    # from after the reset: 0.995 to 0.986 is a stand though 1.000 is further off
    assert kept(0.0, (1.0, 0.995), 0.986, 1.2, 0.0)[1] == [[1, 2]]


@pytest.mark.parametrize("practice", NodePractice)
def test_the_ends_frame_the_extremes(practice):
    curve = Sum(0.5, constants_of([("S2", 1.0, 0.0)]), practice)
    start = year_start(2021) + 3600.0
    found = extremes(curve, start, start + 86400.0)
    assert found.t[[0, -1]].tolist() == [start, start + 86400.0]
    assert_allclose((found.t[1:-1] - year_start(2021)) / 3600.0, [6, 12, 18, 24], atol=1e-3)
    assert_allclose(found.before[1:-1], [-0.5, 1.5, -0.5, 1.5], atol=1e-6)
    assert_allclose(found.before[[0, -1]], 0.5 + np.cos(np.radians(30)), atol=1e-6)
    assert found.high[1:-1].tolist() == [False, True, False, True]
