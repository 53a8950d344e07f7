"""Transits, phases of the moon, perigee and apogee, and the moon's farthest declinations."""

from collections.abc import Callable

import numpy as np

from harmonics.arrays import Array, Flags, Ints
from windows.astronomy.ephemeris import STEP, Ephemeris
from windows.astronomy.kinds import Body, OpposedInstants
from windows.astronomy.roots import refine_brackets, refine_extrema
from windows.astronomy.timescales import DAY

# Three hours: the hour angle turns by 45 deg, well short of the half turn that would be ambiguous.
TRANSIT_SAMPLE = 0.125
ROOT_TOLERANCE = 0.005 / DAY
TURN = 2 * np.pi
QUARTER = np.pi / 2


def find_transits(sky: Ephemeris, body: Body, longitudes: Array) -> OpposedInstants:
    """Find upper (first) and lower transits at (spots,) longitudes in degrees; not yet cut to the span.

    The geocentric hour angle is enough: parallax stays within the meridian plane.
    """

    def hour_angle(tt: Array) -> Array:
        """At Greenwich, radians, within a turn."""
        x, y, _ = sky.place(body, tt)
        return np.asarray(sky.sidereal_angle(tt) - np.arctan2(y, x))

    samples = _samples(sky, TRANSIT_SAMPLE, beyond=1)
    angle = np.unwrap(hour_angle(samples) % TURN)
    east = np.radians(longitudes)[:, None]
    half_turns = np.arange(np.floor(angle[0] / np.pi) - 2, np.ceil(angle[-1] / np.pi) + 3)
    spot, column, tt = _reach(hour_angle, samples, angle, half_turns * np.pi - east)
    return OpposedInstants(spot, tt, half_turns[column] % 2 == 0)


def find_phases(sky: Ephemeris) -> tuple[Array, Ints]:
    """Find phases (TT; 0 new moon, 1 first quarter, 2 full, 3 last quarter); not yet cut to the span.

    A phase is an apparent ecliptic longitude of the moon less the sun's of 0, 90, 180 or 270 degrees.
    """

    def elongation(tt: Array) -> Array:
        obliquity = sky.obliquity(tt)
        moon = _ecliptic_longitude(sky.place(Body.MOON, tt), obliquity)
        return np.asarray(moon - _ecliptic_longitude(sky.place(Body.SUN, tt), obliquity))

    samples = _samples(sky, STEP, beyond=1)
    angle = np.unwrap(elongation(samples) % TURN)
    quarters = np.arange(np.floor(angle[0] / QUARTER), np.ceil(angle[-1] / QUARTER) + 1)
    _, column, tt = _reach(elongation, samples, angle, quarters[None, :] * QUARTER)
    return tt, quarters[column].astype(np.int64) % 4


def find_distance_extrema(sky: Ephemeris) -> tuple[Array, Array, Flags]:
    """Find perigees and apogees: TT, km, whether apogee; not yet cut to the span."""
    return _extrema(sky, lambda tt: np.sqrt((sky.place(Body.MOON, tt) ** 2).sum(axis=0)))


def find_declination_extrema(sky: Ephemeris) -> tuple[Array, Array, Flags]:
    """Find the moon's farthest declinations: TT, degrees, whether northmost; not yet cut to the span."""
    return _extrema(sky, lambda tt: moon_declination(sky, tt))


def find_equator_crossings(sky: Ephemeris) -> Array:
    """Find where the moon's apparent declination is zero: TT; not yet cut to the span."""
    samples = _samples(sky, STEP, beyond=1)
    values = moon_declination(sky, samples)
    i = np.flatnonzero((values[1:] > 0) != (values[:-1] > 0))
    ends = (samples[i], samples[i + 1])
    return refine_brackets(
        lambda _, tt: moon_declination(sky, tt), ends, (values[i], values[i + 1]), ROOT_TOLERANCE
    )


def moon_declination(sky: Ephemeris, tt: Array) -> Array:
    """Apparent geocentric declination of the moon, degrees, shaped as tt."""
    x, y, z = sky.place(Body.MOON, tt)
    return np.asarray(np.degrees(np.arctan2(z, np.hypot(x, y))))


def illuminated_fraction(sky: Ephemeris, tt: Array) -> Array:
    """Lit part of the moon's disc seen from the Earth's centre, 0..1: (1 + cos i) / 2, i at the moon."""
    moon, sun = sky.place(Body.MOON, tt), sky.place(Body.SUN, tt)
    to_sun, to_earth = sun - moon, -moon
    lengths = np.sqrt((to_sun**2).sum(axis=0) * (to_earth**2).sum(axis=0))
    return np.asarray(0.5 * (1 + (to_sun * to_earth).sum(axis=0) / lengths))


def _ecliptic_longitude(place: Array, obliquity: Array) -> Array:
    x, y, z = place
    return np.asarray(np.arctan2(y * np.cos(obliquity) + z * np.sin(obliquity), x))


def _samples(sky: Ephemeris, step: float, beyond: int) -> Array:
    """Multiples of `step` around the span, with `beyond` more on either side."""
    first, last = np.floor(sky.start_tt / step) - beyond, np.ceil(sky.end_tt / step) + beyond
    return np.asarray(np.arange(first, last + 1) * step)


def _reach(
    angle_at: Callable[[Array], Array], samples: Array, angle: Array, targets: Array
) -> tuple[Ints, Ints, Array]:
    """Where a growing angle reaches the targets: row and column of the target, and TT, each (n,).

    angle_at may wrap; angle is its unwrapped course at the samples; targets (rows, columns) in its radians.
    """
    row, column = np.nonzero((targets > angle[0]) & (targets <= angle[-1]))
    wanted = targets[row, column]
    i = np.searchsorted(angle, wanted, side="left")

    def short_of(active: Ints, tt: Array) -> Array:
        return np.asarray((angle_at(tt) - wanted[active] + np.pi) % TURN - np.pi)

    ends, values = (samples[i - 1], samples[i]), (angle[i - 1] - wanted, angle[i] - wanted)
    tt = refine_brackets(short_of, ends, values, ROOT_TOLERANCE)
    return row, column, tt


def _extrema(sky: Ephemeris, f: Callable[[Array], Array]) -> tuple[Array, Array, Flags]:
    """Instants (TT), values and whether greatest, of the turns of f sampled on the ephemeris' own step."""
    samples = _samples(sky, STEP, beyond=2)
    rising = np.diff(f(samples)) > 0
    i = np.flatnonzero(rising[1:] != rising[:-1])
    tt = refine_extrema(lambda _, tt: f(tt), samples[i + 1], STEP)
    return tt, f(tt), rising[i]
