"""Today's departure from the prediction, carried forward. Invented readings over published constants."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from harmonics.errors import EbblightError
from harmonics.records.observed import (
    Departure,
    crossing_uncertainty,
    departure,
    departure_words,
    turn_uncertainty,
)
from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from harmonics.units import LengthUnit
from tests.harmonics.conftest import published_station, station_of

HOUR = 3600.0
DAY = 86400.0
NOW = year_start(2026) + 200 * DAY


def readings(station, hours, above, newest=NOW - HOUR):
    t = newest - HOUR * np.arange(hours)[::-1]
    return t, levels(station, t) + above


def wandering(seed, days, decay_hours, deviation):
    """A first-order process at hourly steps."""
    rng = np.random.default_rng(seed)
    memory = np.exp(-1 / decay_hours)
    value, out = deviation * rng.normal(), []
    for shock in rng.normal(size=days * 24):
        value = memory * value + np.sqrt(1 - memory**2) * deviation * shock
        out.append(value)
    return np.array(out)


def test_the_departure_of_a_steady_set_up():
    station = published_station("8443970")
    t, level = readings(station, 12, 0.25)
    level[-2] += 3.0  # one bad reading
    found = departure(station, t, level, NOW)
    assert found.newest == NOW - HOUR
    assert found.height == pytest.approx(0.25, abs=1e-9)
    assert found.count == 4
    assert not found.fitted
    assert found.decay == 36.0 * HOUR  # common practice


def test_the_bounds_of_what_is_read():
    """Every constant by what it does, at its own edge."""
    station = station_of([("M2", 0.5, 0.0)])

    def found(hours, above, kept=slice(None)):
        t, level = readings(station, hours, above)
        gaps = np.full(hours, np.nan)
        gaps[kept] = level[kept]
        return departure(station, t, gaps, NOW)

    # a decay is fitted from 15 days on, with readings on four days of five
    assert not found(14 * 24, 0.1).fitted
    assert found(15 * 24, 0.1).fitted
    whole_days = np.arange(20 * 24) // 24
    assert found(20 * 24, 0.1, (whole_days < 15) | (whole_days == 19)).fitted
    assert not found(20 * 24, 0.1, (whole_days < 14) | (whole_days == 19)).fitted
    # between 6 h, where one day knows nothing of the next, and 120 h, where all are alike
    steady, restless = found(20 * 24, 0.1), found(20 * 24, np.where(whole_days % 2, 0.1, -0.1))
    assert (steady.decay, restless.decay) == (120.0 * HOUR, 6.0 * HOUR)
    # no departure is taken for smaller than 5 cm, no reading for better than 1 cm, two readings for 5 cm
    calm = found(12, 0.0)
    assert (calm.deviation, calm.scatter) == (0.05, 0.01)
    assert found(12, 0.0, slice(-2, None)).scatter == 0.05
    assert found(12, 0.2).deviation == pytest.approx(0.2)
    # the departure is of the last three hours, both ends included
    assert found(12, np.where(np.arange(12) < 8, 9.0, 0.1)).height == pytest.approx(0.1)
    assert found(12, np.repeat([0.0, 0.1], [8, 4])).count == 4
    # three metres are weather, more are another datum
    assert found(12, -2.95).height == pytest.approx(-2.95)
    with pytest.raises(EbblightError, match="in another unit, not above MLLW"):
        found(12, -3.05)


def test_readings_of_sixty_days_count():
    station = station_of([("M2", 0.5, 0.0)])
    for days, counts in ((59, True), (61, False)):
        t, level = readings(station, 70 * 24, 0.1)
        level[t < t[-1] - days * DAY] += 2.0
        assert (departure(station, t, level, NOW).deviation > 0.11) == counts


def test_a_day_old_is_stale():
    found = Departure(NOW, 0.1, 0.01, 0.1, 36 * HOUR, False, 4)
    assert not found.stale(NOW + 24 * HOUR - 1.0)
    assert found.stale(NOW + 24 * HOUR)


def test_it_fades_and_the_doubt_grows():
    found = Departure(NOW, 0.3, 0.02, 0.25, 36 * HOUR, False, 4)
    ahead = NOW + HOUR * np.array([-5.0, 0.0, 36.0, 72.0, 2000.0])
    assert_allclose(found.at(ahead), 0.3 * np.array([1, 1, np.exp(-1), np.exp(-2), 0]), atol=1e-9)
    doubt = found.uncertainty(ahead)
    assert doubt[1] == pytest.approx(0.02)
    assert doubt[2] == pytest.approx(np.sqrt(0.0004 * np.exp(-2) + 0.0625 * (1 - np.exp(-2))))
    assert doubt[4] == pytest.approx(0.25)


@given(hours=st.floats(0, 1000), more=st.floats(0, 100))
def test_departure_shrinks_and_doubt_never_does(hours, more):
    found = Departure(0.0, -0.4, 0.03, 0.4, 30 * HOUR, True, 4)
    first, second = HOUR * hours, HOUR * (hours + more)
    assert abs(found.at(second)) <= abs(found.at(first)) + 1e-12
    assert found.uncertainty(second) >= found.uncertainty(first) - 1e-12


@pytest.mark.parametrize("decay", [18.0, 40.0, 80.0])
def test_the_decay_is_fitted_to_many_readings(decay):
    station = published_station("8443970")
    decays = []
    for seed in range(30):
        t, level = readings(station, 60 * 24, wandering(seed, 60, decay, 0.15))
        found = departure(station, t, level, NOW)
        assert found.fitted
        decays.append(found.decay / HOUR)
    # One record of 60 days tells the decay within a factor of about two, thirty together far better.
    assert np.median(decays) == pytest.approx(decay, rel=0.35)


def test_carrying_it_forward_beats_the_bare_prediction():
    station = published_station("8443970")
    bare, carried, inside = [], [], []
    for seed in range(60):
        weather = wandering(seed, 20, 40.0, 0.15)
        t, level = readings(station, 20 * 24, weather, newest=NOW)
        found = departure(station, t[:-12], level[:-12], t[-13])
        bare.append(weather[-1] ** 2)
        miss = weather[-1] - float(found.at(t[-1]))
        carried.append(miss**2)
        inside.append(abs(miss) < 2 * float(found.uncertainty(t[-1])))
    # Theory for 12 h at a decay of 40 h: sqrt(1 - exp(-0.6)) = 0.67 of the bare error.
    assert np.sqrt(np.mean(carried) / np.mean(bare)) == pytest.approx(0.67, abs=0.15)
    assert 0.88 <= np.mean(inside) <= 1.0


def test_readings_that_tell_nothing_are_refused():
    station = published_station("8443970")
    t, level = readings(station, 12, 0.25)
    with pytest.raises(EbblightError, match=r"^the observed levels hold no reading$"):
        departure(station, t, np.full(12, np.nan), NOW)
    with pytest.raises(
        EbblightError,
        match=r"^the newest observed level is of 2026-07-19 23:00 UTC, later than now "
        r"\(2026-07-19 21:00 UTC\): its clock or zone is wrong$",
    ):
        departure(station, t, level, NOW - 3 * HOUR)
    with pytest.raises(
        EbblightError,
        match=r"^the observed levels stand \+3\.75 m from the prediction for 8443970: they are in another "
        r"unit, not above MLLW, or not of this place$",
    ):
        departure(station, t, level + 3.5, NOW)
    assert departure(station, t, level, t[-1]).newest == t[-1]


def test_times_become_less_sure():
    # One wave of 1 m, 12 h: rate at mid-tide 1.454e-4 m/s, bend at the turn 2.115e-8 m/s2 (by hand).
    station = station_of([("S2", 1.0, 0.0)])
    found = Departure(NOW - 60 * DAY, 0.2, 0.01, 0.2, 36 * HOUR, False, 4)
    noon, quarter = NOW, NOW + 3 * HOUR
    assert crossing_uncertainty(found, station, [quarter])[0] == pytest.approx(0.2 / 1.4544e-4, rel=1e-3)
    wander = 2 * 0.2 * np.sqrt(2 / (36 * HOUR)) / 2.1153e-8
    assert turn_uncertainty(found, station, [noon])[0] == pytest.approx(wander ** (2 / 3), rel=1e-3)
    assert crossing_uncertainty(found, station, [noon])[0] <= 6.21 * HOUR
    calm = Departure(NOW - 60 * DAY, 0.05, 0.01, 0.05, 36 * HOUR, False, 4)
    assert turn_uncertainty(calm, station, [noon])[0] < turn_uncertainty(found, station, [noon])[0]


def test_turn_times_move_about_as_much_as_told():
    # High water of tide plus wandering weather, against the tide's own: the told deviation within a factor 2.
    station = station_of([("M2", 0.5, 0.0)])
    t = NOW + 60.0 * np.arange(13 * 60)
    tide = levels(station, t)
    middle = int(np.argmax(tide[300:-200])) + 300
    rng = np.random.default_rng(1)
    deviation, decay = 0.15, 36 * HOUR
    shocks = deviation * np.sqrt(2 * 60.0 / decay) * rng.normal(size=(400, len(t)))
    window = slice(middle - 180, middle + 180)
    moved = 60.0 * (np.argmax(tide[window] + np.cumsum(shocks, axis=1)[:, window], axis=1) - 180)
    told = turn_uncertainty(Departure(NOW, 0, 0.01, deviation, decay, False, 4), station, t[[middle]])[0]
    assert 0.5 < moved.std() / told < 2.0


def test_it_is_told():
    found = Departure(NOW - 130 * 60, -0.3048, 0.02, 0.3, 36 * HOUR, False, 4)
    assert departure_words(found, NOW, LengthUnit.FEET) == (
        "The newest reading is 2 h 10 min old: the water stood 1.00 ft below the prediction.",
        "Levels carry this forward, halving every 25 h (common practice).",
    )
    assert not found.stale(NOW)
    late = NOW + DAY
    assert found.stale(late)
    assert "more than a day old" in departure_words(found, late, LengthUnit.METRES)[-1]


def test_old_seasons_and_gaps_are_left_out():
    station = station_of([("M2", 0.5, 0.0)])
    t, level = readings(station, 100 * 24, 0.1)
    level[: 30 * 24] += 2.0  # another season, more than 60 days back
    level[-40:-2] = np.nan
    found = departure(station, t, level, NOW)
    assert found.height == pytest.approx(0.1)
    assert found.deviation == pytest.approx(0.1)


def test_a_decay_comes_from_means_of_days_however_many_their_readings():
    """By hand: the covariance of days two apart over that of days one apart."""
    station = station_of([("M2", 0.5, 0.0)])
    days = 0.1 * np.array([1, 2, 3, 3, 2, 1, 1, 2, 3, 4, 3, 2, 2, 3, 3, 2.0])
    counts = [24 if day % 2 else 4 for day in range(16)]
    counts[0] = 24
    t = np.concatenate([NOW - 16 * DAY + DAY * day + HOUR * np.arange(n) for day, n in enumerate(counts)])
    level = levels(station, t) + np.repeat(days, counts)
    one, two = (np.mean(days[k:] * days[:-k]) for k in (1, 2))
    found = departure(station, t, level, NOW)
    assert found.fitted
    assert found.decay == pytest.approx(min(-DAY / np.log(two / one), 120 * HOUR))


def test_clocks_may_be_whole_numbers():
    found = Departure(10, 0.5, 0.01, 0.1, 100.0, False, 3)
    assert found.at([10, 110]).tolist() == pytest.approx([0.5, 0.5 / np.e])
    assert found.uncertainty([10])[0] == pytest.approx(0.01)


@pytest.mark.parametrize(
    ("minutes", "age"),
    [(-5.0, "of this minute"), (0.4, "of this minute"), (0.6, "1 min old"), (59.0, "59 min old"),
     (60.0, "1 h 00 min old"), (61.0, "1 h 01 min old"), (605.0, "10 h 05 min old")],
)  # fmt: skip
def test_ages_in_words(minutes, age):
    found = Departure(NOW, 0.0, 0.01, 0.1, 36 * HOUR, False, 3)
    (first, _) = departure_words(found, NOW + 60.0 * minutes, LengthUnit.METRES)
    assert first == f"The newest reading is {age}: the water stood 0.00 m above the prediction."


def test_stale_readings_in_words():
    found = Departure(NOW - 26 * HOUR, -0.25, 0.01, 0.1, 36 * HOUR, True, 3)
    assert departure_words(found, NOW, LengthUnit.METRES) == (
        "The newest reading is 26 h 00 min old: the water stood 0.25 m below the prediction.",
        "Levels carry this forward, halving every 25 h (fitted to the readings).",
        "The readings are more than a day old: today's water may be quite different.",
    )
    assert len(departure_words(found, NOW - 3 * HOUR, LengthUnit.METRES)) == 2
