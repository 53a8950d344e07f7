"""Each way of knowing a spot's flow, from its file to its windows, against sums written down by hand.

S2 has a period of 12 hours, no node factor, and is highest at phase / 30 hours UTC: its tides and currents
are plain cosines here.
"""

import numpy as np
import pytest

from harmonics.stations import tides
from tests.windows.conftest import KNOT, coast_text, one_spot, sessions_of, spot_text, windows_of
from tests.windows.plain_coast import (
    BY_FLOW,
    DAY,
    FIRST,
    MIXED,
    OMEGA,
    SEA,
    START,
    assert_windows,
    flow_at,
    race,
)
from windows.conditions.flow import FlowKind
from windows.conditions.flow_models import falling_water, flow_of
from windows.shoreline.spots import SpeedRange


class TestCurrent:
    @pytest.mark.parametrize(("delay", "factor"), [(0, 1.0), (35, 0.4), (-50, 1.7)])
    def test_speed_and_windows(self, shore, forecast, delay, factor):
        keys = f'{BY_FLOW}flow = {{ current = "race", delay = {delay}, factor = {factor} }}'
        text = one_spot(SEA, keys) + race([("S2", 1.3, 60.0)], mean=-0.2)

        def knots(t):
            return -factor * (-0.2 + 1.3 * np.cos(OMEGA * (t - 60.0 * delay) - np.radians(60.0)))

        flow = flow_at(shore, text)
        assert (flow.kind, flow.has_speed, flow.assumed_turn) == (FlowKind.MEASURED, True, False)
        t = START + 777.0 * np.arange(500)
        assert flow.outgoing(t) / KNOT == pytest.approx(knots(t), abs=1e-5)
        assert flow.even_outgoing(START, 300.0, 500) / KNOT == pytest.approx(
            knots(START + 300.0 * np.arange(500)), abs=1e-5
        )
        assert_windows(forecast(text, FIRST), knots)

    @pytest.mark.parametrize("delay", [40, -25])
    def test_a_delay_moves_every_window_and_session_inside_a_day_by_itself(self, forecast, delay):
        waves = race([("M2", 1.6, 60.0), ("S2", 0.5, 80.0), ("M4", 0.2, 10.0)], mean=-0.1)
        here, later = (
            forecast(one_spot(SEA, f'{BY_FLOW}flow = {{ current = "race", delay = {x} }}') + waves, FIRST, 8)
            for x in (0, delay)
        )

        def inside_a_day(session, shift=0.0):
            ends = session.window.start - 900.0 + shift, session.window.end + shift
            return (ends[0] - START) // DAY == (ends[1] - START) // DAY

        def times(session, shift=0.0):
            ends = session.window.start, session.window.end, session.start, session.end
            return tuple(t + shift for t in ends)

        shift = 60.0 * delay
        both = [s for s in sessions_of(here) if inside_a_day(s) and inside_a_day(s, shift)]
        assert len(both) > 5
        theirs = {times(session): session.points.total for session in sessions_of(later)}
        for session in both:
            assert theirs[times(session, shift)] == pytest.approx(session.points.total, abs=1e-6)

    def test_a_factor_scales(self, shore):
        waves = race(MIXED, mean=-0.1)
        one, half = (
            flow_at(shore, one_spot(SEA, f'flow = {{ current = "race", factor = {x} }}') + waves)
            for x in (1, 0.5)
        )
        t = START + 500.0 * np.arange(1000)
        assert half.outgoing(t) == pytest.approx(0.5 * one.outgoing(t))
        assert np.ptp(one.outgoing(t)) > 1.0

    def test_two_components_count_along_the_flood(self, shore, forecast):
        text = (
            one_spot(SEA, f'{BY_FLOW}flow = {{ current = "roads", factor = 0.9 }}')
            + """
[[currents]]
id = "roads"
name = "Roads"
latitude = 45.0
longitude = 0.0
flood_direction = 30
axis_direction = 0
across_direction = 90
constituents = [{ name = "S2", amplitude = 1.0, phase = 0.0 }]
constituents_across = [{ name = "S2", amplitude = 0.6, phase = 90.0 }]
"""
        )

        def knots(t):
            north, east = np.cos(OMEGA * t), 0.6 * np.sin(OMEGA * t)
            return -0.9 * (north * np.cos(np.radians(30.0)) + east * np.sin(np.radians(30.0)))

        flow = flow_at(shore, text)
        t = START + 777.0 * np.arange(500)
        assert flow.outgoing(t) / KNOT == pytest.approx(knots(t), abs=1e-5)
        assert_windows(forecast(text, FIRST), knots)

    def test_a_secondary_current(self, forecast):
        text = (
            one_spot(SEA, f'{BY_FLOW}flow = {{ current = "sound" }}')
            + race([("S2", 1.6, 60.0)])
            + """
[[currents]]
id = "sound"
name = "Sound"
reference = "race"
flood_direction = 40
ebb_direction = 215
slack_before_flood = 20
flood = 20
slack_before_ebb = 20
ebb = 20
flood_ratio = 0.2
ebb_ratio = 0.7
"""
        )
        assert_windows(
            forecast(text, FIRST), lambda t: -0.7 * 1.6 * np.cos(OMEGA * (t - 1200.0) - np.radians(60.0))
        )


class TestBasin:
    KEYS = "slack_lag = 25\nflow = { basin_area_m2 = 600_000, opening_area_m2 = 120 }"

    def test_speed_is_the_fall_times_the_ratio_of_areas(self, shore):
        text = one_spot(MIXED, self.KEYS)
        flow = flow_at(shore, text)
        assert (flow.kind, flow.has_speed, flow.assumed_turn) == (FlowKind.BASIN, True, False)
        gauge = shore(text).stations[0]
        t = START + 900.0 * np.arange(900)
        fall = (tides.levels(gauge, t - 1500.0 - 30.0) - tides.levels(gauge, t - 1500.0 + 30.0)) / 60.0
        assert flow.outgoing(t) == pytest.approx(600_000 / 120 * fall, abs=1e-5)
        assert np.ptp(flow.outgoing(t)) > 1.0

    def test_the_volume_that_leaves_is_the_basins_prism(self, shore):
        flow = flow_at(shore, one_spot(SEA, self.KEYS))
        # from high water (0 h + 25 min) to low water a range of 2 m leaves 600,000 m2 through 120 m2
        t = START + 1500.0 + np.arange(0.0, 21600.0 + 1.0, 60.0)
        assert 120.0 * np.trapezoid(flow.outgoing(t), t) == pytest.approx(2.0 * 600_000.0, rel=1e-4)

    def test_windows(self, forecast):
        text = one_spot(SEA, BY_FLOW + self.KEYS)
        assert_windows(forecast(text, FIRST), lambda t: 5000.0 * OMEGA * np.sin(OMEGA * (t - 1500.0)) / KNOT)

    def test_without_a_lag_the_turn_is_assumed_and_edges_are_round(self, forecast):
        made = forecast(one_spot(MIXED, BY_FLOW + self.KEYS.replace("slack_lag = 25\n", "")), FIRST)
        assert made.spots[0].flow.assumed_turn
        edges = [edge for w in windows_of(made) for edge in (w.start, w.end)]
        assert len(edges) > 20
        assert all(edge % 600.0 == 0.0 for edge in edges)


class TestNone:
    def test_limits_come_from_the_typical_peak_rate(self, shore):
        spot = shore(one_spot(SEA, "slack_lag = 0")).spots[0]
        flow = flow_of(spot, START, START + DAY)
        assert (flow.kind, flow.has_speed, flow.assumed_turn) == (FlowKind.FALL_ONLY, False, False)
        shares = np.array([-0.5, 0.0, 0.15, 0.475, 0.80, 1.0])
        assert flow.factor(shares * OMEGA) == pytest.approx([0, 0, 0, 0.5, 1, 1])

    def test_a_lag_shifts_windows_by_itself(self, forecast):
        plain, late = (forecast(one_spot(MIXED, f"{BY_FLOW}slack_lag = {x}"), FIRST, 8) for x in (0, 35))
        first, last = START + DAY, START + 7 * DAY
        moved = [(w.start + 2100.0, w.end + 2100.0) for w in windows_of(plain)]
        moved = [pair for pair in moved if first < pair[0] < last]
        assert len(moved) > 8
        assert moved == [(w.start, w.end) for w in windows_of(late) if first < w.start < last]

    @pytest.mark.parametrize(
        "difference",
        [
            "factor = 0.5",
            "factor_by_height = { heights = [3, 1], factors = [0.5, 0.5] }",
            "factor = 0.25, factor_by_height = { heights = [3, 1], factors = [2, 2] }",
        ],
    )
    def test_a_follower_of_half_the_tide_scores_as_its_reference(self, shore, difference):
        cove = (
            '\n[[stations]]\nid = "cove"\nname = "Cove"\nreference = "gauge"\n'
            f"high_water = {{ {difference} }}\nlow_water = {{ {difference} }}\n"
        )
        text = (
            coast_text(MIXED)
            + cove
            + spot_text(spot_id="outside")
            + spot_text(spot_id="inside", station="cove")
        )
        outside, inside = (falling_water(spot, 2026) for spot in shore(text).spots)
        assert inside.full_from == pytest.approx(0.5 * outside.full_from)
        assert inside.nothing_below == pytest.approx(0.5 * outside.nothing_below)
        t = START + 600.0 * np.arange(1000)
        assert inside.factor(inside.outgoing(t)) == pytest.approx(
            outside.factor(outside.outgoing(t)), abs=1e-6
        )

    def test_offsets_that_halve_the_range_halve_the_limits(self, shore):
        cove = (
            '\n[[stations]]\nid = "cove"\nname = "Cove"\nreference = "gauge"\n'
            "high_water = { offset = -0.5 }\nlow_water = { offset = 0.5 }\n"
        )
        text = (
            coast_text(SEA)
            + cove
            + spot_text(spot_id="outside")
            + spot_text(spot_id="inside", station="cove")
        )
        outside, inside = (falling_water(spot, 2026) for spot in shore(text).spots)
        assert inside.full_from == pytest.approx(0.5 * outside.full_from)


def test_no_fall_is_too_strong(shore):
    flow = flow_of(shore(one_spot(SEA, "slack_lag = 0")).spots[0], START, START + DAY)
    assert flow.corners == SpeedRange(flow.nothing_below, flow.full_from, np.inf, np.inf)
    assert flow.factor(np.array([flow.nothing_below, flow.full_from, 1e3])).tolist() == [0.0, 1.0, 1.0]
