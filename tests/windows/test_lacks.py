"""Why a day has no window: each reason where it is true, and only there."""

from datetime import date

import ephem
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.windows.conftest import LONG_AGO, at, one_spot
from tests.windows.strategies import places, rows, spot_keys
from windows.conditions.clock_gates import OutsideHours, Past
from windows.conditions.outlook import Outlook
from windows.forecast.edges import LEAST_FLOW_FACTOR
from windows.forecast.making import make_forecast
from windows.forecast.reports import Lack
from windows.shoreline.gates import GreatestDepth, GreatestLevel, GreatestSpeed, LeastDepth, LeastLevel
from windows.shoreline.shore import read_shore

DIURNAL = [("K1", 0.2, 30.0), ("O1", 0.2, 60.0)]
SEMIDIURNAL = [("M2", 1.2, 100.0), ("S2", 0.3, 140.0)]
FIRST = date(2026, 8, 10)  # a Monday


def lacks(made):
    return [day.no_window for day in made.spots[0].days]


@pytest.mark.parametrize(
    "keys, lack, gate",
    [
        ("least_level = 5", Lack.SHUT, LeastLevel),
        ("greatest_level = -1", Lack.SHUT, GreatestLevel),
        ("depth_at_datum = 1\nleast_depth = 6", Lack.SHUT, LeastDepth),
        ("depth_at_datum = 9\ngreatest_depth = 9", Lack.SHUT, GreatestDepth),
        (
            "flow = { strong_ebb = 1.0 }\nspeeds = { nothing_below = 0 }\ngreatest_speed = 0.01",
            Lack.SHUT,
            GreatestSpeed,
        ),
        ("keep = 100\npoints = { flow = 50, light = 30, moon = 20 }", Lack.FAINT, None),
        ("flow = { strong_ebb = 0.1 }", Lack.STILL, None),
        ('days = ["sun"]', Lack.DAY_OFF, OutsideHours),
    ],
)
def test_reasons_of_a_day_that_the_rules_shut(forecast, keys, lack, gate):
    days = lacks(forecast(one_spot(SEMIDIURNAL, keys), FIRST, days=5))
    assert {(item.lack, item.gate) for item in days} == {(lack, gate)}


def test_good_water_outside_ones_hours(forecast):
    made = forecast(one_spot(SEMIDIURNAL, 'light = "any"\nslack_lag = 0'), FIRST, days=1)
    first, second = (item.session.window for item in made.spots[0].days[0].sessions)
    between = at("2026-08-10 00:00") + 60 * round(((first.end + second.start) / 2 - at("2026-08-10")) / 60)
    ends = [(int(between - at("2026-08-10")) // 60 + shift) for shift in (-60, 60)]
    hours = "-".join(f"{minutes // 60}:{minutes % 60:02}" for minutes in ends)
    (shut,) = lacks(forecast(one_spot(SEMIDIURNAL, f'light = "any"\nhours = "{hours}"'), FIRST, days=1))
    assert (shut.lack, shut.gate) == (Lack.SHUT, OutsideHours)


def test_weekdays_off_are_days_off_and_the_others_rank(forecast):
    made = forecast(one_spot(SEMIDIURNAL, 'days = ["sat", "sun"]\nlight = "any"'), FIRST)
    for day in made.spots[0].days:
        if day.day.weekday() >= 5:
            assert day.sessions
        else:
            assert day.no_window.lack is Lack.DAY_OFF


def test_a_day_that_is_over_says_that_it_is_past(forecast):
    now = at("2026-08-12 23:55")
    made = forecast(one_spot(SEMIDIURNAL, 'light = "any"'), FIRST, now=now)
    over = made.spots[0].days[2]
    assert not over.sessions
    assert (over.no_window.lack, over.no_window.gate) == (Lack.SHUT, Past)
    assert all(day.sessions for day in (*made.spots[0].days[:2], *made.spots[0].days[3:]))


@pytest.mark.parametrize("amplitude", [0.0, 0.001, 0.01])
def test_a_tide_that_vanishes_ranks_nothing(forecast, amplitude):
    made = forecast(one_spot([("M2", amplitude, 10.0), ("K1", amplitude, 50.0)], 'light = "any"'), FIRST)
    assert not made.ranking
    for item in lacks(made):
        assert item.lack in {Lack.STILL, Lack.INCOMING}
        assert item.strongest < 0.015 / 3600
        assert item.crossing is None or amplitude > 0


def test_a_diurnal_coast_names_the_crossing_and_a_semidiurnal_one_does_not(forecast):
    days = lacks(forecast(one_spot(DIURNAL, 'light = "any"'), date(2026, 1, 1), days=60))
    still = [item for item in days if item is not None and item.lack is Lack.STILL]
    assert still
    assert all(item.crossing is not None for item in still)
    shut = forecast(one_spot(SEMIDIURNAL, "flow = { strong_ebb = 0.1 }"), date(2026, 1, 1), days=60)
    assert all(item.crossing is None for item in lacks(shut) if item is not None)


def test_a_crossing_is_named_within_three_days_and_a_half(forecast):
    keys = 'light = "any"\nflow = { strong_ebb = 0.05 }'  # too weak on every day
    made = forecast(one_spot(DIURNAL, keys), date(2026, 1, 1), days=40)
    t = at("2025-12-20") + 600.0 * np.arange(70 * 144)
    south = np.array([moon_declination(x) < 0 for x in t])
    crossings = t[1:][south[1:] != south[:-1]]
    named = 0
    for day in made.spots[0].days:
        assert day.no_window.lack in {Lack.STILL, Lack.INCOMING}
        middle = (day.start + day.end) / 2
        nearest = crossings[np.abs(crossings - middle).argmin()]
        if abs(nearest - middle) <= 3.5 * 86400.0:
            assert day.no_window.crossing == pytest.approx(nearest, abs=900.0)
            named += 1
        else:
            assert day.no_window.crossing is None
    assert 15 <= named <= 25  # seven days of every 13.66


def moon_declination(t):
    """Apparent geocentric, radians, by an independent library."""
    return float(ephem.Moon(ephem.Date("1970/1/1") + t / 86400.0).g_dec)


def test_a_day_that_a_window_only_touches_says_so(forecast):
    keys = 'light = "night"\nslack_lag = 0\nkeep = 70'
    made = forecast(one_spot(DIURNAL, keys), date(2026, 1, 1), days=90)
    days = made.spots[0].days
    tails = [day for day in days if day.no_window and day.no_window.lack in {Lack.TAIL, Lack.OVERLAP}]
    windows = {item.session.window for day in days for item in day.sessions}
    for day in tails:
        inside = [min(w.end, day.end) - max(w.start, day.start) for w in windows]
        touching = max(inside)
        assert touching > 0
        assert (day.no_window.lack is Lack.OVERLAP) == (touching >= 1800)


@settings(max_examples=30)
@given(rows, places(), spot_keys, st.dates(date(2000, 1, 1), date(2040, 1, 1)))
def test_every_day_has_a_window_or_a_true_reason(folder, coast, place, keys, first):
    path = folder / "shore.toml"
    path.write_text(one_spot(coast, keys, **place), encoding="utf-8")
    shore = read_shore(path)
    (spot,) = make_forecast(shore, shore.spots, first, 5, Outlook(LONG_AGO)).spots
    curve, keep = spot.curve, spot.spot.preferences.keep
    for day in spot.days:
        assert bool(day.sessions) != (day.no_window is not None)
        if day.sessions:
            continue
        lack = day.no_window
        inside = (curve.t >= day.start) & (curve.t < day.end)
        going = inside & (curve.outgoing > 0)
        moving = going & (curve.flow_factor >= LEAST_FLOW_FACTOR)
        worth = moving & curve.open & (curve.total >= keep)
        counted = np.where(moving & curve.open, curve.total, 0.0) if lack.lack is Lack.FAINT else curve.total
        assert lack.best_points == pytest.approx(counted[inside].max())
        assert lack.strongest == pytest.approx(max(0.0, curve.outgoing[inside].max()))
        if lack.lack is Lack.INCOMING:
            assert not going.any()
        elif lack.lack is Lack.STILL:
            assert going.any()
            assert not moving.any()
            assert lack.strongest <= lack.needed
        elif lack.lack in {Lack.SHUT, Lack.DAY_OFF}:
            assert moving.any()
            assert not (moving & curve.open).any()
            assert any(type(gate) is lack.gate and (shut & moving).any() for gate, shut in curve.shut.items())
            assert (lack.lack is Lack.DAY_OFF) == (day.day.weekday() not in spot.spot.preferences.days)
        elif lack.lack is Lack.FAINT:
            assert not worth.any()
            assert lack.best_points < keep
        elif lack.lack is Lack.SHORT:
            assert longest_run(worth[inside]) <= 7  # seven 5-minute steps last at least 30 minutes
        else:
            assert worth.any()


def longest_run(flags) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate(([0], flags.astype(int), [0]))))
    return int(np.diff(edges)[::2].max(initial=0))


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("lacks")
