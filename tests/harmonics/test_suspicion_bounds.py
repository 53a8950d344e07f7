"""How much it takes for a reading to be suspicious: made residuals whose roughness is known to the digit."""

from types import SimpleNamespace

import numpy as np
import pytest

from harmonics.fitting.suspicions import Suspicion, shifted_datum, spikes, stand_out, stuck

HOUR, DAY = 3600.0, 86400.0
A = 0.01
SCALE = 1.4826 * A
"""Robust deviation of A, 0, -A over and over: two readings of three stand A off the median around them."""


def record(residual, tide=0.0, step=HOUR, t=None):
    """What these searches look at of an analysis."""
    residual = np.asarray(residual, dtype=float)
    t = step * np.arange(len(residual)) if t is None else t
    return SimpleNamespace(t=t, level=tide + residual, residual=residual, step=step)


def rough(count=600):
    return np.tile([A, 0.0, -A], count // 3)


def with_spikes(spike_at, base=None):
    residual = rough() if base is None else base.copy()
    for place, height in spike_at.items():
        residual[place] = height
    return record(residual)


class TestSpikes:
    @pytest.mark.parametrize(("height", "found"), [(9.9, 0), (-9.9, 0), (10.1, 1), (-10.1, 1)])
    def test_ten_robust_deviations(self, height, found):
        away = height * SCALE + np.copysign(A, height)  # the middle of its neighbours stands A off as well
        assert len(spikes(with_spikes({301: away}))) == found

    @pytest.mark.parametrize("place", [0, 1, 598, 599])
    def test_at_the_ends_of_the_record_too(self, place):
        here = with_spikes({place: 1.0})
        (found,) = spikes(here)
        assert (found.kind, found.start, found.end) == (Suspicion.SPIKE, here.t[place], here.t[place])
        assert found.size == pytest.approx(1.0, abs=1.5 * A)

    def test_two_together_stand_out_and_three_are_a_level(self):
        assert [item.end - item.start for item in spikes(with_spikes({300: 1.0, 301: 1.0}))] == [HOUR]
        assert spikes(with_spikes({300: 1.0, 301: 1.0, 302: 1.0})) == ()

    @pytest.mark.parametrize(("hours", "found"), [(12, 1), (13, 2)])
    def test_half_a_day_apart_they_are_one(self, hours, found):
        assert len(spikes(with_spikes({300: 1.0, 300 + hours: 1.0}))) == found

    def test_a_train_has_its_first_its_last_and_its_greatest(self):
        here = with_spikes({300: 0.3, 304: -0.8, 309: 0.5})
        (found,) = spikes(here)
        assert (found.start, found.end) == (here.t[300], here.t[309])
        assert found.size == pytest.approx(-0.8, abs=1.5 * A)

    @pytest.mark.parametrize(("height", "found"), [(4.9, 0), (5.2, 1)])
    def test_where_most_readings_are_smooth_the_others_tell_the_roughness(self, height, found):
        """One reading of four stands A off: its root mean square is A / 2, and giants are cut to A."""
        smooth = np.tile([0.0, 0.0, 0.0, A, 0.0, 0.0, 0.0, -A], 100)
        giants = {100: 3.0, 500: -4.0}
        assert len(spikes(with_spikes({300: height * A} | giants, smooth))) == 2 + found

    @pytest.mark.parametrize(("height", "found"), [(0.19, False), (0.21, True)])
    def test_coarse_readings_stand_out_by_two_of_their_steps(self, height, found):
        residual = np.zeros(600)
        residual[300] = height
        coarse = SimpleNamespace(level=0.1 * (np.arange(600) % 20), residual=residual)
        assert stand_out(coarse).any() == found


class TestStuckGauges:
    def of(self, readings, moved, step=HOUR, first=300):
        """A gauge that repeats a reading while the tide moves by so much."""
        tide, last = np.sin(np.arange(600.0)), first + readings
        tide[first:last] = 0.5 + np.linspace(0.0, moved, readings)
        level = tide + rough()
        level[first:last] = 0.5
        return SimpleNamespace(t=step * np.arange(600.0), level=level, residual=level - tide)

    @pytest.mark.parametrize(
        ("readings", "step", "found"),
        [(4, HOUR, 1), (3, HOUR, 0), (31, 360.0, 1), (30, 360.0, 0), (3, 2 * HOUR, 0), (4, 2 * HOUR, 1)],
    )
    def test_three_hours_and_four_readings(self, readings, step, found):
        here = self.of(readings, 0.5, step)
        told = stuck(here)
        assert len(told) == found
        for item in told:
            assert (item.kind, item.start, item.end) == (
                Suspicion.STUCK,
                here.t[300],
                here.t[300 + readings - 1],
            )
            assert item.size == pytest.approx(0.5)

    @pytest.mark.parametrize(("scales", "found"), [(4.9, 0), (5.1, 1)])
    def test_the_tide_moved_by_five_deviations(self, scales, found):
        assert len(stuck(self.of(4, scales * SCALE))) == found

    @pytest.mark.parametrize("first", [0, 595])
    def test_from_the_first_reading_and_to_the_last(self, first):
        here = self.of(5, 0.5, first=first)
        assert [(item.start, item.end) for item in stuck(here)] == [(here.t[first], here.t[first + 4])]

    @pytest.mark.parametrize(("moved", "found"), [(0.28, 0), (0.32, 1)])
    def test_coarse_readings_repeat_while_the_tide_moves_by_three_of_their_steps(self, moved, found):
        level = 0.1 * np.arange(100.0)
        level[50:54] = level[50]
        tide = level.copy()
        tide[50:54] += np.linspace(0.0, moved, 4)
        here = SimpleNamespace(t=HOUR * np.arange(100.0), level=level, residual=level - tide)
        assert len(stuck(here)) == found


JUMP_AT = 299
"""The reading before a jump, at 0; the one after it is at -A, so that its step is A less."""


def jumped(height, left=1.0, leaves=10, until=None):
    """Residuals that jump by a height, of which after some hours a share is left."""
    residual = rough()
    residual = np.concatenate(([0.0], residual[:-1]))
    assert residual[JUMP_AT] - residual[JUMP_AT + 1] == pytest.approx(A)
    residual[JUMP_AT + 1 : until] += height
    residual[JUMP_AT + 1 + leaves : until] -= (1.0 - left) * height
    return residual


class TestShiftedDatums:
    @pytest.mark.parametrize(("scales", "found"), [(7.8, 0), (8.2, 1)])
    def test_eight_robust_deviations_in_one_step(self, scales, found):
        assert len(shifted_datum(record(jumped(scales * SCALE + A)))) == found

    def test_the_shorter_stretch_stands_off(self):
        here = record(jumped(0.5)[:580])
        (found,) = shifted_datum(here)
        assert (found.kind, found.start, found.end) == (
            Suspicion.DATUM,
            here.t[JUMP_AT + 1],
            here.t[-1],
        )
        assert found.size == pytest.approx(0.5, abs=A)
        (found,) = shifted_datum(record(-jumped(0.5)[20:]))
        assert (found.start, found.end) == (0.0, here.t[JUMP_AT - 20])
        assert found.size == pytest.approx(0.5, abs=A)

    @pytest.mark.parametrize(("left", "found"), [(0.5, 0), (0.7, 1)])
    def test_after_three_days_most_of_it_is_left(self, left, found):
        assert len(shifted_datum(record(jumped(0.5, left)))) == found

    @pytest.mark.parametrize(("steps", "found"), [(24, 1), (25, 0)])
    def test_a_gap_of_a_day_of_hourly_readings(self, steps, found):
        t = HOUR * np.arange(600.0)
        t[JUMP_AT + 1 :] += (steps - 1) * HOUR
        assert len(shifted_datum(record(jumped(2.0), t=t))) == found

    @pytest.mark.parametrize(("scales", "found"), [(7.8, 0), (8.2, 1)])
    def test_over_a_gap_weather_may_move_a_level_by_the_root_of_its_steps(self, scales, found):
        t = HOUR * np.arange(600.0)
        t[JUMP_AT + 1 :] += 3 * HOUR
        assert len(shifted_datum(record(jumped(2.0 * scales * SCALE + A), t=t))) == found

    @pytest.mark.parametrize(
        ("hours", "share", "found"), [(20, 0.4, 0), (20, 0.3, 1), (28, 0.4, 1), (-20, 0.4, 0), (-28, 0.4, 1)]
    )
    def test_a_storm_has_several_great_changes_within_a_day(self, hours, share, found):
        residual = jumped(1.0)
        residual[JUMP_AT + hours] += share
        assert len(shifted_datum(record(residual))) == found

    @pytest.mark.parametrize(("readings", "found"), [(5, 0), (6, 1)])
    def test_six_readings_on_either_side_tell_it(self, readings, found):
        whole = jumped(0.5)
        before = record(whole[JUMP_AT + 1 - readings :])
        after = record(whole[: JUMP_AT + 1 + readings])
        assert [len(shifted_datum(here)) for here in (before, after)] == [found, found]

    def test_of_jumps_within_three_days_the_greatest_counts(self):
        residual = jumped(0.6)
        residual[JUMP_AT + 61 :] += 0.3
        here = record(residual)
        (found,) = shifted_datum(here)
        assert here.t[JUMP_AT] in (found.end, found.start - HOUR)

    def test_three_stretches_stand_off_the_longest(self):
        residual = jumped(0.5, until=450)
        residual[450:] += 0.2
        here = record(residual)
        found = shifted_datum(here)
        assert [(item.start, item.end) for item in found] == [
            (here.t[JUMP_AT + 1], here.t[449]),
            (here.t[450], here.t[-1]),
        ]
        assert [item.size for item in found] == pytest.approx([0.5, 0.2], abs=2 * A)

    def test_coarse_readings_jump_by_three_of_their_steps(self):
        residual = np.zeros(600)
        for height, found in ((0.29, 0), (0.31, 1)):
            residual[300:] = height
            here = SimpleNamespace(
                t=HOUR * np.arange(600.0), level=0.1 * (np.arange(600) % 20), residual=residual, step=HOUR
            )
            assert len(shifted_datum(here)) == found
