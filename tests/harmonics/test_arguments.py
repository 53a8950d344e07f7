"""Mean longitudes and the angles of the moon's orbit."""

import numpy as np
import pytest
from hypothesis import given
from numpy.testing import assert_allclose

from harmonics.catalogue.arguments import (
    EPOCH,
    INCLINATION,
    OBLIQUITY,
    argument_angles,
    hour_angle,
    longitude_speeds,
    mean_longitudes,
    orbit_angles,
)
from harmonics.sums.waves import year_start
from tests.harmonics.conftest import utc
from tests.harmonics.strategies import instants

NODE_CYCLE = 18.6134 * 365.25 * 86400.0


def test_epoch_is_j2000():
    assert utc("2000-01-01 12:00") == EPOCH


def test_moon_of_meeus_example_47a():
    """Meeus, Astronomical Algorithms, example 47.a, 12 April 1992 0 h: L', M', F (from memory)."""
    s, _, p, _, node = np.mod(mean_longitudes(utc("1992-04-12 00:00")), 360)
    assert s == pytest.approx(134.290182, abs=1e-5)
    assert np.mod(s - p, 360) == pytest.approx(5.150833, abs=3e-4)
    assert np.mod(s - node, 360) == pytest.approx(219.889721, abs=1e-3)


def test_sun_of_meeus_example_25a():
    """Meeus, Astronomical Algorithms, example 25.a, 13 October 1992 0 h: L0 and M (from memory)."""
    _, h, _, p1, _ = np.mod(mean_longitudes(utc("1992-10-13 00:00")), 360)
    assert h == pytest.approx(201.80720, abs=1e-4)
    assert np.mod(h - p1, 360) == pytest.approx(278.99397, abs=1e-3)


def test_speeds_of_the_angles():
    """Degrees an hour, Schureman Table 1, for 1900 (from memory): the perigee's has drifted by 2e-8 since."""
    published = [15.0, 0.54901653, 0.04106864, 0.00464183, 0.00000196]
    assert_allclose(longitude_speeds(), published, rtol=0, atol=2e-8)


def test_speeds_are_the_slopes_of_the_longitudes():
    day = np.array([EPOCH - 43200.0, EPOCH + 43200.0])
    before, after = mean_longitudes(day)[:4].T
    assert_allclose((after - before) / 24, longitude_speeds()[1:], atol=1e-12)


def test_mean_sun_stands_on_the_lower_meridian_at_midnight():
    assert_allclose(hour_angle(year_start(2026) + 3600.0 * np.array([0, 6, 12, 18])), [180, 270, 360, 450])


def test_hour_angle_before_1970():
    assert hour_angle(utc("1850-06-30 12:00")) == 360.0


@pytest.mark.parametrize("shape", [(), (0,), (3,), (2, 3)])
def test_shapes(shape):
    t = np.full(shape, EPOCH)
    assert mean_longitudes(t).shape == (5, *shape)
    assert argument_angles(t).shape == (5, *shape)
    orbit = orbit_angles(t)
    for angle in (orbit.obliquity, orbit.xi, orbit.nu, orbit.nu_prime, orbit.nu_second, orbit.perigee):
        assert np.shape(angle) == shape


def test_constants_of_schureman():
    """P. 162: obliquity 23.452 deg, inclination 5.145 deg."""
    assert np.degrees(OBLIQUITY) == pytest.approx(23.452, abs=5e-4)
    assert np.degrees(INCLINATION) == pytest.approx(5.145, abs=5e-4)


def test_obliquity_swings_between_the_published_limits():
    """Schureman Table 6: I runs from 18.31 (N = 180) to 28.60 (N = 0) (from memory)."""
    cycle = EPOCH + np.linspace(0, NODE_CYCLE, 200_001)
    obliquity = np.degrees(orbit_angles(cycle).obliquity)
    assert obliquity.min() == pytest.approx(18.31, abs=0.005)
    assert obliquity.max() == pytest.approx(28.60, abs=0.005)
    node = np.mod(mean_longitudes(cycle)[4], 360)
    assert min(node[obliquity.argmax()], 360 - node[obliquity.argmax()]) < 0.1
    assert node[obliquity.argmin()] == pytest.approx(180, abs=0.1)


def test_angles_of_the_intersection_keep_within_the_published_limits():
    """Schureman Table 6, greatest values: nu 13.02, xi 11.98 deg; nu' 8.9, 2nu'' 17.8 (from memory)."""
    orbit = orbit_angles(EPOCH + np.linspace(0, NODE_CYCLE, 20_001))
    for angle, greatest, tolerance in (
        (orbit.nu, 13.02, 0.01),
        (orbit.xi, 11.98, 0.15),
        (orbit.nu_prime, 8.9, 0.1),
        (orbit.nu_second, 17.8, 0.1),
    ):
        assert np.degrees(angle.max()) == pytest.approx(greatest, abs=tolerance)
        assert np.degrees(angle.min()) == pytest.approx(-greatest, abs=tolerance)


@given(t=instants)
def test_intersection_satisfies_the_spherical_triangle(t):
    """Sine and cosine rules in the triangle of node, equinox and intersection, without Napier's rules."""
    orbit = orbit_angles(t)
    node = np.radians(mean_longitudes(t)[4])
    sin_i = np.sin(orbit.obliquity)
    assert np.sin(orbit.nu) * sin_i == pytest.approx(np.sin(INCLINATION) * np.sin(node), abs=1e-12)
    along_orbit = node - orbit.xi
    assert np.sin(along_orbit) * sin_i == pytest.approx(np.sin(OBLIQUITY) * np.sin(node), abs=1e-12)
    assert np.cos(along_orbit) == pytest.approx(
        np.cos(node) * np.cos(orbit.nu) + np.sin(node) * np.sin(orbit.nu) * np.cos(OBLIQUITY), abs=1e-12
    )


def test_angles_run_on_without_a_jump_through_the_node_cycle():
    """Fastest of them, 2nu'' turns about 35 deg in less than 9 years: far below 0.1 deg a day."""
    days = EPOCH + 86400.0 * np.arange(7000)
    orbit = orbit_angles(days)
    for angle in (orbit.obliquity, orbit.xi, orbit.nu, orbit.nu_prime, orbit.nu_second):
        assert np.degrees(np.abs(np.diff(angle)).max()) < 0.1
