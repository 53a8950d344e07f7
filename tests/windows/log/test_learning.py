"""What trips teach, where the truth is known: lags, strengths, banks, speeds, shares."""

from dataclasses import replace

import numpy as np
import pytest

from tests.windows.log.lesson_books import (
    BANK,
    CURRENT,
    DAY,
    TRUE_LAG,
    coverage,
    noted,
    shore_of,
    turns_of,
)
from tests.windows.log.made_trips import HOUR, NOON, plain_trip
from tests.windows.log.share_trips import share_trips
from windows.conditions.flow_models import flow_of
from windows.log.learning import learn, learn_bank, learn_strength, learn_turns
from windows.log.lessons import Setting, Standing
from windows.log.robust import LEAST_NOTES, middle, rank_sum_limit
from windows.log.seen_water import turn_departures
from windows.log.speeds import _ordered, learn_speeds
from windows.log.trips import Catch, Fish, Seen, SeenKind

KNOT = 1852.0 / 3600.0
CAUGHT = (Catch("Flounder", (Fish(False),)),)


class TestMiddle:
    @pytest.mark.parametrize(("count", "limit"), [(6, 0), (8, 3), (10, 8), (12, 13), (20, 52), (25, 89)])
    def test_limits_of_the_signed_rank_sum(self, count, limit):
        """Two-sided 5 % points as tabled (Wilcoxon; Hollander and Wolfe, table A.4; from memory)."""
        assert rank_sum_limit(count) == limit

    def test_ten_notes_as_worked_by_hand(self):
        """The middle of all 55 means of pairs; nine smallest and nine largest lie outside or on the ends."""
        notes = np.array([3.0, 8.0, 1.0, 12.0, 6.0, 7.0, 2.0, 9.0, 5.0, 4.0])
        means = sorted((a + b) / 2 for i, a in enumerate(notes) for b in notes[i:])
        found = middle(notes)
        assert (found.value, found.low, found.high) == (means[27], means[8], means[46])
        assert found.notes == 10

    def test_it_is_the_interval_of_scipy_s_test(self):
        """A shift inside the interval is not refused at 5 %, one just outside is."""
        from scipy import stats

        notes = np.random.default_rng(2).normal(20.0, 10.0, 15)
        found = middle(notes)
        assert stats.wilcoxon(notes - (found.low + 1e-6)).pvalue > 0.05
        assert stats.wilcoxon(notes - (found.high - 1e-6)).pvalue > 0.05
        assert stats.wilcoxon(notes - (found.low - 1e-6)).pvalue <= 0.05
        assert stats.wilcoxon(notes - (found.high + 1e-6)).pvalue <= 0.05

    def test_too_few(self):
        assert LEAST_NOTES == 6
        assert middle(np.arange(5.0)) is None
        assert middle(np.arange(6.0)).notes == 6

    def test_of_very_many_the_last_count(self):
        assert middle(np.concatenate((np.zeros(600), np.ones(400)))).value == 1.0


class TestTurns:
    def test_coverage(self, tmp_path):
        """The long run tries 500 notebooks a size."""
        shore = shore_of(tmp_path)
        for notes in (6, 12):
            found = coverage(shore, 60, notes, seed=notes)
            assert found.held >= 0.9
            assert found.moved == 0.0
            assert found.within == 1.0

    @pytest.mark.parametrize(
        ("keys", "present"), [("slack_lag = 15", 15.0), ("slack_lag = -20", -20.0), ("", None)]
    )
    def test_the_lag_of_a_spot(self, tmp_path, keys, present):
        (place,) = shore_of(tmp_path, keys).spots
        true = replace(place, slack_lag=TRUE_LAG * 60.0)
        lesson = learn_turns(place, noted(turns_of(true, NOON, 8), np.zeros(8)))
        (part,) = lesson.parts
        assert (lesson.setting, lesson.owner, lesson.standing) == (
            Setting.SLACK_LAG,
            "ledge",
            Standing.CHANGE,
        )
        assert part.present == present
        assert lesson.value == part.proposed == TRUE_LAG

    @pytest.mark.parametrize("flow", ["strong_ebb = 2.0", "basin_area_m2 = 2e6\nopening_area_m2 = 200.0"])
    def test_whatever_its_speed_is_known_by(self, tmp_path, flow):
        (place,) = shore_of(tmp_path, "slack_lag = 15", flow).spots
        true = replace(place, slack_lag=TRUE_LAG * 60.0)
        assert learn_turns(place, noted(turns_of(true, NOON, 8), np.zeros(8))).value == TRUE_LAG

    def test_behind_a_current_it_is_the_delay(self, tmp_path):
        (place,) = shore_of(tmp_path, "", 'current = "narrows"\ndelay = 10', CURRENT).spots
        true = replace(place, flow=replace(place.flow, delay=42 * 60.0))
        lesson = learn_turns(place, noted(turns_of(true, NOON, 8), np.zeros(8)))
        assert (lesson.setting, lesson.value) == (Setting.DELAY, 42.0)
        assert lesson.parts[0].present == pytest.approx(10.0)

    def test_an_inlet_has_its_own_time(self, tmp_path):
        (place,) = shore_of(
            tmp_path, "", "basin_area_m2 = 2e6\nopening_area_m2 = 200.0\nrepletion = 0.6"
        ).spots
        assert learn_turns(place, noted(turns_of(place, NOON, 8), np.zeros(8))) is None

    def test_the_file_may_agree(self, tmp_path):
        (place,) = shore_of(tmp_path, "slack_lag = 35").spots
        errors = np.array([-9.0, 8.0, -3.0, 4.0, 1.0, -2.0, 6.0, -5.0])
        lesson = learn_turns(place, noted(turns_of(place, NOON, 8), errors))
        assert (lesson.standing, lesson.value) == (Standing.AGREES, None)

    def test_few_notes_say_how_many_it_takes(self, tmp_path):
        (place,) = shore_of(tmp_path).spots
        lesson = learn_turns(place, noted(turns_of(place, NOON, 5), np.zeros(5)))
        assert (lesson.standing, lesson.notes, lesson.needed, lesson.parts) == (Standing.FEW, 5, 6, ())
        assert learn_turns(place, [plain_trip()]) is None

    def test_ends_are_rounded_outward(self, tmp_path):
        (place,) = shore_of(tmp_path).spots
        errors = np.array([-9.3, 8.1, -3.7, 4.4, 1.2, -2.6, 6.0, -5.5])
        (part,) = learn_turns(place, noted(turns_of(place, NOON, 8), errors)).parts
        found = part.estimate
        assert (found.low, found.value, found.high) == tuple(map(round, (found.low, found.value, found.high)))

    def test_the_nearest_turn_of_the_same_kind_is_meant(self, tmp_path):
        (place,) = shore_of(tmp_path).spots
        t, out = zip(*turns_of(place, NOON, 6), strict=True)
        flow = flow_of(place, t[0], t[-1])
        late = turn_departures(flow, np.array(t) + 3.5 * HOUR, np.array(out))
        assert late == pytest.approx(np.full(6, 3.5 * HOUR), abs=5.0)

    def test_where_the_water_does_not_turn_the_note_is_set_aside(self, tmp_path):
        river = CURRENT.replace("constituents", "mean_flow = -4.0\nconstituents")
        (place,) = shore_of(tmp_path, "", 'current = "narrows"', river).spots
        trips = [plain_trip(n, seen=(Seen(SeenKind.TURNED_OUT, NOON + n * DAY),)) for n in range(7)]
        lesson = learn_turns(place, trips)
        assert (lesson.standing, lesson.notes, lesson.aside) == (Standing.FEW, 0, 7)


def drifts(place, count: int, factor: float, spread: float = 0.1, least: float = 0.6):
    """Trips on strong ebbs with a drift each, so many times as fast as the flow says."""
    rng, trips = np.random.default_rng(3), []
    t = NOON + np.arange(0.0, 60 * DAY, 1800.0)
    moving = flow_of(place, t[0], t[-1]).outgoing(t)
    strong = np.flatnonzero(moving > least * moving.max())
    for n, i in enumerate(rng.choice(strong, count, replace=False)):
        speed = float(moving[i] * factor * np.exp(rng.normal(0.0, spread)))
        trips.append(
            plain_trip(n, start=float(t[i]) - 1800.0, seen=(Seen(SeenKind.DRIFT, float(t[i]), speed),))
        )
    return sorted(trips, key=lambda trip: trip.start)


class TestStrength:
    def test_a_strong_ebb(self, tmp_path):
        (place,) = shore_of(tmp_path, "slack_lag = 15", "strong_ebb = 1.5").spots
        lesson = learn_strength(place, drifts(place, 15, 1.4))
        (part,) = lesson.parts
        assert (lesson.setting, part.present) == (Setting.STRONG_EBB, pytest.approx(1.5))
        assert part.estimate.low <= 2.1 <= part.estimate.high
        assert lesson.value == part.proposed == pytest.approx(2.1, rel=0.08)

    def test_a_spot_known_by_its_fall_gets_a_speed(self, tmp_path):
        shore = shore_of(tmp_path, "slack_lag = 15")
        (scaled,) = shore_of(tmp_path, "slack_lag = 15", "strong_ebb = 1.5").spots
        lesson = learn_strength(shore.spots[0], drifts(scaled, 15, 1.0))
        assert lesson.parts[0].present is None
        assert lesson.value == pytest.approx(1.5, rel=0.08)

    def test_the_factor_of_a_current(self, tmp_path):
        (place,) = shore_of(tmp_path, "", 'current = "narrows"\nfactor = 0.8', CURRENT).spots
        lesson = learn_strength(place, drifts(place, 15, 1.5))
        assert lesson.setting is Setting.FACTOR
        assert lesson.value == pytest.approx(1.2, rel=0.08)

    def test_basins_are_measured_not_learned(self, tmp_path):
        (place,) = shore_of(tmp_path, "", "basin_area_m2 = 2e6\nopening_area_m2 = 200.0").spots
        assert learn_strength(place, drifts(place, 15, 1.5)) is None

    def test_drifts_near_slack_are_left_out(self, tmp_path):
        (place,) = shore_of(tmp_path, "slack_lag = 15", "strong_ebb = 1.5").spots
        t, _ = zip(*turns_of(place, NOON, 8), strict=True)
        slack = [
            plain_trip(n, start=x - 600.0, seen=(Seen(SeenKind.DRIFT, x + 60.0, 0.9),))
            for n, x in enumerate(t)
        ]
        assert learn_strength(place, slack) is None


class TestBank:
    def test_the_level_at_which_it_bares(self, tmp_path):
        """Levels of the file's unit; the bank of the file bares at 0.8, the true one at 1.1."""
        from harmonics.stations import tides

        shore = shore_of(tmp_path, 'bank = "flat"', more=BANK)
        bank = shore.spots[0].bank
        t = NOON + 60.0 * np.arange(12 * 1440)
        level = tides.levels(bank.station, t)
        change = np.flatnonzero((level[1:] < 1.1) != (level[:-1] < 1.1))[:12]
        kinds = [SeenKind.BARED if level[i + 1] < 1.1 else SeenKind.COVERED for i in change]
        trips = [
            plain_trip(n, start=float(t[i]) - HOUR, seen=(Seen(kind, float(t[i])),))
            for n, (i, kind) in enumerate(zip(change, kinds, strict=True))
        ]
        lesson = learn_bank(bank, trips, 1.0)
        assert (lesson.setting, lesson.owner, lesson.value) == (Setting.BARE_BELOW, "flat", 1.1)
        (part,) = lesson.parts
        assert (part.present, part.proposed) == (pytest.approx(0.8), 1.1)
        assert part.estimate.low <= 1.1 <= part.estimate.high
        in_feet = learn_bank(bank, trips, 0.3048)
        assert in_feet.value == pytest.approx(1.1 / 0.3048, abs=0.02)
        assert learn(shore, trips)[0] == lesson


def test_shrimp_need_no_bared_bank(tmp_path):
    more = BANK.replace("bare_below = 0.8", 'bait = "shrimp"')
    shore = shore_of(tmp_path, 'bank = "flat"', more=more)
    noted_by_habit = tuple(Seen(SeenKind.BARED, NOON + n * 600.0) for n in range(8))
    assert learn(shore, [plain_trip(1, seen=noted_by_habit)]) == ()


def speed_trips(place, low: float, high: float, count: int = 60):
    """Trips at many speeds that caught between low and high knots alone."""
    trips = []
    for n, knots in enumerate(np.linspace(0.05, 2.4, count)):
        trip = plain_trip(n, start=NOON + n * DAY, seen=(Seen(SeenKind.DRIFT, NOON + n * DAY, knots * KNOT),))
        trips.append(replace(trip, catches=CAUGHT if low <= knots <= high else ()))
    return trips


class TestSpeeds:
    @pytest.fixture
    def place(self, tmp_path):
        return shore_of(tmp_path, "slack_lag = 15", "strong_ebb = 1.5").spots[0]

    def test_fish_outside_the_range_widen_it(self, place):
        lesson = learn_speeds(place, speed_trips(place, 0.0, 2.2, 200))
        assert lesson.standing is Standing.CHANGE
        low, high = lesson.parts
        assert (low.key, high.key) == ("full_from", "full_to")
        assert 0.26 < low.proposed < 0.4
        assert 1.2 < high.proposed < 2.0
        assert low.estimate.value < low.proposed, "drawn towards the file's"
        corners = list(lesson.value.values())
        assert corners == sorted(corners)

    def test_blank_trips_outside_it_narrow_it(self, place):
        lesson = learn_speeds(place, speed_trips(place, 0.55, 0.95))
        low, high = lesson.parts
        assert low.proposed > 0.4
        assert high.proposed < 1.2

    def test_speeds_never_fished_teach_nothing(self, place):
        """All trips between 0.6 and 0.9 kn, all with fish: nothing says that other speeds fish less."""
        trips = [trip for trip in speed_trips(place, 0.0, 9.0, 200) if 0.6 < trip.seen[0].speed / KNOT < 0.9]
        assert len(trips) > 15
        lesson = learn_speeds(place, trips)
        assert (lesson.standing, lesson.value) == (Standing.AGREES, None)

    def test_one_lucky_day_moves_nothing(self, place):
        trips = speed_trips(place, 0.4, 1.2, 80)
        before = learn_speeds(place, trips)
        lucky = replace(trips[-1], catches=(Catch("Flounder", (Fish(False),) * 200),))
        after = learn_speeds(place, [*trips[:-1], lucky])
        assert after == learn_speeds(place, [*trips[:-1], replace(lucky, catches=CAUGHT)])
        for one, other in zip(before.parts, after.parts, strict=True):
            width = one.estimate.high - one.estimate.low
            assert abs(one.proposed - other.proposed) < width / 2

    def test_few_fish_and_unknown_speeds(self, place, tmp_path):
        lesson = learn_speeds(place, speed_trips(place, 0.5, 0.6))
        assert (lesson.standing, lesson.needed) == (Standing.FEW, 10)
        (fall,) = shore_of(tmp_path, "slack_lag = 15").spots
        assert learn_speeds(fall, speed_trips(fall, 0.4, 1.2)) is None

    def test_predicted_speeds_serve_where_none_was_seen(self, place):
        trips = [replace(trip, seen=()) for trip in speed_trips(place, 0.0, 9.0)]
        assert learn_speeds(place, trips).notes > 20


def test_corners_of_speeds_keep_their_order_and_two_digits():
    present = {"nothing_below": 0.31234, "full_from": 0.5, "full_to": 1.2, "nothing_above": 1.50678}
    assert _ordered(present, 0.61234, 1.1) == {
        **{"nothing_below": 0.31, "full_from": 0.61, "full_to": 1.1, "nothing_above": 1.51}
    }
    assert _ordered(present, 0.2, 1.80001) == {
        **{"nothing_below": 0.15, "full_from": 0.2, "full_to": 1.8, "nothing_above": 1.85}
    }
    assert _ordered(present, 0.0, 0.0) == {
        **{"nothing_below": 0.0, "full_from": 0.05, "full_to": 0.05, "nothing_above": 1.51}
    }


def test_everything_spot_by_spot(tmp_path):
    shore = shore_of(tmp_path, "slack_lag = 15", "strong_ebb = 1.5")
    (place,) = shore.spots
    true = replace(place, slack_lag=TRUE_LAG * 60.0)
    trips = noted(turns_of(true, NOON, 8), np.zeros(8))
    stray = [replace(trip, spot="elsewhere") for trip in noted(turns_of(true, NOON, 8), np.zeros(8))]
    planned = [replace(trip, fished=False) for trip in stray]
    found = learn(shore, [*trips, *stray, *planned])
    assert [(lesson.setting, lesson.notes) for lesson in found] == [(Setting.SLACK_LAG, 8)]
    assert learn(shore, []) == ()


def test_without_the_extra_all_but_the_shares_are_learned(tmp_path, monkeypatch):
    import builtins

    real = builtins.__import__

    def without(name, *args, **kwargs):
        if name.startswith(("statsmodels", "scipy")):
            raise ModuleNotFoundError(f"No module named '{name}'", name=name)
        return real(name, *args, **kwargs)

    shore = shore_of(tmp_path)
    true = replace(shore.spots[0], slack_lag=TRUE_LAG * 60.0)
    trips = [*noted(turns_of(true, NOON, 8), np.zeros(8)), *share_trips((0.0, 3.0, 0.0), 70, seed=1)]
    monkeypatch.setattr(builtins, "__import__", without)
    lag, shares = learn(shore, trips)
    assert (lag.setting, lag.value) == (Setting.SLACK_LAG, TRUE_LAG)
    assert (shares.setting, shares.standing) == (Setting.POINTS, Standing.UNTRIED)
