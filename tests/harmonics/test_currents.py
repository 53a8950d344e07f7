"""Current stations of every kind: published events, handbook relations, ellipses, and odd waters."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from harmonics.stations.currents import (
    CurrentKind,
    current_events,
    currents_at,
    slack_duration,
)
from harmonics.stations.types import (
    CurrentDifferences,
    SecondaryCurrentStation,
)
from harmonics.sums.waves import NodePractice
from tests.examples import examples
from tests.harmonics.current_stations import FILES, KNOT, published_currents, station, utc

SIGN_OF_NEXT = {CurrentKind.SLACK_BEFORE_FLOOD: 1, CurrentKind.SLACK_BEFORE_EBB: -1}


@pytest.fixture(scope="module")
def stations():
    return published_currents()


class TestPublished:
    def test_every_event(self, stations, published):
        # NOAA CO-OPS current predictions, three stations and the secondary ACT0091 (speed x 1.2)
        rows = published("noaa_currents_events.csv")
        assert len(rows) == 12
        for row in rows:
            t = utc(row["time_utc"])
            events = current_events(stations[row["station"]], t - 1800, t + 1800)
            assert len(events) == 1, row
            assert abs(events.t[0] - t) <= 0.6 * 60, row
            assert abs(events.speed[0] / KNOT - float(row["speed_kn"])) <= 0.006, row
            kind = "slack" if events.kind[0].is_slack else events.kind[0].value
            assert kind == row["event"]

    def test_directions_of_the_secondary_are_its_own(self, stations):
        events = current_events(stations["ACT0091"], utc("2026-08-01"), utc("2026-08-05"))
        for kind, direction in zip(events.kind, events.direction, strict=True):
            if kind.is_slack:
                assert np.isnan(direction)
            else:
                assert direction == (260.0 if kind is CurrentKind.FLOOD else 80.0)


class TestHandbook:
    @pytest.mark.parametrize(
        ("knots", "minutes"), [(1.0, (23, 46, 70, 94, 120)), (2.0, (11, 23, 35, 46, 58))]
    )
    def test_duration_of_slack(self, knots, minutes):
        # Tidal Current Tables (US), Table 4A, 0.1 to 0.5 kn, slack to slack 6.0 h (from memory)
        below = KNOT * np.array([0.1, 0.2, 0.3, 0.4, 0.5])
        found = slack_duration(knots * KNOT, 6 * 3600.0, below) / 60
        assert [round(float(x)) for x in found] == list(minutes)

    def test_slack_lasts_throughout_where_the_current_never_passes_the_speed(self):
        found = slack_duration([0.0, 0.1, 0.3], 3600.0, 0.2)
        assert found[:2] == pytest.approx([3600.0, 3600.0])
        assert found[2] < 3600.0
        assert slack_duration(0.0, 3600.0, 0.0) == pytest.approx(3600.0)

    def test_speed_between_slack_and_maximum(self):
        # US Navy 14220, p. 7-22: slack 1012 - 41 min, maximum 1246 - 47 min of 1.1 kn x 0.6; at 1100
        # 0.5 kn by the table, 0.53 by the sine
        reference = station(M2=(1.0, 100.0))
        events = current_events(reference, utc("2026-05-01 06:00"), utc("2026-05-02 06:00"))
        slack = events.kind.index(CurrentKind.SLACK_BEFORE_FLOOD)
        flood = slack + 1
        turns, runs = utc("2026-05-01 10:12") - 41 * 60, utc("2026-05-01 12:46") - 47 * 60
        differences = CurrentDifferences(
            slack_before_flood=turns - events.t[slack],
            flood=runs - events.t[flood],
            slack_before_ebb=runs - events.t[flood],
            ebb=turns - events.t[slack],
            flood_ratio=1.1 * 0.6 * KNOT / events.speed[flood],
        )
        near = SecondaryCurrentStation("n", "N", None, None, 0.0, 180.0, reference, differences)
        assert float(currents_at(near, utc("2026-05-01 11:00"))) / KNOT == pytest.approx(0.53, abs=0.005)


class TestEvents:
    @pytest.mark.parametrize("name", [*FILES, "ACT0091"])
    def test_they_lie_on_the_curve(self, stations, name):
        events = current_events(stations[name], utc("2026-02-01"), utc("2026-08-01"))
        assert len(events) > 1200
        assert currents_at(stations[name], events.t) == pytest.approx(events.speed, abs=1e-5)

    @pytest.mark.parametrize("name", [*FILES, "ACT0091"])
    def test_a_span_may_be_cut_anywhere(self, stations, name):
        start, cut, end = utc("2026-11-30"), utc("2027-01-01"), utc("2027-02-11 07:00")
        whole = current_events(stations[name], start, end)
        parts = [current_events(stations[name], *span) for span in ((start, cut), (cut, end))]
        assert np.concatenate([part.t for part in parts]) == pytest.approx(whole.t, abs=0.05)
        assert parts[0].kind + parts[1].kind == whole.kind

    @examples(30)
    @given(
        mean=some.floats(-0.6, 0.6),
        m2=some.tuples(some.floats(0.0, 1.0), some.floats(0, 360)),
        k1=some.tuples(some.floats(0.0, 1.0), some.floats(0, 360)),
        m4=some.tuples(some.floats(0.0, 0.4), some.floats(0, 360)),
        practice=some.sampled_from(NodePractice),
        day=some.integers(0, 800),
    )
    def test_they_follow_each_other_in_order(self, mean, m2, k1, m4, practice, day):
        here = station(mean, practice, M2=m2, K1=k1, M4=m4)
        start = utc("2026-01-01") + 86400.0 * day
        events = current_events(here, start, start + 20 * 86400)
        assert (np.diff(events.t) >= 0).all()
        for (first, second), speeds in zip(
            pairwise(events.kind), pairwise(events.speed.tolist()), strict=True
        ):
            assert first is not second
            assert not (first.is_slack and second.is_slack)
            if not first.is_slack and not second.is_slack:
                assert (speeds[0] >= 0) == (speeds[1] >= 0)
            if first.is_slack:
                assert np.sign(speeds[1]) in {0, SIGN_OF_NEXT[first]}

    def test_mean_flow_moves_slacks_before_they_are_found(self):
        steady = station(0.3, S2=(1.0, 0.0))
        events = current_events(steady, utc("2026-03-01"), utc("2026-03-03"))
        slacks = [(t, kind) for t, kind in zip(events.t, events.kind, strict=True) if kind.is_slack]
        hours = {kind: (after - t) / 3600 for (t, kind), (after, _) in pairwise(slacks)}
        # 0.3 + cos: ebb runs while the cosine is below -0.3
        ebbing = 12.0 * np.arccos(0.3) / np.pi
        assert hours[CurrentKind.SLACK_BEFORE_EBB] == pytest.approx(ebbing, abs=0.02)
        assert hours[CurrentKind.SLACK_BEFORE_FLOOD] == pytest.approx(12.0 - ebbing, abs=0.02)
        assert max(events.speed) + min(events.speed) == pytest.approx(0.6, abs=0.001)

    def test_a_missing_ebb_is_a_minimum_flood(self):
        river = station(0.5, M2=(0.4, 0.0))
        events = current_events(river, utc("2026-03-01"), utc("2026-03-11"))
        assert set(events.kind) == {CurrentKind.FLOOD, CurrentKind.MINIMUM_FLOOD}
        assert (events.direction == 30.0).all()
        drain = station(-0.5, M2=(0.4, 0.0))
        kinds = set(current_events(drain, utc("2026-03-01"), utc("2026-03-11")).kind)
        assert kinds == {CurrentKind.EBB, CurrentKind.MINIMUM_EBB}

    def test_a_weak_ebb_stays_an_ebb(self):
        """Hardly an ebb between two slacks minutes apart, too short for the sampled grid to see."""
        for excess in (1e-5, 1e-3):
            here = station(0.4 - excess, S2=(0.4, 0.0))
            events = current_events(here, utc("2026-03-01"), utc("2026-03-03"))
            ebbs = [i for i, kind in enumerate(events.kind) if kind is CurrentKind.EBB]
            assert len(ebbs) == 4
            assert events.speed[ebbs] == pytest.approx(-excess, abs=1e-6 + 0.1 * excess)
            inner = [i for i in ebbs if 0 < i < len(events) - 1]
            assert all(events.kind[i - 1] is CurrentKind.SLACK_BEFORE_EBB for i in inner)
            assert all(events.kind[i + 1] is CurrentKind.SLACK_BEFORE_FLOOD for i in inner)

    def test_water_that_never_moves_has_no_events(self):
        for still in (station(), station(0.7), station(0.0, M2=(0.0005, 10.0))):
            assert len(current_events(still, utc("2026-03-01"), utc("2026-03-11"))) == 0

    def test_reset_of_yearly_practice_keeps_slacks_and_maxima_in_turn(self, stations):
        for year in range(2015, 2035):
            events = current_events(stations["PUG1515"], utc(f"{year}-12-31"), utc(f"{year + 1}-01-02"))
            kinds = [kind for kind in events.kind if kind.is_slack]
            assert all(first is not second for first, second in pairwise(kinds))
