"""A part of what is known of some time keeps everything else as it was."""

import numpy as np

from harmonics.records.quantities import Quantity
from harmonics.records.residuals import Cleaning, Flaw, Residuals
from harmonics.records.response import Response
from harmonics.records.scenarios import Scenarios
from harmonics.records.store import StationRecord
from harmonics.records.weather import Weather
from harmonics.stations.currents import CurrentEvents, CurrentKind
from harmonics.stations.events import Turns
from tests.harmonics.conftest import station_of

HOUR = 3600.0
T = HOUR * np.arange(4.0)
CLEANING = Cleaning(4.0, 0.1, 0.5, (Flaw("spike", 0.0, HOUR, 0.3),))
PORT = station_of([("M2", 1.0, 0.0)])


def test_weather_before_a_time():
    wind, gust = np.array([1.0, 2.0, 3.0, 4.0]), np.array([5.0, 6.0, 7.0, 8.0])
    here = Weather("w.csv", T, {Quantity.WIND_SPEED: wind, Quantity.GUST: gust}, 7.0, ("cloud",))
    part = here.before(2 * HOUR)
    assert (part.path, part.made, part.ignored) == ("w.csv", 7.0, ("cloud",))
    assert part.t.tolist() == [0.0, HOUR]
    assert {name: values.tolist() for name, values in part.values.items()} == {
        Quantity.WIND_SPEED: [1.0, 2.0],
        Quantity.GUST: [5.0, 6.0],
    }
    assert part.knows(Quantity.GUST, Quantity.WIND_SPEED) and not part.knows(Quantity.GUST, Quantity.PRESSURE)
    assert (len(here.before(0.0).t), len(here.before(9 * HOUR).t)) == (0, 4)


def test_residuals_and_what_they_tell_before_a_time():
    residuals = Residuals(10 * HOUR, np.array([0.1, 0.2, 0.3, 0.4]), CLEANING)
    part = residuals.between(11 * HOUR, 13 * HOUR)
    assert (part.start, part.level.tolist(), part.cleaning) == (11 * HOUR, [0.2, 0.3], CLEANING)
    assert (residuals.end, part.end) == (14 * HOUR, 13 * HOUR)
    assert part.t.tolist() == [11 * HOUR, 12 * HOUR]
    assert len(residuals.between(20 * HOUR, 30 * HOUR).level) == 0
    ones = np.ones(1)
    response = Response(ones, ones, ones, True, False, 0.5, 1e5)
    record = StationRecord(PORT, residuals, response, np.array([0.0, 0.1, 0.2, 0.3]))
    before = record.before(12 * HOUR)
    assert (before.station, before.response) == (PORT, response)
    assert (before.residuals.level.tolist(), before.explained.tolist()) == ([0.1, 0.2], [0.0, 0.1])
    assert StationRecord(PORT, residuals).before(12 * HOUR).explained is None


def test_scenarios_of_other_levels():
    flows, left, origins = np.ones((2, 4)), np.full((2, 4), 0.5), np.array([1.0, 2.0])
    here = Scenarios(PORT, HOUR, np.zeros((2, 4)), flows, origins, 12.0, left)
    other = here.with_levels(np.full((2, 4), 3.0))
    assert other.levels.tolist() == [[3.0] * 4] * 2
    assert (other.station, other.start, other.away, len(other)) == (PORT, HOUR, 12.0, 2)
    assert other.flows is flows and other.unexplained is left and other.origins is origins
    assert other.t.tolist() == [HOUR, 2 * HOUR, 3 * HOUR, 4 * HOUR]


def test_turns_and_events_of_a_span():
    turns = Turns(T, np.array([1.0, 0.0, 1.1, 0.1]), np.array([True, False, True, False]))
    part = turns.between(HOUR, 3 * HOUR)
    assert (part.t.tolist(), part.height.tolist(), part.high.tolist()) == (
        [HOUR, 2 * HOUR],
        [0.0, 1.1],
        [False, True],
    )
    kinds = (CurrentKind.FLOOD, CurrentKind.SLACK_BEFORE_EBB, CurrentKind.EBB, CurrentKind.SLACK_BEFORE_FLOOD)
    events = CurrentEvents(
        T, np.array([1.0, 0.0, -0.9, 0.0]), kinds, np.array([40.0, np.nan, 220.0, np.nan])
    ).between(0.0, 3 * HOUR)
    assert (events.t.tolist(), events.speed.tolist(), events.kind) == (
        [0.0, HOUR, 2 * HOUR],
        [1.0, 0.0, -0.9],
        kinds[:3],
    )
    assert events.direction[[0, 2]].tolist() == [40.0, 220.0] and len(events) == 3
