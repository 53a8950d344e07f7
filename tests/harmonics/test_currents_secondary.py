"""Secondary current stations, and currents on two axes."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as some

from harmonics.stations.components import (
    along_direction,
    along_flood,
    even_set_and_drift,
    set_and_drift,
    tidal_ellipses,
)
from harmonics.stations.currents import (
    CurrentKind,
    current_difference_problem,
    current_events,
    currents_at,
    even_currents_of,
)
from harmonics.stations.types import (
    CurrentDifferences,
    SecondaryCurrentStation,
    TwoComponentStation,
)
from harmonics.sums.waves import NodePractice
from tests.harmonics.current_stations import constants, published_currents, station, utc


@pytest.fixture(scope="module")
def stations():
    return published_currents()


def two_axes(along, across, axis=0.0, turn=90.0, mean=(0.0, 0.0), flood=40.0):
    return TwoComponentStation(
        "x", "X", 0.0, 0.0, axis, (axis + turn) % 360.0, *mean, constants(**along), constants(**across), flood
    )


class TestSecondary:
    @given(
        minutes=some.tuples(*[some.floats(-25, 25)] * 4),
        ratios=some.tuples(some.floats(0.1, 2.0), some.floats(0.1, 2.0)),
        day=some.integers(0, 700),
    )
    @settings(max_examples=25)
    def test_differences_and_ratios_by_kind(self, stations, minutes, ratios, day):
        reference = stations["EPT0003"]
        seconds = [60.0 * x for x in minutes]
        near = SecondaryCurrentStation(
            "n", "N", None, None, 10.0, 170.0, reference, CurrentDifferences(*seconds, *ratios)
        )
        start = utc("2026-01-02") + 86400.0 * day
        events = current_events(near, start, start + 5 * 86400)
        source = current_events(reference, start - 86400, start + 6 * 86400)
        shift = dict(zip(("slack_before_flood", "flood", "slack_before_ebb", "ebb"), seconds, strict=True))
        assert (np.diff(events.t) > 0).all()
        for t, speed, kind in zip(events.t, events.speed, events.kind, strict=True):
            assume(kind.value in shift)
            back = np.abs(source.t + shift[kind.value] - t)
            i = int(back.argmin())
            assert back[i] < 1e-3
            assert source.kind[i] is kind
            assert speed == pytest.approx(source.speed[i] * (ratios[0] if speed > 0 else ratios[1]))
        assert currents_at(near, events.t) == pytest.approx(events.speed, abs=1e-4)

    def test_without_differences_the_curve_is_the_references(self, stations):
        reference = stations["PUG1515"]
        near = SecondaryCurrentStation("n", "N", None, None, 10.0, 170.0, reference, CurrentDifferences())
        span = utc("2026-12-20"), 300.0, 10000
        assert even_currents_of(near, *span) == pytest.approx(even_currents_of(reference, *span), abs=1e-5)

    def test_slacks_of_a_lull_that_would_swap_keep_their_order(self):
        reference = station(0.395, S2=(0.4, 0.0), K2=(0.01, 40.0))
        near = SecondaryCurrentStation(
            "n",
            "N",
            None,
            None,
            0.0,
            180.0,
            reference,
            CurrentDifferences(slack_before_ebb=5400.0, ebb=-5400.0),
        )
        events = current_events(near, utc("2026-03-01"), utc("2026-04-01"))
        assert CurrentKind.EBB in events.kind
        assert (np.diff(events.t) > 0).all()

    def test_of_two_that_would_swap_the_stronger_keeps_its_time(self):
        """A flood put four hours later passes the slack an hour before: the flood's own time counts."""
        reference = station(M2=(1.0, 0.0))
        span = utc("2026-03-01"), utc("2026-03-06")
        for slack in (0.0, 600.0):
            near = SecondaryCurrentStation(
                "n",
                "N",
                None,
                None,
                0.0,
                180.0,
                reference,
                CurrentDifferences(flood=4 * 3600.0, slack_before_ebb=slack),
            )
            own = current_events(reference, span[0] - 86400.0, span[1])
            floods = own.t[[kind is CurrentKind.FLOOD for kind in own.kind]] + 4 * 3600.0
            events = current_events(near, *span)
            found = events.t[[kind is CurrentKind.FLOOD for kind in events.kind]]
            assert len(found) > 8
            assert max(np.abs(floods - t).min() for t in found) < 1e-3
            assert (np.diff(events.t) > 0).all()

    @pytest.mark.parametrize(
        ("mean", "strong", "lull"),
        [
            (0.5, CurrentKind.FLOOD, CurrentKind.MINIMUM_FLOOD),
            (-0.5, CurrentKind.EBB, CurrentKind.MINIMUM_EBB),
        ],
    )
    def test_a_lull_takes_the_difference_and_ratio_of_its_own_flood_or_ebb(self, mean, strong, lull):
        reference = station(mean, M2=(0.4, 0.0))
        differences = CurrentDifferences(flood=600.0, ebb=-900.0, flood_ratio=0.5, ebb_ratio=2.0)
        near = SecondaryCurrentStation("n", "N", None, None, 0.0, 180.0, reference, differences)
        shift, ratio = (600.0, 0.5) if mean > 0 else (-900.0, 2.0)
        span = utc("2026-03-01"), utc("2026-03-11")
        own, events = current_events(reference, *(t - shift for t in span)), current_events(near, *span)
        assert set(events.kind) == {strong, lull}
        assert events.kind == own.kind
        assert events.t == pytest.approx(own.t + shift, abs=1e-3)
        assert events.speed == pytest.approx(ratio * own.speed)

    @pytest.mark.parametrize(("excess", "fits"), [(0.2, True), (0.3, False)])
    def test_how_strong_an_event_may_be_swapped(self, excess, fits):
        """Half of all events that run are ebbs of 0.4 x excess, half floods of 0.8 - 0.4 x excess: the slack
        before an ebb weaker than a quarter of their mean, 0.4, may be put after it."""
        mean = 0.4 - 0.4 * excess
        reference = station(mean, S2=(0.4, 0.0))
        differences = CurrentDifferences(slack_before_ebb=4 * 3600.0)
        near = SecondaryCurrentStation("n", "N", None, None, 0.0, 180.0, reference, differences)
        problem = current_difference_problem(near, utc("2026-03-01"), utc("2026-04-01"))
        assert (problem is None) == fits

    def test_differences_that_swap_events_are_told(self, stations):
        reference = stations["EPT0003"]
        span = utc("2026-01-01"), utc("2026-03-01")
        wrong = CurrentDifferences(flood=5 * 3600.0)
        fine = CurrentDifferences(flood=1800.0, ebb=-1200.0)
        near = [
            SecondaryCurrentStation("n", "N", None, None, 0.0, 180.0, reference, d) for d in (wrong, fine)
        ]
        problem = current_difference_problem(near[0], *span)
        assert problem is not None
        assert "put the flood of 2026-01-01T" in problem
        assert "after the slack before ebb that follows it" in problem
        assert current_difference_problem(near[1], *span) is None

    def test_times_of_any_shape(self, stations):
        t = utc("2026-08-01") + 1e5 * np.array([[3.0, 1.0], [2.0, 0.0]])
        speed = currents_at(stations["ACT0091"], t)
        assert speed == pytest.approx(1.2 * currents_at(stations["EPT0003"], t), abs=1e-5)
        assert currents_at(stations["ACT0091"], np.empty(0)).shape == (0,)
        with pytest.raises(ValueError, match="finite"):
            currents_at(stations["ACT0091"], np.nan)


class TestTwoComponents:
    SPEEDS = some.tuples(some.floats(0.01, 2.0), some.floats(0, 360))

    @given(along=SPEEDS, across=SPEEDS, axis=some.floats(0, 359.9), turn=some.sampled_from([90.0, 270.0]))
    def test_set_and_drift_are_the_two_components(self, along, across, axis, turn):
        here = two_axes({"M2": along}, {"M2": across}, axis, turn, mean=(0.1, -0.2))
        t = utc("2026-05-01") + 1800.0 * np.arange(60)
        towards, drift = set_and_drift(here, t)
        first = currents_at(along_direction(here, axis), t)
        second = currents_at(along_direction(here, axis + turn), t)
        assert drift * np.cos(np.radians(towards - axis)) == pytest.approx(first, abs=1e-9)
        assert drift * np.cos(np.radians(towards - axis - turn)) == pytest.approx(second, abs=1e-9)

    def test_what_one_sees_along_a_direction_is_the_same_station(self):
        waves = constants(M2=(1.0, 20.0))
        for practice in NodePractice:
            here = TwoComponentStation(
                "bay", "Bay", 29.5, -90.5, 30.0, 120.0, 0.2, 0.1, waves, waves, 75.0, practice
            )
            for found, direction in ((along_direction(here, 30.0), 30.0), (along_flood(here), 75.0)):
                assert (found.id, found.name, found.latitude, found.longitude, found.practice) == (
                    "bay", "Bay", 29.5, -90.5, practice,
                )  # fmt: skip
                assert (found.flood_direction, found.ebb_direction) == (direction, direction + 180.0)

    def test_even_steps_are_any_times(self):
        here = two_axes({"M2": (1.0, 20.0)}, {"M2": (0.4, 50.0)}, mean=(0.1, -0.2))
        start = utc("2026-05-01")
        towards, drift = even_set_and_drift(here, start, 600.0, 50)
        each = set_and_drift(here, start + 600.0 * np.arange(50))
        assert towards == pytest.approx(each[0]) and drift == pytest.approx(each[1])

    def test_north_and_east(self):
        here = two_axes({"S2": (1.0, 0.0)}, {"S2": (1.0, 90.0)})
        # V of S2 at 0 h UTC is 0: north strongest at 0 h, east at 3 h, clockwise all the way
        towards, drift = set_and_drift(here, utc("2026-05-01") + 3600.0 * np.array([0.0, 3.0, 6.0, 9.0]))
        assert np.mod(towards + 1.0, 360.0) - 1.0 == pytest.approx([0.0, 90.0, 180.0, 270.0], abs=1e-6)
        assert drift == pytest.approx(np.ones(4), abs=1e-9)
        _, ellipse = tidal_ellipses(here)
        assert ellipse.semi_minor == pytest.approx([-1.0])

    @given(north=SPEEDS, east=SPEEDS)
    def test_ellipses_agree_with_an_independent_library(self, north, east):
        from utide.ellipse_params import ut_cs2cep

        _, ellipse = tidal_ellipses(two_axes({"M2": north}, {"M2": east}))
        phasor = [size * np.exp(-1j * np.radians(lag)) for size, lag in (east, north)]
        x, y = phasor
        major, minor, angle, lag = ut_cs2cep(np.array([[x.real, -x.imag, y.real, -y.imag]]))
        assert ellipse.semi_major == pytest.approx(major, abs=1e-9)
        assert ellipse.semi_minor == pytest.approx(minor, abs=1e-9)
        assume(major[0] - abs(minor[0]) > 1e-6)
        apart = np.radians(ellipse.direction - (90.0 - angle))
        assert abs(np.sin(apart)) < 1e-6
        assert np.cos(np.radians(ellipse.phase_lag - lag)) == pytest.approx(np.cos(apart), abs=1e-6)

    @given(north=SPEEDS, east=SPEEDS)
    def test_the_current_is_strongest_along_the_major_axis(self, north, east):
        here = two_axes({"S2": north}, {"S2": east})
        _, ellipse = tidal_ellipses(here)
        assume(ellipse.semi_major[0] - abs(ellipse.semi_minor[0]) > 1e-3)
        assert 0.0 <= ellipse.direction[0] < 180.0
        towards, drift = set_and_drift(here, utc("2026-05-01") + 120.0 * ellipse.phase_lag)
        assert drift == pytest.approx(ellipse.semi_major, rel=1e-6)
        assert np.cos(np.radians(towards - ellipse.direction)) == pytest.approx([1.0], abs=1e-6)

    def test_events_along_the_flood_carry_the_true_set(self):
        here = two_axes({"M2": (1.0, 20.0)}, {"M2": (0.4, 50.0), "K1": (0.1, 0.0)})
        events = current_events(here, utc("2026-05-01"), utc("2026-05-08"))
        runs = ~np.isnan(events.direction)
        assert runs.sum() > 25
        assert events.direction[runs] == pytest.approx(set_and_drift(here, events.t[runs])[0])
        speed = even_currents_of(here, utc("2026-05-01"), 600.0, 1000)
        assert speed == pytest.approx(currents_at(here, utc("2026-05-01") + 600.0 * np.arange(1000)))
        assert np.abs(speed).max() <= np.abs(events.speed).max() + 1e-3

    def test_skew_axes_are_refused(self):
        with pytest.raises(ValueError, match="right angles"):
            two_axes({"M2": (1.0, 0.0)}, {"M2": (1.0, 0.0)}, turn=80.0)
