"""Bait from a bank before a session."""

from datetime import date
from types import SimpleNamespace

import ephem
import numpy as np
import pytest

from harmonics.stations import tides
from tests.windows.conftest import at, coast_text, one_spot, sessions_of, spot_text
from tests.windows.plain_coast import (
    BY_FLOW,
    DAY,
    FIRST,
    HOUR,
    OMEGA,
    SEA,
    START,
    race,
    reports_of,
    sea,
)
from windows.astronomy import Sky
from windows.conditions.bait import KEEPS, BankState, Limit
from windows.forecast.preparations import BaitPlan
from windows.render.records.frames import sessions_frame
from windows.render.text import terminal
from windows.render.words.options import Why


def bank(level, more="", station="gauge", name="flat"):
    return f"""
[[banks]]
id = "{name}"
name = "The {name}"
station = "{station}"
bare_below = {level}
{more}
"""


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

    @pytest.mark.parametrize("away", [10, 45, 300])
    def test_two_hours_about_low_water_and_the_way_to_the_spot(self, forecast, away):
        # bare from 2 to 10 h about the low water of 6 h, gathered from 4 to 8 h; the current's ebb begins at
        # 8 h and runs 0.25 kn, enough for half a factor, at 8:24: 24 min after the bank is left
        keys = f"{BY_FLOW}flow = {{ current = 'race' }}\nbank_away = {away}"
        text = (
            one_spot(SEA, keys, latitude=71.0)
            + race([("S2", 1.2, (8 + 9) % 12 * 30.0)], latitude=71.0)
            + bank(2.5)
        )
        found = self.baits(forecast(text, date(2026, 6, 20)))
        assert len(found) > 10
        for session, bait in found:
            # The window opens at 8:24 and 20:24; the second goes on past midnight.
            opened = session.window.start
            assert opened % 43200.0 == pytest.approx(8.4 * HOUR, abs=900.0)
            window = bait.window
            if session.start > opened + 2 * HOUR:
                continue
            slack = (opened // 43200.0) * 43200.0 + 8 * HOUR
            late = session.start - slack < away * 60.0
            assert window.end == pytest.approx(slack - (12.0 if late else 0.0) * HOUR, abs=1.0)
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
        text = terminal.week(made, 300, Why.ALL)
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
        assert words in terminal.week(made, 300, Why.ALL)
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
        warm = terminal.week(forecast(text + bank(1.4, "warm_only = false"), FIRST), 300)
        assert "Bait at The flat" in warm
        assert "15 °C" not in warm

    @pytest.mark.parametrize(
        ("bait", "keeping"),
        [
            ("crab", "crabs keep overnight in damp weed or a bucket; below about 15 °C crabs stay in"),
            ("worm", "worms keep overnight in cool, damp weed or newspaper."),
            ("other", "it must keep overnight."),
        ],
    )
    def test_what_is_gathered_has_its_own_words(self, forecast, bait, keeping):
        # low water at 14 h, the ebb at 2 h of the next day
        text = coast_text([("S1", 1.0, 210.0)]) + spot_text(BY_FLOW + self.EBB)
        made = forecast(text + bank(1.3, f'bait = "{bait}"'), FIRST)
        like_crabs = forecast(text + bank(1.3), FIRST)
        assert [item.window for _, item in self.baits(made)] == [
            item.window for _, item in self.baits(like_crabs)
        ]
        told = terminal.week(made, 300, Why.ALL)
        assert told.count(f"before the session begins; {keeping}") == 7
        assert ("crabs" in told) == ("15 °C" in told) == (bait == "crab")

    def test_shrimp_run_on_the_night_ebb(self, forecast):
        # high water at 0 and 12 h: the ebb runs from 0 to 6 h and from 12 to 18 h, in August dark until 5 h
        shrimp = '\n[[banks]]\nid = "steps"\nname = "Old steps"\nstation = "gauge"\nbait = "shrimp"\n'
        made = forecast(one_spot(SEA, BY_FLOW + self.EBB) + shrimp, FIRST)
        found = self.baits(made)
        assert len(found) > 10
        for session, bait in found:
            window = bait.window
            assert bait.state is BankState.NEED_NOT_BARE
            assert window.start % DAY == pytest.approx(0.0, abs=1.0)
            assert sun_altitude(window.end) == pytest.approx(-50 / 60, abs=0.1)
            assert (window.opened_by, window.closed_by) == (Limit.EBB, Limit.NIGHT)
            assert window.end <= session.start - 1800.0
        told = terminal.week(made, 300, Why.ALL)
        assert "Bait at Old steps 00:00 (the ebb) to 0" in told
        assert "shrimp keep overnight in aerated water" in told
        assert "crabs" not in told
        summer = forecast(
            one_spot(SEA, BY_FLOW + self.EBB, latitude=71.0, longitude=25.0) + shrimp, date(2026, 6, 20)
        )
        assert {bait.window for _, bait in self.baits(summer)} == {None}
        assert "No bait from Old steps: none of the 36 h before is an ebb in the dark." in terminal.week(
            summer, 300
        )

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
            + race([("S2", 1.2, phase)], latitude=71.0)
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


def test_water_that_stands_higher_bares_a_bank_as_if_it_lay_lower(shore):
    made = shore(one_spot(SEA, "bank_away = 45") + bank(1.4) + bank(1.1, name="low"))
    spot, (flat, low) = made.spots[0], made.banks
    higher = SimpleNamespace(at=lambda t: np.full(t.shape, flat.level - low.level))
    span = Sky(START - DAY, START + 3 * DAY), START, START + 2 * DAY
    found, expected = BaitPlan(spot, flat, *span, higher), BaitPlan(spot, low, *span)
    assert len(found.windows) >= 2
    for one, other in zip(found.windows, expected.windows, strict=True):
        assert (one.start, one.end) == pytest.approx((other.start, other.end), abs=1.0)
    (first, *_) = BaitPlan(spot, flat, *span).windows
    assert first.end - first.start > found.windows[0].end - found.windows[0].start
