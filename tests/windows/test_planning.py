"""Windows, sessions and ranking over made-up water, where every answer can be worked out by hand."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.windows.conftest import MadeFlow, MadeSky, at, conditions_of, edges
from windows.conditions.intervals import Intervals
from windows.conditions.scoring import MoonTimes
from windows.forecast.planning import STEP, LightLabel, find_session, find_windows, label_of, ranked
from windows.shoreline.spots import LightPreference, Points

START = at("2026-08-15 00:00")
HOUR = 3600.0
FLOW_ALONE = {"light": LightPreference.ANY, "points": Points(95.0, 0.0, 5.0)}


def flow_of(*corners: tuple[float, float], assumed=False) -> MadeFlow:
    """Knots at hours after the start; the water comes in before and after."""
    times, knots = zip(*((START + hours * HOUR, knots) for hours, knots in corners), strict=True)
    return MadeFlow(np.array(times), np.array(knots), assumed_turn=assumed)


def block(start: float, end: float, knots: float = 0.8, **keys) -> MadeFlow:
    """Water that goes out at one speed between two hours, and comes in otherwise."""
    edge = 1e-6
    return flow_of((start - edge, -0.5), (start, knots), (end - edge, knots), (end, -0.5), **keys)


def plan(conditions, hours=30.0):
    """Windows and ranked sessions over a day, with half a day of curve on both sides."""
    curve = conditions.even(START - 12 * HOUR, STEP, int((hours + 24) * HOUR / STEP))
    windows = find_windows(conditions, curve, START, START + hours * HOUR)
    return windows, ranked([find_session(conditions, curve, window) for window in windows])


def test_a_55_minute_window_is_kept_and_not_sold_as_two_hours(still_spot):
    conditions = conditions_of(still_spot(**FLOW_ALONE), block(9.0, 9.0 + 55 / 60))
    windows, (session,) = plan(conditions)
    assert [(w.start, w.end) for w in windows] == [(START + 9 * HOUR, START + 9 * HOUR + 3300)]
    assert session.end - session.start == 2 * HOUR
    assert session.start <= windows[0].start
    assert session.end >= windows[0].end
    # 55 minutes of 95 points and 65 of none; steps of 5 minutes count their ends half.
    assert session.points.total == pytest.approx(95 * 55 / 120, abs=95 * 5 / 120)
    assert session.mean_flow == pytest.approx(55 / 120, abs=5 / 120)


@pytest.mark.parametrize("minutes, kept", [(29, False), (30, True), (31, True), (54, True)])
def test_a_window_lasts_at_least_half_an_hour(still_spot, minutes, kept):
    windows, sessions = plan(conditions_of(still_spot(**FLOW_ALONE), block(9.05, 9.05 + minutes / 60)))
    assert len(windows) == len(sessions) == kept


def test_two_hours_of_good_water_beat_a_stronger_short_burst(still_spot):
    long, short = block(9.0, 11.0, 0.39), block(9.0, 9.9, 0.8)
    _, (steady,) = plan(conditions_of(still_spot(**FLOW_ALONE), long))
    _, (burst,) = plan(conditions_of(still_spot(**FLOW_ALONE), short))
    assert [s.start for s in ranked([burst])] == [burst.start]
    assert steady.points.total > burst.points.total


@settings(max_examples=60)
@given(
    st.integers(0, 600),
    st.integers(30, 300),
    st.sampled_from((30, 60, 90, 120, 240, 720)),
    st.booleans(),
)
def test_every_window_gets_a_session_whatever_its_length(still_spot_text, begin, length, minutes, assumed):
    spot = still_spot_text(session=minutes * 60.0, **FLOW_ALONE)
    flow = block(begin / 60, (begin + length) / 60, assumed=assumed)
    windows, sessions = plan(conditions_of(spot, flow))
    assert len(windows) == len(sessions) == 1
    (window,), (session,) = windows, sessions
    rounding = 300 if assumed else 0
    assert window.start == pytest.approx(START + begin * 60, abs=rounding)
    assert window.end == pytest.approx(START + (begin + length) * 60, abs=rounding)
    assert session.end - session.start == minutes * 60
    overlap = min(session.end, window.end) - max(session.start, window.start)
    # Sessions begin on the 5-minute grid (10 where the turn is assumed), which may cost a step of window.
    assert overlap >= min(1800, window.end - window.start) - 2 * (600 if assumed else 300)
    if assumed:
        assert window.start % 600 == window.end % 600 == session.start % 600 == 0


@pytest.fixture(scope="module")
def still_spot_text(tmp_path_factory):
    """As `still_spot`, but one for all examples."""
    from tests.windows.conftest import one_spot
    from windows.shoreline.shore import read_shore
    from windows.shoreline.spots import Preferences, Spot

    path = tmp_path_factory.mktemp("still") / "shore.toml"
    path.write_text(one_spot([("M2", 0.0, 0.0)]), encoding="utf-8")
    only = read_shore(path).spots[0]
    return lambda **changes: Spot(only.id, only.name, 45.0, 0.0, only.station, 0.0, Preferences(**changes))


def test_the_session_is_the_best_stretch_by_an_exhaustive_search(still_spot):
    flow = flow_of((7, -0.5), (8, 0.2), (9, 0.3), (10, 0.8), (12, 0.35), (14, 0.3), (15, -0.5))
    sky = MadeSky((START, START + 24 * HOUR), (-60.0, 60.0))
    conditions = conditions_of(still_spot(), flow, sky)
    curve = conditions.even(START - 12 * HOUR, STEP, 600)
    (window,) = find_windows(conditions, curve, START, START + 24 * HOUR)
    session = find_session(conditions, curve, window)
    best = max(
        (
            sum(curve.total[i : i + 24]) / 24 + (curve.total[i + 24] - curve.total[i]) / 48
            for i in range(len(curve.t) - 25)
            if min(curve.t[i + 24], window.end) - max(curve.t[i], window.start) >= 1800
        ),
    )
    assert session.points.total == pytest.approx(best, abs=1e-9)


def test_equal_points_go_to_more_flow_then_to_the_earlier(still_spot):
    light_alone = still_spot(points=Points(0.0, 100.0, 0.0), session=3600.0)
    flow = flow_of((8, -0.5), (8.01, 0.3), (10, 0.3), (10.01, 0.39), (11.5, 0.39), (11.51, -0.5))
    _, (session,) = plan(conditions_of(light_alone, flow))
    assert session.points.total == pytest.approx(100.0)
    assert session.mean_flow > 0.9
    _, (first,) = plan(conditions_of(still_spot(**FLOW_ALONE), block(8.0, 12.0)))
    assert first.start == START + 8 * HOUR


def test_sessions_that_outlast_their_hours_begin_with_them(still_spot):
    hours = Intervals.merged([(START + 18 * HOUR, START + 18 * HOUR + 3300)])
    conditions = conditions_of(still_spot(**FLOW_ALONE), block(15.0, 22.0), hours=hours)
    (window,), (session,) = plan(conditions)
    assert (window.start, window.end) == (START + 18 * HOUR, START + 18 * HOUR + 3300)
    assert edges(window) == ("your hours begin", "your hours end")
    assert session.start == window.start
    assert session.points.total == pytest.approx(95 * 52.5 / 120)


@pytest.mark.parametrize("minute, shown", [(4, 0), (5, 10), (6, 10), (14, 10), (15, 20)])
def test_an_assumed_turn_is_rounded_to_the_nearest_ten_minutes(still_spot, minute, shown):
    flow = block(9 + minute / 60, 12 + minute / 60, assumed=True)
    (window,), _ = plan(conditions_of(still_spot(**FLOW_ALONE), flow))
    assert window.start == START + 9 * HOUR + shown * 60
    assert window.end == START + 12 * HOUR + shown * 60


def test_nothing_begins_in_the_past(still_spot):
    now = START + 10 * HOUR + 7 * 60
    conditions = conditions_of(still_spot(**FLOW_ALONE), block(9.0, 11.0), past=(START, now))
    (window,), (session,) = plan(conditions)
    assert window.start == now
    assert edges(window)[0] == "from now on"
    assert session.start >= now


@pytest.mark.parametrize("gap_hours, left", [(0.5, 1), (3.0, 2)])
def test_of_overlapping_sessions_only_the_better_stays(still_spot, gap_hours, left):
    again = 9.0 + gap_hours
    flow = flow_of(
        (7.99, -0.5), (8, 0.8), (8.99, 0.8), (9, -0.5), (again - 0.01, -0.5), (again, 0.4), (again + 1, 0.4),
        (again + 1.01, -0.5),
    )  # fmt: skip
    windows, sessions = plan(conditions_of(still_spot(**FLOW_ALONE), flow))
    assert len(windows) == 2
    assert len(sessions) == left
    keys = [session.rank_key for session in sessions]
    assert keys == sorted(keys)


@pytest.mark.parametrize(
    "light, altitudes, flow, opens, closes",
    [
        ("any", (0, 0), ((8, -0.5), (8.5, 0.2), (9, 0.6), (10, 0.6), (11, 0.2), (11.5, -0.5)),
         "the flow has built", "the flow eases off"),
        ("any", (0, 0), ((8, 2.5), (9, 2.5), (10, 0.8), (11, 0.8), (12, 3), (13, 3)),
         "the current eases enough", "the current grows too strong"),
        ("day", (-60, 60), ((2, -0.5), (4, 0.35), (20, 0.35), (22, -0.5)),
         "the light turns right", "the flow eases off"),
        ("night", (-60, 60), ((2, -0.5), (4, 0.35), (20, 0.35), (22, -0.5)),
         "the flow has built", "the light is no longer right"),
    ],
)  # fmt: skip
def test_each_edge_says_what_makes_it(still_spot, light, altitudes, flow, opens, closes):
    spot = still_spot(light=LightPreference(light), keep=70.0)
    sky = MadeSky((START, START + 24 * HOUR), altitudes)
    (window,), _ = plan(conditions_of(spot, flow_of(*flow), sky))
    assert edges(window) == (opens, closes)


def test_a_solunar_step_that_makes_an_edge_is_named(still_spot):
    spot = still_spot(light=LightPreference.ANY, keep=96.0)
    moon = MoonTimes(np.array([START + 10 * HOUR]), np.empty(0))
    flow = flow_of((4, -0.5), (6, 0.4), (8, 0.41), (12, 0.8), (14, 0.5), (16, -0.5))
    (window,), _ = plan(conditions_of(spot, flow, moon=moon))
    assert (window.start, window.end) == (START + 9 * HOUR, START + 11 * HOUR)
    assert edges(window) == ("a solunar period begins", "a solunar period ends")


def test_light_alone_makes_no_window(still_spot):
    spot = still_spot(points=Points(5.0, 95.0, 0.0))
    weak = 0.1 + 0.3 * 0.49
    assert plan(conditions_of(spot, block(8.0, 12.0, weak)))[0] == []
    assert len(plan(conditions_of(spot, block(8.0, 12.0, 0.1 + 0.3 * 0.51)))[0]) == 1


@pytest.mark.parametrize(
    "altitude, label",
    [
        (-7, LightLabel.DARK),
        (-6, LightLabel.LOW),
        (0, LightLabel.LOW),
        (6, LightLabel.LOW),
        (7, LightLabel.DAY),
    ],
)
def test_labels(altitude, label):
    assert label_of(altitude) is label


@pytest.mark.parametrize("shift", [-1800.0, 1800.0])
def test_early_and_late_equal_a_forecast_with_the_water_shifted(still_spot, shift):
    corners = ((7, -0.5), (8.3, 0.2), (9.1, 0.5), (10.4, 0.8), (11.2, 0.1), (12, -0.5))
    sky = MadeSky((START, START + 24 * HOUR), (-60.0, 60.0))
    moon = MoonTimes(np.array([START + 9.4 * HOUR]), np.array([START + 10.5 * HOUR]))
    hours = Intervals.merged([(START + 8.5 * HOUR, START + 11 * HOUR)])
    spot = still_spot()
    _, (session,) = plan(conditions_of(spot, flow_of(*corners), sky, moon, hours))
    moved = flow_of(*((hour + shift / HOUR, knots) for hour, knots in corners))
    curve = conditions_of(spot, moved, sky, moon, hours).even(session.start, STEP, 25)
    expected = np.trapezoid(curve.total) / 24
    assert (session.early if shift < 0 else session.late) == pytest.approx(expected, abs=1e-9)
    assert session.early != pytest.approx(session.late)
