"""Scenarios of a record: which stretches, what goes with the tide, and the slow level of days to come."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from harmonics.errors import EbblightError
from harmonics.records.places import even_delays, levels_at, rates_at
from harmonics.records.scenarios import FEWEST, MOST, SEASON_DAYS, Scenarios, scenarios_of
from harmonics.records.slow import MONTH_DAYS, SlowMeans, slow_shifts
from harmonics.records.splines import curve, even_curve
from harmonics.stations import tides
from harmonics.stations.prediction import even_levels, even_rates, levels
from harmonics.stations.types import HeightDifference, HourPairs, SecondaryStation
from harmonics.sums.series import sums_at
from harmonics.sums.waves import year_start
from tests.harmonics.conftest import published_station, station_of
from tests.harmonics.records_of import DAY, HOUR, made_residuals, red_noise

YEAR = 365.2425 * DAY
PENSACOLA, BOSTON = "8729840", "8443970"


def laid(flows, station="8724580", start=0.0):
    """Scenarios of given hourly departures."""
    flows = np.atleast_2d(np.asarray(flows, dtype=float))
    return Scenarios(published_station(station), start, flows, flows, np.zeros(len(flows)), 0.0)


class TestCurves:
    def test_a_straight_line_is_met_with_its_slope(self):
        knots = 2.0 + 0.5 * np.arange(30.0)
        t = np.linspace(3 * HOUR, 25 * HOUR, 100)
        assert curve(knots, 0.0, t) == pytest.approx(2.0 + 0.5 * t / HOUR)
        assert curve(knots, 0.0, t, slope=True) == pytest.approx(np.full(100, 0.5 / HOUR))

    def test_at_a_knot_the_slope_is_that_of_its_neighbours(self):
        knots = np.random.default_rng(1).normal(size=40)
        t = HOUR * np.arange(2, 36)
        assert curve(knots, 0.0, t, slope=True) * HOUR == pytest.approx((knots[3:37] - knots[1:35]) / 2)
        assert curve(knots, 0.0, t) == pytest.approx((knots[1:35] + 4 * knots[2:36] + knots[3:37]) / 6)

    def test_the_slope_is_the_values_derivative(self):
        knots = np.random.default_rng(2).normal(size=40)
        t = np.linspace(5 * HOUR, 30 * HOUR, 777)
        by_hand = (curve(knots, 0.0, t + 1.0) - curve(knots, 0.0, t - 1.0)) / 2.0
        assert curve(knots, 0.0, t, slope=True) == pytest.approx(by_hand, abs=1e-9)

    @given(
        first=st.floats(2.0, 9.0),
        step=st.sampled_from([60.0, 300.0, 360.0, 900.0, 3600.0, 7200.0, 1234.5]),
        count=st.integers(0, 50),
        slope=st.booleans(),
    )
    def test_even_steps_are_those_times(self, first, step, count, slope):
        knots = np.random.default_rng(3).normal(size=(3, 130))
        t = first * HOUR + step * np.arange(count)
        even = even_curve(knots, 0.0, first * HOUR, step, count, slope)
        assert even.shape == (3, count)
        assert even == pytest.approx(curve(knots, 0.0, t, slope), abs=1e-12)

    @pytest.mark.parametrize("t", [0.5 * HOUR, 28.5 * HOUR])
    def test_nothing_is_made_up_beyond_the_knots(self, t):
        for step in (300.0, 1234.5):
            with pytest.raises(ValueError, match="beyond the knots"):
                even_curve(np.zeros(30), 0.0, t, step, 8)


class TestStretches:
    def test_they_are_of_the_season_moved_by_whole_days(self):
        station = published_station(PENSACOLA)
        record = made_residuals(np.arange(3 * 365 * 24) * 1e-6, year_start(2017))
        start = year_start(2026) + 200 * DAY + 7 * HOUR
        found = scenarios_of(station, record, start, start + 7 * DAY)
        moved = (found.start - found.origins) / DAY
        assert np.abs(moved - np.rint(moved)).max() < 1e-9
        off = (moved * DAY + YEAR / 2) % YEAR - YEAR / 2
        assert np.abs(off).max() <= SEASON_DAYS * DAY
        assert found.away <= SEASON_DAYS
        assert len(found) == MOST
        assert np.unique(found.origins).size == MOST
        assert found.start <= start - 2 * DAY
        assert found.t[-1] >= start + 8 * DAY
        years = np.floor((found.origins - record.start) / YEAR)
        assert np.bincount(years.astype(int)).min() > 55

    def test_they_hold_the_record_in_its_own_order(self):
        station = station_of([("M2", 1e-9, 0.0)])
        noise = red_noise(400 * 24, 20.0, 0.1, 8)
        record = made_residuals(noise, year_start(2018))
        start = year_start(2021) + 100 * DAY
        found = scenarios_of(station, record, start, start + 5 * DAY)
        for k in (0, len(found) // 2, len(found) - 1):
            first = round((found.origins[k] - record.start) / HOUR)
            assert found.flows[k] == pytest.approx(noise[first : first + len(found.t)], abs=0.005)
            assert np.ptp(found.levels[k] - found.flows[k]) < 1e-12

    def test_the_days_themselves_are_never_among_them(self):
        station = published_station(PENSACOLA)
        record = made_residuals(red_noise(2 * 365 * 24, 20.0, 0.1, 4), year_start(2019))
        start = year_start(2020) + 60 * DAY
        found = scenarios_of(station, record, start, start + 7 * DAY)
        assert np.abs(found.origins - found.start).min() >= len(found.t) * HOUR

    def test_stretches_with_a_long_gap_are_left_out(self):
        station = published_station(PENSACOLA)
        level = red_noise(365 * 24, 20.0, 0.1, 4)
        level[200 * 24] = np.nan
        record = made_residuals(level, year_start(2019))
        start = year_start(2022) + 195 * DAY
        found = scenarios_of(station, record, start, start + 7 * DAY)
        assert np.isfinite(found.flows).all()
        gap = record.start + 200 * DAY
        assert not ((found.origins <= gap) & (found.origins + len(found.t) * HOUR > gap)).any()

    def test_another_season_stands_in_where_the_record_has_none_and_it_is_said(self):
        station = published_station(PENSACOLA)
        record = made_residuals(red_noise(120 * 24, 20.0, 0.1, 4), year_start(2019))
        start = year_start(2022) + 200 * DAY
        found = scenarios_of(station, record, start, start + 7 * DAY)
        assert 60.0 < found.away < 183.0
        assert len(found) == 60
        nearest = record.start + 108 * DAY - found.origins.max()
        assert abs(nearest) < 3 * DAY

    def test_too_short_a_record_is_refused(self):
        station = published_station(PENSACOLA)
        record = made_residuals(np.zeros(30 * 24))
        start = year_start(2022)
        with pytest.raises(EbblightError, match=rf"found 18 stretches .* expected at least {FEWEST}"):
            scenarios_of(station, record, start, start + 7 * DAY)

    @pytest.mark.parametrize("name", [PENSACOLA, BOSTON])
    def test_what_goes_with_the_tide_keeps_to_the_tide(self, name):
        """A real tide 8 % weaker and 12 minutes late, and nothing else: every scenario says just that."""
        station = published_station(name)
        t = year_start(2019) + HOUR * np.arange(500 * 24.0)
        late = 720.0

        def real(times):
            return 0.92 * sums_at(station.constants, station.practice, times - late)

        record = made_residuals(real(t) - levels(station, t) + station.mean_level, t[0])
        start = year_start(2022) + 40 * DAY
        found = scenarios_of(station, record, start, start + 7 * DAY)
        times = start + 300.0 * np.arange(2000)
        truth = (real(times + 60.0) - real(times - 60.0)) / 120.0
        said = even_rates(station, start, 300.0, 2000) + found.even_rates(start, 300.0, 2000)
        peak = np.abs(truth).max()
        plain = np.abs(even_rates(station, start, 300.0, 2000) - truth).max()
        assert np.abs(said - truth).max() < 0.03 * peak
        assert plain > 0.08 * peak

    def test_levels_can_change_and_flows_stay(self):
        found = laid(np.zeros((2, 40)))
        moved = found.with_levels(found.levels + 0.3)
        assert moved.even_levels(5 * HOUR, 300.0, 3) == pytest.approx(np.full((2, 3), 0.3))
        assert not moved.even_rates(5 * HOUR, 300.0, 3).any()


class TestSlowLevels:
    def test_means_before_and_around(self):
        record = made_residuals(np.arange(100 * 24) / 24.0)
        means = SlowMeans.of(record)
        t = record.start + 50 * DAY
        assert means.mean(np.array([t]), 0.5)[0] == pytest.approx(50.0, abs=0.05)
        assert means.mean(np.array([t]), 0.0)[0] == pytest.approx(50.0 - MONTH_DAYS / 2, abs=0.05)
        assert np.isnan(means.mean(np.array([record.start - 30 * DAY]), 0.5)[0])

    def test_fresh_records_carry_their_newest_month_on(self):
        """A sea that stays where it is for months: a year's step up is in the next week's levels."""
        level = np.where(np.arange(400 * 24) < 300 * 24, 0.0, 0.4) + red_noise(400 * 24, 20.0, 0.02, 5)
        record = made_residuals(level)
        middles = record.start + DAY * np.arange(20.0, 110.0)
        soon = slow_shifts(record, middles, record.end + 4 * DAY, record.end)
        later = slow_shifts(record, middles, record.end + 300 * DAY, record.end)
        assert soon.mean() > 0.25
        assert abs(later.mean()) < 0.1
        assert later.std() > soon.std()

    def test_years_that_differ_spread_a_season(self):
        calm = np.sin(2 * np.pi * np.arange(4 * 366 * 24) / (365.2425 * 24)) * 0.2
        year = np.minimum(np.arange(len(calm)) // round(365.2425 * 24), 3)
        unsteady = calm + np.array([0.15, -0.15, 0.1, -0.1])[year]
        far = year_start(2019) + 10 * YEAR
        middles = np.concatenate([far - (10 - k) * YEAR + DAY * np.arange(-20.0, 20.0) for k in (1, 2, 3)])
        spreads = []
        for level in (calm, unsteady):
            record = made_residuals(level + red_noise(len(level), 20.0, 0.01, 6))
            spreads.append(slow_shifts(record, middles, far, record.end).std())
        assert spreads[0] < 0.03
        assert 0.07 < spreads[1] < 0.2

    @pytest.mark.parametrize("weather", [30.0, 24.0 * 40])
    def test_eight_in_ten_of_made_levels_lie_in_their_range(self, weather):
        """Sixty made gauges, each a year long, weather that forgets in a day or in forty: fresh or stale."""
        station = station_of([("M2", 1e-6, 0.0)])
        held = {0.0: [], 150.0: []}
        for seed in range(60):
            level = red_noise(560 * 24, weather, 0.1, 10 * seed)
            known = made_residuals(level[: 365 * 24])
            for wait, out in held.items():
                start = known.end + wait * DAY
                found = scenarios_of(station, known, start, start + 7 * DAY)
                low, high = np.quantile(found.even_levels(start, HOUR, 168), [0.1, 0.9], axis=0)
                first = round((start - known.start) / HOUR)
                truth = level[first : first + 168]
                out.append(np.mean((truth >= low) & (truth <= high)))
        for shares in held.values():
            assert 0.72 < np.mean(shares) < 0.9


class TestOtherPlaces:
    def secondary(self, high, low):
        return SecondaryStation("b", "B", None, None, published_station("8724580"), high, low)

    def test_the_gauge_itself_has_its_own(self):
        found = laid(red_noise(200, 10.0, 0.1, 2))
        place = (found, found.station, 9 * HOUR, 300.0, 50)
        level, rate = levels_at(*place), rates_at(*place)
        assert np.array_equal(level, found.even_levels(9 * HOUR, 300.0, 50))
        assert np.array_equal(rate, found.even_rates(9 * HOUR, 300.0, 50))

    def test_a_secondary_station_has_them_later_and_as_large_as_its_factors(self):
        start = year_start(2021)
        found = laid(red_noise(400, 10.0, 0.1, 2), start=start)
        same = HeightDifference(seconds=3600.0, factor=0.6, offset=0.5)
        place = (found, self.secondary(same, same), start + 5 * DAY, 300.0, 500)
        level, rate = levels_at(*place), rates_at(*place)
        assert level == pytest.approx(0.6 * found.even_levels(start + 5 * DAY - 3600.0, 300.0, 500), abs=1e-9)
        assert rate == pytest.approx(0.6 * found.even_rates(start + 5 * DAY - 3600.0, 300.0, 500), abs=1e-12)

    @pytest.mark.parametrize(
        "differences",
        [
            (HeightDifference(1800.0, 0.9), HeightDifference(5400.0, 0.5)),
            (
                HeightDifference(0.0, 1.2, seconds_by_hour=HourPairs((0.0, 6.0), (600.0, 2400.0))),
                HeightDifference(600.0, 0.7, 0.1),
            ),
        ],
    )
    def test_an_even_rise_is_what_the_differences_make_of_a_higher_reference(self, differences):
        """A centimetre on the reference's mean level moves the secondary's curve as the scenario says."""
        start = year_start(2021) + 20 * DAY
        found = laid(np.full(600, 0.01), start=start - 10 * DAY)
        station = self.secondary(*differences)
        level, rate = (at(found, station, start, 300.0, 1000) for at in (levels_at, rates_at))
        reference = published_station("8724580")
        higher = type(reference)(
            "r", "R", 0.0, 0.0, "MLLW", reference.mean_level + 0.01, reference.constants, reference.practice
        )
        moved = SecondaryStation("b", "B", None, None, higher, *differences)
        truth = tides.even_levels(moved, start, 300.0, 1000) - tides.even_levels(station, start, 300.0, 1000)
        assert np.abs(level[0] - truth).max() < 0.001
        assert np.abs(np.gradient(level[0], 300.0) - rate[0])[1:-1].max() < 1e-8

    def test_turns_that_come_late_make_a_delay(self):
        for name in (PENSACOLA, BOSTON, "8724580"):
            station = published_station(name)
            t = year_start(2021) + HOUR * np.arange(30 * 24.0)
            for late in (-2400.0, 900.0):
                away = levels(station, t - late) - levels(station, t)
                found = Scenarios(station, t[0], away[None], away[None], np.zeros(1), 0.0)
                delay = even_delays(found, t[0] + 5 * DAY, 300.0, 2000)
                assert np.abs(delay - late).max() < 0.2 * abs(late)
                assert abs(delay.mean() - late) < 0.08 * abs(late)

    def test_a_level_that_rises_evenly_delays_nothing(self):
        station = published_station(BOSTON)
        found = Scenarios(station, 0.0, *(2 * (np.arange(400.0)[None] * 0.002,)), np.zeros(1), 0.0)
        assert np.abs(even_delays(found, 5 * DAY, 600.0, 600)).max() < 60.0

    def test_no_delay_is_longer_than_three_hours(self):
        station = published_station(PENSACOLA)
        found = laid(np.random.default_rng(4).normal(size=(5, 400)), PENSACOLA)
        assert np.abs(even_delays(found, 5 * DAY, 600.0, 900)).max() == 3 * HOUR
        assert even_levels(station, 0.0, HOUR, 2).shape == (2,)
