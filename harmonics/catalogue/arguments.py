"""Mean longitudes of moon and sun, and the angles of the moon's orbit to the equator.

Sources: the longitudes from J. Meeus, Astronomical Algorithms, 2nd ed. (eqs 47.1, 25.2, 47.7, 31.1), the
angles from P. Schureman, Manual of Harmonic Analysis and Prediction of Tides, US Coast and Geodetic Survey
Special Publication 98 (1958 printing), pp. 156-173.

Schureman's own Table 1 puts the moon 0.02 deg ahead of its place by 2026. With it Boston's published hourly
levels are missed by up to 1.6 mm; with the modern longitudes, read with universal time as the agencies do,
by 0.55 mm, which is the printed digit.

Times are POSIX seconds (UTC).
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array
from harmonics.units import DAY, HOUR

EPOCH = 946728000.0
"""J2000.0, 1 January 2000 12 h, POSIX seconds."""
CENTURY = 36525 * DAY

# Constant, and the coefficients of T, T^2, T^3, T^4 in degrees (T in Julian centuries from EPOCH).
_LONGITUDES = np.array(
    [
        (218.3164477, 481267.88123421, -0.0015786, 1 / 538841, -1 / 65194000),  # s, the moon
        (280.46646, 36000.76983, 0.0003032, 0.0, 0.0),  # h, the sun
        (83.3532465, 4069.0137287, -0.0103200, -1 / 80053, 1 / 18999000),  # p, lunar perigee
        (282.93735, 1.71946, 0.00045688, 0.0, 0.0),  # p1, solar perigee
        (125.0445479, -1934.1362891, 0.0020754, 1 / 467441, -1 / 60616000),  # N, the moon's node
    ]
)

# Schureman p. 162: obliquity of the ecliptic and inclination of the moon's orbit to it, 1 January 1900.
OBLIQUITY = np.radians(23 + 27 / 60 + 8.26 / 3600)
INCLINATION = np.radians(5 + 8 / 60 + 43.3546 / 3600)

HOUR_ANGLE_SPEED = 15.0
"""Of the mean sun, degrees an hour: T of the equilibrium argument."""


class OrbitAngles(NamedTuple):
    """Angles of the moon's orbit (radians; each shaped as the times given).

    Attributes:
        obliquity: I, of the moon's orbit to the equator.
        xi: longitude in the moon's orbit of its intersection with the equator.
        nu: right ascension of that intersection.
        nu_prime: nu', the term in the argument of the luni-solar diurnal K1.
        nu_second: 2nu'', the term in the argument of the luni-solar semidiurnal K2.
        perigee: P, mean longitude of the perigee counted from the intersection, p - xi.
    """

    obliquity: Array
    xi: Array
    nu: Array
    nu_prime: Array
    nu_second: Array
    perigee: Array


def mean_longitudes(t: ArrayLike) -> Array:
    """Mean longitudes s, h, p, p1, N in degrees, not reduced to one turn: shape (5, *t.shape).

    Source: Meeus, eqs 47.1, 25.2, 47.7 and 31.1 (p1 is the sun's, half a turn from the earth's).
    """
    century = (np.asarray(t, dtype=float) - EPOCH) / CENTURY
    total = np.zeros((5, *century.shape))
    for column in _LONGITUDES.T[::-1]:
        total = total * century + column.reshape((5,) + (1,) * century.ndim)
    return total


def longitude_speeds() -> Array:
    """Speeds of T, s, h, p, p1 in degrees an hour, at the epoch: shape (5,)."""
    per_hour = _LONGITUDES[:4, 1] / (CENTURY / HOUR)
    return np.concatenate(([HOUR_ANGLE_SPEED], per_hour))


def hour_angle(t: ArrayLike) -> Array:
    """T, the hour angle of the mean sun at Greenwich in degrees, 180 at midnight: shaped as t."""
    day = np.mod(np.asarray(t, dtype=float), DAY) / DAY
    return np.asarray(day * 360.0 + 180.0)


def argument_angles(t: ArrayLike) -> Array:
    """T, s, h, p, p1 in degrees, the angles of an equilibrium argument: shape (5, *t.shape)."""
    return np.concatenate((hour_angle(t)[None], mean_longitudes(t)[:4]))


def orbit_angles(t: ArrayLike) -> OrbitAngles:
    """Angles of the moon's orbit at the given times (radians; each shaped as t).

    Source: Schureman pp. 156-173; I, nu and xi by Napier's rules, nu' eq. 224, 2nu'' eq. 232.
    """
    _, _, p, _, node = np.radians(mean_longitudes(t))
    node = np.arctan2(np.sin(node), np.cos(node))
    cos_i = np.cos(INCLINATION) * np.cos(OBLIQUITY) - np.sin(INCLINATION) * np.sin(OBLIQUITY) * np.cos(node)
    obliquity = np.arccos(cos_i)
    half = np.tan(node / 2)
    minus, plus = (OBLIQUITY - INCLINATION) / 2, (OBLIQUITY + INCLINATION) / 2
    total = np.arctan(np.cos(minus) / np.cos(plus) * half)
    difference = np.arctan(np.sin(minus) / np.sin(plus) * half)
    nu = total - difference
    xi = node - total - difference
    double, square = np.sin(2 * obliquity), np.sin(obliquity) ** 2
    return OrbitAngles(
        obliquity=obliquity,
        xi=xi,
        nu=nu,
        nu_prime=np.arctan2(double * np.sin(nu), double * np.cos(nu) + 0.3347),
        nu_second=np.arctan2(square * np.sin(2 * nu), square * np.cos(2 * nu) + 0.0727),
        perigee=p - xi,
    )
