"""Currents, speeds, lags and neighbours that can't be or are odd, one by one, and what to write instead."""

import tomllib
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.catalogue.constituents import find
from harmonics.units import HOUR, LengthUnit
from tests.harmonics.conftest import constants_of
from tests.windows.conftest import KNOT, coast_text, spot_text
from tests.windows.test_spot_file import CURRENT
from windows.shoreline.gates import GreatestSpeed, LeastSpeed
from windows.shoreline.plausible import STANDING_YEAR, look
from windows.shoreline.plausible.findings import Oddity
from windows.shoreline.plausible.flows import _current, _preferences, _source, strongest
from windows.shoreline.plausible.places import distance
from windows.shoreline.plausible.said import sentence_of
from windows.shoreline.plausible.tables import _neighbours, _shift
from windows.shoreline.spots import BasinSource, CurrentSource, InletSource, ScaledSource, SpeedRange

SPEEDS = SpeedRange(0.1 * KNOT, 0.4 * KNOT, 1.2 * KNOT, 2.0 * KNOT)


@pytest.fixture
def race(shore):
    """A race of 2 knots that floods to 40 degrees."""
    return shore(coast_text([("M2", 1.0, 0.0)]) + CURRENT + spot_text("slack_lag = 0")).currents[0]


class TestCurrent:
    @pytest.mark.parametrize(
        ("flood", "ebb", "impossible"),
        [
            (40.0, 40.9, True),
            (40.0, 42.0, False),
            (350.0, 75.0, False),
            (20.0, 300.0, False),
            (0.0, 359.5, True),
        ],
    )
    def test_flood_and_ebb_that_set_the_same_way(self, race, flood, ebb, impossible):
        (found,) = _current("currents[0]", replace(race, flood_direction=flood, ebb_direction=ebb))
        assert found[:3] == (Oddity.SAME_DIRECTIONS, "currents[0].ebb_direction", (flood, ebb))
        assert found.write == (f"ebb_direction = {(flood + 180) % 360:g}",)
        assert found.impossible is impossible

    def test_a_direction_to_a_tenth(self, race):
        (found,) = _current("c", replace(race, flood_direction=12.34, ebb_direction=12.34))
        assert found.write == ("ebb_direction = 192.3",)
        for ebb in (130.0, 310.0, 220.0):
            assert [*_current("c", replace(race, ebb_direction=ebb))] == []

    @pytest.mark.parametrize(
        ("knots", "said", "impossible"), [(9.9, 0, None), (10.1, 1, False), (29.9, 1, False), (30.1, 1, True)]
    )
    def test_speeds_that_no_current_has(self, race, knots, said, impossible):
        strong = replace(race, constants=constants_of([("M2", knots * KNOT, 0.0)]))
        found = [*_current("currents[0]", strong)]
        assert [f[:2] for f in found] == [(Oddity.CURRENT_TOO_STRONG, "currents[0].constituents")] * said
        assert all(f.impossible is impossible and "--units cm/s" in f.write[0] for f in found)

    @pytest.mark.parametrize("sign", [1.0, -1.0])
    def test_a_mean_flow_stronger_than_the_tide(self, race, sign):
        total = float(race.constants.amplitude.sum())
        assert [*_current("c", replace(race, mean_flow=sign * total))] == []
        (found,) = _current("c", replace(race, mean_flow=sign * (total + 0.1)))
        assert found[:2] == (Oddity.NEVER_TURNS, "c.mean_flow")
        assert found.about == pytest.approx((sign * (total + 0.1), total))
        assert strongest(replace(race, mean_flow=sign * 0.5)) == pytest.approx(total + 0.5)
        assert strongest(SimpleNamespace()) is None


def spot(flow=None, lag=None, limits=(), speeds=SPEEDS, travel=None):
    wanted = SimpleNamespace(speeds=speeds, travel=travel)
    return SimpleNamespace(flow=flow, slack_lag=lag, limit=dict(limits).get, preferences=wanted)


class TestSpot:
    def test_sources(self, race):
        assert [*_source("s", spot(ScaledSource(8.0 * KNOT)))] == []
        (found,) = _source("s", spot(ScaledSource(8.1 * KNOT)))
        assert found[:3] == (Oddity.STRONG_EBB, "s.flow.strong_ebb", (8.1 * KNOT,))
        for swapped in (BasinSource(200.0, 2e6), InletSource(200.0, 2e6, 2.0, None)):
            (found,) = _source("s", spot(swapped))
            assert found[:3] == (Oddity.AREAS_SWAPPED, "s.flow.basin_area_m2", (200.0, 2e6))
            assert found.write == ("basin_area_m2 = 2e+06", "opening_area_m2 = 200") and found.impossible
        assert [*_source("s", spot(BasinSource(200.0, 200.0), lag=3.5 * HOUR))] == []
        (found,) = _source("s", spot(lag=-3.6 * HOUR))
        assert found[:3] == (Oddity.LONG_LAG, "s.slack_lag", (-3.6 * HOUR,))

    def test_speeds_that_the_current_never_has(self, race):
        """The race of 2 knots, a twentieth of it at the spot: just what does not fish yet."""
        (found,) = _source("s", spot(CurrentSource(race, 0.0, 0.04)))
        assert found[:2] == (Oddity.NEVER_FAST_ENOUGH, "s.speeds")
        assert found.about == pytest.approx((0.08 * KNOT, 0.1 * KNOT))
        assert found.write == ("speeds = { nothing_below = 0, full_from = 0.04 }",)
        assert [*_source("s", spot(CurrentSource(race, 0.0, 0.06)))] == []

    def test_limits_between_which_no_speed_counts(self):
        (found,) = _preferences("s", spot(limits={LeastSpeed: SPEEDS.nothing_above}))
        assert found[:2] == (Oddity.SPEED_GATES, "s.least_speed")
        assert (found.about, found.write) == ((SPEEDS.nothing_above,) * 2, ("least_speed = 0.4",))
        (other,) = _preferences("s", spot(limits={GreatestSpeed: SPEEDS.nothing_below}))
        assert other[:2] == (Oddity.SPEED_GATES, "s.greatest_speed")
        assert (other.about, other.write) == ((SPEEDS.nothing_below,) * 2, ("greatest_speed = 2",))
        assert found.impossible and other.impossible
        fine = {LeastSpeed: SPEEDS.nothing_above - 0.01, GreatestSpeed: SPEEDS.nothing_below + 0.01}
        assert [*_preferences("s", spot(limits=fine, travel=6 * HOUR))] == []
        (far,) = _preferences("s", spot(travel=6.1 * HOUR))
        assert far[:3] == (Oddity.LONG_WAY, "s.travel", (6.1 * HOUR,))


def test_distances_on_the_globe():
    """A degree of a great circle is 111.2 km; half as much along the parallel of 60 degrees."""
    degree = np.pi * 6371.0 / 180.0
    assert distance((10.0, 20.0), (11.0, 20.0)) == pytest.approx(degree)
    assert distance((0.0, 179.5), (0.0, -179.5)) == pytest.approx(degree)
    assert distance((60.0, -5.0), (60.0, -4.0)) == pytest.approx(degree / 2, rel=1e-4)
    assert distance((0.0, 0.0), (0.0, 90.0)) == pytest.approx(90 * degree)
    assert distance((90.0, 0.0), (-90.0, 50.0)) == pytest.approx(180 * degree)
    assert distance((40.0, -70.0), (40.0, -70.0)) == 0.0


class TestNeighbours:
    ROWS = (("M2", 1.0, 100.0), ("S2", 0.4, 140.0), ("K1", 0.2, 10.0), ("O1", 0.15, 350.0))

    def found(self, hours=0.0, scale=1.0, zone="America/Chicago"):
        first = SimpleNamespace(id="one", constants=constants_of(list(self.ROWS)))
        moved = [
            (name, scale * size, (lag + find(name).speed * hours) % 360) for name, size, lag in self.ROWS
        ]
        shore = SimpleNamespace(head=SimpleNamespace(zone=ZoneInfo(zone)))
        second = SimpleNamespace(constants=constants_of(moved))
        return [*_neighbours("stations[1]", first, second, shore, 2026)]

    @pytest.mark.parametrize(
        ("hours", "write"), [(-6.0, -6), (-5.3, -6), (-6.8, -6), (-3.0, -3), (4.2, 4), (9.6, 10)]
    )
    def test_lags_by_a_clock(self, hours, write):
        """The shore's own where it is within an hour of the shift, else whole hours."""
        (found,) = self.found(hours)
        assert found[:2] == (Oddity.LAGS_SHIFTED, "stations[1].phase")
        assert found.about == (pytest.approx(hours, abs=0.03), "one")
        assert found.write == ('phase = "local"', f"utc_offset = {write}")

    @pytest.mark.parametrize("scale", [0.3048, 1 / 0.3048])
    def test_amplitudes_by_a_unit(self, scale):
        (found,) = self.found(scale=scale)
        assert found[:2] == (Oddity.AMPLITUDES_SCALED, "stations[1].length_unit")
        assert found.about == (pytest.approx(scale), "one")

    def test_neighbours_alike(self):
        assert self.found() == self.found(0.3) == self.found(scale=1.3) == []
        assert _shift([(100.0, 28.98), (100.0, 15.04), (10.0, 13.94)]) is None


@pytest.mark.parametrize(("name", "odd"), [("trips.csv", True), ("Trips.XLSX", True), ("trips.db", False)])
def test_a_log_called_as_a_table_is_odd(shore, name, odd):
    text = coast_text([("M2", 1.0, 0.0)]) + spot_text("slack_lag = 0")
    made = replace(shore(text), log=Path(name))
    found = [item for item in look(made, tomllib.loads(text), STANDING_YEAR) if item.kind is Oddity.LOG_NAME]
    assert [sentence_of(item, LengthUnit.METRES) for item in found] == [
        f"log.path: found '{name}', the name of a table; expected that of a database: rename a log that is "
        'there as well (ebblight log export writes a table); write: path = "trips.db"'
    ] * odd
