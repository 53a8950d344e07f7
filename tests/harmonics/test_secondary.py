"""Secondary tide stations: published figures, worked examples, and the shape of the derived curve."""

import dataclasses
import datetime as dt

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as some

from harmonics.catalogue.constituents import find
from harmonics.stations.events import Turns, high_low_waters
from harmonics.stations.prediction import even_levels, even_rates, levels
from harmonics.stations.secondary import (
    corrected,
    corrected_height,
    difference_problem,
    even_secondary_levels,
    even_secondary_rates,
    secondary_high_low_waters,
    secondary_levels,
    secondary_rates,
    time_difference,
)
from harmonics.stations.types import HeightDifference, HeightPairs, HourPairs, SecondaryStation, Station
from harmonics.sums.waves import HarmonicConstants, NodePractice

# MSL above MLLW, metres
REFERENCES = {"8638610": 0.412, "8443970": 1.68, "8729840": 0.19, "8724580": 0.28, "9447130": 2.02}

ROUNDING = 1e-12
"""Metres: a span's levels and its turns are corrected from turns found in searches of different spans, and
heights of some metres carry a sixteenth digit of 1e-15 m through a dozen sums and products of each."""


def utc(text):
    return dt.datetime.fromisoformat(text).replace(tzinfo=dt.UTC).timestamp()


@pytest.fixture(scope="session")
def reference(published):
    def read(station_id):
        rows = [row for row in published(f"constituents_{station_id}.csv") if float(row["amplitude"]) > 0]
        constants = HarmonicConstants(
            constituents=tuple(find(row["name"]) for row in rows),
            amplitude=np.array([float(row["amplitude"]) for row in rows]),
            phase_lag=np.array([float(row["phase"]) for row in rows]),
        )
        return Station(station_id, station_id, 0.0, 0.0, "MLLW", REFERENCES[station_id], constants)

    return read


def secondary(station, high=None, low=None):
    return SecondaryStation(
        "near", "Near", None, None, station, high or HeightDifference(), low or HeightDifference()
    )


def differences(*bounds):
    """Height differences whose seconds, factor and offset (metres) lie between bounds."""
    return some.tuples(*(some.floats(*pair) for pair in bounds)).map(lambda three: HeightDifference(*three))


def at_clock(text, height, high):
    return Turns(np.array([utc(f"2026-01-01 {text}")]), np.array([height]), np.array([high]))


class TestPublished:
    def test_craney_island_light_from_hampton_roads(self, reference, published):
        # NOAA CO-OPS published predictions of station 8638596, November 2020; differences in the file's head
        station = secondary(
            reference("8638610"), HeightDifference(18 * 60, 1.06), HeightDifference(4 * 60, 0.83)
        )
        rows = published("noaa_hilo_8638596_2020-11.csv")
        turns = secondary_high_low_waters(station, utc("2020-11-04 05:00"), utc("2020-11-06 00:00")).turns
        assert [bool(high) for high in turns.high] == [row["type"] == "H" for row in rows]
        printed = np.array([utc(row["time_utc"]) for row in rows])
        assert np.abs(turns.t - printed).max() <= 0.6 * 60
        assert np.abs(turns.height - [float(row["height_m"]) for row in rows]).max() <= 0.001


class TestWorkedExamples:
    def test_barfleur_high_water_by_the_hour(self):
        # Admiralty method, worked example: +51 min at 1500, +44 at 2100, HW 1846: +47 min, 1933
        pairs = HourPairs((15.0, 21.0), (51 * 60.0, 44 * 60.0))
        shift = time_difference(HeightDifference(seconds_by_hour=pairs), np.array([utc("2026-01-01 18:46")]))
        assert round(float(shift[0]) / 60) == 47

    def test_exercise_of_hour_and_offset(self, reference):
        # Admiralty method, exercise: HW 0638 4.2 m; +23 min at 0600, +35 at 1200; +1.1 m: 0702, 5.3 m
        # (data printed, answer computed by the method)
        high = HeightDifference(offset=1.1, seconds_by_hour=HourPairs((6.0, 12.0), (23 * 60.0, 35 * 60.0)))
        t, height = corrected(secondary(reference("8443970"), high), at_clock("06:38", 4.2, high=True))
        assert round((t[0] - utc("2026-01-01 00:00")) / 60) == 7 * 60 + 2
        assert height[0] == pytest.approx(5.3, abs=1e-9)

    @pytest.mark.parametrize(
        ("clock", "minutes"), [("06:00", 23), ("12:00", 35), ("00:00", 35), ("18:00", 23), ("15:00", 29)]
    )
    def test_columns_hold_two_hours_half_a_day_apart(self, clock, minutes):
        # common practice: columns are headed "0000 and 1200", "0600 and 1800"
        pairs = HourPairs((6.0, 12.0), (23 * 60.0, 35 * 60.0))
        shift = time_difference(
            HeightDifference(seconds_by_hour=pairs), np.array([utc(f"2026-01-01 {clock}")])
        )
        assert shift[0] == pytest.approx(minutes * 60)

    def test_hours_are_read_on_the_tables_clock(self):
        west = HourPairs((6.0, 12.0), (600.0, 1200.0), utc_offset=-5 * 3600.0)
        shift = time_difference(HeightDifference(seconds_by_hour=west), np.array([utc("2026-01-01 11:00")]))
        assert shift[0] == pytest.approx(600.0)

    def test_a_period_of_a_day_takes_hours_half_a_day_apart(self):
        pairs = HourPairs((0.0, 12.0), (0.0, 1200.0), period=86400.0)
        t = np.array([utc("2026-01-01 06:00"), utc("2026-01-01 18:00"), utc("2026-01-01 12:00")])
        assert time_difference(HeightDifference(seconds_by_hour=pairs), t) == pytest.approx([600, 600, 1200])

    def test_heights_depend_on_spring_and_neap(self):
        # common practice: -0.6 m at a reference high water of 6.0, -0.2 at 4.0, straight through both
        springs = HeightDifference(offset_by_height=HeightPairs((6.0, 4.0), (-0.6, -0.2)))
        assert corrected_height(springs, np.array([6.0, 5.0, 4.0, 6.5])) == pytest.approx(
            [5.4, 4.6, 3.8, 5.8]
        )
        factors = HeightDifference(factor_by_height=HeightPairs((6.0, 4.0), (0.9, 0.8)), factor=0.5, offset=1)
        assert corrected_height(factors, np.array([6.0, 5.0, 4.0])) == pytest.approx([3.7, 3.125, 2.6])

    @pytest.mark.parametrize("hours", [(6.0, 18.0), (3.0, 3.0)])
    def test_hours_of_one_column_are_refused(self, hours):
        with pytest.raises(ValueError, match="two different hours"):
            HourPairs(hours, (0.0, 60.0))

    def test_equal_heights_are_refused(self):
        with pytest.raises(ValueError, match="two different heights"):
            HeightPairs((2.0, 2.0), (0.0, 1.0))


class TestHighLowWaters:
    @pytest.mark.parametrize("station_id", REFERENCES)
    def test_a_span_may_be_cut_anywhere(self, reference, station_id):
        station = secondary(
            reference(station_id), HeightDifference(2400, 0.9, 0.05), HeightDifference(-900, 1.1)
        )
        start, cut, end = utc("2026-11-20 00:00"), utc("2027-01-01 00:00"), utc("2027-02-11 07:00")
        whole = secondary_high_low_waters(station, start, end).turns
        parts = [secondary_high_low_waters(station, *span).turns for span in ((start, cut), (cut, end))]
        assert np.array_equal(whole.t, np.concatenate([part.t for part in parts]))
        assert np.array_equal(whole.height, np.concatenate([part.height for part in parts]))

    @pytest.mark.parametrize("station_id", REFERENCES)
    @settings(max_examples=25)
    @given(
        high=differences((-7200, 7200), (0.2, 2), (-1, 1)),
        low=differences((-7200, 7200), (0.2, 2), (-1, 1)),
        day=some.integers(0, 300),
    )
    def test_turns_stay_in_order_and_alternate(self, reference, station_id, high, low, day):
        start = utc("2026-01-02 00:00") + 86400.0 * day
        waters = secondary_high_low_waters(
            secondary(reference(station_id), high, low), start, start + 30 * 86400
        )
        turns = waters.turns
        assert (np.diff(turns.t) > 0).all()
        assert (turns.high[1:] != turns.high[:-1]).all()
        assert (np.diff(turns.height) * np.where(turns.high[1:], 1, -1) > 0).all()
        assert (waters.stands[:, 1] >= waters.stands[:, 0]).all()

    def test_missing_tides_and_stands_of_a_diurnal_coast_survive(self, reference):
        station = reference("8729840")
        start, end = utc("2026-01-01 00:00"), utc("2027-01-01 00:00")
        near = secondary(station, HeightDifference(1800, 0.9), HeightDifference(1800, 0.9))
        known, here = high_low_waters(station, start, end), secondary_high_low_waters(near, start, end)
        assert len(known.stands) > 0
        assert len(here.stands) == len(known.stands)
        assert here.stands == pytest.approx(known.stands + 1800, abs=1e-3)
        assert here.turns.t == pytest.approx(
            high_low_waters(station, start - 1800, end - 1800).turns.t + 1800
        )

    def test_pairs_that_would_swap_become_a_stand(self, reference):
        station = reference("8724580")
        start, end = utc("2026-01-01 00:00"), utc("2027-01-01 00:00")
        near = secondary(station, HeightDifference(), HeightDifference(offset=0.15))
        known, here = high_low_waters(station, start, end), secondary_high_low_waters(near, start, end)
        gone = (len(known.turns) - len(here.turns)) // 2
        assert gone > 0
        assert len(here.stands) == len(known.stands) + gone


class TestCurve:
    @pytest.mark.parametrize("station_id", REFERENCES)
    def test_spans_that_share_a_search_have_what_a_year_has(self, reference, station_id):
        station = secondary(
            reference(station_id), HeightDifference(1500.0, 0.8, 0.1), HeightDifference(2700.0, 0.9)
        )
        t = utc("2026-09-01 00:00") + 1800.0 * np.arange(48 * 150)  # over the New Year, far too long to keep
        whole = np.stack([secondary_levels(station, t), secondary_rates(station, t)])
        pieces = [slice(begin, begin + count) for count in (48 * 11, 7) for begin in range(0, len(t), count)]
        for piece in pieces[:: len(pieces) // 90]:
            again = np.stack([secondary_levels(station, t[piece]), secondary_rates(station, t[piece])])
            level_off, rate_off = np.abs(again - whole[:, piece]).max(axis=1)
            assert level_off < 1e-6 and rate_off < 1e-8  # read off a cubic whose points follow the span
        mine = secondary_high_low_waters(station, t[0], t[-1])
        for piece in pieces[:10]:
            there = secondary_high_low_waters(station, t[piece][0], t[piece][-1])
            inside = mine.turns.between(t[piece][0], t[piece][-1])
            assert there.turns.t == pytest.approx(inside.t, abs=1e-6)
            assert there.turns.height == pytest.approx(inside.height, abs=ROUNDING)

    @pytest.mark.parametrize("station_id", REFERENCES)
    @pytest.mark.parametrize("practice", NodePractice)
    def test_without_differences_it_is_the_references(self, reference, station_id, practice):
        station = dataclasses.replace(reference(station_id), practice=practice)
        start, step, count = utc("2026-10-01 00:00"), 600.0, 20000  # across New Year's reset
        level = even_secondary_levels(secondary(station), start, step, count)
        rate = even_secondary_rates(secondary(station), start, step, count)
        assert np.abs(level - even_levels(station, start, step, count)).max() < 1e-5
        assert np.abs(rate - even_rates(station, start, step, count)).max() < 1e-9

    @pytest.mark.parametrize("station_id", REFERENCES)
    @settings(max_examples=25)
    @given(
        high=differences((-3600, 3600), (0.5, 1.5), (-0.3, 0.5)),
        low=differences((-3600, 3600), (0.5, 1.5), (-0.5, 0.3)),
        day=some.integers(0, 300),
    )
    def test_exact_at_the_turns_and_between_them_never_outside(self, reference, station_id, high, low, day):
        station = secondary(reference(station_id), high, low)
        start = utc("2026-01-20 00:00") + 86400.0 * day
        turns = secondary_high_low_waters(station, start, start + 12 * 86400).turns
        assume(len(turns) > 1)
        assert secondary_levels(station, turns.t) == pytest.approx(turns.height, abs=1e-4)
        assert np.abs(secondary_rates(station, turns.t)).max() < 1e-7
        level = secondary_levels(station, np.linspace(turns.t[:-1], turns.t[1:], 25))
        assert (level >= np.minimum(turns.height[:-1], turns.height[1:]) - ROUNDING).all()
        assert (level <= np.maximum(turns.height[:-1], turns.height[1:]) + ROUNDING).all()

    def test_the_rate_is_the_levels_and_runs_on_through_the_turns(self, reference):
        station = secondary(
            reference("8443970"), HeightDifference(2400, 0.8, 0.1), HeightDifference(5400, 1.1)
        )
        start, step = utc("2026-04-01 00:00"), 20.0
        level = even_secondary_levels(station, start, step, 20000)
        rate = even_secondary_rates(station, start, step, 20000)
        change = (level[2:] - level[:-2]) / (2 * step)
        assert np.abs(change - rate[1:-1]).max() < 2e-3 * np.abs(rate).max()
        assert np.abs(np.diff(rate)).max() < 5e-3 * np.abs(rate).max()
        assert np.abs(np.diff(level)).max() <= np.abs(rate).max() * step

    @pytest.mark.parametrize("year", [2025, 2026, 2027])
    def test_the_rate_is_the_levels_across_a_reset_too(self, reference, year):
        """Between the two turns that the reset of 1 January parts, one kind's differences give way to the
        other's: that, too, moves the level."""
        station = secondary(
            reference("8443970"), HeightDifference(2400, 0.8, 0.4), HeightDifference(4200, 1.1, -0.4)
        )
        reset = utc(f"{year}-01-01 00:00")
        turns = secondary_high_low_waters(station, reset - 86400.0, reset + 86400.0).turns
        after = int(np.searchsorted(turns.t, reset + 3300.0))
        t = np.arange(turns.t[after - 1] + 60.0, turns.t[after] - 60.0, 60.0)
        change = (secondary_levels(station, t + 5.0) - secondary_levels(station, t - 5.0)) / 10.0
        smooth = np.abs(change) < 1e-3  # all but the reset's own step
        assert smooth.sum() > len(t) - 3
        rate = secondary_rates(station, t)
        assert np.abs(change - rate)[smooth].max() < 2e-3 * np.abs(rate).max()

    def test_it_keeps_the_references_shape(self, reference):
        """Delayed and scaled alike at both turns, it is the reference's curve, not a cosine."""
        station = reference("8443970")
        near = secondary(station, HeightDifference(1800, 0.7, 0.2), HeightDifference(1800, 0.7, 0.2))
        t = utc("2026-05-03 00:00") + 600.0 * np.arange(1000)
        assert secondary_levels(near, t) == pytest.approx(0.7 * levels(station, t - 1800) + 0.2, abs=1e-5)

    def test_across_new_year_without_turns_that_fit(self, reference):
        """The yearly reset steps a nearly tideless reference; the curve follows, bounded by that step."""
        for year in range(2020, 2040):
            station = reference("8729840")
            near = secondary(station, HeightDifference(1200, 1.1, 0.05), HeightDifference(2400, 0.9, -0.05))
            t = utc(f"{year}-12-29 00:00") + 60.0 * np.arange(6 * 1440)
            level, own = secondary_levels(near, t), levels(station, t)
            assert np.isfinite(level).all()
            jump = np.abs(np.diff(own)).max() * 1.3 + 0.002
            assert np.abs(np.diff(level)).max() < jump
            assert own.min() - 0.15 < level.min()
            assert level.max() < own.max() * 1.1 + 0.15

    def test_a_reference_without_tide(self):
        still = Station(
            "still", "Still", 0.0, 0.0, "MLLW", 0.5, HarmonicConstants((), np.empty(0), np.empty(0))
        )
        near = secondary(still, HeightDifference(factor=2.0), HeightDifference(offset=0.5))
        assert secondary_levels(near, np.array([0.0, 1e9])) == pytest.approx([1.0, 1.0])
        assert len(secondary_high_low_waters(near, 0.0, 86400.0).turns) == 0
        assert difference_problem(near, 0.0, 86400.0) is None

    def test_any_order_any_shape_and_single_times(self, reference):
        station = secondary(reference("8638610"), HeightDifference(900, 0.9), HeightDifference(600, 0.8))
        t = utc("2026-08-01 00:00") + 1e5 * np.array([[3.0, 1.0, 9.0], [2.0, 0.0, 4.0]])
        level = secondary_levels(station, t)
        assert level.shape == (2, 3)
        one_by_one = [float(secondary_levels(station, x)) for x in t.reshape(-1)]
        assert level.reshape(-1) == pytest.approx(one_by_one, abs=1e-5)
        assert secondary_levels(station, []).shape == (0,)
        with pytest.raises(ValueError, match="finite"):
            secondary_levels(station, [np.nan])


class TestCheck:
    START, END = utc("2026-01-01 00:00"), utc("2027-01-01 00:00")

    @pytest.mark.parametrize("station_id", REFERENCES)
    def test_ordinary_differences_pass(self, reference, station_id):
        near = secondary(reference(station_id), HeightDifference(2700, 0.9), HeightDifference(3600, 0.9))
        assert difference_problem(near, self.START, self.END) is None

    def test_a_low_water_moved_past_the_high(self, reference):
        near = secondary(reference("8638610"), low=HeightDifference(seconds=8 * 3600.0))
        problem = difference_problem(near, self.START, self.END)
        assert problem is not None
        assert "low water of 2026-01-01T" in problem
        assert "after the high water" in problem

    @pytest.mark.parametrize(
        ("overtide", "share", "fits"), [(0.5, 0.20, True), (0.588, 0.28, False), (0.6122, 0.30, False)]
    )
    def test_how_large_a_pair_may_be_swapped(self, overtide, share, fits):
        """a cos x - b cos 2x dips at its crest by a^2/8b + 2b - a, a share 1 - a / (a^2/8b + 2b) of the
        mean of its falls; low waters lifted a little more than the dip swap with the crests beside it."""
        half = 1.0 / (8.0 * overtide) + 2.0 * overtide
        assert 1.0 - 1.0 / half == pytest.approx(share, abs=0.005)
        rows = HarmonicConstants((find("S2"), find("S4")), np.array([1.0, overtide]), np.array([0.0, 180.0]))
        station = Station("s", "S", 0.0, 0.0, "MSL", 0.0, rows)
        near = secondary(station, low=HeightDifference(offset=half - 1.0 + 0.01))
        problem = difference_problem(near, self.START, self.START + 30 * 86400.0)
        assert (problem is None) == fits

    def test_a_low_water_lifted_above_the_high(self, reference):
        near = secondary(reference("8638610"), low=HeightDifference(offset=2.0))
        problem = difference_problem(near, self.START, self.END)
        assert problem is not None
        assert "high water" in problem or "low water" in problem
        assert "above" in problem or "below" in problem
