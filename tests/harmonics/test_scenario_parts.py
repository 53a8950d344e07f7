"""Parts of scenarios: which are chosen, what weather leaves, delays by hand, and what is known ahead."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from harmonics.records.ahead import LevelAhead, level_ahead
from harmonics.records.observed import Departure
from harmonics.records.places import even_delays
from harmonics.records.quantities import Quantity
from harmonics.records.response import SEASON_HOURS, STANDARD_PRESSURE, Response, _less_season
from harmonics.records.scenarios import MOST, Scenarios, _less, _of_season
from harmonics.records.weather import Weather
from harmonics.stations.secondary import passed_on
from harmonics.stations.tides import levels
from harmonics.stations.types import HeightDifference, HeightPairs, SecondaryStation, Station
from harmonics.sums.series import sums_at
from harmonics.sums.waves import year_start
from tests.harmonics.conftest import published_station
from tests.harmonics.records_of import DAY, HOUR

START = year_start(2021)
STATION = published_station("8443970")


def scenarios(flows, unexplained=None):
    flows = np.atleast_2d(flows)
    return Scenarios(STATION, START, flows, flows, np.arange(float(len(flows))), 0.0, unexplained)


def test_chosen_ones_keep_all_their_parts():
    found = scenarios(np.arange(12.0).reshape(3, 4), np.arange(12.0).reshape(3, 4) + 100.0)
    some = found.chosen(np.array([2, 0]))
    assert len(some) == 2
    assert some.levels[:, 0].tolist() == some.flows[:, 0].tolist() == [8.0, 0.0]
    assert some.unexplained[:, 0].tolist() == [108.0, 100.0]
    assert some.origins.tolist() == [2.0, 0.0]
    assert scenarios(np.zeros((3, 4))).chosen(np.array([1])).unexplained is None


def test_many_of_a_season_are_thinned_evenly_from_the_first_to_the_last():
    away = np.concatenate((np.linspace(0.0, 45.0, 1000), [45.1]))
    chosen = _of_season(away)
    assert (len(chosen), chosen[0], chosen[-1]) == (MOST, 0, 999)
    assert np.ptp(np.diff(chosen)) <= 1
    assert _of_season(np.concatenate((np.full(20, 45.0), np.full(9, 45.1)))).tolist() == list(range(20))
    assert len(_of_season(np.concatenate((np.full(19, 45.0), np.full(90, 45.1))))) == 60


def test_what_weather_leaves_of_a_level():
    level = np.array([1.0, -1.0, 1.0, -1.0, 4.0])
    assert_allclose(_less(level, np.array([0.5, -0.5, 0.5, -0.5, np.nan])), [0.5, -0.5, 0.5, -0.5, 2.0])
    assert_allclose(_less(level, np.full(5, np.nan)), level)
    assert_allclose(_less(level, np.array([-1.0, 1.0, -1.0, 1.0, np.nan])), [2.0, -2.0, 2.0, -2.0, 4.0])


def test_a_delay_is_that_of_the_tidal_day_around():
    """By hand: the sum of -r' h'' over that of h'' squared, at the 25 hours around."""
    rng = np.random.default_rng(5)
    found = scenarios(np.cumsum(rng.normal(scale=0.01, size=200)))
    hours = START + HOUR * np.arange(200)
    bend = sums_at(STATION.constants, STATION.practice, hours, order=2)
    rate = found.even_rates(START + 2 * HOUR, HOUR, 196)[0]
    for middle in (60, 61, 100):
        part = slice(middle - 12, middle + 13)
        near = rate[middle - 14 : middle + 11]
        expected = -np.sum(near * bend[part]) / np.sum(bend[part] ** 2)
        got = even_delays(found, START + middle * HOUR, HOUR, 1)[0, 0]
        assert got == pytest.approx(expected, rel=1e-6)
    two = even_delays(found, START + 60 * HOUR, 0.5 * HOUR, 3)[0]
    assert two[1] == pytest.approx(0.5 * (two[0] + two[2]))


def test_a_change_of_the_reference_arrives_as_its_level_asks():
    """Factors by height: a metre there is the slope of the corrected height at the level of the moment."""
    reference = Station("r", "R", 0.0, 0.0, "MLLW", 1.5, STATION.constants)
    same = HeightDifference(factor_by_height=HeightPairs((0.0, 3.0), (0.5, 1.5)))
    place = SecondaryStation("b", "B", None, None, reference, same, same)
    t = START + 600.0 * np.arange(300)
    there, pace, gain = passed_on(place, t)
    assert_allclose(there, t)
    assert_allclose(pace, 1.0)
    height = levels(reference, t)
    inside = (height > 0.6) & (height < 2.4)
    factor = 0.5 + height / 3.0
    assert_allclose(gain[inside], (factor + height / 3.0)[inside], atol=1e-6)


def weather(hours=200):
    t = START + HOUR * np.arange(float(hours))
    return Weather("w", t, {Quantity.PRESSURE: STANDARD_PRESSURE - 100.0 * np.arange(float(hours))})


def test_pressure_alone_moves_the_level_ahead():
    found = level_ahead(START + 10.5 * HOUR, START + 20.2 * HOUR, weather=weather())
    assert (found.start, found.fitted) == (START + 10 * HOUR, False)
    assert len(found.weather) == 13
    assert found.at(START + 12 * HOUR) == pytest.approx(0.12, rel=1e-3)


def test_a_response_moves_it_instead_and_one_that_explains_too_little_moves_nothing():
    lags = 5
    weight = np.array([-2e-4, 0.0, 0.0, 0.0, 0.0])
    centre = np.full(lags, STANDARD_PRESSURE)
    used = Response(centre, np.ones(lags), weight, True, False, 0.9, STANDARD_PRESSURE)
    found = level_ahead(START + 60 * HOUR, START + 80 * HOUR, weather=weather(), response=used)
    assert (found.start, found.fitted, len(found.weather)) == (START + 60 * HOUR, True, 22)
    assert found.weather[10] == pytest.approx(2e-4 * 100.0 * 69.0, rel=1e-6)  # mean of hours 68 to 70
    wasted = Response(np.zeros(lags), np.ones(lags), np.zeros(lags), True, False, 0.0, STANDARD_PRESSURE)
    assert level_ahead(START, START + DAY, weather=weather(), response=wasted).weather is None
    wind = Weather("w", weather().t, {Quantity.WIND_SPEED: np.zeros(200)})
    assert level_ahead(START, START + DAY, weather=wind).weather is None


def test_of_no_hours_of_weather_nothing_is_known():
    t = START + HOUR * np.arange(3.0)
    for part in (np.empty(0), np.full(5, np.nan)):
        assert LevelAhead(None, START, part, True).at(t).tolist() == [0.0] * 3


def test_a_season_is_the_mean_of_what_is_known_around():
    rng = np.random.default_rng(3)
    values = rng.normal(size=6000)
    values[100:200] = np.nan
    found = _less_season(values)
    for index in (0, 10, 3000, 5999):
        around = values[max(index - SEASON_HOURS, 0) : index + SEASON_HOURS + 1]
        assert found[index] == pytest.approx(values[index] - np.nanmean(around))
    assert np.isnan(found[150])


def departure(height, newest):
    return Departure(newest, height, 0.01, 0.1, 36 * HOUR, False, 3)


@pytest.mark.parametrize("hour", [0.0, 10.5, 98.5, 99.0, 130.0])
def test_scenarios_start_from_a_reading_anywhere_in_them(hour):
    """Before the first knot and after the last the nearest one is moved."""
    flows = np.vstack([np.linspace(0.0, 0.3, 100) ** 2, np.cos(np.arange(100.0))])
    found = LevelAhead(departure(0.4, START + hour * HOUR)).adjusted(scenarios(flows))
    place = min(hour, 99.0)
    low = min(int(place), 98)
    t = START + HOUR * np.arange(100)
    stood = flows[:, low] + (flows[:, low + 1] - flows[:, low]) * (place - low)
    fading = np.exp(-np.maximum(t - START - hour * HOUR, 0.0) / (36 * HOUR))
    assert_allclose(found.levels, flows + (0.4 - stood)[:, None] * fading)
    assert found.flows is not found.levels and np.array_equal(found.flows, flows)


def test_known_weather_of_a_response_takes_the_place_of_that_of_then():
    """Where it is known, the level is what it does and what it left unexplained; then that fades."""
    flows, left = np.full((2, 100), 0.5), np.full((2, 100), 0.1)
    ahead = LevelAhead(None, START, np.full(50, 0.2), True)
    found = ahead.adjusted(scenarios(flows, left)).levels
    assert_allclose(found[:, :50], 0.3)
    fading = np.exp(-np.arange(1, 51) / 36.0)
    assert_allclose(found[0, 50:], 0.5 - 0.2 * fading)
    plain = LevelAhead(None, START, np.full(50, 0.2), False).adjusted(scenarios(flows)).levels
    assert_allclose(plain[:, :50], 0.7)
    assert_allclose(plain[0, 50:], 0.5 + 0.2 * fading)
    unknown = LevelAhead(None, START, np.full(50, np.nan), True).adjusted(scenarios(flows, left)).levels
    assert_allclose(unknown, flows)
    same = scenarios(flows)
    assert LevelAhead().adjusted(same) is same


def test_without_weather_the_readings_stay():
    reading = departure(0.4, START)
    assert level_ahead(START, START + DAY, reading).departure is reading
    assert level_ahead(START, START + DAY, reading, weather()).departure is reading
