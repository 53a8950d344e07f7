"""Zeros of sampled curves: knows neither tide nor sky, and neither do these checks."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from harmonics.sums.search import MAXIMUM_ITERATIONS, linear_crossings, refine, refine_each, sign_changes


def test_sign_changes_sit_between_their_samples():
    assert list(sign_changes(np.array([1.0, 2.0, -1.0, -3.0, 0.5, -0.5]))) == [1, 3, 4]


def test_a_sample_of_zero_counts_as_positive():
    assert list(sign_changes(np.array([1.0, 0.0, 1.0]))) == []
    assert list(sign_changes(np.array([-1.0, 0.0, 1.0]))) == [0]
    assert list(sign_changes(np.array([1.0, 0.0, -1.0]))) == [1]
    assert list(sign_changes(np.array([-1.0, 0.0, -1.0]))) == [0, 1]
    assert list(sign_changes(np.array([-1.0, -0.0, -1.0]))) == [0, 1]


@pytest.mark.parametrize("values", [[], [1.0], [1.0, 2.0], [-1.0, -2.0], [0.0, 0.0, 0.0]])
def test_nothing_changes_sign(values):
    assert len(sign_changes(np.array(values))) == 0


def test_linear_crossings_by_hand():
    t = np.array([0.0, 10.0, 30.0, 40.0, 50.0])
    values = np.array([-1.0, 3.0, 3.0, -3.0, 0.0])
    assert_allclose(linear_crossings(t, values, sign_changes(values)), [2.5, 35.0, 50.0])
    index = sign_changes(values - 2.0)
    assert list(index) == [0, 2]
    assert_allclose(linear_crossings(t, values, index, 2.0), [7.5, 30.0 + 10.0 / 6.0])
    assert linear_crossings(t, values, sign_changes(values - 9.0), 9.0).shape == (0,)


@given(values=st.lists(st.floats(-5, 5), min_size=2, max_size=30), limit=st.floats(-4, 4))
def test_linear_crossings_lie_in_their_brackets_and_on_the_line(values, limit):
    values = np.array(values)
    t = 3.0 + 2.0 * np.arange(len(values))
    index = sign_changes(values - limit)
    found = linear_crossings(t, values, index, limit)
    assert np.all((found >= t[index]) & (found <= t[index + 1]))
    assert_allclose(np.interp(found, t, values), limit, atol=1e-12)


def bracketed(curve, low, high):
    low, high = np.atleast_1d(np.asarray(low, dtype=float)), np.atleast_1d(np.asarray(high, dtype=float))
    return low, high, curve(low)[0], curve(high)[0]


def test_all_zeros_of_a_cosine_at_once():
    grid = np.linspace(0, 100, 201)
    index = sign_changes(np.cos(grid))
    roots = refine(
        lambda x: (np.cos(x), -np.sin(x)),
        grid[index],
        grid[index + 1],
        np.cos(grid)[index],
        np.cos(grid)[index + 1],
        1e-9,
    )
    assert_allclose(roots, (np.arange(32) + 0.5) * np.pi, atol=1e-9)


def test_each_bracket_may_have_a_curve_of_its_own():
    target = np.array([0.1, 2.0, 5.0, 7.9])

    def cubes(x, which):
        assert x.shape == which.shape
        return x**3 - target[which], 3 * x**2

    low, high = np.full(4, 0.0), np.full(4, 2.0)
    roots = refine_each(cubes, low, high, -target, 8.0 - target, 1e-12)
    assert_allclose(roots, np.cbrt(target), atol=1e-12)


def steep(x):
    """A cube root: Newton's steps from any point overshoot by twice the distance."""
    with np.errstate(divide="ignore"):
        return np.cbrt(x - 2), np.abs(x - 2) ** (-2 / 3) / 3


@pytest.mark.parametrize(
    ("name", "curve", "low", "high", "root"),
    [
        ("Newton alone runs away", lambda x: (np.arctan(x - 3), 1 / (1 + (x - 3) ** 2)), -500.0, 90.0, 3.0),
        ("falling", lambda x: (2 - x, -np.ones_like(x)), 0.0, 5.0, 2.0),
        ("no slope at the zero", lambda x: ((x - 1) ** 3, 3 * (x - 1) ** 2), -1.0, 4.0, 1.0),
        ("no slope at all given", lambda x: (x - 0.3, np.zeros_like(x)), 0.0, 1.0, 0.3),
        ("a slope that is wrong", lambda x: (x - 0.3, -np.ones_like(x)), 0.0, 1.0, 0.3),
        ("endless slope at the zero", steep, 1.5, 4.0, 2.0),
        ("a jump", lambda x: (np.where(x < 0.7, -1.0, 1.0), np.zeros_like(x)), 0.0, 1.0, 0.7),
        ("zero at the lower end", lambda x: (-x, -np.ones_like(x)), 0.0, 1.0, 0.0),
        ("zero at the upper end", lambda x: (x - 1, np.ones_like(x)), 0.0, 1.0, 1.0),
        (
            "three zeros close together",
            lambda x: (-((x - 0.008) ** 2) * (x - 0.01), -(x - 0.008) * (3 * x - 0.028)),
            *(-6.0, 12.0, 0.01),
        ),
        ("tiny values", lambda x: (1e-300 * (x - 0.4), np.full_like(x, 1e-300)), 0.0, 1.0, 0.4),
    ],
)
def test_hard_curves(name, curve, low, high, root):
    found = refine(curve, *bracketed(curve, low, high), 1e-9)
    assert found.shape == (1,)
    assert found[0] == pytest.approx(
        root, abs=2e-6 if name == "no slope at the zero" else 2e-3 if "three" in name else 1e-8
    ), name


def test_no_brackets_no_zeros():
    empty = np.empty(0)
    assert refine(lambda x: (x, x), empty, empty, empty, empty, 0.1).shape == (0,)


def test_the_brackets_given_are_left_as_they_were():
    low, high = np.array([0.0]), np.array([1.0])
    refine(lambda x: (x - 0.25, np.ones_like(x)), low, high, low - 0.25, high - 0.25, 1e-9)
    assert low[0] == 0.0
    assert high[0] == 1.0


def test_brackets_that_are_done_are_not_asked_again():
    sizes = []

    def curve(x):
        sizes.append(len(x))
        return x**3 - 0.3, 3 * x**2

    low, high = np.zeros(50), np.linspace(0.7, 40, 50)
    roots = refine(curve, low, high, np.full(50, -0.3), high**3 - 0.3, 1e-9)
    assert_allclose(roots, np.cbrt(0.3), atol=1e-9)
    assert sizes[0] == 50
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[-1] < 50
    assert len(sizes) < MAXIMUM_ITERATIONS


@given(
    roots=st.lists(st.floats(-5, 5), min_size=3, max_size=3),
    low=st.floats(-12, -5.001),
    high=st.floats(5.001, 12),
    sign=st.sampled_from([-1.0, 1.0]),
)
def test_a_zero_is_found_inside_its_bracket(roots, low, high, sign):
    polynomial = sign * np.poly(roots)
    slope = np.polyder(polynomial)

    def curve(x):
        return np.polyval(polynomial, x), np.polyval(slope, x)

    found = refine(curve, *bracketed(curve, low, high), 1e-10)[0]
    assert low <= found <= high
    # triple zeros are known no better than the cube root of rounding
    assert np.abs(found - np.array(roots)).min() < 1e-3


@given(phase=st.floats(0, 2 * np.pi), speed=st.floats(0.5, 3.0))
def test_zeros_come_to_the_tolerance_asked_for(phase, speed):
    def curve(x):
        return np.cos(speed * x + phase), -speed * np.sin(speed * x + phase)

    grid = np.linspace(0, 50, 501)
    value = curve(grid)[0]
    index = sign_changes(value)
    found = refine(curve, grid[index], grid[index + 1], value[index], value[index + 1], 1e-6)
    assert len(found) >= 7
    assert np.all(np.diff(found) > 0.9 * np.pi / speed)
    assert_allclose(curve(found)[0], 0, atol=4e-6)
