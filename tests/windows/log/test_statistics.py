"""Rates, regression, rank correlation and the verdict, against other libraries and against known laws."""

from dataclasses import replace

import numpy as np
import pytest

from tests.windows.log.long_run import verdicts
from tests.windows.log.notebooks import MONTH, World, notebook, trip_of
from windows.log.counts import counts_of, dispersion_of, frozen, rate_of
from windows.log.power import RATIOS, needs, trips_per_group
from windows.log.regression import STEP, catch_ratio, negative_binomial, within_and_between
from windows.log.trips import Catch, Fish, Made
from windows.log.verdict import (
    LEAST_TRIPS,
    LEVEL_AGAINST,
    LEVEL_FOR,
    Verdict,
    permutation_test,
    residuals,
    shuffled,
    verdict_of,
)


@pytest.fixture(scope="module")
def counts():
    return counts_of(notebook(World(ratio=2.0), 120, np.random.default_rng(4)))


class TestCounts:
    def test_what_counts(self):
        trips = [trip_of(n, "ledge", n * 86400.0, 50.0, n) for n in range(4)]
        trips[1] = replace(trips[1], fished=False)
        trips[2] = replace(trips[2], forecast=None)
        counts = counts_of(trips)
        assert [trip.uid for trip in counts.trips] == [trips[0].uid, trips[3].uid]
        assert counts.caught.tolist() == [0.0, 3.0]
        assert counts.effort.tolist() == [2.0, 2.0]

    def test_of_one_species(self):
        trip = trip_of(0, "ledge", 0.0, 50.0, 2)
        both = replace(trip, catches=(*trip.catches, Catch("Bass", (Fish(True),))))
        assert counts_of([both]).caught.tolist() == [3.0]
        assert counts_of([both], "bass").caught.tolist() == [1.0]

    def test_strata_are_spots_of_a_file_in_calendar_months(self):
        made = [
            trip_of(0, "ledge", 0.0, 50.0, 1),
            trip_of(1, "ledge", 365.25 * 86400.0, 60.0, 1),
            trip_of(2, "ledge", 1.5 * MONTH, 70.0, 1),
            trip_of(3, "reef", 0.0, 80.0, 1),
            replace(trip_of(4, "ledge", 0.0, 90.0, 1), shore="Another"),
        ]
        counts = counts_of(made)
        assert counts.strata == 4
        assert counts.stratum[0] == counts.stratum[1]
        assert counts.comparable == 2

    def test_a_month_is_the_local_clock_s(self):
        start = 31 * 86400.0 - 3600.0
        made = [trip_of(n, "ledge", start + n * 7200.0, 50.0 + n, 1) for n in range(2)]
        assert counts_of(made).strata == 2
        assert counts_of([replace(trip, zone="America/Chicago") for trip in made]).strata == 1

    def test_hindsight_is_told_apart(self):
        made = [trip_of(n, "ledge", n * 1e5, 50.0, 1, made=kind) for n, kind in enumerate(Made)]
        assert [trip.forecast.made for trip in frozen(made)] == [Made.PLANNED, Made.LOGGED]


class TestRates:
    @pytest.mark.parametrize(
        ("count", "low", "high"),
        [(0, 0.0, 3.6889), (1, 0.0253, 5.5716), (5, 1.6235, 11.6683), (10, 4.7954, 18.3904)],
    )
    def test_garwood_s_intervals(self, count, low, high):
        """Exact 95 % limits of a Poisson mean, as tabled after Garwood 1936 (from memory)."""
        rate = rate_of(np.array([float(count)]), np.array([1.0]), 1.0)
        assert rate.low == pytest.approx(low, abs=5e-4)
        assert rate.high == pytest.approx(high, abs=5e-4)

    def test_a_rate_is_fish_over_effort(self):
        rate = rate_of(np.array([0.0, 3.0, 5.0]), np.array([2.0, 4.0, 10.0]), 2.0)
        assert (rate.trips, rate.blank, rate.caught, rate.effort, rate.rate) == (3, 1, 8, 16.0, 0.5)
        narrow = rate_of(np.array([0.0, 3.0, 5.0]), np.array([2.0, 4.0, 10.0]), 1.0)
        assert rate.low < narrow.low < 0.5 < narrow.high < rate.high

    def test_intervals_hold_the_truth_of_catches_that_come_in_schools(self):
        rng, held = np.random.default_rng(3), 0
        for _ in range(400):
            effort = rng.uniform(1.0, 4.0, 40)
            caught = rng.negative_binomial(1.0, 1.0 / (1.0 + 0.8 * effort)).astype(float)
            every = dispersion_of(caught, effort, [np.arange(40)])
            rate = rate_of(caught, effort, every)
            held += rate.low <= 0.8 <= rate.high
        assert 0.90 <= held / 400 <= 0.99

    def test_dispersion(self):
        rng = np.random.default_rng(5)
        even = rng.poisson(3.0, 4000).astype(float)
        assert dispersion_of(even, np.ones(4000), [np.arange(4000)]) == pytest.approx(1.0, abs=0.06)
        spread = rng.negative_binomial(1.0, 1.0 / 4.0, 4000).astype(float)
        assert dispersion_of(spread, np.ones(4000), [np.arange(4000)]) == pytest.approx(4.0, rel=0.15)
        assert dispersion_of(np.zeros(5), np.ones(5), [np.arange(5)]) == 1.0


class TestRegression:
    def test_it_is_statsmodels_own_fit(self, counts):
        """By the formula interface, and by a generalized linear model at the same dispersion."""
        import pandas as pd
        import statsmodels.api as sm
        import statsmodels.formula.api as smf

        frame = pd.DataFrame({"y": counts.caught, "p": counts.points, "s": counts.stratum})
        frame["m"] = frame.groupby("s")["p"].transform("mean")
        frame["w"] = (frame["p"] - frame["m"]) / STEP
        frame["b"] = (frame["m"] - frame["m"].mean()) / STEP
        model = smf.negativebinomial("y ~ w + b", frame, offset=np.log(counts.effort))
        fit = model.fit(disp=0, maxiter=200)
        found = catch_ratio(counts)
        assert found.ratio == pytest.approx(np.exp(fit.params["w"]), rel=1e-4)
        assert (found.low, found.high) == pytest.approx(np.exp(fit.conf_int().loc["w"]).tolist(), rel=1e-3)
        assert found.size == pytest.approx(1.0 / fit.params["alpha"], rel=1e-3)
        family = sm.families.NegativeBinomial(alpha=fit.params["alpha"])
        glm = sm.GLM(counts.caught, within_and_between(counts), family, offset=np.log(counts.effort)).fit()
        assert found.ratio == pytest.approx(np.exp(glm.params[1]), rel=1e-3)

    def test_it_finds_the_law_that_catches_come_from(self):
        """Ratio 2 between halves 37.5 points apart is 1.447 over 20 points; size 1."""
        law = World(ratio=2.0, places=0.3, drawn=10.0)
        found = catch_ratio(counts_of(notebook(law, 6000, np.random.default_rng(2))))
        assert found.ratio == pytest.approx(2.0 ** (20.0 / 37.5), rel=0.05)
        assert found.low < 2.0 ** (20.0 / 37.5) < found.high
        assert found.size == pytest.approx(1.0, rel=0.2)

    def test_good_places_that_score_well_are_set_aside(self):
        from scipy import stats

        law = World(ratio=1.0, places=1.0, drawn=20.0)
        found = catch_ratio(counts_of(notebook(law, 3000, np.random.default_rng(2))))
        assert found.low < 1.0 < found.high
        plain = notebook(law, 3000, np.random.default_rng(2))
        rho = stats.spearmanr([t.forecast.points for t in plain], [t.caught() for t in plain]).statistic
        assert rho > 0.05, "a world without that lure would prove nothing"

    def test_catches_as_even_as_poisson_s(self):
        law = World(ratio=2.0, size=1e6, places=0.0)
        found = catch_ratio(counts_of(notebook(law, 400, np.random.default_rng(2))))
        assert found.size > 50
        assert found.low < 2.0 ** (20.0 / 37.5) < found.high

    def test_nothing_to_tell(self):
        blank = counts_of([trip_of(n, "ledge", 0.0, 50.0 + n, 0) for n in range(40)])
        level = counts_of([trip_of(n, "ledge", 0.0, 50.0, n % 3) for n in range(40)])
        assert catch_ratio(blank) is None
        assert catch_ratio(level) is None
        few = [trip_of(n, "ledge", 0.0, 30.0 + 7.0 * n, n % 3) for n in range(10)]
        assert catch_ratio(counts_of(few[:9])) is None  # too few to have an interval
        assert catch_ratio(counts_of(few)) is not None
        apart = np.column_stack((np.ones(40), np.repeat([0.0, 1.0], 20)))
        never = negative_binomial(np.repeat([0.0, 3.0], 20), apart, np.zeros(40))
        assert never is None or never.effects[1] > 3


class TestPower:
    @pytest.mark.parametrize(("ratio", "trips"), [(2.0, 45), (1.5, 135), (1.25, 457)])
    def test_trips_a_group(self, ratio, trips):
        """Two groups, negative binomial of size 1 and mean 2: 80 % power (normal approximation)."""
        assert round(trips_per_group(ratio)) == trips

    def test_it_is_what_a_test_of_two_groups_needs(self):
        """Wald's test on the logarithm of the ratio finds it in 80 of 100 cases."""
        rng, found = np.random.default_rng(8), 0
        for _ in range(2000):
            low, high = rng.negative_binomial(1.0, 1 / 3, 45), rng.negative_binomial(1.0, 1 / 5, 45)
            error = np.sqrt((1 / 2 + 1 / 4 + 2) / 45)
            found += abs(np.log(high.mean() / low.mean())) / error > 1.959964
        assert found / 2000 == pytest.approx(0.80, abs=0.03)

    def test_in_all_and_over_many_spots_and_months(self):
        assert [(need.ratio, need.trips) for need in needs()] == [(2.0, 90), (1.5, 271), (1.25, 914)]
        assert [need.trips for need in needs(strata=18)] == [107, 288, 931]
        assert len(RATIOS) == 3


class TestPermutation:
    def test_shuffling_keeps_spot_and_month(self, counts):
        order = shuffled(counts.stratum, 300, np.random.default_rng(1))
        assert (counts.stratum[order] == counts.stratum).all()
        assert (np.sort(order, axis=1) == np.arange(len(counts))).all()
        moved = (order != np.arange(len(counts))).mean(axis=0)
        shared = np.bincount(counts.stratum)[counts.stratum] > 1
        assert shared.any()
        assert (moved[shared] > 0.2).all()

    def test_every_order_is_as_likely(self):
        from scipy import stats

        order = shuffled(np.array([0, 0, 0, 1]), 6000, np.random.default_rng(1))
        kinds, how_often = np.unique(order, axis=0, return_counts=True)
        assert len(kinds) == 6
        assert stats.chisquare(how_often).pvalue > 0.001

    def test_the_rank_correlation_is_scipy_s(self, counts):
        from scipy import stats

        expected = stats.spearmanr(counts.points, counts.caught / counts.effort)
        assert permutation_test(counts, 10).spearman == pytest.approx(expected.statistic, abs=1e-12)

    def test_its_chance_in_one_stratum_is_scipy_s(self):
        from scipy import stats

        made = notebook(World(ratio=1.3, spots=1, months=1), 50, np.random.default_rng(3))
        counts = counts_of([replace(trip, start=86400.0, end=90000.0) for trip in made])
        assert counts.strata == 1
        found = permutation_test(counts, 20_000)
        expected = stats.spearmanr(counts.points, counts.caught)
        assert found.spearman_chance == pytest.approx(expected.pvalue, abs=0.012)

    def test_its_chances_are_those_of_all_orders(self):
        """Seven trips of one place: all 5040 orders against drawn ones."""
        from itertools import permutations

        caught, points = (0, 3, 1, 4, 0, 2, 6), (30.0, 70.0, 45.0, 60.0, 50.0, 55.0, 40.0)
        made = [
            trip_of(n, "ledge", n * 1e4, p, c) for n, (p, c) in enumerate(zip(points, caught, strict=True))
        ]
        counts = counts_of(made)
        score = residuals(counts)
        sums = np.array([np.dot(order, score) for order in permutations(points)])
        expected = (sums >= counts.points @ score - 1e-9).mean()
        assert permutation_test(counts, 40_000).above == pytest.approx(expected, abs=0.01)

    def test_the_same_log_gives_the_same_answer(self, counts):
        assert permutation_test(counts, 500) == permutation_test(counts, 500)

    def test_what_a_spot_and_month_catch_beyond_the_rest_is_set_aside(self):
        law = World(ratio=1.0, places=1.5, drawn=25.0, size=5.0)
        left = residuals(counts_of(notebook(law, 900, np.random.default_rng(7))))
        counts = counts_of(notebook(law, 900, np.random.default_rng(7)))
        means = np.bincount(counts.stratum, left) / np.bincount(counts.stratum)
        assert np.abs(means).max() < 0.2
        assert np.abs(counts.caught - counts.caught.mean()).max() > 5


class TestVerdict:
    """How often it is wrong and right over many logs is told by the long run; a short one stands here."""

    def test_never_below_thirty_trips(self):
        strong = World(ratio=30.0, two_groups=True, spots=1, months=1)
        trips = notebook(strong, LEAST_TRIPS - 1, np.random.default_rng(1))
        trips = [replace(t, start=86400.0 + n, end=93600.0 + n) for n, t in enumerate(trips)]
        counts = counts_of(trips)
        test = permutation_test(counts, 999)
        assert test.above <= 0.002
        assert verdict_of(counts, test) is Verdict.TOO_FEW
        more = counts_of([*trips, replace(trips[0], uid="f" * 32)])
        assert verdict_of(more, permutation_test(more, 999)) is Verdict.BETTER

    def test_trips_without_company_do_not_count_to_thirty(self):
        alone = [trip_of(n, f"spot{n}", 86400.0, 50.0, n % 4) for n in range(200)]
        counts = counts_of(alone)
        assert counts.comparable == 0
        assert verdict_of(counts, permutation_test(counts, 99)) is Verdict.TOO_FEW

    def test_no_fish_and_no_test(self):
        blank = counts_of([trip_of(n, "ledge", 86400.0, 50.0 + n, 0) for n in range(40)])
        assert verdict_of(blank, permutation_test(blank, 99)) is Verdict.NO_FISH
        caught = counts_of([trip_of(n, "ledge", 86400.0, 50.0 + n, n) for n in range(40)])
        assert verdict_of(caught, None) is Verdict.OPEN

    def test_a_score_that_misleads_is_told(self):
        caught = [trip_of(n, "ledge", 86400.0 + n, 80.0 - n, n) for n in range(60)]
        counts = counts_of(caught)
        assert verdict_of(counts, permutation_test(counts, 999)) is Verdict.WORSE

    def test_levels(self):
        assert LEVEL_FOR + LEVEL_AGAINST <= 0.05

    @pytest.mark.parametrize("world", [World(), World(two_groups=True, drawn=15.0)])
    def test_points_that_mean_nothing_seldom_bring_one(self, world):
        found = verdicts(world, 60, 120, 399)
        assert found[Verdict.BETTER] + found[Verdict.WORSE] <= 11  # 4.8 expected, 11 come in 1 of 100 runs
        assert sum(found.values()) == 120

    def test_points_that_mean_much_mostly_do(self):
        found = verdicts(World(ratio=2.0), 90, 80, 399)
        assert found[Verdict.BETTER] >= 55  # 64 expected
        assert found[Verdict.WORSE] == 0
