"""Heights that can't be or are odd, asked one by one: bounds, places, and what to write instead."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from harmonics.units import HOUR, LengthUnit
from windows.shoreline.gates import GreatestDepth, GreatestLevel, LeastDepth, LeastLevel
from windows.shoreline.plausible.findings import Oddity
from windows.shoreline.plausible.levels import Reach, _follower, _spot, _station
from windows.shoreline.plausible.mean_levels import Rule, mean_level, rule_of

TIDE = Reach(0.0, 4.0, 2.0, 3.0, 4.0)
NO_TURNS = Reach(*(math.nan,) * 5)
METRES, FEET = LengthUnit.METRES, LengthUnit.FEET


def station(*amplitudes, datum="a board", level=0.0):
    waves = [SimpleNamespace(name=f"X{n}") for n in range(len(amplitudes))]
    constants = SimpleNamespace(amplitude=np.array(amplitudes), constituents=waves)
    return SimpleNamespace(constants=constants, datum=datum, mean_level=level)


class TestStation:
    @pytest.mark.parametrize(
        ("total", "unit", "write"),
        [
            (13.1, METRES, "length_unit ="),
            (42.0, METRES, "length_unit ="),
            (42.0, FEET, "--units centimetres"),
            (43.0, METRES, "--units centimetres"),
            (1299.0, METRES, "--units centimetres"),
            (1301.0, METRES, "--units millimetres"),
            (12_999.0, METRES, "--units millimetres"),
        ],
    )
    def test_amplitudes_that_no_tide_has(self, total, unit, write):
        (found,) = _station("stations[0]", station(total), unit, 2026, plainly=True)
        assert (found.kind, found.where) == (Oddity.TOO_LARGE, "stations[0].constituents")
        assert found.about == (total,) and found.impossible
        assert len(found.write) == 1 and write in found.write[0]

    def test_beyond_all_units_nothing_is_proposed(self):
        (found,) = _station("stations[0]", station(13_001.0), METRES, 2026, plainly=True)
        assert (found.kind, found.write) == (Oddity.TOO_LARGE, ())

    def test_next_to_nothing_and_few(self):
        kinds = [f.kind for f in _station("s", station(0.004, 0.005), METRES, 2026, plainly=True)]
        assert kinds == [Oddity.TOO_SMALL, Oddity.FEW_CONSTITUENTS]
        assert [*_station("s", station(4.0, 3.0, 3.0, 3.0), METRES, 2026, plainly=True)] == []
        (few,) = _station("s", station(1.0, 1.0, 1.0), METRES, 2026, plainly=True)
        assert few.about == ("X0, X1, X2",) and not few.impossible


class TestFollower:
    def found(self, mean, reference=3.0, high=0.0, low=0.0):
        other = SimpleNamespace(id="r")
        place = SimpleNamespace(
            id="f",
            reference=other,
            high_water=SimpleNamespace(seconds=high),
            low_water=SimpleNamespace(seconds=low),
        )
        reaches = {"f": TIDE._replace(mean=mean), "r": TIDE._replace(mean=reference)}
        return [*_follower("stations[1]", place, reaches)]

    @pytest.mark.parametrize(("mean", "odd"), [(0.59, True), (0.61, False), (8.9, False), (9.1, True)])
    def test_a_tide_quite_another_than_its_reference_s(self, mean, odd):
        found = self.found(mean)
        assert [(f.kind, f.where) for f in found] == [
            (Oddity.FOLLOWER, "stations[1].high_water.factor")
        ] * odd
        assert all(f.about == (pytest.approx(mean / 3.0), "r") and not f.impossible for f in found)

    def test_a_tide_without_turns_has_no_factor(self):
        assert self.found(math.nan) == self.found(1.0, 0.0) == self.found(1.0, math.nan) == []

    def test_a_turn_hours_after_the_reference_s(self):
        (found,) = self.found(3.0, high=5 * HOUR + 60.0, low=-5 * HOUR)
        assert found == (Oddity.LONG_LAG, "stations[1].high_water.minutes", (5 * HOUR + 60.0,), (), False)
        (found,) = self.found(3.0, low=-6 * HOUR)
        assert (found.where, found.about) == ("stations[1].low_water.minutes", (-6 * HOUR,))


class TestSpot:
    def found(self, limits, depth=None, unit=METRES, reach=TIDE):
        return [*_spot("spots[2]", SimpleNamespace(limit=limits.get, depth_at_datum=depth), reach, unit)]

    @pytest.mark.parametrize(
        ("limit", "value", "depth", "kind", "key"),
        [
            (LeastLevel, 4.1, None, Oddity.LEVEL_NOT_REACHED, "least_level"),
            (GreatestLevel, -0.1, None, Oddity.LEVEL_ALWAYS_PASSED, "greatest_level"),
            (LeastDepth, 6.1, 2.0, Oddity.NEVER_DEEP, "least_depth"),
            (GreatestDepth, 1.9, 2.0, Oddity.ALWAYS_DEEPER, "greatest_depth"),
        ],
    )
    def test_limits_that_the_tide_never_comes_to(self, limit, value, depth, kind, key):
        (found,) = self.found({limit: value}, depth)
        over = depth or 0.0
        assert (found.kind, found.where) == (kind, f"spots[2].{key}")
        assert found.about == pytest.approx((value, over, 4.0 + over))
        assert not found.impossible
        assert self.found({limit: value + (0.2 if value < 4 else -0.2)}, depth) == []

    @pytest.mark.parametrize(("value", "impossible"), [(6.4, False), (6.6, True)])
    def test_what_no_storm_reaches_can_t_be(self, value, impossible):
        """A storm's 1.5 m and a quarter of the greatest range lie beyond 4 m."""
        (found,) = self.found({LeastLevel: value})
        assert found.impossible is impossible

    def test_the_other_unit_is_proposed_where_it_fits_else_the_middle(self):
        (fits,) = self.found({LeastLevel: 9.0})
        assert fits.write == ("least_level = 2.74",)
        (middle,) = self.found({LeastLevel: 90.0}, unit=FEET)
        assert middle.write == (f"least_level = {2.0 / 0.3048:.2f}",)

    def test_always_dry_and_too_deep(self):
        (dry,) = self.found({}, -4.5)
        assert (dry.kind, dry.where, dry.about) == (Oddity.ALWAYS_DRY, "spots[2].depth_at_datum", (-4.5, 4.0))
        assert dry.write == ("depth_at_datum = 4.5",) and not dry.impossible
        assert self.found({}, -6.6)[0].impossible
        assert self.found({}, -3.9) == self.found({}, 60.0) == []
        (deep,) = self.found({}, 61.0)
        assert (deep.kind, deep.write) == (Oddity.DEEP, ("depth_at_datum = 18.59",))
        assert self.found({}, 61.0, FEET)[0].write == ()


class TestMeanLevel:
    """A rule that expects 2 m, with half a metre of leave."""

    @pytest.fixture(autouse=True)
    def rule(self, monkeypatch):
        rule = Rule(frozenset({"x"}), (), lambda station, year: 2.0, 0.2, 0.1, (1.0, 2.0))
        monkeypatch.setattr("windows.shoreline.plausible.mean_levels.rule_of", lambda datum: rule)

    def found(self, level, unit=METRES):
        return [*mean_level("m", station(1.0, level=level), unit, 2026, plainly=False)]

    @pytest.mark.parametrize(
        ("level", "impossible"), [(1.49, False), (2.51, False), (0.99, True), (3.01, False), (6.6, True)]
    )
    def test_farther_than_its_leave(self, level, impossible):
        """Twice as far can't be; above, where the datum may be lower, only what is right in feet."""
        (found,) = self.found(level)
        assert found.about == (level, 2.0, "a board")
        assert (found.kind, found.impossible) == (Oddity.MEAN_LEVEL, impossible)
        assert self.found(1.51) == self.found(2.49) == []

    def test_what_to_write_instead(self):
        """6.6 and 7.3 ft are 2.01 and 2.23 m, within half the leave of 2 m; 7.5 ft are 2.29 m, not so."""
        assert self.found(6.6)[0].write == ("mean_level = 2.012",)
        assert self.found(7.3)[0].write == ("mean_level = 2.225",)
        assert self.found(7.5)[0].write == ("mean_level = 2",)
        assert self.found(0.61)[0].write == ("mean_level = 2.001", 'length_unit = "feet"')
        assert self.found(0.61, FEET)[0].write == ("mean_level = 6.566",)


@pytest.mark.parametrize(
    ("level", "met"),
    [
        *((0.79, False), (0.81, True), (1.99, True), (2.5, True)),
        *((3.0, True), (3.2, False), (6.9, False), (7.0, True)),
    ],
)
def test_a_mean_level_that_is_plainly_met(level, met):
    """From 0.8 to 2 m with all leave, and any above whose feet are not what is expected: 0.94 to 2.12 m."""
    rule = Rule(frozenset({"x"}), (), lambda station, year: 1.5, 0.1, 0.4, (1.0, 2.0))
    assert rule.plainly_met(station(1.0, level=level)) is met
    never_lower = rule._replace(may_be_lower=False)
    assert never_lower.plainly_met(station(1.0, level=level)) is (0.8 < level < 2.0)


def test_a_datum_s_name_calls_for_its_rule():
    for name in ("MLLW", "Mean lower low water", "lat", "LAT 1992", "Chart Datum", "MSL", "mean sea level"):
        assert rule_of(name) is not None, name
    assert rule_of("MLLW").may_be_lower and not rule_of("MSL").may_be_lower
    for name in ("gauge zero", "5 ft below MLLW", "flat", ""):
        assert rule_of(name) is None, name
