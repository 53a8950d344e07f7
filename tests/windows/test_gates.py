"""Gates: each shuts on its side of its limit, is read by its key, and has words of its own."""

from itertools import pairwise

import numpy as np
import pytest

from tests.windows.conftest import KNOT, MadeFlow, at, conditions_of, one_spot
from windows.conditions.clock_gates import OutOfSeason, OutsideHours, Past
from windows.render.words.gates import WORDS
from windows.shoreline.gates import (
    LIMITS,
    Gate,
    GreatestChop,
    GreatestWind,
    LeastSpeed,
    Limit,
    Measure,
    Moment,
    SunDown,
    ThunderFrom,
)
from windows.shoreline.spots import Factor, Points

START = at("2026-08-15 00:00")
DAY = np.arange(0, 86400, 300.0) + START


def every_gate() -> set[type[Gate]]:
    return {Past, OutOfSeason, OutsideHours, SunDown, *LIMITS}


def test_every_gate_has_its_words_and_no_two_the_same():
    assert set(WORDS) == every_gate()
    for name in ("shut", "opens", "closes"):
        texts = [getattr(words, name) for words in WORDS.values()]
        assert len(set(texts)) == len(texts)
        assert all(texts)
    for kind in LIMITS:
        assert "{}" in WORDS[kind].limit


WATER = (Measure.LEVEL, Measure.DEPTH, Measure.SPEED)
WEATHER = {
    GreatestWind: Measure.WIND,
    GreatestChop: Measure.CHOP,
    ThunderFrom: Measure.THUNDER,
}


def test_limits_stand_least_before_greatest_of_each_measure_of_water():
    water = [kind for kind in LIMITS if kind.measure in WATER]
    assert len(water) == 2 * len(WATER)
    assert {kind: kind.measure for kind in LIMITS if kind not in water} == WEATHER
    for low, high in list(pairwise(water))[::2]:
        assert low.measure is high.measure
        assert (low.least, high.least) == (True, False)
        assert (low.key.split("_")[0], high.key.split("_")[0]) == ("least", "greatest")


@pytest.mark.parametrize("kind", LIMITS)
def test_a_limit_itself_is_allowed_and_shuts_nothing_that_is_not_known(kind: type[Limit]):
    values = np.array([0.9, 1.0, 1.1])
    moment = Moment(values, values, values, values, values, values, values, values)
    if kind is ThunderFrom:  # from a chance on, not above it
        assert kind(1.0).shut(moment).tolist() == [False, True, True]
    else:
        expected = [True, False, False] if kind.least else [False, False, True]
        assert kind(1.0).shut(moment).tolist() == expected
    unknown = Moment(t=values, level=values, depth=None, speed=None, sun_altitude=values)
    if kind.measure is not Measure.LEVEL:
        assert not kind(1.0).shut(unknown).any()
    gap = np.full(3, np.nan)
    assert not kind(1.0).shut(Moment(values, gap, gap, gap, values, gap, gap, gap)).any()


def test_a_least_speed_shuts_slower_water(shore):
    spot = shore(one_spot([("M2", 0.0, 0.0)], "least_speed = 0.5")).spots[0]
    assert spot.limit(LeastSpeed) == pytest.approx(0.5 * KNOT)
    flow = MadeFlow(np.array([START, START + 86400]), np.array([0.2, 0.8]))
    curve = conditions_of(spot, flow).at(DAY)
    assert ((curve.total > 0) == (curve.outgoing >= 0.5 * KNOT)).all()
    assert 0 < (curve.total > 0).mean() < 1


def test_a_spots_speed_stands_over_the_files_and_both_are_held_against_each_other(shore):
    both = one_spot([("M2", 1.0, 0.0)], "least_speed = 0.9") + "\n[fishing]\ngreatest_speed = 0.6\n"
    with pytest.raises(Exception, match=r"spots\[0\]\.least_speed: found 0\.9; expected less than greatest_"):
        shore(both)
    kept = shore(both.replace("0.9", "0.3")).spots[0]
    assert [gate.value for gate in kept.gates] == pytest.approx([0.3 * KNOT, 0.6 * KNOT])


def test_points_have_a_field_for_every_factor():
    points = Points.of([1.0, 2.0, 4.0])
    assert [points[factor] for factor in Factor] == [1.0, 2.0, 4.0]
    assert points.total == 7.0
    with pytest.raises(ValueError, match="shorter"):
        Points.of([1.0, 2.0])
