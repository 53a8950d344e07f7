"""What an analysis carries: the readings it used, how it was asked, what it left, how far it got."""

import numpy as np
import pytest

from harmonics.fitting.analysis import fit
from harmonics.fitting.selection import Inference
from harmonics.sums.series import sums_at
from harmonics.sums.waves import NodePractice, year_start

HOUR, DAY = 3600.0, 86400.0
T = year_start(2022) + HOUR * np.arange(16 * 24)
NOISE = 0.01 * np.random.default_rng(8).normal(size=len(T))
LEVEL = 2.0 + np.cos(2.0 * np.pi * T / (12 * HOUR)) + 0.4 * np.cos(2.0 * np.pi * T / (24 * HOUR)) + NOISE
NAMES = ["S1", "S2"]


def test_the_readings_that_were_used():
    level = LEVEL.copy()
    level[[5, 6, 100]] = np.nan
    found = fit(T, level, names=NAMES)
    good = np.isfinite(level)
    assert found.t.tolist() == T[good].tolist() and found.level.tolist() == level[good].tolist()
    assert (found.step, found.days) == (HOUR, 16.0)
    assert found.missing == pytest.approx(3 / len(T))
    assert fit(T, LEVEL, names=NAMES).missing == 0.0


@pytest.mark.parametrize("practice", NodePractice)
@pytest.mark.parametrize("trend", [False, True])
@pytest.mark.parametrize("robust", [False, True])
def test_the_residual_is_the_level_less_mean_trend_and_lines(practice, trend, robust):
    rise = 1e-7
    found = fit(T, LEVEL + rise * (T - T.mean()), names=NAMES, practice=practice, trend=trend, robust=robust)
    assert (found.practice, found.robust) == (practice, robust)
    assert (found.trend is None, found.trend_error is None) == (not trend, not trend)
    known = found.mean + (found.trend or 0.0) * (T - T.mean()) + sums_at(found.constants(), practice, T)
    assert found.level - known == pytest.approx(found.residual, abs=1e-9)
    assert found.deviation == pytest.approx(found.residual.std())
    assert found.explained == pytest.approx(1.0 - found.residual.var() / found.level.var())
    if trend:
        assert abs(found.trend - rise) < 2.0 * found.trend_error
    assert abs(found.mean - 2.0) < 2.0 * found.mean_error < 0.2
    assert [line.name for line in found.lines] == NAMES
    assert found.left_out == ()


def test_weights_tell_outliers():
    level = LEVEL.copy()
    level[[50, 200]] += 5.0
    robust, plain = fit(T, level, names=NAMES), fit(T, level, names=NAMES, robust=False)
    assert np.flatnonzero(robust.weight == 0).tolist() == [50, 200] and robust.outliers == 2
    assert (robust.weight <= 1.0).all() and robust.weight.mean() > 0.9
    assert (plain.weight == 1.0).all() and plain.outliers == 0


def test_how_far_it_got():
    shares = []
    fit(T, LEVEL, names=NAMES, progress=shares.append)
    assert shares[-1] == 1.0 and all(0.0 < share <= 1.0 for share in shares)


def test_lines_that_are_told_and_those_that_are_taken_from_others():
    whole = fit(T, LEVEL)
    assert any(line.inference is not None for line in whole.lines)
    alone = fit(T, LEVEL, infer=False)
    assert all(line.inference is None for line in alone.lines)
    item = Inference("K2", "S2", 0.3, 10.0, "asked for")
    given = fit(T, LEVEL, names=NAMES, inferences=[item])
    assert given.line("K2").inference == item
    assert given.line("K2").amplitude == pytest.approx(0.3 * given.line("S2").amplitude)


def test_constants_of_all_lines_or_of_those_to_trust():
    found = fit(T, LEVEL, names=["S1", "S2", "M4"])
    assert [row.name for row in found.constants().constituents] == ["S1", "S2", "M4"]
    assert [row.name for row in found.constants(trusted_only=True).constituents] == NAMES
    assert found.constants().amplitude.tolist() == [line.amplitude for line in found.lines]
    assert found.constants().phase_lag.tolist() == [line.phase_lag for line in found.lines]
