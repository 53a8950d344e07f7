"""Observed currents analysed, and set against what a station predicts."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from harmonics.errors import EbblightError
from harmonics.fitting.analysis import fit
from harmonics.fitting.currents import fit_current
from harmonics.records.speeds import _crossings, prove_speeds
from harmonics.stations.currents import currents_at
from harmonics.stations.types import CurrentStation
from harmonics.sums.waves import NodePractice, year_start
from tests.harmonics.current_stations import constants

HOUR = 3600.0
START = year_start(2026) + 40 * 86400.0


def rectilinear(axis, mean=0.0, **waves):
    return CurrentStation("x", "X", 0.0, 0.0, axis, (axis + 180.0) % 360.0, mean, constants(**waves))


def split(speed, direction):
    angle = np.radians(direction)
    return speed * np.sin(angle), speed * np.cos(angle)


@pytest.fixture(scope="module")
def month():
    """A current of M2 and K1 along 30 degrees with a fifth as much M2 across, hourly."""
    t = START + HOUR * np.arange(30 * 24)
    along = currents_at(rectilinear(30.0, 0.05, M2=(1.0, 40.0), K1=(0.3, 120.0)), t)
    across = currents_at(rectilinear(120.0, 0.0, M2=(0.2, 130.0)), t)
    east, north = np.array(split(along, 30.0)) + np.array(split(across, 120.0))
    return t, east, north


def test_the_axes_of_a_turning_current(month):
    found = fit_current(*month, names=["M2", "K1"], infer=False)
    assert found.axis_direction == pytest.approx(30.0, abs=0.5)
    assert found.across_direction == pytest.approx(120.0, abs=0.5)
    along, across = found.along.constants().named(), found.across.constants().named()
    assert along["M2"].amplitude == pytest.approx(1.0, abs=0.01)
    assert along["M2"].phase_lag == pytest.approx(40.0, abs=0.5)
    assert along["K1"].phase_lag == pytest.approx(120.0, abs=1.0)
    assert across["M2"].amplitude == pytest.approx(0.2, abs=0.01)
    assert across["M2"].phase_lag == pytest.approx(130.0, abs=3.0)
    assert found.along.mean == pytest.approx(0.05, abs=0.005)
    assert found.share == pytest.approx((1.0 + 0.09) / (1.0 + 0.09 + 0.04), abs=0.01)
    assert found.turns


def test_the_flood_side_turns_the_axis_and_the_lags(month):
    t, east, north = month
    found = fit_current(t, east, north, flood_direction=220.0, names=["M2", "K1"], infer=False)
    assert found.axis_direction == pytest.approx(210.0, abs=0.5)
    assert found.across_direction == pytest.approx(300.0, abs=0.5)
    assert found.along.constants().named()["M2"].phase_lag == pytest.approx(220.0, abs=0.5)
    near = fit_current(t, east, north, flood_direction=100.0, names=["M2", "K1"], infer=False)
    assert near.axis_direction == pytest.approx(30.0, abs=0.5)


def test_both_axes_are_analysed_as_asked(month, monkeypatch):
    asked = []

    def noted(t, values, **options):
        asked.append((t, options))
        return fit(t, values, **options)

    monkeypatch.setattr("harmonics.fitting.currents.fit", noted)
    told = []
    options = {
        "names": ["M2", "K1"],
        "practice": NodePractice.CONTINUOUS,
        "robust": False,
        "infer": False,
        "progress": lambda *words: told.append(words),
    }
    found = fit_current(*month, **options)
    assert len(asked) == 2
    assert all(t is month[0] and mine == options for t, mine in asked)
    assert set(found.along.constants().named()) == {"M2", "K1"}
    fit_current(*month, names=["M2", "K1"])
    assert asked[2][1] == {
        **options,
        "practice": NodePractice.YEARLY,
        "robust": True,
        "infer": True,
        "progress": None,
    }


def test_gaps_are_left_out(month):
    t, east, north = (values.copy() for values in month)
    east[10:50] = np.nan
    north[80:90] = np.nan
    found = fit_current(t, east, north, names=["M2", "K1"], infer=False)
    assert found.axis_direction == pytest.approx(30.0, abs=1.0)


def test_a_current_to_and_fro_has_no_second_axis(month):
    t = month[0]
    east, north = split(currents_at(rectilinear(150.0, M2=(1.0, 40.0)), t), 150.0)
    found = fit_current(t, east, north, names=["M2"], infer=False)
    assert found.across is None and not found.turns
    assert found.share == pytest.approx(1.0)
    assert found.axis_direction == pytest.approx(150.0)


@pytest.mark.parametrize(("width", "turns"), [(0.03, False), (0.08, True)])
def test_a_narrow_current_does_not_turn(month, width, turns):
    t = month[0]
    along = split(currents_at(rectilinear(90.0, M2=(1.0, 40.0)), t), 90.0)
    across = split(currents_at(rectilinear(0.0, M2=(width, 130.0)), t), 0.0)
    found = fit_current(t, along[0] + across[0], along[1] + across[1], names=["M2"], infer=False)
    assert found.across is not None
    assert found.turns is turns


@pytest.mark.parametrize(
    ("east", "north"),
    [(np.zeros(100), np.zeros(100)), (np.full(100, np.nan), np.ones(100)), (np.ones(1), np.ones(1))],
)
def test_no_current(east, north):
    with pytest.raises(EbblightError, match=r"^found no current that changes; expected a tide's$"):
        fit_current(START + HOUR * np.arange(len(east)), east, north)


def test_a_current_that_changes_in_one_component_alone(month):
    t, east, _ = month
    assert fit_current(
        t, east, np.full(len(t), 0.1), names=["M2", "K1"], infer=False
    ).axis_direction == pytest.approx(90.0)
    assert fit_current(
        t, np.zeros(len(t)), east, names=["M2", "K1"], infer=False
    ).axis_direction == pytest.approx(0.0)


FIVE_DAYS = START + 600.0 * np.arange(5 * 144)


def observed(t, strength=1.0, late=0.0, mean=0.0, axis=30.0):
    speed = currents_at(rectilinear(axis, M2=(1.0, 40.0)), t - late) * strength + mean
    return split(speed, axis)


def test_a_station_that_is_right():
    station = rectilinear(30.0, M2=(1.0, 40.0))
    found = prove_speeds(station, FIVE_DAYS, *observed(FIVE_DAYS), "log.csv")
    assert (found.mean, found.deviation) == (pytest.approx(0.0, abs=1e-9), pytest.approx(0.0, abs=1e-9))
    assert found.strength == pytest.approx(1.0)
    assert found.right == 1.0
    assert found.late == pytest.approx(0.0, abs=20.0)
    assert found.late_spread < 20.0
    assert (found.slacks, found.missing) == (19, 0)
    assert found.drift == pytest.approx(0.7071, abs=0.02)
    assert found.station is station
    assert_allclose(found.observed, found.predicted, atol=1e-9)


def test_a_current_that_comes_late_and_strong():
    found = prove_speeds(
        rectilinear(30.0, M2=(1.0, 40.0)), FIVE_DAYS, *observed(FIVE_DAYS, 1.25, 1200.0), "log.csv"
    )
    assert found.late == pytest.approx(1200.0, abs=30.0)
    assert found.strength == pytest.approx(1.25 * np.cos(np.radians(28.984 / 3)), abs=0.01)
    assert 0.95 < found.right <= 1.0


def test_the_mean_is_observed_less_predicted():
    station = rectilinear(30.0, M2=(1.0, 40.0))
    found = prove_speeds(station, FIVE_DAYS, *observed(FIVE_DAYS, mean=0.2), "log.csv")
    assert found.mean == pytest.approx(0.2)
    against = prove_speeds(station, FIVE_DAYS, *observed(FIVE_DAYS, -1.0), "log.csv")
    assert against.right == 0.0
    assert against.slacks == 0 and against.missing == 19
    assert np.isnan(against.late)


def test_readings_count_by_the_hour_and_gaps_by_the_slack():
    station = rectilinear(30.0, M2=(1.0, 40.0))
    t = START + HOUR * np.arange(72)
    assert prove_speeds(station, t, *observed(t), "log.csv").missing == 0
    with pytest.raises(EbblightError, match=r"^log\.csv: found currents of 71 hours; expected 72 or more$"):
        prove_speeds(station, t[1:], *observed(t[1:]), "log.csv")
    east, north = observed(FIVE_DAYS)
    east = np.where((FIVE_DAYS > START + 24 * HOUR) & (FIVE_DAYS < START + 48 * HOUR), np.nan, east)
    found = prove_speeds(station, FIVE_DAYS, east, north, "log.csv")
    assert len(found.t) == np.isfinite(east).sum()
    assert (found.slacks, found.missing) == (14, 0)


def test_still_water_has_no_direction_and_no_strength():
    station = rectilinear(30.0, M2=(0.05, 40.0))
    assert np.isnan(prove_speeds(station, FIVE_DAYS, *observed(FIVE_DAYS), "log.csv").right)
    dead = rectilinear(30.0, M2=(0.0, 40.0))
    assert np.isnan(prove_speeds(dead, FIVE_DAYS, *observed(FIVE_DAYS), "log.csv").strength)


@pytest.mark.parametrize(("late", "found"), [(-1.9, True), (-2.1, False), (1.9, True), (2.1, False)])
def test_a_slack_within_two_hours_is_that_slack(late, found):
    station = rectilinear(30.0, M2=(1.0, 40.0))
    proof = prove_speeds(station, FIVE_DAYS, *observed(FIVE_DAYS, late=late * HOUR), "log.csv")
    assert (proof.slacks > 15, proof.missing > 15) == (found, not found)
    if found:
        assert proof.late == pytest.approx(late * HOUR, abs=60.0)


@pytest.mark.parametrize(("minutes", "read"), [(90.0, True), (91.0, False)])
def test_across_long_steps_no_slack_is_read(minutes, read):
    station = rectilinear(30.0, M2=(1.0, 40.0))
    t = START + 60.0 * minutes * np.arange(200)
    proof = prove_speeds(station, t, *observed(t), "log.csv")
    assert (proof.slacks > 10) is read
    assert proof.missing == 0


def test_a_slack_by_hand():
    """Straight between readings of -0.3 and 0.1 m/s, three quarters of the way."""
    t = START + HOUR * np.arange(80)
    along = np.where(np.arange(80) < 41, -0.3, 0.1)
    station = rectilinear(0.0, M2=(1.0, 0.0))
    times, rising = _crossings(t, along)
    assert times.tolist() == [START + 40.75 * HOUR]
    assert rising.tolist() == [True]
    assert prove_speeds(station, t, *split(along, 0.0), "log.csv").observed.tolist() == along.tolist()
