"""Levels and rates: published levels, rules of the trade, independent libraries, and properties."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from harmonics.stations.prediction import (
    currents,
    even_currents,
    even_levels,
    even_rates,
    even_sums,
    levels,
    rates,
    sums_at,
)
from harmonics.stations.types import CurrentStation
from harmonics.sums.waves import HarmonicConstants, NodePractice, Waves, year_start, yearly_arguments
from tests.conftest import published_rows
from tests.harmonics.conftest import STATION_IDS, constants_of, published_station, station_of, utc
from tests.harmonics.strategies import TIDELESS_SUM, instants, stations

DAY = 86400.0
PUBLISHED_LEVELS = (
    ("noaa_hourly_8443970_2026-08.csv", "8443970", 168),
    ("noaa_hourly_8729840_2031-08.csv", "8729840", 168),
    ("noaa_6min_1612340_2023-08-30.csv", "1612340", 480),
)


@pytest.mark.parametrize(("name", "station_id", "count"), PUBLISHED_LEVELS)
def test_published_levels(name, station_id, count):
    """NOAA CO-OPS hourly and 6-minute predictions (source in each file), printed to 1 mm: within 1 mm."""
    rows = published_rows(name)
    assert len(rows) == count
    t = np.array([utc(row["time_utc"]) for row in rows])
    published = [float(row["height_m"]) for row in rows]
    assert_allclose(levels(published_station(station_id), t), published, rtol=0, atol=1e-3)
    even = even_levels(published_station(station_id), t[0], t[1] - t[0], count)
    assert_allclose(even, published, rtol=0, atol=1e-3)


def between(low: float, high: float) -> Waves:
    """One cosine from a low water at the first time to the high water at the second, amplitude 1."""
    return Waves(low, high, low, np.array([1.0]), np.array([np.pi]), np.array([np.pi / (high - low)]))


def test_height_between_low_and_high_water_of_a_published_worked_example():
    """Canadian Tide and Current Tables, worked example for Montague Harbour: low water 0327 2.2 ft, high
    water 1141 11.4 ft, height at 0700 read from the table as 5.8 ft."""
    waves = between(3 * 60 + 27, 11 * 60 + 41)
    height = 6.8 + 4.6 * waves.at(np.array([7 * 60.0]))[0]
    assert height == pytest.approx(5.8, abs=0.05)


@pytest.mark.parametrize("name", ["S2", "M2"])
def test_a_single_constituent_follows_the_cosine_table(name):
    """Height between turns h1 + (h2 - h1)(1 - cos(pi t / D)) / 2, the "Table 3" of tide tables."""
    station = station_of([(name, 0.8, 77.0)], mean_level=1.1)
    (factor,), (argument,) = yearly_arguments(station.constants.constituents, 2026)
    speed = station.constants.constituents[0].speed
    low = year_start(2026) + np.mod(180 + 77.0 - np.degrees(argument), 360) / speed * 3600
    duration = 180 / speed * 3600
    share = np.linspace(0, 1, 61)
    height = levels(station, low + 10 * duration + share * duration)
    h1, h2 = 1.1 - 0.8 * factor, 1.1 + 0.8 * factor
    assert_allclose(height, h1 + (h2 - h1) * (1 - np.cos(np.pi * share)) / 2, rtol=0, atol=1e-9)


def test_the_rule_of_twelfths_holds_for_a_semidiurnal_tide():
    """1-2-3-3-2-1 twelfths in six equal parts of the rise (common practice), within 1.7 % of the range."""
    station = station_of([("S2", 1.5, 0.0)])
    low = year_start(2026) + 6 * 3600.0
    rise = levels(station, low + 3600.0 * np.arange(7)) - levels(station, low)
    rule = np.cumsum([0, 1, 2, 3, 3, 2, 1]) / 12
    assert rise[6] == pytest.approx(3.0, abs=1e-9)
    assert 0.016 < np.abs(rise / rise[6] - rule).max() < 0.017


def test_the_50_90_rule_for_the_speed_of_the_current():
    """0-50-90-100-90-50-0 % by hour (common practice); the sine gives 86.6 where the rule says 90."""
    station = station_of([("S2", 1.5, 0.0)])
    rate = rates(station, year_start(2026) + 6 * 3600.0 + 3600.0 * np.arange(7))
    assert_allclose(rate / rate.max(), np.array([0, 50, 90, 100, 90, 50, 0]) / 100, atol=0.035)


LIBRARY_NAMES = {"LAMBDA2": "lambda2", "RHO1": "rho1"}


def chosen(station_id: str, without: set[str]) -> HarmonicConstants:
    constants = published_station(station_id).constants
    return constants.keep(np.array([row.name not in without for row in constants.constituents]))


@pytest.mark.parametrize("year", [1975, 2001, 2026])
@pytest.mark.parametrize("station_id", STATION_IDS)
def test_levels_agree_with_pytmd(station_id, year):
    """pyTMD's Schureman mode with factors along the series, hourly for a year: within 0.05 mm.

    M1 and M3 are left out: the library gives M1 another angle and M3 half a turn (Table 15 checks ours).
    """
    import pyTMD.constituents

    constants = chosen(station_id, {"M1", "M3"})
    t = year_start(year) + 3600.0 * np.arange(8760)
    names = [LIBRARY_NAMES.get(row.name, row.name.lower()) for row in constants.constituents]
    angle, factor, argument = pyTMD.constituents.arguments(
        t / DAY + 40587, names, corrections="FES", climate_solar_perigee=True
    )
    theirs = (constants.amplitude * factor * np.cos(np.radians(argument - constants.phase_lag) + angle)).sum(
        axis=1
    )
    ours = sums_at(constants, NodePractice.CONTINUOUS, t)
    assert_allclose(ours, theirs, rtol=0, atol=5e-5)
    assert np.abs(ours).max() > 0.2


@pytest.mark.parametrize("station_id", STATION_IDS)
def test_levels_agree_with_utide(station_id):
    """UTide with Foreman's satellite factors in place of Schureman's, hourly for 2026.

    The two kinds of factor differ by some per cent in the small constituents: root mean square within 1 % of
    the sum of amplitudes, greatest difference within 2.5 %. SA and S1 are left out, UTide refers both to the
    sun's perigee; M1 too, which it has under another factor; 2MK3, which it lacks.
    """
    import utide

    constants = chosen(station_id, {"SA", "S1", "M1", "2MK3"})
    names = [{"LAMBDA2": "LDA2"}.get(row.name, row.name) for row in constants.constituents]
    t = year_start(2026) + 3600.0 * np.arange(8760)
    ours = sums_at(constants, NodePractice.CONTINUOUS, t)
    days = t / DAY + 719163
    fit = utide.solve(  # only for the frame of its result: the constants are replaced below
        days[::6],
        ours[::6],
        lat=published_station(station_id).latitude,
        epoch="python",
        constit=names,
        trend=False,
        conf_int="none",
        verbose=False,
    )
    place = {name: i for i, name in enumerate(fit["name"])}
    order = [place[name] for name in names]
    fit["A"][order], fit["g"][order], fit["mean"] = constants.amplitude, constants.phase_lag, 0.0
    theirs = utide.reconstruct(days, fit, epoch="python", verbose=False, min_SNR=0).h
    total = constants.amplitude.sum()
    assert np.sqrt(np.mean((ours - theirs) ** 2)) < 0.010 * total
    assert np.abs(ours - theirs).max() < 0.025 * total


def test_node_practices_differ_by_centimetres_on_a_three_metre_tide():
    """Boston over 2020-2030: the difference belongs to the choice of practice; 45 mm at most."""
    t = year_start(2020) + 3600.0 * np.arange(24 * 3653)
    yearly, continuous = (levels(published_station("8443970", practice), t) for practice in NodePractice)
    assert 0.02 < np.abs(yearly - continuous).max() < 0.05


@given(station=stations(), year=st.integers(1850, 2099), day=st.integers(0, 360))
def test_levels_stay_within_the_sum_of_factors_and_amplitudes(station, year, day):
    factor, _ = yearly_arguments(station.constants.constituents, year)
    # along the series M1's and L2's factors drift by up to a fifth within half a year
    slack = 1.0 if station.practice is NodePractice.YEARLY else 1.2
    height = levels(station, year_start(year) + day * DAY + 3600.0 * np.arange(50))
    bound = slack * np.sum(factor * station.constants.amplitude)
    assert np.abs(height - station.mean_level).max() <= bound + 1e-12


@given(station=stations(), year=st.integers(1850, 2099), second=st.integers(3600, 364 * 86400))
def test_the_rate_is_the_slope_of_the_level_within_a_year(station, year, second):
    t = year_start(year) + second
    step = 8.0
    slope = (levels(station, t + step) - levels(station, t - step)) / (2 * step)
    assert rates(station, t) == pytest.approx(slope, rel=1e-5, abs=2e-9)


@given(
    station=stations(),
    start=instants,
    step=st.sampled_from([60.0, 360.0, 600.0, 3600.0, 5400.0, 86400.0]),
    count=st.integers(0, 500),
)
def test_even_steps_equal_levels_at_the_same_times(station, start, step, count):
    t = start + step * np.arange(count)
    assert_allclose(even_levels(station, start, step, count), levels(station, t), rtol=0, atol=1e-9)
    assert_allclose(even_rates(station, start, step, count), rates(station, t), rtol=0, atol=1e-12)


@pytest.mark.parametrize("practice", NodePractice)
@pytest.mark.parametrize("step", [360.0, 3600.0, 7200.0, 43210.0, 40 * DAY, 400 * DAY])
def test_even_steps_across_new_years(practice, step):
    station = published_station("9447130", practice)
    for start in (utc("2023-12-30 23:00"), utc("1899-12-31 23:59"), year_start(2024)):
        t = start + step * np.arange(1200)[: int(100 * 365 * DAY / step)]
        assert_allclose(even_levels(station, start, step, len(t)), levels(station, t), rtol=0, atol=1e-9)


@given(station=stations(), start=instants, seed=st.integers(0, 2**32 - 1))
def test_the_order_of_constituents_does_not_matter(station, start, seed):
    order = np.random.default_rng(seed).permutation(len(station.constants.constituents))
    shuffled = HarmonicConstants(
        tuple(station.constants.constituents[i] for i in order),
        station.constants.amplitude[order],
        station.constants.phase_lag[order],
    )
    t = start + 3600.0 * np.arange(30)
    assert_allclose(
        sums_at(shuffled, station.practice, t),
        sums_at(station.constants, station.practice, t),
        rtol=0,
        atol=1e-9,
    )


@given(station=stations(), start=instants, seed=st.integers(0, 2**32 - 1))
def test_times_may_come_in_any_order(station, start, seed):
    t = start + np.random.default_rng(seed).uniform(0, 3e7, 40)
    assert_allclose(levels(station, t), [levels(station, one) for one in t], rtol=0, atol=1e-9)
    assert_allclose(levels(station, t[::-1]), levels(station, t)[::-1], rtol=0, atol=1e-12)


@given(station=stations(regimes=("tideless",)), t=instants)
def test_a_tideless_coast_keeps_its_mean_level(station, t):
    assert levels(station, t) == pytest.approx(station.mean_level, abs=1.6 * TIDELESS_SUM)


@pytest.mark.parametrize("practice", NodePractice)
@pytest.mark.parametrize("shape", [(), (0,), (1,), (7,), (2, 3), (2, 0, 3), (2, 1, 3)])
def test_shapes_follow_the_times(practice, shape):
    station = published_station("8443970", practice)
    t = utc("2026-12-31 23:00") + 1800.0 * np.arange(np.prod(shape, dtype=int)).reshape(shape)
    for function in (levels, rates):
        out = function(station, t)
        assert out.shape == shape
        assert_allclose(out.ravel(), function(station, t.ravel()), rtol=0, atol=1e-12)


def test_times_may_be_numbers_or_lists():
    station = published_station("8443970")
    t = utc("2026-08-15 00:00")
    expected = levels(station, np.array([t]))[0]
    assert levels(station, t) == expected
    assert levels(station, int(t)) == expected
    assert levels(station, [t])[0] == expected


def test_many_times_are_evaluated_in_parts_without_a_seam():
    station = published_station("1612340")
    t = utc("2026-02-01 00:00") + 60.0 * np.arange(40_000)
    assert_allclose(levels(station, t), even_levels(station, t[0], 60.0, 40_000), rtol=0, atol=1e-9)


@pytest.mark.parametrize("t", [np.nan, np.inf, -np.inf, [0.0, np.nan], [[0.0], [np.inf]]])
def test_times_that_are_not_finite_are_refused(t):
    station = published_station("8443970")
    for function in (levels, rates):
        with pytest.raises(ValueError, match="finite"):
            function(station, t)


@pytest.mark.parametrize("start", [0.0, np.nan, np.inf])
@pytest.mark.parametrize(("step", "count"), [(0.0, 5), (-60.0, 5), (np.nan, 5), (60.0, -1), (np.inf, 5)])
def test_even_steps_that_make_no_sense_are_refused(start, step, count):
    for function in (even_levels, even_rates):
        with pytest.raises(ValueError, match=r"even steps need|finite"):
            function(published_station("8443970"), start, step, count)


def test_no_steps_at_all():
    assert even_levels(published_station("8443970"), 0.0, 60.0, 0).shape == (0,)


@pytest.mark.parametrize("practice", NodePractice)
def test_no_constituents_leave_the_mean_level(practice):
    station = station_of([], practice, mean_level=0.4)
    t = year_start(2026) + np.linspace(-DAY, DAY, 7)
    assert np.all(levels(station, t) == 0.4)
    assert np.all(rates(station, t) == 0)
    assert np.all(even_levels(station, t[0], 3600.0, 48) == 0.4)


@pytest.mark.parametrize("year", [1850, 1900, 2000, 2024, 2100])
def test_leap_days_and_far_years(year):
    """The yearly sum runs through 29 February and to the last second of the year without a seam."""
    station = published_station("8443970")
    end = year_start(year + 1)
    t = np.concatenate(
        (year_start(year) + 59 * DAY + 60.0 * np.arange(-5, 5), end - 60.0 * np.arange(1, 10)[::-1])
    )
    height = levels(station, t)
    assert np.all(np.isfinite(height))
    assert np.abs(np.diff(height)[:9]).max() < 0.02
    assert np.abs(np.diff(height)[10:]).max() < 0.02


def test_currents_carry_their_mean_flow():
    constants = constants_of([("M2", 1.2, 28.5), ("K1", 0.2, 100.0)])
    station = CurrentStation("c", "C", 44.9, -67.0, 265.8, 85.8, -0.03, constants)
    t = utc("2026-12-31 12:00") + 600.0 * np.arange(200)
    total = sums_at(constants, NodePractice.YEARLY, t) - 0.03
    assert_allclose(currents(station, t), total, rtol=0, atol=1e-12)
    assert_allclose(even_currents(station, t[0], 600.0, 200), total, rtol=0, atol=1e-9)


def test_even_sums_do_not_share_memory_between_calls():
    station = published_station("8443970")
    first = even_sums(station.constants, station.practice, 0.0, 60.0, 5)
    kept = first.copy()
    first += 1.0
    assert_allclose(even_sums(station.constants, station.practice, 0.0, 60.0, 5), kept)
