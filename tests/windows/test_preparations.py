"""Depth, bait and lead of sessions, from the file to the report, against sums written down by hand.

S2 has a period of 12 hours, no node factor, and is highest at phase / 30 hours UTC: its tides and currents
are plain cosines here.
"""

from datetime import date

import ephem
import numpy as np
import pytest

from harmonics import tides
from tests.windows.conftest import KNOT, at, coast_text, one_spot, sessions_of, spot_text
from windows.bait import KEEPS, BankState, Limit
from windows.frames import sessions_frame
from windows.lead import KILOGRAMS_PER_OUNCE, SinkerKind, lead_for_grip, lead_to_hold
from windows.planning import LightLabel
from windows.render import terminal
from windows.reports import Lack
from windows.scoring import Gate

FIRST = date(2026, 8, 3)
START = at("2026-08-03")
DAY = 86400.0
HOUR = 3600.0
OMEGA = 2 * np.pi / 43200.0
BY_FLOW = 'light = "any"\npoints = { flow = 60, light = 40, moon = 0 }\n'
SEA = [("S2", 1.0, 0.0)]
"""High water 3 m at 0 and 12 h UTC, low water 1 m at 6 and 18 h."""
SPRINGS = [("M2", 1.2, 100.0), ("S2", 0.5, 140.0)]


def sea(t):
    return 2.0 + np.cos(OMEGA * np.asarray(t))


def race(knots, phase):
    """A current that floods most at phase / 30 hours."""
    return f"""
[[currents]]
id = "race"
name = "Race"
latitude = 45.0
longitude = 0.0
flood_direction = 40
ebb_direction = 215
constituents = [{{ name = "S2", amplitude = {knots}, phase = {phase} }}]
"""


def bank(level, more="", station="gauge", name="flat"):
    return f"""
[[banks]]
id = "{name}"
name = "The {name}"
station = "{station}"
bare_below = {level}
{more}
"""


def reports_of(made, index=0):
    return [item for day in made.spots[index].days for item in day.sessions]


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
                assert item.outgoing / KNOT == pytest.approx(0.9 * np.sin(OMEGA * item.t), abs=1e-3)
        row = sessions_frame(made).iloc[0]
        best = made.ranking[0]
        for name, item in zip(("start", "peak", "end"), readings(best), strict=True):
            assert row[f"depth_{name}_m"] == item.depth
            assert row[f"level_{name}_m"] == item.level
            assert row[f"speed_{name}_kn"] == pytest.approx(item.outgoing / KNOT)

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
        ("limit", "gate", "deep", "opens", "closes"),
        [
            ("least_depth = 3.1", Gate.DEPTH_LOW, lambda d: d >= 3.1, None, Gate.DEPTH_LOW.closes),
            ("greatest_depth = 3.9", Gate.DEPTH_HIGH, lambda d: d <= 3.9, Gate.DEPTH_HIGH.opens, None),
        ],
    )
    def test_limits_open_and_close_windows_with_their_reason(
        self, forecast, limit, gate, deep, opens, closes
    ):
        made = forecast(one_spot(SEA, f"{BY_FLOW}{self.KEYS}\n{limit}"), FIRST)
        windows = [report.session.window for report in reports_of(made)]
        assert len(windows) > 10
        for window in windows:
            assert deep(sea(np.array([window.start, window.end - 60.0])) + 1.5).all()
            assert not deep(sea(window.start - 60.0 if opens else window.end) + 1.5)
            assert (window.opens == opens) if opens else (window.closes == closes)
        text = terminal.week(made, 300)
        assert (opens or closes) in text

    def test_a_day_shut_by_depth_says_so(self, forecast):
        text = one_spot(SEA, f"{BY_FLOW}{self.KEYS}\nleast_depth = 4.48")
        made = forecast(text, FIRST, 2)
        lacks = [day.no_window for day in made.spots[0].days]
        assert {(lack.lack, lack.gate) for lack in lacks} == {(Lack.SHUT, Gate.DEPTH_LOW)}
        assert (
            terminal.week(made, 300).count(
                "the water goes out well only while there is less water than the spot's least depth"
            )
            == 2
        )

    def test_a_spot_that_has_dried_is_shut(self, forecast):
        keys = BY_FLOW + self.KEYS.replace("depth_at_datum = 1.5", "depth_at_datum = -2")
        made = forecast(one_spot(SEA, keys), FIRST)
        reports = reports_of(made)
        assert len(reports) > 10
        for report in reports:
            # dry from half tide, at 3 and 15 h UTC
            assert report.session.window.end % 43200.0 <= 3 * HOUR + 60.0
            assert report.session.window.closes == Gate.DEPTH_LOW.closes

    def test_greatest_speed_shuts_while_the_ebb_is_stronger(self, forecast):
        keys = f"{BY_FLOW}flow = {{ current = 'race' }}\ngreatest_speed = 0.8\n"
        made = forecast(one_spot(SEA, keys) + race(1.5, 180.0), FIRST)
        windows = [report.session.window for report in reports_of(made)]
        # ebb 1.5 cos(w t): from half a factor at 0.25 kn to 0.8 kn, and from there down again
        hours = np.array([np.arccos(-x / 1.5) / OMEGA for x in (0.25, 0.8)])
        assert len(windows) > 20
        for window in windows:
            speeds = 1.5 * np.cos(OMEGA * np.array([window.start, window.end - 60.0]))
            assert (speeds <= 0.8).all()
            assert (speeds >= 0.25 - 1e-6).all()
        reasons = {(window.opens, window.closes) for window in windows}
        assert reasons == {
            ("the flow has built", Gate.SPEED.closes),
            (Gate.SPEED.opens, "the flow eases off"),
        }
        assert all(w.end - w.start == pytest.approx(float(np.ptp(hours)), abs=120.0) for w in windows)


def sun_altitude(t, latitude=45.0, longitude=0.0):
    """Geometric altitude in degrees by an independent library."""
    observer = ephem.Observer()
    observer.lat, observer.lon, observer.pressure = str(latitude), str(longitude), 0
    observer.date = ephem.Date("1970/1/1") + t / DAY
    return float(np.degrees(ephem.Sun(observer).alt))


class TestBait:
    EBB = "slack_lag = 0\nflow = { strong_ebb = 0.9 }\n"

    def baits(self, made, index=0):
        return [(item.session, item.bait) for item in reports_of(made, index)]

    def test_bare_by_day_before_it_floods_and_before_the_session(self, forecast):
        # the bank is bare within two hours of low water, and just so: cos(120 deg) = -0.5
        made = forecast(one_spot(SEA, BY_FLOW + self.EBB + "bank_away = 45") + bank(1.4), FIRST)
        found = self.baits(made)
        assert len(found) > 10
        for session, bait in found:
            window = bait.window
            assert bait.state is BankState.BARES
            inside = np.linspace(window.start + 1.0, window.end - 1.0, 50)
            assert (sea(inside) < 1.4).all()
            assert min(sun_altitude(window.start), sun_altitude(window.end)) > -50 / 60 - 0.1
            assert session.start - KEEPS <= window.end <= session.start - 45 * 60.0
            assert window.end - window.start >= 15 * 60.0
            if window.closed_by is Limit.BANK_FLOODS:
                assert sea(window.end + 60.0) > 1.4
            # low water is at 6 and 18 h; no later one fits
            later = [
                low for low in (START + 6 * HOUR + 43200.0 * np.arange(-4, 16)) if low > window.low_water
            ]
            half = np.arccos(0.6) / OMEGA
            usable = [
                low
                for low in later
                if min(low + half, low + 2 * HOUR) <= session.start - 45 * 60.0
                and sun_altitude(low + 0.5 * HOUR) > 0
            ]
            assert usable == []

    @pytest.mark.parametrize(("away", "hours_before"), [(10, 0.0), (45, 12.0)])
    def test_two_hours_about_low_water_and_the_way_to_the_spot(self, forecast, away, hours_before):
        # bare from 2 to 10 h about the low water of 6 h, gathered from 4 to 8 h; the current's ebb begins at
        # 8 h and runs 0.25 kn, enough for half a factor, at 8:24: 24 min after the bank is left
        keys = f"{BY_FLOW}flow = {{ current = 'race' }}\nbank_away = {away}"
        text = one_spot(SEA, keys, latitude=71.0) + race(1.2, (8 + 9) % 12 * 30.0) + bank(2.5)
        found = self.baits(forecast(text, date(2026, 6, 20)))
        assert len(found) > 10
        for session, bait in found:
            assert session.start % 43200.0 == pytest.approx(8.5 * HOUR, abs=900.0)
            window = bait.window
            slack = (session.start // 43200.0) * 43200.0 + 8 * HOUR
            assert window.end == pytest.approx(slack - hours_before * HOUR, abs=1.0)
            assert window.end - window.start == pytest.approx(4 * HOUR, abs=1.0)
            assert window.opened_by is window.closed_by is Limit.LOW_WATER

    def test_on_a_diurnal_coast_the_day_before_and_kept_overnight(self, forecast):
        # one low water a day, at 14 h; the ebb that follows begins at 2 h of the next day
        waves = [("K1", 0.001, 0.0)]
        text = coast_text([("S1", 1.0, 30.0 + 180.0)]) + spot_text(BY_FLOW + self.EBB) + bank(1.3)
        assert waves
        made = forecast(text, FIRST)
        found = [(item, item.bait.window) for item in reports_of(made)]
        assert len(found) == 7
        gauge = made.spots[0].spot.station
        for report, window in found:
            lows = tides.high_low_waters(gauge, window.low_water - DAY, window.low_water + DAY).turns
            assert np.abs(lows.t[~lows.high] - window.low_water).min() < 1.0
            assert window.low_water < at(report.day.isoformat())
            assert report.session.start - window.end > 10 * HOUR
        text = terminal.week(made, 300)
        assert text.count("crabs keep overnight in damp weed or a bucket") == 7
        assert "Bait at The flat Sun 2 Aug" in text

    @pytest.mark.parametrize(
        ("level", "state", "words"),
        [
            (0.9, BankState.NEVER_BARES, "No bait from The flat: the bank never bares."),
            (3.1, BankState.ABOVE_HIGH_WATER, "No bait from The flat: the bank lies above high water."),
        ],
    )
    def test_a_bank_that_never_bares_or_never_floods_is_said_and_changes_no_rank(
        self, forecast, level, state, words
    ):
        plain = forecast(one_spot(SEA, self.EBB), FIRST)
        made = forecast(one_spot(SEA, self.EBB) + bank(level), FIRST)
        assert {(bait.state, bait.window) for _, bait in self.baits(made)} == {(state, None)}
        assert sessions_of(made) == sessions_of(plain)
        assert words in terminal.week(made, 300)
        frame = sessions_frame(made)
        assert set(frame["bait_start_utc"]) == {""}
        assert set(frame["bait_bank"]) == {"flat"}

    def test_the_machine_row_has_the_window(self, forecast):
        made = forecast(one_spot(SEA, BY_FLOW + self.EBB) + bank(1.4), FIRST)
        row = sessions_frame(made).iloc[0]
        window = made.ranking[0].bait.window
        assert at(row["bait_start_utc"].rstrip("Z")) == pytest.approx(window.start, abs=0.51)
        assert at(row["bait_end_utc"].rstrip("Z")) == pytest.approx(window.end, abs=0.51)

    def test_the_temperature_rule_can_be_set_aside(self, forecast):
        text = one_spot(SEA, BY_FLOW + self.EBB)
        cold = terminal.week(forecast(text + bank(1.4), FIRST), 300)
        assert "below about 15 °C crabs stay in their burrows" in cold
        worms = terminal.week(forecast(text + bank(1.4, "warm_only = false"), FIRST), 300)
        assert "Bait at The flat" in worms
        assert "15 °C" not in worms

    def test_polar_day_and_polar_night(self, forecast):
        place = {"latitude": 71.0, "longitude": 25.0}
        text = one_spot(SEA, BY_FLOW + self.EBB, **place) + bank(1.4)
        summer = forecast(text, date(2026, 6, 20))
        found = self.baits(summer)
        assert len(found) > 10
        for session, bait in found:
            assert {bait.window.opened_by, bait.window.closed_by} <= {
                Limit.BANK_BARES,
                Limit.BANK_FLOODS,
                Limit.LOW_WATER,
            }
            # every low water counts, day and night: the last is never more than one tide away
            assert session.start - bait.window.low_water < 13 * HOUR
        winter = forecast(text, date(2026, 12, 20))
        found = self.baits(winter)
        assert len(found) > 10
        assert {(bait.state, bait.window) for _, bait in found} == {(BankState.BARES, None)}
        assert "it bares in daylight at no low water of the 36 h before" in terminal.week(winter, 300)

    @pytest.mark.parametrize("phase", [0.0, 60.0, 120.0, 232.5, 240.0, 300.0])
    def test_a_longer_forecast_changes_no_bait(self, forecast, phase):
        # the bank's low water at 11:30 and 23:30 may lie anywhere in a current's ebb; the sun never sets. At
        # 232.5 a window opens at 23:45, its session at 00:45, while the bank is bare from 21:30 to 1:30.
        strong = "speeds = { nothing_below = 0.1, full_from = 1.1, full_to = 1.2, nothing_above = 2 }\n"
        text = (
            one_spot([("S2", 1.0, 165.0)], f"{BY_FLOW}{strong}flow = {{ current = 'race' }}", latitude=71.0)
            + race(1.2, phase)
            + bank(1.6)
        )
        first = date(2026, 6, 20)
        short, long = (forecast(text, first, days) for days in (1, 4))
        one, same = (
            [
                (item.session.start, item.bait.window.start, item.bait.window.end, item.bait.window.closed_by)
                for item in made.spots[0].days[0].sessions
            ]
            for made in (short, long)
        )
        assert one
        assert len(one) == len(same)
        for times, theirs in zip(one, same, strict=True):
            assert times[:3] == pytest.approx(theirs[:3], abs=1.0)
            assert times[3] is theirs[3]

    def test_of_two_banks_each_spot_has_its_own_tide(self, forecast):
        cove = (
            '\n[[stations]]\nid = "cove"\nname = "Cove"\nreference = "gauge"\n'
            "high_water = { minutes = 90 }\nlow_water = { minutes = 90 }\n"
        )
        text = (
            coast_text(SEA)
            + cove
            + spot_text(f'{BY_FLOW}{self.EBB}bank = "flat"', "one")
            + spot_text(f'{BY_FLOW}{self.EBB}bank = "bar"', "two")
            + bank(1.4)
            + bank(1.4, station="cove", name="bar")
        )
        made = forecast(text, FIRST)
        one, two = ([bait.window.low_water % 43200.0 for _, bait in self.baits(made, i)] for i in (0, 1))
        assert one == pytest.approx([6 * HOUR] * len(one), abs=1.0)
        assert two == pytest.approx([7.5 * HOUR] * len(two), abs=1.0)


class TestLead:
    KEYS = f"{BY_FLOW}flow = {{ current = 'race' }}\ndepth_at_datum = 4\n"

    def made(self, forecast, tackle="", knots=1.15):
        # ebb from 0 h: v = knots sin(w t)
        return forecast(one_spot(SEA, self.KEYS + tackle) + race(knots, 270.0), FIRST)

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
        ounces = ", ".join(
            f"{item.lead[0] / KILOGRAMS_PER_OUNCE:.1f}-{item.lead[1] / KILOGRAMS_PER_OUNCE:.1f}"
            for item in readings(best)
        )
        grams = ", ".join(f"{1000 * item.lead[0]:.0f}-{1000 * item.lead[1]:.0f}" for item in readings(best))
        line = f"{sinker.name.lower()} sinker on {1000 * diameter:.2f} mm line, a starting point"
        assert f"Lead to hold bottom, {line}: {ounces} oz ({grams} g)." in terminal.week(made, 300)

    @pytest.mark.parametrize("ounces", [0.5, 1.0, 2.0])
    def test_the_moment_when_the_heaviest_no_longer_holds(self, forecast, ounces):
        made = self.made(forecast, f'heaviest_lead = "{ounces}oz"')
        assert len(made.ranking) > 10
        for report in made.ranking:
            t = np.arange(report.session.start, report.session.end + 1.0, 1.0)
            speed = np.maximum(1.15 * KNOT * np.sin(OMEGA * t), 0.0)
            needed = lead_for_grip(speed, sea(t) + 4.0, 0.00023, SinkerKind.BANK.poorest)
            over = np.flatnonzero(needed > ounces * KILOGRAMS_PER_OUNCE)
            assert over.size
            assert report.lead_slips == pytest.approx(float(t[over[0]]), abs=20.0)
        assert any(report.lead_slips > report.session.start + 60.0 for report in made.ranking)
        text = terminal.week(made, 300)
        assert f"The {ounces:g} oz you carry may no longer hold from" in text
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
        made = forecast(one_spot(SEA, keys) + race(1.15, 270.0), FIRST)
        dry = [report for report in made.ranking if report.end.depth < 0]
        assert dry
        assert all(report.end.lead is None for report in dry)
        assert "dry oz" in terminal.week(made, 300)
        assert {report.session.window.light for report in dry} <= set(LightLabel)
