"""Depth, bait and lead of sessions, from the file to the report, against sums written down by hand.

S2 has a period of 12 hours, no node factor, and is highest at phase / 30 hours UTC: its tides and currents
are plain cosines here.
"""

import numpy as np
import pytest

from harmonics.units import KILOGRAMS_PER_OUNCE
from tests.windows.conftest import KNOT, edges, one_spot
from tests.windows.plain_coast import (
    BY_FLOW,
    FIRST,
    HOUR,
    OMEGA,
    SEA,
    SPRINGS,
    race,
    reports_of,
    sea,
)
from windows.conditions.lead import lead_for_grip, lead_to_hold
from windows.forecast.light import LightLabel
from windows.forecast.reports import Lack
from windows.render.records.frames import sessions_frame
from windows.render.text import terminal
from windows.render.words.gates import WORDS
from windows.shoreline.gates import GreatestDepth, GreatestSpeed, LeastDepth
from windows.shoreline.tackle import SinkerKind


def readings(report):
    return (report.start, report.peak, report.end)


class TestDepth:
    KEYS = "slack_lag = 0\nflow = { strong_ebb = 0.9 }\ndepth_at_datum = 1.5"

    def test_level_and_depth_at_start_peak_and_end(self, forecast):
        made = forecast(one_spot(SEA, BY_FLOW + self.KEYS), FIRST)
        reports = reports_of(made)
        assert len(reports) > 10
        for report in reports:
            session = report.session
            assert [item.t for item in readings(report)] == [session.start, session.peak, session.end]
            for item in readings(report):
                assert item.level == pytest.approx(float(sea(item.t)), abs=1e-4)
                assert item.depth == pytest.approx(float(sea(item.t)) + 1.5, abs=1e-4)
                assert item.going / KNOT == pytest.approx(0.9 * np.sin(OMEGA * item.t), abs=1e-3)
        row = sessions_frame(made).iloc[0]
        best = made.ranking[0]
        for name, item in zip(("start", "peak", "end"), readings(best), strict=True):
            assert row[f"depth_{name}_m"] == item.depth
            assert row[f"level_{name}_m"] == item.level
            assert row[f"speed_{name}_kn"] == pytest.approx(item.going / KNOT)

    def test_feet_at_both_edges(self, forecast):
        text = one_spot(SEA, BY_FLOW + self.KEYS).replace('\nunits = "metres"', '\nunits = "feet"', 1)
        made = forecast(text, FIRST)
        best = made.ranking[0]
        assert best.start.depth == pytest.approx(float(sea(best.start.t)) + 1.5 * 0.3048, abs=1e-4)
        said = ", ".join(f"{item.depth / 0.3048:.1f}" for item in readings(best))
        assert f"; depth {said} ft;" in terminal.week(made, 300)

    def test_a_spot_without_a_depth_tells_none(self, forecast):
        made = forecast(one_spot(SEA, "slack_lag = 0\nflow = { strong_ebb = 0.9 }"), FIRST)
        assert {item.depth for report in reports_of(made) for item in readings(report)} == {None}
        assert sessions_frame(made)["depth_start_m"].isna().all()

    @pytest.mark.parametrize(
        ("limit", "deep", "opens", "closes"),
        [
            ("least_depth = 3.1", lambda d: d >= 3.1, None, WORDS[LeastDepth].closes),
            (
                "greatest_depth = 3.9",
                lambda d: d <= 3.9,
                WORDS[GreatestDepth].opens,
                None,
            ),
        ],
    )
    def test_limits_open_and_close_windows_with_their_reason(self, forecast, limit, deep, opens, closes):
        made = forecast(one_spot(SEA, f"{BY_FLOW}{self.KEYS}\n{limit}"), FIRST)
        windows = [report.session.window for report in reports_of(made)]
        assert len(windows) > 10
        for window in windows:
            assert deep(sea(np.array([window.start, window.end - 60.0])) + 1.5).all()
            assert not deep(sea(window.start - 60.0 if opens else window.end) + 1.5)
            assert (edges(window)[0] == opens) if opens else (edges(window)[1] == closes)
        text = terminal.week(made, 300)
        assert (opens or closes) in text

    def test_a_day_shut_by_depth_says_so(self, forecast):
        text = one_spot(SEA, f"{BY_FLOW}{self.KEYS}\nleast_depth = 4.48")
        made = forecast(text, FIRST, 2)
        lacks = [day.no_window for day in made.spots[0].days]
        assert {(lack.lack, lack.gate) for lack in lacks} == {(Lack.SHUT, LeastDepth)}
        reason = "the water goes out well only while there is less water than the spot's least depth"
        told = terminal.week(made, 300)
        # Two days for one reason are told once.
        assert told.count(reason) == 1
        assert (
            f"{made.spots[0].days[0].day:%a} 3 Aug to {made.spots[0].days[1].day:%a} 4 Aug: {reason}" in told
        )

    def test_a_spot_that_has_dried_is_shut(self, forecast):
        keys = BY_FLOW + self.KEYS.replace("depth_at_datum = 1.5", "depth_at_datum = -2")
        made = forecast(one_spot(SEA, keys), FIRST)
        reports = reports_of(made)
        assert len(reports) > 10
        for report in reports:
            # dry from half tide, at 3 and 15 h UTC
            assert report.session.window.end % 43200.0 <= 3 * HOUR + 60.0
            assert edges(report.session.window)[1] == WORDS[LeastDepth].closes

    def test_greatest_speed_shuts_while_the_ebb_is_stronger(self, forecast):
        keys = f"{BY_FLOW}flow = {{ current = 'race' }}\ngreatest_speed = 0.8\n"
        made = forecast(one_spot(SEA, keys) + race([("S2", 1.5, 180.0)]), FIRST)
        windows = [report.session.window for report in reports_of(made)]
        # ebb 1.5 cos(w t): from half a factor at 0.25 kn to 0.8 kn, and from there down again
        hours = np.array([np.arccos(-x / 1.5) / OMEGA for x in (0.25, 0.8)])
        assert len(windows) > 20
        for window in windows:
            speeds = 1.5 * np.cos(OMEGA * np.array([window.start, window.end - 60.0]))
            assert (speeds <= 0.8).all()
            assert (speeds >= 0.25 - 1e-6).all()
        reasons = {edges(window) for window in windows}
        assert reasons == {
            ("the flow has built", WORDS[GreatestSpeed].closes),
            (WORDS[GreatestSpeed].opens, "the flow eases off"),
        }
        assert all(w.end - w.start == pytest.approx(float(np.ptp(hours)), abs=120.0) for w in windows)


class TestLead:
    KEYS = f"{BY_FLOW}flow = {{ current = 'race' }}\ndepth_at_datum = 4\n"

    def made(self, forecast, tackle="", knots=1.15):
        # ebb from 0 h: v = knots sin(w t)
        return forecast(one_spot(SEA, self.KEYS + tackle) + race([("S2", knots, 270.0)]), FIRST)

    @pytest.mark.parametrize(
        ("tackle", "diameter", "sinker"),
        [
            ("", 0.00023, SinkerKind.BANK),
            ('sinker = "pyramid"\nline_diameter_mm = 0.4', 0.0004, SinkerKind.PYRAMID),
        ],
    )
    def test_it_is_the_lead_of_speed_and_depth(self, forecast, tackle, diameter, sinker):
        made = self.made(forecast, tackle)
        assert len(made.ranking) > 10
        for report in made.ranking:
            for item in readings(report):
                speed = 1.15 * KNOT * np.sin(OMEGA * item.t)
                expected = lead_to_hold(speed, sea(item.t) + 4.0, diameter, sinker)
                assert item.lead == pytest.approx(
                    (float(expected.least), float(expected.most)), rel=2e-3, abs=1e-6
                )
        best, row = made.ranking[0], sessions_frame(made).iloc[0]
        for name, item in zip(("start", "peak", "end"), readings(best), strict=True):
            assert row[f"lead_{name}_least_g"] == pytest.approx(1000 * item.lead[0])
            assert row[f"lead_{name}_most_g"] == pytest.approx(1000 * item.lead[1])
        grams = ", ".join(f"{1000 * item.lead[0]:.0f}-{1000 * item.lead[1]:.0f}" for item in readings(best))
        line = f"{sinker.name.lower()} sinker on {1000 * diameter:.2f} mm line, a starting point"
        told = f"Lead to hold bottom at start, peak and end, {line}: {grams} g."
        assert told in terminal.week(made, 300)
        assert "oz" not in terminal.week(made, 300)

    def test_ounces_come_first_beside_feet(self, forecast):
        text = one_spot(SEA, self.KEYS) + race([("S2", 1.15, 270.0)])
        made = forecast(text.replace('\nunits = "metres"', '\nunits = "feet"', 1), FIRST)
        best = made.ranking[0]
        ounces = ", ".join(
            "-".join(f"{side / KILOGRAMS_PER_OUNCE:.1f}" for side in item.lead) for item in readings(best)
        )
        grams = ", ".join("-".join(f"{1000 * side:.0f}" for side in item.lead) for item in readings(best))
        assert f", a starting point: {ounces} oz ({grams} g)." in terminal.week(made, 300)

    @pytest.mark.parametrize(
        ("carried", "ounces", "metric"), [("0.5oz", 0.5, "14 g"), ("1oz", 1.0, "28 g"), ("2oz", 2.0, "57 g")]
    )
    def test_the_moment_when_the_heaviest_no_longer_holds(self, forecast, carried, ounces, metric):
        made = self.made(forecast, f'heaviest_lead = "{carried}"')
        assert len(made.ranking) > 10
        for report in made.ranking:
            t = np.arange(report.session.start, report.session.end + 1.0, 1.0)
            speed = np.maximum(1.15 * KNOT * np.sin(OMEGA * t), 0.0)
            needed = lead_for_grip(speed, sea(t) + 4.0, 0.00023, SinkerKind.BANK.poorest)
            over = np.flatnonzero(needed > ounces * KILOGRAMS_PER_OUNCE)
            assert over.size
            assert report.lead_slips == pytest.approx(float(t[over[0]]), abs=20.0)
        if ounces == 2.0:  # lighter ones slip from the first minute of these strong sessions
            assert any(report.lead_slips > report.session.start for report in made.ranking)
        text = terminal.week(made, 300)
        assert f"The {metric} you carry may no longer hold from" in text
        assert set(sessions_frame(made)["lead_slips_utc"]) != {""}

    @pytest.mark.parametrize(
        ("tackle", "knots"),
        [('heaviest_lead = "16oz"', 1.15), ("", 1.15)],
    )
    def test_none_where_it_holds_throughout_or_none_is_named(self, forecast, tackle, knots):
        made = self.made(forecast, tackle, knots)
        assert {report.lead_slips for report in made.ranking} == {None}
        assert "may no longer hold" not in terminal.week(made, 300)
        assert set(sessions_frame(made)["lead_slips_utc"]) == {""}

    def test_none_for_a_spot_known_by_its_fall_or_without_a_depth(self, forecast):
        tackle = 'heaviest_lead = "1oz"\n'
        fall = forecast(one_spot(SPRINGS, f"{BY_FLOW}slack_lag = 0\ndepth_at_datum = 4\n{tackle}"), FIRST)
        flat = forecast(
            one_spot(SPRINGS, f"{BY_FLOW}slack_lag = 0\nflow = {{ strong_ebb = 2 }}\n{tackle}"), FIRST
        )
        for made in (fall, flat):
            assert len(made.ranking) > 10
            assert {item.lead for report in made.ranking for item in readings(report)} == {None}
            assert {report.lead_slips for report in made.ranking} == {None}
            assert "Lead to hold" not in terminal.week(made, 300)
            assert sessions_frame(made)["lead_peak_most_g"].isna().all()
        assert fall.ranking[0].peak.depth == pytest.approx(fall.ranking[0].peak.level + 4.0)

    def test_a_dry_end_keeps_its_place_among_the_three(self, forecast):
        keys = self.KEYS.replace("depth_at_datum = 4", "depth_at_datum = -1.2") + 'session = "5h"\n'
        made = forecast(one_spot(SEA, keys) + race([("S2", 1.15, 270.0)]), FIRST)
        dry = [report for report in made.ranking if report.end.depth < 0]
        assert dry
        assert all(report.end.lead is None for report in dry)
        assert "dry g" in terminal.week(made, 300)
        assert {label for report in dry for label in report.session.light} <= set(LightLabel)
