"""Root finding on functions whose roots are known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from windows.astronomy.roots import refine_brackets, refine_extrema


@given(st.lists(st.floats(0.001, 0.999), min_size=1, max_size=8), st.sampled_from([1, 3, 9]))
def test_odd_powers(roots, power):
    wanted = np.array(roots)

    def f(i, x):
        return (x - wanted[i]) ** power

    zeros, ones, index = np.zeros(wanted.size), np.ones(wanted.size), np.arange(wanted.size)
    found = refine_brackets(f, (zeros, ones), (f(index, zeros), f(index, ones)), 1e-9)
    assert np.abs(found - wanted).max() <= 1e-9


@pytest.mark.parametrize("depth", [1e-2, 1e-5, 1e-9])
def test_a_graze_does_not_stop_the_search_early(depth):
    # x^2 - depth, from its lowest point: the first secant steps are far shorter than the way to the root.
    def f(_, x):
        return x * x - depth

    found = refine_brackets(f, ([0.0], [1.0]), ([-depth], [1.0 - depth]), 1e-8)
    assert found[0] == pytest.approx(np.sqrt(depth), abs=1e-8)


def test_a_root_on_a_bracket_end_and_no_bracket_at_all():
    def f(_, x):
        return x - 1.0

    assert refine_brackets(f, ([0.0], [1.0]), ([-1.0], [0.0]), 1e-9).tolist() == [1.0]
    assert refine_brackets(f, ([], []), ([], []), 1e-9).tolist() == []


def test_a_function_without_a_root_is_an_error():
    # Nothing is ever zero where the sign jumps at a point no float reaches with a zero-width tolerance.
    def f(_, x):
        return np.where(x > 1 / 3, 1.0, -1.0)

    with pytest.raises(ArithmeticError, match="did not settle"):
        refine_brackets(f, ([0.0], [1.0]), ([-1.0], [1.0]), 0.0)


@given(st.floats(-1, 1), st.floats(0.2, 3))
def test_extrema_of_a_cosine(phase, rate):
    step = 0.5 / rate
    nearest_sample = np.round(-phase / rate / step) * step
    found = refine_extrema(lambda _, x: np.cos(rate * x + phase), np.array([nearest_sample]), step)
    assert found[0] == pytest.approx(-phase / rate, abs=1e-5 / rate)
