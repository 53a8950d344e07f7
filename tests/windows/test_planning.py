"""Windows, sessions and ranking over made-up water, where every answer can be worked out by hand."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.windows.conftest import MadeFlow, MadeSky, at, conditions_of, edges
from windows.conditions.assembly import STEP
from windows.conditions.cases import TimeShifts
from windows.conditions.intervals import Intervals
from windows.conditions.scoring import MoonTimes
from windows.forecast.expected import Expected
from windows.forecast.planning import find_windows
from windows.forecast.sessions import find_sessions, ranked
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
    found = find_sessions(conditions, Expected(conditions, curve), windows, days_around())
    return windows, ranked(found)


def days_around():
    return START + 24 * HOUR * np.arange(-2, 4)


def test_a_55_minute_window_is_kept_and_not_sold_as_two_hours(still_spot):
    conditions = conditions_of(still_spot(**FLOW_ALONE), block(9.0, 9.0 + 55 / 60))
    windows, (session,) = plan(conditions)
    assert [(w.start, w.end) for w in windows] == [(START + 9 * HOUR, START + 9 * HOUR + 3300)]
    assert (session.start, session.end) == (windows[0].start, windows[0].end)
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
    stronger = burst._replace(start=burst.end, end=burst.end + 60.0, mean_flow=burst.mean_flow + 0.1)
    assert ranked([burst, stronger]) == [stronger, burst]
    assert steady.points.total > burst.points.total


@examples(40)
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
    assert session.end - session.start <= minutes * 60
    # All of it can be fished: the water goes out from its first minute to its last.
    assert START + begin * 60 - 1e-3 <= session.start < session.end <= START + (begin + length) * 60
    # Sessions begin on the 5-minute grid (10 where the turn is assumed), which may cost a step of window.
    lost = 2 * (600 if assumed else 300)
    assert session.end - session.start >= min(minutes * 60, length * 60) - lost
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
    (session,) = find_sessions(conditions, Expected(conditions, curve), [window], days_around())
    best = max(
        sum(curve.total[i:j]) / 24 + (curve.total[j] - curve.total[i]) / 48
        for i in range(len(curve.t) - 25)
        for j in [next(k for k in range(i, i + 25) if k == i + 24 or not curve.fishable[k])]
        if curve.fishable[i] and min(curve.t[j], window.end) - max(curve.t[i], window.start) >= 1800
    )
    assert session.points.total == pytest.approx(best, abs=2.0)
    assert best - 2.0 <= session.points.total <= best + 1e-9


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
    assert edges(window)[0] == "you can be there"
    assert session.start >= now


@pytest.mark.parametrize("gap_hours, left", [(0.5, 2), (3.0, 2)])
def test_two_ebbs_give_two_sessions_that_end_with_their_water(still_spot, gap_hours, left):
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


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(1, 8), st.integers(0, 100)), max_size=8))
def test_of_overlapping_sessions_only_the_better_stays(still_session, made):
    every = [
        still_session._replace(start=float(a), end=float(a + n), points=Points(float(p), 0.0, 0.0))
        for a, n, p in made
    ]
    kept = ranked(every)
    assert [item.rank_key for item in kept] == sorted(item.rank_key for item in kept)
    for item in every:
        rivals = [other for other in kept if item.start < other.end and other.start < item.end]
        assert rivals
        assert item in kept or min(rival.rank_key for rival in rivals) <= item.rank_key
    for one, other in combinations(kept, 2):
        assert one.end <= other.start or other.end <= one.start


@pytest.fixture(scope="module")
def still_session(still_spot_text):
    _, (session,) = plan(conditions_of(still_spot_text(**FLOW_ALONE), block(8.0, 10.0)))
    return session


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


@pytest.mark.parametrize("shift", [-1800.0, 0.0, 1800.0])
def test_early_and_late_equal_a_forecast_with_the_water_shifted(still_spot, shift):
    corners = ((7, -0.5), (8.3, 0.2), (9.1, 0.5), (10.4, 0.8), (11.2, 0.1), (12, -0.5))
    sky = MadeSky((START, START + 24 * HOUR), (-60.0, 60.0))
    moon = MoonTimes(np.array([START + 9.4 * HOUR]), np.array([START + 10.5 * HOUR]))
    hours = Intervals.merged([(START + 8.5 * HOUR, START + 11 * HOUR)])
    spot = still_spot()
    _, (session,) = plan(conditions_of(spot, flow_of(*corners), sky, moon, hours))
    moved = flow_of(*((hour + shift / HOUR, knots) for hour, knots in corners))
    steps = round((session.end - session.start) / STEP) + 1
    curve = conditions_of(spot, moved, sky, moon, hours).even(session.start, STEP, steps)
    expected = np.trapezoid(curve.total) / 24
    told = {-1800.0: session.early, 0.0: session.predicted, 1800.0: session.late}
    assert told[shift] == pytest.approx(expected, abs=1e-9)
    assert session.early != pytest.approx(session.late)


def test_the_middle_of_a_long_good_stretch_beats_its_edges(still_spot):
    flow = flow_of((5.9, -0.5), (6, 0.8), (18, 0.8), (18.1, -0.5))
    sure = plan(conditions_of(still_spot(**FLOW_ALONE), flow))[1]
    unsure = plan(conditions_of(still_spot(**FLOW_ALONE), flow, cases=TimeShifts(2400.0)))[1]
    assert sure[0].start == START + 6 * HOUR
    # 1.96 standard deviations are 78 minutes: no case reaches so far into the stretch.
    assert unsure[0].start >= START + 6 * HOUR + 1200
    assert unsure[0].low > unsure[0].points.total - 3


def test_a_session_that_some_minutes_would_spoil_says_so(still_spot):
    tight = conditions_of(still_spot(**FLOW_ALONE), block(8.0, 10.0), cases=TimeShifts(1200.0))
    (session,) = plan(tight)[1]
    shifts = 1200.0 * np.array([-1.959964, -1.439531, -1.150349, -0.934589, -0.755415, -0.597760])
    assert session.low < 95 * (1 - abs(shifts[2]) / 7200) + 1
    assert session.low < session.points.total < 95 * (1 - 0.5 * 1200 / 7200)
    assert session.deviation > 3
    assert session.high == pytest.approx(95, abs=3)


def test_each_day_that_a_window_touches_may_take_a_session_of_its_own(still_spot):
    _, sessions = plan(conditions_of(still_spot(**FLOW_ALONE), block(20.0, 29.0)))
    starts = sorted((session.start - START) / HOUR for session in sessions)
    assert len(starts) == 2
    assert starts[0] < 24.0 <= starts[1]
    ends = sorted(session.end for session in sessions)
    assert ends[0] <= START + starts[1] * HOUR


@pytest.mark.parametrize(("after", "days"), [(20.0, 1), (29.0, 1), (31.0, 2), (50.0, 2)])
def test_a_day_takes_a_session_of_a_window_s_last_half_hour_or_more(still_spot, after, days):
    conditions = conditions_of(still_spot(**FLOW_ALONE, keep=0.0), block(20.0, 24.0 + after / 60.0))
    _, sessions = plan(conditions, hours=48.0)
    assert len(sessions) == days
    assert {session.start < START + 24 * HOUR for session in sessions} == {True, days == 1}


@pytest.mark.parametrize("light, hour", [("any", 12.0), ("low", 12.0)])
def test_level_stretches_go_to_the_light_before_the_dark_and_the_moon(still_spot, light, hour):
    spot = still_spot(light=LightPreference(light), points=Points(95.0, 0.0, 5.0))
    sky = MadeSky(
        (START, START + 11.9 * HOUR, START + 12 * HOUR, START + 24 * HOUR), (-30.0, -30.0, 30.0, 30.0)
    )
    moon = MoonTimes(np.array([START + 7 * HOUR]), np.empty(0))
    _, sessions = plan(conditions_of(spot, block(6.0, 16.0), sky, moon))
    assert sessions[0].start >= START + (hour - 1.1) * HOUR
    assert not sessions[0].dark


def test_a_session_begins_at_most_a_quarter_of_an_hour_before_its_window(still_spot):
    """An hour of strong water after one of weak: of the weak the last 15 minutes are fished."""
    edge = 1e-6
    weak_then_strong = flow_of(
        *((9.0 - edge, -0.5), (9.0, 0.15), (10.0 - edge, 0.15), (10.0, 0.8), (11.0 - edge, 0.8), (11.0, -0.5))
    )
    windows, (session,) = plan(conditions_of(still_spot(**FLOW_ALONE), weak_then_strong))
    assert [(w.start, w.end) for w in windows] == [(START + 10 * HOUR, START + 11 * HOUR)]
    assert session.start == START + 9.75 * HOUR
    assert session.end == START + 11 * HOUR


def test_sessions_may_touch(still_spot):
    """Four hours over midnight hold two whole sessions, the second from the moment the first one ends."""
    _, sessions = plan(conditions_of(still_spot(**FLOW_ALONE), block(22.0, 26.0)))
    stretches = sorted(((item.start - START) / HOUR, (item.end - START) / HOUR) for item in sessions)
    assert stretches == [(22.0, 24.0), (24.0, 26.0)]
