"""Flows under the scenarios of a record: nothing added changes nothing, and a delay is a delay."""

from datetime import date
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from numpy.testing import assert_allclose

from harmonics.records.quantities import Quantity
from harmonics.records.residuals import Residuals
from harmonics.records.scenarios import Scenarios
from harmonics.records.store import StationRecord
from harmonics.records.weather import Weather
from harmonics.stations.inlet import Inlet
from tests.windows.conftest import LONG_AGO, at, one_spot
from windows.conditions.assembly import conditions_of
from windows.conditions.cases import KNOWN_TURN, TimeShifts
from windows.conditions.flow import FallingWater, InletFlow, ScaledFall
from windows.conditions.flow_models import solved_inlet
from windows.conditions.outlook import Outlook
from windows.conditions.scenario_water import _later, scenario_outgoing
from windows.conditions.span import Span
from windows.shoreline.spots import SpeedRange

START, STEP, COUNT = at("2026-08-03"), 300.0, 288
DAY = 86400.0
TIDE = [("M2", 1.0, 30.0), ("S2", 0.3, 60.0)]


@pytest.fixture
def station(shore):
    return shore(one_spot(TIDE)).spots[0].station


def risen(station, metres=0.0, rise=0.0):
    """Two scenarios: as predicted, and higher by so much and rising so fast (m/s), for ten days around."""
    hours = 10 * 24
    t = START - 5 * DAY + 3600.0 * np.arange(hours)
    levels = np.stack([np.zeros(hours), metres + rise * (t - START)])
    return Scenarios(station, float(t[0]), levels, levels, np.arange(2.0), 0.0)


@pytest.mark.parametrize("scale", [None, 40.0])
def test_water_that_rises_runs_out_less_by_that_rise(station, scale):
    rise = 2e-6
    if scale is None:
        flow = FallingWater(station, 1200.0, 1e-5, 1e-4, False)
    else:
        flow = ScaledFall("scaled", station, 1200.0, scale, SpeedRange(), False)
    plain = flow.even_outgoing(START, STEP, COUNT)
    found = scenario_outgoing(flow, risen(station, 0.2, rise), START, STEP, COUNT)
    assert_allclose(found[0], plain, atol=1e-12)
    assert_allclose(found[1], plain - (scale or 1.0) * rise, rtol=1e-6, atol=1e-12)


def test_the_bay_of_an_inlet_is_as_solved_where_nothing_is_added(station):
    """But for the quarters of an hour between which it runs straight, which tells at slack."""
    inlet = Inlet(4e6, 120.0, 3.0)
    t, bay, ebb = solved_inlet(station, inlet, START - 3 * DAY, START + 3 * DAY)
    flow = InletFlow(t, ebb, bay, station, inlet, SpeedRange())
    found = scenario_outgoing(flow, risen(station, 0.5), START, STEP, COUNT)
    plain = flow.even_outgoing(START, STEP, COUNT)
    assert found.shape == (2, COUNT)
    assert np.abs(found - plain).mean() < 0.01 * np.abs(plain).max()
    late = scenario_outgoing(flow, risen(station), START + 1800.0, STEP, COUNT - 6)
    assert_allclose(late[0], found[0, 6:], atol=0.003 * np.abs(plain).max())


def test_a_current_comes_as_late_as_its_scenario():
    flow = SimpleNamespace(even_outgoing=lambda start, step, count: (start + step * np.arange(count)) / 1e3)
    t = START + STEP * np.arange(COUNT)
    for delay in (0.0, 450.0, -450.0, 1800.0, -1800.0):
        found = _later(flow, np.full((2, COUNT), delay), START, STEP, COUNT)
        assert_allclose(found, np.tile((t - delay) / 1e3, (2, 1)), rtol=1e-12)
    ragged = np.linspace(-3000.0, 3000.0, COUNT)[None]
    assert_allclose(_later(flow, ragged, START, STEP, COUNT), (t - ragged) / 1e3, rtol=1e-12)
    assert _later(flow, np.empty((0, COUNT)), START, STEP, COUNT).shape == (0, COUNT)


def test_a_flow_without_scenarios_is_refused(station):
    with pytest.raises(TypeError, match="SimpleNamespace takes no scenarios"):
        scenario_outgoing(SimpleNamespace(), risen(station), START, STEP, COUNT)


def test_what_is_known_ahead_asks_the_station_s_own_record(station):
    """A record whose response is of no use silences the pressure that would else move the level by itself."""
    hours = START + 3600.0 * np.arange(-48.0, 72.0)
    weather = Weather("w.csv", hours, {Quantity.PRESSURE: np.full(len(hours), 100_325.0)})
    alone = Outlook(LONG_AGO, weather=weather)
    assert alone.level_ahead(station, START, START + DAY).at([START + DAY / 2])[0] == pytest.approx(
        0.1, abs=0.005
    )
    told = SimpleNamespace(response=SimpleNamespace(used=False))
    known = Outlook(LONG_AGO, records={station.id: told}, weather=weather)
    assert known.level_known(station, START, START + DAY).at([START + DAY / 2])[0] == 0.0
    assert Outlook(LONG_AGO, records={station.id: told}).level_known(station, START, START + DAY) is None
    assert known.record(station) is told
    assert Outlook(LONG_AGO).record(station) is None


def test_a_record_too_short_tells_no_chance_and_says_why(shore):
    spot = shore(one_spot(TIDE, "slack_lag = 0")).spots[0]
    hours = START - 30 * DAY + 3600.0 * np.arange(5 * 24)
    record = StationRecord(spot.station, Residuals(float(hours[0]), np.zeros(len(hours)), None))
    span = Span.of(date(2026, 8, 3), 1, ZoneInfo("UTC"))
    found = conditions_of(spot, span, Outlook(LONG_AGO, records={spot.station.id: record}))
    assert found.cases == TimeShifts(KNOWN_TURN)
    assert "the record of Gauge has fewer than" in found.no_chance
    assert found.record is record
    assert conditions_of(spot, span, Outlook(LONG_AGO)).no_chance == ""
