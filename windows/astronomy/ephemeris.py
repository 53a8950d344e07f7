"""Apparent geocentric places of sun and moon, tabulated once for a span and interpolated from there."""

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array, Flags, Ints
from windows.astronomy.kinds import Body
from windows.astronomy.timescales import (
    DAY,
    J2000_JD,
    POSIX_EPOCH_JD,
    posix_from_tt,
    skyfield_time,
    tt_from_posix,
)

# DE421 covers 1899-07-29 0 h to 2053-10-09 0 h (TDB). Its last day is left to interpolation; on its first
# morning the table, which starts at 6 h, is extrapolated (0.02 arcsec on the moon).
KERNEL_FIRST_JD, KERNEL_LAST_JD = 2414864.5, 2471184.5
FIRST_T = (KERNEL_FIRST_JD - POSIX_EPOCH_JD) * DAY
LAST_T = (KERNEL_LAST_JD - 1 - POSIX_EPOCH_JD) * DAY  # the end of 2053-10-07, UTC

STEP = 0.25  # days; six-point interpolation of the moon is good to 0.0001 arcsec at 6 h
MARGIN = 1.0  # days; event searches look two steps beyond the span, the interpolation two more
POINTS = 6
BEFORE = 2  # table points at or before the interval, less one

LIGHT_KM_A_DAY = 299_792.458 * DAY
ARCSECOND = np.pi / 648_000
# Mean sidereal rotation, radians a day of TT; the rest of sidereal time is slow enough for straight lines.
SIDEREAL_RATE = 2 * np.pi * 1.00273790935


class SkyRangeError(ValueError):
    """The span asked for reaches outside the ephemeris."""


def require_covered(start_t: float, end_t: float) -> None:
    """Raise SkyRangeError unless start_t..end_t (POSIX seconds) lies within the ephemeris.

    A span that ends before it starts is a ValueError. Outside its range the file would be extrapolated for
    some days without a word.
    """
    if not (np.isfinite(start_t) and np.isfinite(end_t)) or end_t < start_t:
        raise ValueError(f"a span of time needs a start before its end, found {start_t} and {end_t}")
    if start_t < FIRST_T or end_t > LAST_T:
        raise SkyRangeError(
            "sun and moon are covered from 1899-07-29 to 2053-10-07 (UTC); the dates asked for reach outside"
        )


@cache
def _kernel() -> Any:
    """Open the DE421 ephemeris file of the skyfield-data package.

    The path is taken from the package's folder: its helper function warns about another file, not used here.
    """
    import skyfield_data
    from skyfield.jpllib import SpiceKernel

    return SpiceKernel(str(Path(skyfield_data.__file__).parent / "data" / "de421.bsp"))


class Ephemeris:
    """Sun and moon over start_t..end_t (POSIX seconds), in the true equator and equinox of date.

    Raises SkyRangeError outside 1899-07-29 .. 2053-10-07. Table points stand at whole multiples of STEP, so
    every span that contains an instant gives it the same place.
    """

    def __init__(self, start_t: float, end_t: float) -> None:
        require_covered(start_t, end_t)
        self.start_t, self.end_t = float(start_t), float(end_t)
        self.start_tt, self.end_tt = (float(tt) for tt in tt_from_posix([start_t, end_t]))
        self._table_tt = _table_points(self.start_tt, self.end_tt)
        time = skyfield_time(self._table_tt)
        nutation = _nutation(time)
        # Skyfield's documented way to give it a cheaper nutation series; it must precede any rotation matrix.
        time._nutation_angles_radians = nutation
        self._places = {body: _apparent_places(body, time) for body in Body}
        self._obliquity = _mean_obliquity(time) + nutation[1]
        self._sidereal_rest = _sidereal_rest(time, self._table_tt)

    def place(self, body: Body, tt: ArrayLike) -> Array:
        """Apparent geocentric position (3, n), km, of `body` at n instants."""
        tt = np.asarray(tt, np.float64)
        interval, fraction = self._locate(tt)
        weights = _lagrange_weights(fraction)
        neighbours = interval + (np.arange(POINTS) - BEFORE)[:, None]
        return np.asarray(np.einsum("pn,pnc->cn", weights, self._places[body][neighbours]))

    def _locate(self, tt: Array) -> tuple[Ints, Array]:
        """Locate the interval with six points around it, and the position in it (0..1 but at the ends)."""
        steps = (tt - self._table_tt[0]) / STEP
        last = self._table_tt.size - (POINTS - BEFORE)
        interval = np.minimum(np.maximum(np.floor(steps).astype(np.int64), BEFORE), last)
        return interval, steps - interval

    def sidereal_angle(self, tt: ArrayLike) -> Array:
        """Greenwich apparent sidereal time, radians, growing without wrapping; same shape as tt."""
        tt = np.asarray(tt, np.float64)
        return np.asarray(SIDEREAL_RATE * tt + np.interp(tt, self._table_tt, self._sidereal_rest))

    def obliquity(self, tt: ArrayLike) -> Array:
        """Obliquity of the ecliptic, true, radians; same shape as tt."""
        return np.asarray(np.interp(np.asarray(tt, np.float64), self._table_tt, self._obliquity))

    def earth_fixed(self, body: Body, tt: ArrayLike) -> Array:
        """Apparent geocentric position (3, n), km, turning with the Earth: x to Greenwich, z to the north."""
        x, y, z = self.place(body, tt)
        angle = self.sidereal_angle(tt)
        cos, sin = np.cos(angle), np.sin(angle)
        return np.stack((cos * x + sin * y, cos * y - sin * x, z))

    def posix_within(self, tt: Array) -> tuple[Array, Flags]:
        """POSIX seconds of tt, and which of them lie in the half-open span [start_t, end_t)."""
        t = posix_from_tt(tt)
        return t, (t >= self.start_t) & (t < self.end_t)


def _table_points(start_tt: float, end_tt: float) -> Array:
    """Multiples of STEP from a margin before the span to a margin after it, kept inside the file."""
    first = np.floor((start_tt - MARGIN) / STEP)
    last = np.ceil((end_tt + MARGIN) / STEP)
    # One point inside either end: TDB, the file's time scale, leads or trails TT by up to 2 ms.
    first = max(first, np.floor((KERNEL_FIRST_JD - J2000_JD) / STEP) + 1)
    last = min(last, np.ceil((KERNEL_LAST_JD - J2000_JD) / STEP) - 1)
    return np.arange(first, last + 1) * STEP


def _nutation(time: Any) -> tuple[Array, Array]:
    """Nutation in longitude and obliquity, radians, IAU 2000B: within 1 mas of 2000A and far cheaper."""
    from skyfield.nutationlib import iau2000b_radians

    d_psi, d_epsilon = iau2000b_radians(time)
    return d_psi, d_epsilon


def _mean_obliquity(time: Any) -> Array:
    """Mean obliquity of the ecliptic, radians."""
    from skyfield.nutationlib import mean_obliquity

    return np.asarray(mean_obliquity(time.tdb) * ARCSECOND, np.float64)


def _apparent_places(body: Body, time: Any) -> Array:
    """Apparent geocentric positions (n, 3), km, true equator of date.

    Light-time and annual aberration together are planetary aberration: the geometric vector from Earth to
    body at t - tau, both ends, is the apparent one at t but for the square of v/c, 0.001 arcsec (Explanatory
    Supplement to the Astronomical Almanac, from memory); the curve of the path within tau is as small.
    A site's vector may be subtracted from it; from vectors with aberration applied last, that would shift
    the moon by 0.35 arcsec.
    """
    kernel = _kernel()
    body_from_earth = (kernel[body.value] - kernel["earth"]).at(time)
    light_days = body_from_earth.distance().km / LIGHT_KM_A_DAY
    as_seen = body_from_earth.xyz.km - light_days * body_from_earth.velocity.km_per_s * DAY
    return np.asarray(np.einsum("ijn,jn->ni", time.M, as_seen))


def _sidereal_rest(time: Any, tt: Array) -> Array:
    """Apparent sidereal time less the mean rotation, radians: near -1.39 throughout the file."""
    rest = time.gast * np.pi / 12 - SIDEREAL_RATE * tt
    return np.asarray((rest % (2 * np.pi)) - 2 * np.pi)


@cache
def _lagrange_matrix() -> Array:
    """Powers of the position within an interval to the weights of its POINTS neighbours, (POINTS, POINTS)."""
    offsets = np.arange(POINTS) - BEFORE
    return np.asarray(np.linalg.inv(np.vander(offsets, increasing=True)).T)


def _lagrange_weights(fraction: Array) -> Array:
    """Lagrange's weights (POINTS, n) for positions (n,) in units of the step."""
    powers = np.ones((POINTS, fraction.size))
    for power in range(1, POINTS):
        powers[power] = powers[power - 1] * fraction
    return _lagrange_matrix() @ powers
