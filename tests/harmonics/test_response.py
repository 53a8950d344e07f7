"""How a level answers weather, and how that adds up with today's readings."""

import numpy as np
import pytest

from harmonics.records.ahead import LevelAhead, level_ahead
from harmonics.records.observed import Departure
from harmonics.records.quantities import Quantity
from harmonics.records.response import (
    LEAST_SHARE,
    STANDARD_PRESSURE,
    barometer,
    fit_response,
    stress,
)
from harmonics.records.scenarios import Scenarios
from harmonics.records.store import StationRecord, answered
from harmonics.records.weather import Weather
from harmonics.sums.waves import year_start
from tests.harmonics.conftest import published_station
from tests.harmonics.dry_bar_response import judged
from tests.harmonics.records_of import DAY, HOUR, made_residuals, red_noise

START = year_start(2019)


def made_weather(hours, seed=1, start=START):
    """Made weather: pressure and wind that wander over days."""
    pressure = STANDARD_PRESSURE + red_noise(hours, 60.0, 700.0, seed)
    east, north = red_noise(hours, 30.0, 5.0, seed + 10), red_noise(hours, 30.0, 5.0, seed + 20)
    return Weather(
        "w",
        start + HOUR * np.arange(float(hours)),
        {
            Quantity.PRESSURE: pressure,
            Quantity.WIND_SPEED: np.hypot(east, north),
            Quantity.WIND_FROM: np.degrees(np.arctan2(-east, -north)) % 360.0,
        },
    )


def answering(weather, count, start=START):
    """A level that answers as physics would have it: pressure at once, east wind over the last six hours."""
    t = start + HOUR * np.arange(-6.0, count)
    east = np.nan_to_num(stress(weather, t)[0])
    heaped = sum(east[6 - k : 6 - k + count] for k in range(6)) / 6.0
    return -1e-4 * (weather.at(Quantity.PRESSURE, t[6:]) - STANDARD_PRESSURE) + 2.5 * heaped


class TestResponse:
    def test_a_level_that_answers_is_answered(self):
        weather = made_weather(300 * 24)
        level = answering(weather, 300 * 24) + red_noise(300 * 24, 20.0, 0.02, 7)
        found = fit_response(made_residuals(level[: 200 * 24]), weather.before(START + 200 * DAY))
        assert found is not None
        assert found.used
        later = found.hourly(weather, START + 200 * DAY, 100 * 24)
        left = level[200 * 24 :] - later
        assert np.isfinite(later).all()
        assert left.std() < 0.35 * level[200 * 24 :].std()
        assert found.share > 0.8

    @pytest.mark.parametrize("seed", range(5))
    def test_weather_of_elsewhere_explains_nothing_that_was_held_back(self, seed):
        weather = made_weather(200 * 24, seed=50 + seed)
        found = fit_response(made_residuals(red_noise(200 * 24, 40.0, 0.1, seed)), weather)
        assert found is not None
        assert found.share < LEAST_SHARE
        assert not found.used

    def test_a_real_microtidal_bay(self):
        """Dry Bar: one year learned from nothing of the other, the other judged, both ways.

        Most of 2013 is slow: the means of its seasons vary by 18 of its 23 cm, and no weather of two days
        tells that. Of what passes a third and more is gone.
        """
        found = judged()
        assert all(item.hours > 6000 for item in found.values())
        assert found["2013"].left < 0.862
        assert found["2012"].left < 0.79
        assert all(item.left_of_passing < 0.66 for item in found.values())

    def test_a_gauge_put_back_and_the_seasons_leave_the_weights_alone(self):
        """A step of half a metre, and a season that goes with the pressure's: weather is not their cause."""
        hours = 365 * 24
        season = np.cos(2 * np.pi * np.arange(hours) / hours)
        calm = made_weather(hours)
        pressure = calm.values[Quantity.PRESSURE] + 600.0 * season
        weather = Weather("w", calm.t, {Quantity.PRESSURE: pressure})
        level = answering(calm, hours) + red_noise(hours, 20.0, 0.02, 7)
        moved = level - 0.2 * season + np.where(np.arange(hours) > 5000, 0.5, 0.0)
        true, found = (fit_response(made_residuals(values), weather) for values in (level, moved))
        answer = [(one.weight / one.scale).sum() for one in (true, found)]
        assert answer[1] == pytest.approx(answer[0], rel=0.15)
        assert found.share < true.share  # of all that the record was off by

    def test_pressure_alone_and_wind_alone(self):
        weather = made_weather(200 * 24)
        level = answering(weather, 200 * 24)
        for names in ((Quantity.PRESSURE,), (Quantity.WIND_SPEED, Quantity.WIND_FROM)):
            part = Weather("w", weather.t, {name: weather.values[name] for name in names})
            found = fit_response(made_residuals(level), part)
            assert found is not None
            assert (found.pressure, found.wind) == (len(names) == 1, len(names) == 2)
            assert found.share > 0.1

    def test_without_both_or_with_too_little_there_is_none(self):
        weather = made_weather(200 * 24)
        level = answering(weather, 200 * 24)
        speed = Weather("w", weather.t, {Quantity.WIND_SPEED: weather.values[Quantity.WIND_SPEED]})
        assert fit_response(made_residuals(level), speed) is None
        assert fit_response(made_residuals(level), weather.before(START + 30 * DAY)) is None

    def test_unknown_weather_of_yesterday_is_taken_as_usual_and_that_of_today_is_not(self):
        weather = made_weather(200 * 24)
        found = fit_response(made_residuals(answering(weather, 200 * 24)), weather)
        first = START + 150 * DAY
        late = np.searchsorted(weather.t, first)
        begun = Weather("w", weather.t[late:], {k: v[late:] for k, v in weather.values.items()})
        said, full = found.hourly(begun, first, 72), found.hourly(weather, first, 72)
        assert np.isnan(said[:4]).all()
        assert np.isfinite(said[13:]).all()
        assert said[50:] == pytest.approx(full[50:])
        over = found.hourly(weather.before(first), first - 5 * HOUR, 24)
        assert np.isfinite(over[:5]).all()
        assert np.isnan(over[12:]).all()

    def test_a_calm_needs_no_direction(self):
        weather = Weather(
            "w",
            np.array([0.0, HOUR]),
            {Quantity.WIND_SPEED: np.zeros(2), Quantity.WIND_FROM: np.full(2, np.nan)},
        )
        assert [part.tolist() for part in stress(weather, np.array([0.0, HOUR]))] == [[0.0, 0.0], [0.0, 0.0]]

    def test_wind_from_the_west_pushes_east(self):
        weather = Weather(
            "w",
            np.array([0.0]),
            {Quantity.WIND_SPEED: np.array([10.0]), Quantity.WIND_FROM: np.array([270.0])},
        )
        east, north = stress(weather, np.array([0.0]))
        assert east[0] == pytest.approx(0.12)
        assert north[0] == pytest.approx(0.0, abs=1e-12)

    def test_a_centimetre_a_hectopascal(self):
        weather = Weather("w", np.array([0.0, HOUR]), {Quantity.PRESSURE: np.array([102_325.0, 99_325.0])})
        assert barometer(weather, 0.0, 3) == pytest.approx([-0.1, 0.2, np.nan], nan_ok=True)


def departure(height, newest=0.0, decay=36 * HOUR):
    return Departure(newest, height, 0.01, 0.1, decay, False, 3)


class TestAddingUp:
    T = HOUR * np.array([-1.0, 0.0, 6.0, 36.0, 200.0])

    def test_nothing_known_is_the_tide(self):
        assert not LevelAhead().at(self.T).any()

    def test_readings_alone_are_as_ever(self):
        assert np.array_equal(LevelAhead(departure(0.3)).at(self.T), departure(0.3).at(self.T))

    def test_what_the_weather_of_now_explains_is_not_counted_twice(self):
        ahead = LevelAhead(departure(0.3), -10 * HOUR, np.full(100, 0.3), True)
        assert ahead.at(HOUR * np.arange(60.0)) == pytest.approx(np.full(60, 0.3))
        rest = LevelAhead(departure(0.5), -10 * HOUR, np.full(100, 0.3), True)
        assert rest.at(np.array([0.0, 36 * HOUR])) == pytest.approx([0.5, 0.3 + 0.2 * np.exp(-1.0)])

    def test_weather_that_turns_moves_the_level(self):
        falling = LevelAhead(departure(0.3), 0.0, np.linspace(0.3, -0.3, 61), True)
        assert falling.at(np.array([0.0, 30 * HOUR, 60 * HOUR])) == pytest.approx([0.3, 0.0, -0.3])

    def test_past_its_end_what_it_last_did_fades(self):
        ahead = LevelAhead(None, 0.0, np.full(11, 0.2), True)
        assert ahead.at(np.array([-HOUR, 10 * HOUR, 46 * HOUR])) == pytest.approx(
            [0.0, 0.2, 0.2 * np.exp(-1.0)]
        )

    def test_of_unknown_weather_now_the_reading_stands_for_it(self):
        ahead = LevelAhead(departure(0.3), 20 * HOUR, np.full(400, 0.3), True)
        assert ahead.at(np.array([0.0, 19 * HOUR]))[0] == pytest.approx(0.3)
        assert ahead.at(np.array([30 * HOUR]))[0] == pytest.approx(0.3)
        assert ahead.at(np.array([400 * HOUR]))[0] == pytest.approx(0.3, abs=0.01)

    @pytest.mark.parametrize("weather", [None, np.full(300, 0.1)])
    def test_scenarios_start_from_the_reading_and_spread(self, weather):
        k = np.random.default_rng(1).normal(scale=0.2, size=(40, 1)) + np.zeros((1, 200))
        found = Scenarios(
            published_station("8724580"), 0.0, k, k, np.zeros(40), 0.0, None if weather is None else 0.5 * k
        )
        ahead = LevelAhead(departure(0.4, 50 * HOUR), 0.0, weather, weather is not None)
        levels = ahead.adjusted(found).levels
        assert levels[:, 50] == pytest.approx(np.full(40, 0.4))
        assert levels[:, 20] == pytest.approx(np.full(40, 0.4))
        spread = levels.std(axis=0)
        assert spread[50] < spread[60] < spread[120] < spread[190]
        assert spread[199] < (0.25 if weather is None else 0.125)

    def test_weather_that_is_known_narrows_scenarios_and_flows_stay(self):
        levels = np.random.default_rng(2).normal(size=(30, 100))
        found = Scenarios(published_station("8724580"), 0.0, levels, levels, np.zeros(30), 0.0, 0.3 * levels)
        known = np.where(np.arange(100) < 60, 0.2, np.nan)
        moved = LevelAhead(None, 0.0, known, True).adjusted(found)
        assert moved.levels[:, :60] == pytest.approx(0.2 + 0.3 * levels[:, :60])
        assert np.abs(moved.levels[:, 99] - levels[:, 99]).max() < 0.4 * np.abs(levels).max()
        assert moved.flows is found.flows

    def test_pressure_moves_all_scenarios_alike(self):
        levels = np.random.default_rng(2).normal(size=(30, 100))
        found = Scenarios(published_station("8724580"), 0.0, levels, levels, np.zeros(30), 0.0)
        moved = LevelAhead(None, 0.0, np.full(100, -0.1), False).adjusted(found)
        assert moved.levels == pytest.approx(levels - 0.1)

    def test_what_is_used_follows_from_what_is_known(self):
        weather = made_weather(400 * 24)
        level = answering(weather, 200 * 24)
        good = fit_response(made_residuals(level), weather)
        poor = fit_response(made_residuals(red_noise(200 * 24, 40.0, 0.1, 5)), weather)
        start = START + 300 * DAY
        end = start + DAY
        assert level_ahead(start, end).weather is None
        assert level_ahead(start, end, None, weather, poor).weather is None
        assert level_ahead(start, end, None, weather, good).fitted
        alone = level_ahead(start, end, None, weather)
        assert not alone.fitted
        assert alone.at(np.array([start])) == pytest.approx(barometer(weather, start, 1))
        wind = Weather("w", weather.t, {Quantity.WIND_SPEED: weather.values[Quantity.WIND_SPEED]})
        assert level_ahead(start, end, None, wind).weather is None


def test_a_record_s_scenarios_know_what_weather_left_unexplained():
    station = published_station("8724580")
    weather = made_weather(400 * 24)
    level = answering(weather, 400 * 24) + red_noise(400 * 24, 20.0, 0.02, 7)
    record = answered(station, made_residuals(level), weather)
    assert isinstance(record, StationRecord)
    start = START + 420 * DAY
    found = record.scenarios(start, start + 7 * DAY)
    assert found.unexplained is not None
    assert np.ptp(found.unexplained, axis=1).mean() < 0.6 * np.ptp(found.levels, axis=1).mean()
    assert np.isfinite(found.unexplained).all()
    cut = record.before(START + 300 * DAY)
    assert len(cut.residuals.level) == len(cut.explained) == 300 * 24
    unlike = answered(station, made_residuals(red_noise(400 * 24, 20.0, 0.2, 9)), weather)
    assert unlike.explained is None
    assert unlike.scenarios(start, start + 7 * DAY).unexplained is None
