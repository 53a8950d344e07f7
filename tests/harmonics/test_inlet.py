"""Flow through openings: Keulegan's limits and curve, exact relations, and the conservation of volume."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from harmonics.stations.inlet import (
    GRAVITY,
    Inlet,
    continuity_speeds,
    friction_losses,
    inlet_of_repletion,
    inlet_response,
    solve_inlets,
)

PERIOD = 44714.16
AMPLITUDE = 0.5
BASIN, OPENING = 5.0e6, 500.0
STEPS = 240
STEP = PERIOD / STEPS


def sea(tides, amplitude=AMPLITUDE):
    return amplitude * np.cos(2 * np.pi * np.arange(tides * STEPS) / STEPS)


def inlet(repletion):
    return inlet_of_repletion(repletion, BASIN, OPENING, AMPLITUDE, PERIOD)


def settled(repletion, tides=60, last=10):
    """Sea, bay and speed of the last tides, and the response, lags in degrees of the tide."""
    level = sea(tides)
    series = solve_inlets((inlet(repletion),), level, STEP)
    part = slice(-last * STEPS, None)
    answer = inlet_response(level[part], series.bay_level[0, part], STEP)
    degrees = np.array([answer.high_lag, answer.low_lag]) / PERIOD * 360.0
    return level[part], series.bay_level[0, part], series.speed[0, part], answer.range_ratio, degrees


class TestLimits:
    @pytest.mark.parametrize("repletion", [3.0, 5.0, 20.0, 200.0])
    def test_a_wide_inlet_lets_the_bay_follow_the_sea(self, repletion):
        level, bay, speed, ratio, lag = settled(repletion, tides=12, last=8)
        assert ratio == pytest.approx(1.0, abs=1e-4)
        assert np.abs(bay - level).max() < AMPLITUDE / repletion**2 * 1.1
        assert np.abs(lag).max() < 0.01
        # then speed is continuity's
        plain = continuity_speeds(np.gradient(level, STEP), BASIN, OPENING)[1:-1]
        assert np.abs(speed[1:-1] - plain).max() < plain.max() * (1.5 / repletion**2 + 5e-4)

    def test_slack_is_at_high_water_itself_from_the_root_of_eight(self):
        """Near a turn D = k t|t| solves the equation without lag if c^2 >= 8 x the sea's curvature."""
        assert np.abs(settled(np.sqrt(8.0) * 1.02, tides=20)[4]).max() < 0.01
        assert settled(np.sqrt(8.0) * 0.9, tides=20)[4].min() > 0.1

    @pytest.mark.parametrize("repletion", [0.02, 0.05, 0.1])
    def test_a_narrow_inlet_stills_the_bay_and_turns_a_quarter_period_late(self, repletion):
        _, _, _, ratio, lag = settled(repletion, tides=40 + round(3.6 / repletion), last=40)
        # the bay answers K cos-half-power alone: K x integral of sqrt(cos) over a quarter = 1.19814 K
        assert ratio == pytest.approx(1.19814 * repletion, rel=0.01)
        assert lag == pytest.approx(90.0 - np.degrees(1.19814 * repletion), abs=0.5)

    @pytest.mark.parametrize("repletion", [0.1, 0.2, 0.4, 0.6, 0.8, 1.0, 1.5, 2.0, 2.5])
    def test_the_bay_turns_where_it_meets_the_sea(self, repletion):
        """So its range is the cosine of its lag (exact for a cosine sea)."""
        _, _, _, ratio, lag = settled(repletion)
        assert lag[0] == pytest.approx(lag[1], abs=0.01)
        assert ratio == pytest.approx(np.cos(np.radians(lag[0])), abs=2e-4)

    @pytest.mark.parametrize(("repletion", "ratio"), [(0.2, 0.236), (0.4, 0.457), (0.6, 0.639), (1.0, 0.879)])
    def test_keulegans_curve(self, repletion, ratio):
        # Keulegan 1967, bay range over sea range (from memory, hence to a hundredth)
        assert settled(repletion)[3] == pytest.approx(ratio, abs=0.01)


class TestSolution:
    @pytest.mark.parametrize("repletion", [0.05, 0.2, 0.6, 1.0, 2.0, 5.0, 50.0])
    def test_volume_is_conserved(self, repletion):
        _, bay, speed, _, _ = settled(repletion, tides=60, last=4)
        through = OPENING * STEP * (speed[1:] + speed[:-1]) / 2
        stored = BASIN * np.diff(bay)
        prism = np.abs(stored).sum() / 8
        missing = np.cumsum(stored - through)
        assert np.abs(missing).max() < 0.001 * prism

    @pytest.mark.parametrize("repletion", [0.2, 0.8, 1.5, 4.0])
    def test_it_agrees_with_small_explicit_steps(self, repletion):
        """The plain equation by Runge and Kutta at a fiftieth of the step."""
        c = inlet(repletion).conveyance
        fine, h = 50, STEP / 50

        def slope(t, level):
            ahead = AMPLITUDE * np.cos(2 * np.pi * t / PERIOD) - level
            return c * np.sign(ahead) * np.sqrt(abs(ahead))

        level, t, expected = AMPLITUDE, 0.0, []
        for i in range(2 * STEPS * fine):
            if i % fine == 0:
                expected.append(level)
            k1 = slope(t, level)
            k2 = slope(t + h / 2, level + h / 2 * k1)
            k3 = slope(t + h / 2, level + h / 2 * k2)
            k4 = slope(t + h, level + h * k3)
            level += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
            t += h
        found = solve_inlets((inlet(repletion),), sea(2), STEP).bay_level[0]
        assert np.abs(found - expected).max() < 1e-3 * AMPLITUDE

    def test_many_at_once_are_each_by_itself(self):
        inlets = tuple(inlet(k) for k in (0.05, 0.5, 5.0))
        seas = np.stack([sea(30), 0.7 * sea(30), sea(30) + 0.2 * np.sin(np.arange(30 * STEPS) / 300)])
        together = solve_inlets(inlets, seas, STEP)
        for i, one in enumerate(inlets):
            alone = solve_inlets((one,), seas[i], STEP)
            assert together.bay_level[i] == pytest.approx(alone.bay_level[0], abs=1e-6)
            assert together.speed[i] == pytest.approx(alone.speed[0], abs=0.02)

    def test_stretches_side_by_side_change_nothing(self):
        """Long enough for many stretches, of an inlet that forgets slowly; against the start alone."""
        slow = inlet(0.02)
        long = solve_inlets((slow,), sea(40), STEP).bay_level[0]
        short = solve_inlets((slow,), sea(40)[:400], STEP).bay_level[0]
        assert long[:400] == pytest.approx(short, abs=1e-6)

    def test_speed_is_the_head_left_after_losses(self):
        one = Inlet(BASIN, OPENING, friction_losses(length=600.0, hydraulic_radius=2.0, friction=0.03))
        assert one.losses == pytest.approx(0.2 + 1.0 + 0.03 * 600 / 8)
        level = sea(5)
        series = solve_inlets((one,), level, STEP)
        head = level - series.bay_level[0]
        assert one.losses * series.speed[0] * np.abs(series.speed[0]) / (2 * GRAVITY) == pytest.approx(head)

    @given(some.floats(0.05, 5.0), some.floats(1e4, 1e8), some.floats(10.0, 1e4), some.floats(0.1, 4.0))
    def test_repletion_round_trip(self, repletion, basin, opening, amplitude):
        made = inlet_of_repletion(repletion, basin, opening, amplitude, PERIOD)
        assert made.repletion(amplitude, PERIOD) == pytest.approx(repletion)

    def test_short_series(self):
        for count in (0, 1, 2, 3):
            series = solve_inlets((inlet(1.0),), sea(1)[:count], STEP)
            assert series.bay_level.shape == (1, count)
        assert np.isnan(inlet_response(sea(1)[:5], sea(1)[:5], STEP).range_ratio)


class TestBadInput:
    def test_continuity(self):
        assert continuity_speeds([1e-5, -2e-5], 1e6, 100.0) == pytest.approx([0.1, -0.2])

    @pytest.mark.parametrize("values", [(0.0, 1.0, 1.0), (1.0, -5.0, 1.0), (1.0, 1.0, 0.0), (np.nan, 1, 1)])
    def test_areas_and_losses_above_zero(self, values):
        with pytest.raises(ValueError, match="must be above 0"):
            Inlet(*values)

    def test_repletion_above_zero(self):
        with pytest.raises(ValueError, match="repletion must be above 0, not 0"):
            inlet_of_repletion(0.0, BASIN, OPENING, AMPLITUDE, PERIOD)

    def test_series_that_do_not_fit(self):
        with pytest.raises(ValueError, match="one for each of 2"):
            solve_inlets((inlet(1.0), inlet(2.0)), np.zeros((3, 5)), STEP)
        with pytest.raises(ValueError, match="finite"):
            solve_inlets((inlet(1.0),), np.array([0.0, np.nan, 1.0]), STEP)
        with pytest.raises(ValueError, match="step must be positive"):
            solve_inlets((inlet(1.0),), sea(1), 0.0)
