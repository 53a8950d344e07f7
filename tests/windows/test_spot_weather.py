"""The weather at a spot and over a session: every quantity in its own place, the unknown kept unknown."""

from dataclasses import fields
from types import SimpleNamespace

import numpy as np
import pytest

from harmonics.records.quantities import Quantity
from harmonics.records.weather import Weather
from tests.windows.conftest import one_spot
from windows.conditions.spot_weather import AGAINST, FRESH, SpotWeather, weather_at
from windows.forecast.session_weather import session_weather
from windows.shoreline.exposure import Exposure

HOUR = 3600.0
KINDS = {
    "wind": Quantity.WIND_SPEED,
    "gust": Quantity.GUST,
    "wind_from": Quantity.WIND_FROM,
    "thunder": Quantity.THUNDER,
    "air": Quantity.AIR_TEMPERATURE,
    "water": Quantity.WATER_TEMPERATURE,
}
FILE = Weather(
    "w.csv",
    HOUR * np.arange(3.0),
    {
        Quantity.WIND_SPEED: np.array([6.0, 9.0, 7.0]),
        Quantity.GUST: np.array([8.0, 10.0, 12.0]),
        Quantity.WIND_FROM: np.array([200.0, 180.0, 170.0]),
        Quantity.THUNDER: np.array([0.1, 0.0, 0.3]),
        Quantity.AIR_TEMPERATURE: np.array([18.0, 20.0, 25.0]),
        Quantity.WATER_TEMPERATURE: np.array([14.0, 15.0, 17.0]),
    },
)

SOUTH = (Exposure(90.0, 270.0, 5000.0, 2.0),)


@pytest.fixture
def spot(shore):
    made = shore(one_spot([("M2", 1.0, 0.0)])).spots[0]

    def with_keys(exposed=SOUTH, ebb_sets=None):
        return SimpleNamespace(station=made.station, exposed=exposed, ebb_sets=ebb_sets)

    return with_keys


def curve(weather, spot, outgoing=(0.0, 1.0, 1.0)):
    return SimpleNamespace(t=FILE.t, weather=weather_at(spot, weather, FILE.t), outgoing=np.array(outgoing))


def test_every_quantity_is_in_its_own_place(spot):
    found = weather_at(spot(), FILE, FILE.t)
    for name, quantity in KINDS.items():
        assert getattr(found, name) == pytest.approx(FILE.values[quantity]), name
    assert found.chop is not None
    assert found.chop.high.argmax() == 1
    assert weather_at(spot(exposed=()), FILE, FILE.t).chop is None


def test_some_of_its_times_keep_every_quantity(spot):
    found = weather_at(spot(), FILE, FILE.t)
    some = found.steps(slice(1, None))
    for name in KINDS:
        assert getattr(some, name).tolist() == getattr(found, name)[1:].tolist(), name
    for item in fields(found.chop):
        assert getattr(some.chop, item.name).tolist() == getattr(found.chop, item.name)[1:].tolist()
    assert weather_at(spot(exposed=()), FILE, FILE.t).steps(np.array([0])).chop is None


def test_a_fresh_wind_against_the_ebb():
    """An ebb that sets south meets a wind from the south, and from the quarter turn around it."""

    def against(wind, wind_from, sets=180.0):
        known = SpotWeather(*map(np.array, ([wind], [wind], [wind_from])), None, *[np.zeros(1)] * 3)
        return bool(known.against(sets)[0])

    for wind_from in (180.0, 180.0 - AGAINST, 180.0 + AGAINST):
        assert against(FRESH, wind_from)
    assert not against(FRESH - 0.1, 180.0)
    assert not against(FRESH, 180.0 + AGAINST + 1.0)
    assert against(FRESH, 350.0, sets=10.0)
    assert not against(FRESH, 180.0, sets=0.0)
    assert not against(FRESH, np.nan)


def test_a_session_tells_the_roughest_and_the_middle_of_temperatures(spot):
    place = spot(ebb_sets=180.0)
    found = session_weather(place, curve(FILE, place), 0.0, 2 * HOUR)
    assert found is not None
    assert (found.wind, found.wind_from, found.gust, found.thunder) == (9.0, pytest.approx(180.0), 12.0, 0.3)
    assert (found.air, found.water) == (21.0, pytest.approx(46.0 / 3.0))
    assert found.against_ebb and found.whole
    high = curve(FILE, place).weather.chop.high
    assert found.chop is not None and found.chop[1] == high.max() and 0.0 < found.chop[0] <= found.chop[1]
    assert session_weather(spot(), curve(FILE, place), 0.0, 2 * HOUR).against_ebb is False
    assert session_weather(place, curve(FILE, place, (0.0, 0.0, -1.0)), 0.0, 2 * HOUR).against_ebb is False
    first = session_weather(place, curve(FILE, place), 0.0, 0.0)
    assert (first.wind, first.gust, first.air) == (6.0, 8.0, 18.0)


def test_what_is_not_known_of_a_session_is_none(spot):
    place = spot()
    no_wind = Weather("w.csv", FILE.t, {Quantity.THUNDER: np.array([0.1, np.nan, 0.2])})
    found = session_weather(place, curve(no_wind, place), 0.0, 2 * HOUR)
    assert found is not None
    assert (found.wind, found.wind_from, found.gust, found.chop) == (None, None, None, None)
    assert (found.air, found.water, found.thunder, found.whole) == (None, None, 0.2, False)
    late = Weather("w.csv", FILE.t, {Quantity.WIND_SPEED: np.array([np.nan, 4.0, 5.0])})
    found = session_weather(place, curve(late, place), 0.0, 2 * HOUR)
    assert (found.wind, found.wind_from, found.chop, found.whole) == (5.0, None, None, False)
    nothing = Weather("w.csv", FILE.t, {Quantity.WIND_FROM: np.array([1.0, 2.0, 3.0])})
    assert session_weather(place, curve(nothing, place), 0.0, 2 * HOUR) is None
    assert session_weather(place, SimpleNamespace(weather=None), 0.0, HOUR) is None
