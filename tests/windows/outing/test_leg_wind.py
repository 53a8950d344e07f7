"""The wind of a way: the strongest from start to end, with its direction, what is unknown left out."""

from types import SimpleNamespace

import numpy as np
import pytest

from harmonics.records.quantities import Quantity
from harmonics.records.weather import Weather
from windows.outing.legs import Walker
from windows.outing.reports import LegWind

STEP = 300.0
HOURS = 3600.0 * np.arange(5.0)


def wind_of(first, last, weather):
    scene = SimpleNamespace(t=np.array([0.0]), outlook=SimpleNamespace(weather=weather))
    return Walker(scene, (), None, None)._wind(first, last)


def weather(speed, gust=None, whence=None):
    told = {Quantity.WIND_SPEED: speed, Quantity.GUST: gust, Quantity.WIND_FROM: whence}
    known = {item: np.array(values) for item, values in told.items() if values is not None}
    return Weather("w.csv", HOURS, known)


def test_the_strongest_between_start_and_end():
    """By hours 2, 4, 6, 8 and 3 m/s; the way takes from one o'clock to two, or to three."""
    known = weather([2.0, 4.0, 6.0, 8.0, 3.0], [5.0, 9.0, 7.0, 10.0, 4.0], [10.0, 20.0, 30.0, 40.0, 50.0])
    assert wind_of(12, 24, known) == LegWind(6.0, 9.0, pytest.approx(30.0))
    assert wind_of(12, 36, known) == LegWind(8.0, 10.0, pytest.approx(40.0))
    assert wind_of(12, 12, known) == LegWind(4.0, 9.0, pytest.approx(20.0))


def test_what_is_not_known():
    assert wind_of(0, 12, None) is None
    assert wind_of(0, 12, weather([np.nan] * 5, [1.0] * 5)) is None
    assert wind_of(0, 12, weather([2.0, 4.0, 6.0, 8.0, 3.0])) == LegWind(4.0, None, None)
    half = weather([np.nan, 4.0, 6.0, 8.0, 3.0], [np.nan, 5.0, np.nan, 1.0, 1.0], [90.0] * 5)
    assert wind_of(0, 18, half) == LegWind(5.0, 5.0, pytest.approx(90.0))
