"""Inlets with friction, scaled falls, and ebbs that are weak or missing."""

from datetime import date

import numpy as np
import pytest

from tests.windows.conftest import KNOT, at, edges, one_spot, windows_of
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
from windows.conditions.flow_models import mean_peak_fall
from windows.forecast.reports import Lack
from windows.render.text import terminal


def inlet(flow, waves=SEA, basin=600_000, opening=120):
    return one_spot(
        waves, f"{BY_FLOW}flow = {{ basin_area_m2 = {basin}, opening_area_m2 = {opening}, {flow} }}"
    )


class TestInlet:
    T = START + 300.0 * np.arange(8 * 288)

    def test_a_wide_one_follows_the_sea(self, shore):
        flow = flow_at(shore, inlet("repletion = 100"))
        assert (flow.kind, flow.has_speed, flow.assumed_turn) == (FlowKind.INLET, True, False)
        expected = 5000.0 * OMEGA * np.sin(OMEGA * self.T)
        assert flow.outgoing(self.T) == pytest.approx(expected, abs=0.01 * expected.max())

    def test_a_narrow_one_runs_weakly_and_turns_a_quarter_period_late(self, shore):
        flow = flow_at(shore, inlet("repletion = 0.05"))
        ebb = flow.outgoing(self.T)
        # Keulegan: the bay stands, so U = K (2 pi a / T) (A basin / A opening) sqrt|cos|; K is that of M2
        strongest = 0.05 * 2.0 * np.pi / 44714.16 * 5000.0
        assert ebb.max() == pytest.approx(strongest, rel=0.03)
        begins = self.T[1:][(ebb[1:] > 0) & (ebb[:-1] <= 0)]
        # high water at 0 and 12 h UTC
        assert begins % 43200.0 / 10800.0 == pytest.approx(np.ones(len(begins)), abs=0.06)
        assert len(begins) == 16

    def test_between_them_it_turns_later_the_more_it_is_held_back(self, shore):
        lags, strengths = [], []
        for repletion in (0.1, 0.3, 0.6, 1.0, 2.0):
            ebb = flow_at(shore, inlet(f"repletion = {repletion}")).outgoing(self.T)
            begins = self.T[1:][(ebb[1:] > 0) & (ebb[:-1] <= 0)]
            lags.append(float(np.mean(begins % 43200.0)))
            strengths.append(float(ebb.max()))
        assert lags == sorted(lags, reverse=True)
        assert 0.0 < lags[-1] < lags[0] < 10800.0
        assert strengths == sorted(strengths)

    def test_throat_and_coefficient_are_one_inlet(self, shore):
        throat = inlet("throat_length_m = 500, hydraulic_radius_m = 2, friction = 0.04")
        # c = A_o / A_b sqrt(2 g / losses), K = c T / (2 pi sqrt a); losses 1.2 + 0.04 x 500 / 8
        repletion = 120 / 600_000 * np.sqrt(2 * 9.81 / 3.7) * 44714.16 / (2 * np.pi)
        assert repletion > 1.0
        same = flow_at(shore, inlet(f"repletion = {repletion}")).outgoing(self.T)
        assert flow_at(shore, throat).outgoing(self.T) == pytest.approx(same, abs=1e-4)

    def test_the_ebb_carries_what_the_flood_brought(self, shore):
        flow = flow_at(shore, inlet("repletion = 0.6"))
        day = START + 60.0 * np.arange(1441)
        ebb = flow.outgoing(day)
        out, back = np.trapezoid(np.maximum(ebb, 0), day), np.trapezoid(np.maximum(-ebb, 0), day)
        assert out == pytest.approx(back, rel=1e-3)

    def test_times_outside_the_span_are_refused(self, shore):
        flow = flow_at(shore, inlet("repletion = 0.6"), days=3.0)
        flow.outgoing([START - DAY, START + 4 * DAY])
        with pytest.raises(ValueError, match="outside the span"):
            flow.outgoing(START + 20 * DAY)

    @pytest.mark.parametrize(
        ("flow", "basin"),
        [
            ("repletion = 0.05", 6e6),
            ("repletion = 0.7", 6e5),
            ("throat_length_m = 600, hydraulic_radius_m = 2", 6e5),
            ("throat_length_m = 600, hydraulic_radius_m = 2", 1.2e8),
        ],
    )
    def test_splitting_the_span_changes_no_window(self, forecast, flow, basin):
        # the last basin is all but closed: its ebb runs at up to 6 kn
        fast = "speeds = { nothing_below = 0.2, full_from = 1, full_to = 9, nothing_above = 10 }\n"
        text = inlet(flow, MIXED, basin).replace(BY_FLOW, BY_FLOW + (fast if basin > 1e8 else ""))
        whole = forecast(text, FIRST, 14)
        parts = [forecast(text, FIRST, 7), forecast(text, date(2026, 8, 10), 7)]
        expected = [(w.start, w.end) for w in windows_of(whole)]
        assert len(expected) > 10
        assert [(w.start, w.end) for part in parts for w in windows_of(part)] == expected


class TestStrongEbb:
    @pytest.mark.parametrize(
        ("waves", "lag"), [(MIXED, 0), (MIXED, 40), ([("K1", 0.4, 10.0), ("O1", 0.3, 50.0)], 15)]
    )
    def test_it_is_the_mean_peak_of_a_years_ebbs(self, shore, waves, lag):
        keys = f"slack_lag = {lag}\nflow = {{ strong_ebb = 1.4 }}"
        flow = flow_at(shore, one_spot(waves, keys))
        assert (flow.kind, flow.has_speed, flow.assumed_turn) == (FlowKind.SCALED, True, False)
        ebb = flow.even_outgoing(at("2026-01-01"), 300.0, 365 * 288)
        out = np.flatnonzero(np.diff(np.concatenate(([False], ebb > 0, [False])).astype(int))).reshape(-1, 2)
        peaks = [ebb[a:b].max() for a, b in out]
        assert len(peaks) > 330
        assert np.mean(peaks) / KNOT == pytest.approx(1.4, rel=0.01)
        assert np.max(peaks) > 1.1 * np.mean(peaks)

    def test_windows(self, forecast):
        text = one_spot(SEA, BY_FLOW + "slack_lag = 40\nflow = { strong_ebb = 1.4 }")
        assert_windows(forecast(text, FIRST), lambda t: 1.4 * np.sin(OMEGA * (t - 2400.0)))

    def test_a_tide_that_stands(self, shore, forecast):
        text = one_spot([("M2", 0.001, 0.0)], "flow = { strong_ebb = 1.4 }")
        assert mean_peak_fall(shore(text).stations[0], 2026) == pytest.approx(0.015 / 3600.0)
        made = forecast(text, FIRST, 2)
        assert {day.no_window.lack for day in made.spots[0].days} == {Lack.STILL}


class TestWeakEbb:
    def lacks(self, forecast, waves, mean, **found):
        text = one_spot(SEA, 'flow = { current = "race" }') + race(waves, mean)
        made = forecast(text, FIRST, 3)
        assert not made.ranking
        return [day.no_window for day in made.spots[0].days], terminal.week(made, 200)

    def test_a_current_that_never_ebbs(self, forecast):
        lacks, text = self.lacks(forecast, [("S2", 0.5, 0.0)], 0.9)
        assert {lack.lack for lack in lacks} == {Lack.INCOMING}
        assert text.count("no water going out that day") == 1

    def test_a_mean_flow_that_leaves_a_weak_ebb(self, forecast):
        lacks, text = self.lacks(forecast, [("S2", 0.6, 0.0)], 0.45)
        assert {lack.lack for lack in lacks} == {Lack.STILL}
        # 0.6 - 0.45 = 0.15 kn is short of the 0.25 kn that half a factor takes
        assert [lack.strongest / KNOT for lack in lacks] == pytest.approx([0.15] * 3, abs=1e-4)
        assert [lack.needed / KNOT for lack in lacks] == pytest.approx([0.25] * 3, rel=0.01)
        assert text.count("the water hardly moves: it runs out at") == 1

    def test_a_stream_too_strong_all_day(self, forecast):
        lacks, text = self.lacks(forecast, [("S2", 0.5, 0.0)], -4.0)
        assert {lack.lack for lack in lacks} == {Lack.STRONG}
        assert "hardly moves" not in text
        assert "too strong" in text or "never eases enough: it runs out at up to 4.5 kn" in text

    def test_a_stream_that_eases_now_and_then_has_windows_at_its_lulls(self, forecast):
        text = one_spot(SEA, BY_FLOW + 'flow = { current = "race" }') + race([("S2", 1.5, 0.0)], -2.5)
        made = forecast(text, FIRST, 7)
        assert_windows(made, lambda t: 2.5 - 1.5 * np.cos(OMEGA * t))
        assert {edges(w)[0] for w in windows_of(made)} == {"the current eases enough"}
        assert {edges(w)[1] for w in windows_of(made)} == {"the current grows too strong"}
        reports = [item for day in made.spots[0].days for item in day.sessions]
        assert {item.stops for item in reports} == {None}
