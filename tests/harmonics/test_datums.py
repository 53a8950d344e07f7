"""Form number, regime, rates and ranges: by hand, and against published constituents."""

import math

import numpy as np
import pytest

from harmonics.constituents import find
from harmonics.datums import (
    Regime,
    form_number,
    greatest_range,
    mean_range,
    regime,
    typical_peak_rate,
)
from harmonics.events import Turns
from harmonics.waves import HarmonicConstants


def constants(**amplitudes):
    return HarmonicConstants(
        tuple(find(name) for name in amplitudes),
        np.array(list(amplitudes.values()), dtype=float),
        np.zeros(len(amplitudes)),
    )


def agency(published, station):
    rows = published(f"constituents_{station}.csv")
    return HarmonicConstants(
        tuple(find(row["name"]) for row in rows),
        np.array([float(row["amplitude"]) for row in rows]),
        np.array([float(row["phase"]) for row in rows]),
    )


# The kinds of tide the agency's station pages describe (common practice); form numbers by hand.
@pytest.mark.parametrize(
    ("station", "kind"),
    [
        ("8729840", Regime.DIURNAL),
        ("8724580", Regime.MIXED_SEMIDIURNAL),
        ("8443970", Regime.SEMIDIURNAL),
        ("9447130", Regime.MIXED_SEMIDIURNAL),
        ("1612340", Regime.MIXED_SEMIDIURNAL),
    ],
)
def test_regime_of_published_stations(published, station, kind):
    assert regime(agency(published, station)) is kind


def test_form_number_by_hand():
    assert form_number(constants(M2=0.8, S2=0.2, K1=0.3, O1=0.2)) == pytest.approx(0.5)
    assert form_number(constants(K1=0.3, O1=0.2, N2=5.0)) == math.inf
    assert math.isnan(form_number(constants(N2=0.2)))
    assert regime(constants(N2=0.2)) is None
    assert regime(constants(K1=0.2)) is Regime.DIURNAL


@pytest.mark.parametrize(
    ("k1", "kind"),
    [
        (0.249, Regime.SEMIDIURNAL),
        (0.25, Regime.MIXED_SEMIDIURNAL),
        (1.499, Regime.MIXED_SEMIDIURNAL),
        (1.5, Regime.MIXED_DIURNAL),
        (2.999, Regime.MIXED_DIURNAL),
        (3.0, Regime.DIURNAL),
    ],
)
def test_regime_limits(k1, kind):
    assert regime(constants(M2=1.0, K1=k1)) is kind


def test_typical_peak_rate_of_one_wave_is_its_peak_rate():
    # 1 m of M2: 28.984104 deg/h = 1.40519e-4 rad/s
    assert typical_peak_rate(constants(M2=1.0)) == pytest.approx(1.40519e-4, rel=1e-5)
    both = typical_peak_rate(constants(M2=1.0, K1=2.0))
    k1 = 2.0 * math.radians(15.0410686) / 3600
    assert both == pytest.approx(math.hypot(1.40519e-4, k1), rel=1e-5)
    assert typical_peak_rate(constants(M2=1.0), np.array([1.03])) == pytest.approx(
        1.03 * 1.40519e-4, rel=1e-5
    )


def test_ranges():
    turns = Turns(
        np.arange(5.0) * 21600,
        np.array([2.0, 0.5, 1.6, 0.1, 2.2]),
        np.array([True, False, True, False, True]),
    )
    assert mean_range(turns) == pytest.approx(5.8 / 3 - 0.3)
    assert greatest_range(turns) == pytest.approx(2.1)
    assert math.isnan(mean_range(turns.between(0, 10)))
    assert math.isnan(greatest_range(turns.between(0, 10)))
