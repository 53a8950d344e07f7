"""Node factors f and node angles u: one function a formula, its place in Schureman beside it.

Source: P. Schureman, US Coast and Geodetic Survey Special Publication 98 (1958 printing), pp. 24-47 and
Table 2. Factors are pure numbers, angles are radians; both are shaped as the orbit's angles given.
"""

from collections.abc import Callable
from enum import Enum, unique

import numpy as np

from harmonics.arrays import Array
from harmonics.catalogue.arguments import OrbitAngles


def f_unity(orbit: OrbitAngles) -> Array:
    """Solar constituents keep their amplitude."""
    return np.ones_like(orbit.obliquity)


def u_zero(orbit: OrbitAngles) -> Array:
    """Solar constituents, and Mm, keep their argument."""
    return np.zeros_like(orbit.obliquity)


def f_mm(orbit: OrbitAngles) -> Array:
    """Mm: p. 25, eq. 73."""
    return (2 / 3 - np.sin(orbit.obliquity) ** 2) / 0.5021


def f_mf(orbit: OrbitAngles) -> Array:
    """Mf: p. 25, eq. 74."""
    return np.sin(orbit.obliquity) ** 2 / 0.1578


def u_mf(orbit: OrbitAngles) -> Array:
    """Mf: Table 2."""
    return -2 * orbit.xi


def f_o1(orbit: OrbitAngles) -> Array:
    """O1: p. 25, eq. 75."""
    return np.asarray(np.sin(orbit.obliquity) * np.cos(orbit.obliquity / 2) ** 2 / 0.3800)


def u_o1(orbit: OrbitAngles) -> Array:
    """O1: Table 2."""
    return 2 * orbit.xi - orbit.nu


def f_j1(orbit: OrbitAngles) -> Array:
    """J1: p. 25, eq. 76."""
    return np.sin(2 * orbit.obliquity) / 0.7214


def u_j1(orbit: OrbitAngles) -> Array:
    """J1: Table 2."""
    return -orbit.nu


def f_oo1(orbit: OrbitAngles) -> Array:
    """OO1: p. 25, eq. 77."""
    return np.asarray(np.sin(orbit.obliquity) * np.sin(orbit.obliquity / 2) ** 2 / 0.0164)


def u_oo1(orbit: OrbitAngles) -> Array:
    """OO1: Table 2."""
    return -2 * orbit.xi - orbit.nu


def f_m2(orbit: OrbitAngles) -> Array:
    """M2: p. 25, eq. 78."""
    return np.cos(orbit.obliquity / 2) ** 4 / 0.9154


def u_m2(orbit: OrbitAngles) -> Array:
    """M2: Table 2."""
    return 2 * orbit.xi - 2 * orbit.nu


def f_kj2(orbit: OrbitAngles) -> Array:
    """KJ2, here eta2: p. 25, eq. 79."""
    return np.sin(orbit.obliquity) ** 2 / 0.1565


def u_kj2(orbit: OrbitAngles) -> Array:
    """KJ2: Table 2."""
    return -2 * orbit.nu


def f_m3(orbit: OrbitAngles) -> Array:
    """M3: p. 36, eq. 149."""
    return np.cos(orbit.obliquity / 2) ** 6 / 0.8758


def u_m3(orbit: OrbitAngles) -> Array:
    """M3: Table 2."""
    return 3 * orbit.xi - 3 * orbit.nu


def f_m1(orbit: OrbitAngles) -> Array:
    """M1: p. 43, eq. 206, with 1/Q_a from eq. 197."""
    return f_o1(orbit) * np.sqrt(2.310 + 1.435 * np.cos(2 * orbit.perigee))


def u_m1(orbit: OrbitAngles) -> Array:
    """M1: Table 2, with Q of p. 42, eq. 203: tan Q = 0.483 tan P, Q in the quadrant of P."""
    q = np.arctan2(0.483 * np.sin(orbit.perigee), np.cos(orbit.perigee))
    return orbit.xi - orbit.nu + q


def f_l2(orbit: OrbitAngles) -> Array:
    """L2: p. 44, eq. 215, with 1/R_a from eq. 213."""
    tangent = np.tan(orbit.obliquity / 2) ** 2
    return np.asarray(f_m2(orbit) * np.sqrt(1 - 12 * tangent * np.cos(2 * orbit.perigee) + 36 * tangent**2))


def u_l2(orbit: OrbitAngles) -> Array:
    """L2: Table 2, with R of p. 44, eq. 214."""
    double = 2 * orbit.perigee
    r = np.arctan2(np.sin(double), 1 / (6 * np.tan(orbit.obliquity / 2) ** 2) - np.cos(double))
    return u_m2(orbit) - r


def f_k1(orbit: OrbitAngles) -> Array:
    """K1: p. 45, eq. 227."""
    double = np.sin(2 * orbit.obliquity)
    return np.sqrt(0.8965 * double**2 + 0.6001 * double * np.cos(orbit.nu) + 0.1006)


def u_k1(orbit: OrbitAngles) -> Array:
    """K1: p. 45, eq. 224."""
    return -orbit.nu_prime


def f_k2(orbit: OrbitAngles) -> Array:
    """K2: p. 46, eq. 235."""
    square = np.sin(orbit.obliquity) ** 2
    return np.sqrt(19.0444 * square**2 + 2.7702 * square * np.cos(2 * orbit.nu) + 0.0981)


def u_k2(orbit: OrbitAngles) -> Array:
    """K2: p. 46, eq. 232."""
    return -orbit.nu_second


@unique
class NodeFamily(Enum):
    """Constituents that share one node factor and one node angle, named after the best known."""

    SOLAR = (f_unity, u_zero)
    MM = (f_mm, u_zero)
    MF = (f_mf, u_mf)
    O1 = (f_o1, u_o1)
    J1 = (f_j1, u_j1)
    OO1 = (f_oo1, u_oo1)
    M2 = (f_m2, u_m2)
    KJ2 = (f_kj2, u_kj2)
    M3 = (f_m3, u_m3)
    M1 = (f_m1, u_m1)
    L2 = (f_l2, u_l2)
    K1 = (f_k1, u_k1)
    K2 = (f_k2, u_k2)

    def __init__(self, factor: Callable[[OrbitAngles], Array], angle: Callable[[OrbitAngles], Array]) -> None:
        self.factor = factor
        self.angle = angle
