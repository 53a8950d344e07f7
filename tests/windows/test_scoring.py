"""The score curve: corners of the factors, gates, shares, and that no factor works backwards."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from harmonics.arrays import Array
from harmonics.records.observed import Departure
from harmonics.records.quantities import Quantity
from harmonics.records.weather import Weather
from tests.windows.conftest import KNOT, MadeFlow, MadeSky, at, conditions_of, one_spot
from windows.astronomy import Body, Sky
from windows.conditions.cases import later, quantiles
from windows.conditions.chop import chop_of
from windows.conditions.clock_gates import OutsideHours
from windows.conditions.intervals import Intervals
from windows.conditions.scoring import MoonTimes, ScoreCurve, light_factor
from windows.shoreline.exposure import Exposure
from windows.shoreline.gates import (
    GreatestChop,
    GreatestDepth,
    GreatestLevel,
    GreatestSpeed,
    GreatestWind,
    LeastDepth,
    LeastLevel,
    SunDown,
    ThunderFrom,
)
from windows.shoreline.spots import LightPreference, Points, WantedWater

START = at("2026-08-15 00:00")
DAY = np.arange(0, 86400, 300.0) + START


def steady(knots: float) -> MadeFlow:
    return MadeFlow(np.array([START, START + 86400]), np.array([knots, knots]))


@pytest.mark.parametrize(
    "preference, altitude, factor",
    [
        # Corners of the design, and half-way along each of its straight lines.
        ("low", -90, 0.3), ("low", -12, 0.3), ("low", -9, 0.65), ("low", -6, 1), ("low", 0, 1),
        ("low", 6, 1), ("low", 13, 0.575), ("low", 20, 0.15), ("low", 80, 0.15),
        ("day", -40, 0.15), ("day", -6, 0.15), ("day", 0, 0.575), ("day", 6, 1), ("day", 60, 1),
        ("night", -40, 1), ("night", -12, 1), ("night", -3, 0.575), ("night", 6, 0.15), ("night", 50, 0.15),
        ("any", -40, 0), ("any", 0, 0), ("any", 50, 0),
    ],
)  # fmt: skip
def test_light_factors_at_the_corners(preference, altitude, factor):
    assert light_factor(np.array([altitude]), LightPreference(preference))[0] == pytest.approx(factor)


@pytest.mark.parametrize(
    "knots, factor",
    [(-1, 0), (0, 0), (0.1, 0), (0.25, 0.5), (0.4, 1), (0.8, 1), (1.2, 1), (1.6, 0.5), (2, 0), (3, 0)],
)
def test_speed_factors_at_the_corners(still_spot, knots, factor):
    curve = conditions_of(still_spot(), steady(knots)).at(DAY[:3])
    assert curve.flow_factor == pytest.approx(factor)
    assert curve.points[0] == pytest.approx(60 * factor)


@pytest.mark.parametrize("light", list(LightPreference))
@pytest.mark.parametrize("altitude", [-12.0, -6.0, 6.0, 20.0])
def test_shares_are_the_points_of_each_factor(still_spot, light, altitude):
    spot = still_spot(light=light)
    curve = conditions_of(spot, steady(0.25), MadeSky(degrees=(altitude, altitude))).at(DAY)
    factor = light_factor(np.array([altitude]), light)[0]
    flow, light_points = (95 * 0.5, 0) if light is LightPreference.ANY else (60 * 0.5, 35 * factor)
    assert curve.points[0] == pytest.approx(flow)
    assert curve.points[1] == pytest.approx(light_points)
    assert curve.points[2] == pytest.approx(0)
    assert curve.total == pytest.approx(curve.points.sum(axis=0))


def test_points_can_be_shared_otherwise(still_spot):
    curve = conditions_of(still_spot(points=Points(100.0, 0.0, 0.0)), steady(0.25)).at(DAY)
    assert curve.total == pytest.approx(50.0)
    curve = conditions_of(still_spot(points=Points(20.0, 70.0, 10.0)), steady(0.8)).at(DAY)
    assert curve.total == pytest.approx(90.0)  # the sun on the horizon, no moon


def direct_moon_factor(transits, horizons, t: float) -> float:
    """Solunar periods (J. A. Knight 1926, from memory): majors 2 h and minors 1 h, centred."""
    best = 0.0
    for event in horizons:
        if -1800 <= t - event < 1800:
            best = 0.6
    for event in transits:
        if -3600 <= t - event < 3600:
            best = 1.0
    return best


def test_solunar_periods_of_a_real_month_are_centred_and_the_larger_wins():
    sky = Sky(START, START + 30 * 86400)
    rises, sets = sky.rises_and_sets(Body.MOON, 58.0, 5.0)[0]
    uppers, lowers = sky.transits(Body.MOON, 5.0)[0]
    moon = MoonTimes(np.sort(np.concatenate((uppers, lowers))), np.sort(np.concatenate((rises, sets))))
    t = np.arange(START, START + 30 * 86400, 300.0)
    expected = [direct_moon_factor(moon.transits, moon.horizons, float(x)) for x in t]
    found = moon.factor(t)
    assert found.tolist() == expected
    assert set(np.unique(found)) == {0.0, 0.6, 1.0}
    day = len(t) / 30
    assert (found == 1.0).sum() / day * 24 / 30 == pytest.approx(2 * 2 * 24 / 24.84, abs=0.1)


def test_a_major_covers_a_minor_it_meets():
    moon = MoonTimes(np.array([1e6]), np.array([1e6 + 3600]))
    t = 1e6 + np.array([-3601, -3600, 0, 1800, 3599, 3600, 5399, 5400])
    assert moon.factor(t).tolist() == [0, 1, 1, 1, 1, 0.6, 0.6, 0]


events = hnp.arrays(float, st.integers(0, 6), elements=st.integers(0, 200_000).map(float)).map(np.sort)


@given(events, events, st.integers(-10_000, 210_000))
def test_solunar_factor_is_the_larger_of_what_is_near(transits, horizons, t):
    found = MoonTimes(transits, horizons).factor(np.array([float(t)]))[0]
    assert found == direct_moon_factor(transits, horizons, float(t))


@given(st.lists(st.tuples(st.integers(0, 100), st.integers(1, 30)), max_size=8), st.integers(-5, 140))
@example([(10, 30), (15, 5)], 30)
@example([(10, 20), (15, 25)], 35)
def test_merged_stretches_hold_what_any_of_them_holds(pairs, t):
    stretches = [(float(start), float(start + length)) for start, length in pairs]
    merged = Intervals.merged(list(stretches))
    expected = any(start <= t < end for start, end in stretches)
    assert merged.hold(np.array([float(t)]))[0] == expected
    assert (merged.starts[1:] > merged.ends[:-1]).all()


def test_the_level_of_the_curve_and_its_gates_hold_today_s_departure(shore):
    spot = shore(one_spot([("M2", 1.5, 0.0)], "least_level = 2.0")).spots[0]
    plain = conditions_of(spot, steady(0.8))
    high = replace(plain, departure=Departure(START - 3600.0, 0.4, 0.02, 0.2, 6 * 3600.0, False, 4))
    for before, after in (
        (plain.even(START, 300.0, 200), high.even(START, 300.0, 200)),
        (plain.at(DAY), high.at(DAY)),
    ):
        fading = 0.4 * np.exp(-(after.t - START + 3600.0) / (6 * 3600.0))
        assert after.departure == pytest.approx(fading)
        assert after.level == pytest.approx(before.level + fading)
        assert (after.shut[LeastLevel(2.0)] == (before.level + fading < 2.0)).all()
        assert (after.outgoing == before.outgoing).all()


@pytest.mark.parametrize(
    "keys, gate, outside, inside",
    [
        ("least_level = 2.0", LeastLevel(2.0), 1.999, 2.001),
        ("greatest_level = 2.0", GreatestLevel(2.0), 2.001, 1.999),
        ("depth_at_datum = 1.0\nleast_depth = 3.0", LeastDepth(3.0), 1.999, 2.001),
        ("depth_at_datum = 1.0\ngreatest_depth = 3.0", GreatestDepth(3.0), 2.001, 1.999),
    ],
)
def test_level_gates_shut_on_their_side(shore, keys, gate, outside, inside):
    spot = shore(one_spot([("M2", 1.5, 0.0)], keys)).spots[0]
    curve = conditions_of(spot, steady(0.8)).even(START, 60.0, 1440)
    shut = curve.shut[gate]
    for level, expected in ((outside, True), (inside, False)):
        near = np.abs(curve.level - level).argmin()
        assert abs(curve.level[near] - level) < 0.02
        beyond = curve.level > level if (outside > inside) == expected else curve.level < level
        assert (shut[beyond] == expected).all()
    assert (curve.total[shut] == 0).all()
    assert (curve.total[~shut] > 0).all()


def test_the_other_gates(still_spot):
    sky = MadeSky((START, START + 86400), (-3.0, 3.0))
    dark = conditions_of(still_spot(gates=(SunDown(),)), steady(0.8), sky).at(DAY)
    assert ((dark.total > 0) == (dark.sun_altitude >= -50 / 60)).all()
    fast = MadeFlow(np.array([START, START + 86400]), np.array([0.5, 1.5]))
    limited = conditions_of(still_spot(gates=(GreatestSpeed(1.0 * KNOT),)), fast).at(DAY)
    assert ((limited.total > 0) == (limited.outgoing <= 1.0 * KNOT)).all()
    hours = Intervals.merged([(START + 3600, START + 7200)])
    some = conditions_of(still_spot(), steady(0.8), hours=hours).at(DAY)
    assert DAY[some.total > 0].min() == START + 3600
    assert DAY[some.total > 0].max() == START + 7200 - 300
    past = conditions_of(still_spot(), steady(0.8), past=(START, START + 40_000)).at(DAY)
    assert ((past.total > 0) == (START + 40_000 <= DAY)).all()


def made_curve(outgoing: Array, shares: Array, opened: Array) -> ScoreCurve:
    t = START + 300.0 * np.arange(len(outgoing))
    flat = np.zeros(len(outgoing))
    shut = {OutsideHours(Intervals(t[:0], t[:0])): ~opened}
    return ScoreCurve(t, flat, flat, outgoing, outgoing, flat, flat, shares, shut)


columns = st.integers(1, 20).flatmap(
    lambda n: st.tuples(
        hnp.arrays(float, n, elements=st.floats(-1, 1)),
        hnp.arrays(float, (3, n), elements=st.floats(0, 60)),
        hnp.arrays(bool, n),
    )
)


@given(columns, st.integers(0, 2), st.floats(0, 40))
def test_raising_one_factor_never_lowers_points(made, which, more):
    outgoing, shares, opened = made
    raised = shares.copy()
    raised[which] += more
    before = made_curve(outgoing, shares, opened)
    after = made_curve(outgoing, raised, opened)
    assert (after.total >= before.total).all()
    assert (after.points >= before.points).all()


@given(columns)
def test_no_points_while_water_comes_in_or_a_gate_is_shut(made):
    outgoing, shares, opened = made
    curve = made_curve(outgoing, shares, opened)
    assert (curve.total[(outgoing <= 0) | ~opened] == 0).all()
    kept = (outgoing > 0) & opened
    assert curve.total[kept] == pytest.approx(shares.sum(axis=0)[kept])


@pytest.mark.parametrize(
    ("water", "sign"), [(WantedWater.OUTGOING, 1.0), (WantedWater.INCOMING, -1.0), (WantedWater.MOVING, None)]
)
def test_points_count_for_the_water_that_is_wanted(still_spot, water, sign):
    flow = MadeFlow(np.array([START, START + 86400]), np.array([-1.0, 1.0]))
    curve = conditions_of(still_spot(water=water), flow).at(DAY)
    going = np.abs(curve.outgoing) if sign is None else sign * curve.outgoing
    assert curve.going == pytest.approx(going)
    assert ((curve.total > 0) == (going > 0)).all()
    assert (curve.flow_factor[going <= 0] == 0).all()


@given(hnp.arrays(float, 30, elements=st.floats(-2, 2)), st.floats(-12, 12))
def test_later_water_is_straight_between_steps_and_stays_beyond_the_ends(values, steps):
    place = np.clip(np.arange(30) - steps, 0, 29)
    assert later(values, steps) == pytest.approx(np.interp(place, np.arange(30), values), abs=1e-9)


def test_a_case_is_scored_as_that_water_would_be(still_spot):
    sky = MadeSky((START, START + 86400), (-60.0, 60.0))
    spot = still_spot(gates=(GreatestSpeed(0.9 * KNOT),))
    flow = MadeFlow(np.array([START, START + 86400]), np.array([-1.0, 1.0]))
    other = MadeFlow(np.array([START, START + 86400]), np.array([1.2, -0.2]))
    conditions = conditions_of(spot, flow, sky)
    curve, wanted = conditions.at(DAY), conditions_of(spot, other, sky).at(DAY)
    points, worth, _ = conditions.in_case(curve, wanted.level, wanted.outgoing)
    assert points == pytest.approx(wanted.points)
    assert worth == pytest.approx(np.where(wanted.open, wanted.flow_factor, 0.0))
    assert 0.0 < worth.max()
    assert worth[wanted.going > 0.9 * KNOT].max() == 0.0


def test_cases_are_the_middles_of_equal_shares():
    found = quantiles(20)
    assert found == pytest.approx(-found[::-1])
    assert found[-1] == pytest.approx(1.959964, abs=1e-6)  # 97.5 % of the normal distribution
    assert found.std() == pytest.approx(0.97, abs=0.02)


def test_weather_shuts_what_it_is_too_rough_for(still_spot):
    """Wind and thunder as the file says; the upper end of the chop, which grows with the wind."""
    hours = START + 3600.0 * np.arange(25)
    wind, thunder = np.linspace(2.0, 14.0, 25), np.linspace(0.0, 0.96, 25)
    told = {Quantity.WIND_SPEED: wind, Quantity.WIND_FROM: np.zeros(25), Quantity.THUNDER: thunder}
    limits = GreatestWind(8.0), GreatestChop(0.3), ThunderFrom(0.5)
    spot = replace(still_spot(), exposed=(Exposure(0.0, 360.0, 5000.0, 2.0),), limits=limits)
    curve = replace(conditions_of(spot, steady(0.8)), weather=Weather("w.csv", hours, told)).at(hours)
    high = chop_of(spot.exposed, wind, np.zeros(25)).high
    assert (curve.shut[limits[0]] == (wind > 8.0)).all()
    assert (curve.shut[limits[1]] == (high > 0.3)).all()
    assert 3 < curve.shut[limits[1]].sum() < 22
    assert (curve.shut[limits[2]] == (thunder >= 0.5)).all()
    unknown = conditions_of(spot, steady(0.8)).at(hours)
    assert unknown.open.all()
    assert all(unknown.shut[gate].dtype == bool and not unknown.shut[gate].any() for gate in limits)
