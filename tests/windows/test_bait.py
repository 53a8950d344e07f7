"""Gathering windows: low water by day, on a bared bank, before it floods, before fishing."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from windows.conditions.bait import (
    KEEPS,
    BankState,
    Limit,
    bank_state,
    gathering_before,
    gathering_windows,
    night_ebb_windows,
)

HOUR = 3600.0
T = 300.0 * np.arange(3 * 288 + 1)  # three days
DAYLIGHT = np.array([[6.0, 18.0], [30.0, 42.0], [54.0, 66.0]]) * HOUR


def tide(low_hour, period=12.0, amplitude=1.0):
    return 1.0 - amplitude * np.cos(2 * np.pi * (T / HOUR - low_hour) / period)


def lows(low_hour, period=12.0):
    return np.arange(low_hour, 72.0, period) * HOUR


def test_two_hours_either_side_of_low_water():
    windows = gathering_windows(T, tide(12.0), lows(0.0), DAYLIGHT, bank_level=1.5)
    assert [(w.start / HOUR, w.end / HOUR) for w in windows] == [(10, 14), (34, 38), (58, 62)]
    assert {(w.opened_by, w.closed_by) for w in windows} == {(Limit.LOW_WATER, Limit.LOW_WATER)}


def test_it_ends_before_the_bank_floods():
    # level 0.5 is passed 2 h either side of low water when the cosine is 1/2; 0.25 earlier
    windows = gathering_windows(T, tide(12.0), lows(0.0), DAYLIGHT, bank_level=0.25)
    half = 12.0 / (2 * np.pi) * np.arccos(0.75)
    assert windows[0].start / HOUR == pytest.approx(12.0 - half, abs=0.01)
    assert windows[0].end / HOUR == pytest.approx(12.0 + half, abs=0.01)
    assert (windows[0].opened_by, windows[0].closed_by) == (Limit.BANK_BARES, Limit.BANK_FLOODS)


def test_only_in_daylight():
    windows = gathering_windows(T, tide(5.0), lows(5.0), DAYLIGHT, bank_level=1.5)
    assert [(w.start / HOUR, w.end / HOUR) for w in windows] == [
        (6, 7),
        (15, 18),
        (30, 31),
        (39, 42),
        (54, 55),
        (63, 66),
    ]
    assert windows[0].opened_by is Limit.DAYLIGHT
    assert windows[1].closed_by is Limit.DAYLIGHT


def test_a_low_water_that_does_not_bare_the_bank_gives_none():
    neap = gathering_windows(T, tide(12.0, amplitude=0.4), lows(0.0), DAYLIGHT, bank_level=0.5)
    assert neap == ()


def test_short_stays_are_left_out():
    windows = gathering_windows(T, tide(12.0), lows(0.0), DAYLIGHT, bank_level=0.0005)
    assert windows == ()


def test_the_spans_edge_is_said():
    windows = gathering_windows(
        T[144:], tide(12.0)[144:], lows(0.0), np.array([[0.0, 72 * HOUR]]), bank_level=9.0
    )
    assert windows[0].opened_by is Limit.SPAN
    assert windows[-1].closed_by is Limit.LOW_WATER


@pytest.mark.parametrize(
    ("bank", "state"),
    [(-0.1, BankState.NEVER_BARES), (1.0, BankState.BARES), (2.5, BankState.ABOVE_HIGH_WATER)],
)
def test_what_the_tide_does_to_the_bank(bank, state):
    assert bank_state(tide(12.0), bank) is state
    if state is BankState.NEVER_BARES:
        assert gathering_windows(T, tide(12.0), lows(0.0), DAYLIGHT, bank) == ()


@given(low=some.floats(0, 12), bank=some.floats(0.1, 2.5), amplitude=some.floats(0.2, 1.5))
def test_every_window_is_bare_daylight_near_its_low_water(low, bank, amplitude):
    level = tide(low, amplitude=amplitude)
    for window in gathering_windows(T, level, lows(low), DAYLIGHT, bank):
        inside = (window.start + 1.0 < T) & (window.end - 1.0 > T)
        assert (level[inside] < bank + 1e-9).all()
        assert window.low_water - 2 * HOUR <= window.start < window.end <= window.low_water + 2 * HOUR
        assert any(dawn <= window.start and window.end <= dusk for dawn, dusk in DAYLIGHT)


class TestBeforeFishing:
    WINDOWS = gathering_windows(T, tide(12.0), lows(0.0), DAYLIGHT, bank_level=1.5)

    def test_the_last_that_is_over(self):
        assert gathering_before(self.WINDOWS, 40 * HOUR) is self.WINDOWS[1]
        assert gathering_before(self.WINDOWS, 37 * HOUR) is self.WINDOWS[0]

    def test_with_the_way_to_the_spot(self):
        assert gathering_before(self.WINDOWS, 38.5 * HOUR, on_the_way=HOUR) is self.WINDOWS[0]

    def test_none_before_or_none_fresh(self):
        assert gathering_before(self.WINDOWS, 9 * HOUR) is None
        assert gathering_before(self.WINDOWS[:1], 60 * HOUR) is None
        assert gathering_before((), 60 * HOUR) is None

    def test_bait_keeps_overnight_and_through_the_next_day(self):
        # common practice: gathered by 14 h, good until 2 h of the second night, and no longer
        (first,) = self.WINDOWS[:1]
        assert first.end == 14 * HOUR
        assert gathering_before((first,), 50 * HOUR) is first
        assert gathering_before((first,), 50 * HOUR + 1.0) is None
        assert KEEPS == 36 * HOUR


class TestNightEbb:
    HIGHS, LOWS = np.arange(1.0, 72.0, 12.0) * HOUR, np.arange(7.0, 72.0, 12.0) * HOUR

    def test_the_dark_part_of_each_ebb(self):
        windows = night_ebb_windows(0.0, 72 * HOUR, self.HIGHS, self.LOWS, DAYLIGHT)
        assert [(w.start / HOUR, w.end / HOUR) for w in windows] == [
            (1, 6),
            (18, 19),
            (25, 30),
            (42, 43),
            (49, 54),
            (66, 67),
        ]
        assert (windows[0].opened_by, windows[0].closed_by) == (Limit.EBB, Limit.NIGHT)
        assert (windows[1].opened_by, windows[1].closed_by) == (Limit.NIGHT, Limit.EBB)
        assert [w.low_water / HOUR for w in windows] == [7, 19, 31, 43, 55, 67]

    def test_no_night_no_ebb_and_short_stays(self):
        all_day, no_day = np.array([[0.0, 72.0]]) * HOUR, np.empty((0, 2))
        assert night_ebb_windows(0.0, 72 * HOUR, self.HIGHS, self.LOWS, all_day) == ()
        assert len(night_ebb_windows(0.0, 72 * HOUR, self.HIGHS, self.LOWS, no_day)) == 6
        assert night_ebb_windows(0.0, 72 * HOUR, self.HIGHS[:0], self.LOWS[:0], no_day) == ()
        late = DAYLIGHT + np.array([0.0, 50 * 60.0])
        assert len(night_ebb_windows(0.0, 72 * HOUR, self.HIGHS, self.LOWS, late)) == 3

    def test_an_ebb_from_before_the_span_says_so(self):
        (window,) = night_ebb_windows(0.0, 20 * HOUR, self.HIGHS[2:], self.LOWS[:1], DAYLIGHT)
        assert (window.start, window.opened_by) == (0.0, Limit.SPAN)


def test_series_must_match():
    with pytest.raises(ValueError, match="must match"):
        gathering_windows(T, T[:-1], lows(0.0), DAYLIGHT, 1.0)
