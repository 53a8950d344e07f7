"""Altitude and azimuth at places on the Earth, and the instants a body passes an altitude."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array, Flags, Ints
from windows.astronomy.ephemeris import Ephemeris
from windows.astronomy.kinds import Body, OpposedInstants
from windows.astronomy.roots import refine_brackets, refine_extrema
from windows.astronomy.timescales import DAY

# WGS 84 ellipsoid, km (NGA.STND.0036)
EQUATORIAL_RADIUS = 6378.137
FLATTENING = 1 / 298.257223563
ECCENTRICITY_SQUARED = FLATTENING * (2 - FLATTENING)

MOON_RADIUS = 1737.4  # km (IAU 2015 report on cartographic coordinates, from memory)

# Half an hour: at the turn of the altitude the nearest sample is then within 0.13 deg of the extremum ...
SCAN_STEP = 1 / 48
# ... so an extremum this close to a threshold, and no other, may hide a pair of passages between samples.
GRAZE = np.radians(0.6)
# Width of the last bracket, days. 5 ms is far below what refraction leaves uncertain (tens of seconds).
ROOT_TOLERANCE = 0.005 / DAY
# Spots are scanned in groups, so that a decade for many spots needs no more than some 100 MB.
SAMPLES_AT_ONCE = 1_500_000


class Threshold(NamedTuple):
    """An altitude to pass: radians, airless; with `upper_limb` the moon's topocentric semidiameter counts."""

    altitude: float
    upper_limb: bool = False

    def height_above(self, altitude: Array, distance: Array) -> Array:
        """Radians above the threshold, given the centre's airless altitude (radians) and distance (km)."""
        height = altitude - self.altitude
        return height + np.arcsin(MOON_RADIUS / distance) if self.upper_limb else height


# Almanac convention: 34' of refraction at the horizon; the sun's semidiameter fixed at 16'
# (US Naval Observatory, "Rise, Set, and Twilight Definitions").
RISE_SET = {Body.SUN: Threshold(np.radians(-50 / 60)), Body.MOON: Threshold(np.radians(-34 / 60), True)}
CIVIL_TWILIGHT = Threshold(np.radians(-6.0))
NAUTICAL_TWILIGHT = Threshold(np.radians(-12.0))


@dataclass(frozen=True, slots=True)
class Sites:
    """Places at sea level on the WGS 84 ellipsoid; every array is (3, spots), turning with the Earth."""

    position: Array
    up: Array
    north: Array
    east: Array

    @classmethod
    def at(cls, latitudes: ArrayLike, longitudes: ArrayLike) -> "Sites":
        """From geodetic degrees, north and east positive. Raises ValueError for coordinates out of range."""
        latitude, longitude = coordinates(latitudes, longitudes)
        phi, lam = np.radians(latitude), np.radians(longitude)
        sin_phi, cos_phi, sin_lam, cos_lam = np.sin(phi), np.cos(phi), np.sin(lam), np.cos(lam)
        up = np.stack((cos_phi * cos_lam, cos_phi * sin_lam, sin_phi))
        prime_vertical = EQUATORIAL_RADIUS / np.sqrt(1 - ECCENTRICITY_SQUARED * sin_phi**2)
        position = prime_vertical * up * np.array([[1.0], [1.0], [1 - ECCENTRICITY_SQUARED]])
        north = np.stack((-sin_phi * cos_lam, -sin_phi * sin_lam, cos_phi))
        east = np.stack((-sin_lam, cos_lam, np.zeros_like(lam)))
        return cls(position, up, north, east)

    def __len__(self) -> int:
        return int(self.up.shape[1])

    def part(self, start: int, stop: int) -> "Sites":
        """Sites start..stop - 1."""
        return Sites(*(vectors[:, start:stop] for vectors in (self.position, self.up, self.north, self.east)))

    def altitudes(self, body_positions: Array) -> tuple[Array, Array]:
        """Airless altitude (radians) and distance (km), (spots, n), of n earth-fixed positions (3, n).

        With s the site, u its vertical and r the body: d^2 = r.r - 2 s.r + s.s, sin h = (u.r - u.s) / d.
        """
        r = body_positions
        site_squared = (self.position**2).sum(axis=0)[:, None]
        distance = np.sqrt((r * r).sum(axis=0) - 2 * (self.position.T @ r) + site_squared)
        site_height = (self.up * self.position).sum(axis=0)[:, None]
        return np.arcsin((self.up.T @ r - site_height) / distance), distance

    def altitude_each(self, site: Ints, body_positions: Array) -> tuple[Array, Array]:
        """As `altitudes`, but position i is seen from site[i] only: (n,) each."""
        line = body_positions - self.position[:, site]
        distance = np.sqrt((line * line).sum(axis=0))
        return np.arcsin((line * self.up[:, site]).sum(axis=0) / distance), distance

    def azimuth_each(self, site: Ints, body_positions: Array) -> Array:
        """Azimuth of position i from site[i], degrees from true north through east, 0 to 360, (n,)."""
        line = body_positions - self.position[:, site]
        eastward = (line * self.east[:, site]).sum(axis=0)
        azimuth = np.arctan2(eastward, (line * self.north[:, site]).sum(axis=0))
        return np.asarray(np.degrees(azimuth) % 360.0)


def coordinates(latitudes: ArrayLike, longitudes: ArrayLike) -> tuple[Array, Array]:
    """Latitudes and longitudes as two (spots,) arrays of degrees; ValueError when out of range or unlike."""
    latitude = np.atleast_1d(np.asarray(latitudes, np.float64))
    longitude = np.atleast_1d(np.asarray(longitudes, np.float64))
    if latitude.ndim != 1 or latitude.shape != longitude.shape:
        raise ValueError(f"{latitude.shape} latitudes do not pair with {longitude.shape} longitudes")
    for name, values, limit in (("latitude", latitude, 90.0), ("longitude", longitude, 180.0)):
        wrong = ~(np.abs(values) <= limit)
        if wrong.any():
            raise ValueError(f"{name} {values[wrong][0]:g} is not between {-limit:g} and {limit:g} degrees")
    return latitude, longitude


def find_passages(
    sky: Ephemeris, body: Body, sites: Sites, thresholds: Sequence[Threshold]
) -> list[OpposedInstants]:
    """Find upward (first) and downward passages through each threshold; not yet cut to the span."""
    first, last = np.floor(sky.start_tt / SCAN_STEP) - 1, np.ceil(sky.end_tt / SCAN_STEP) + 1
    samples = np.arange(first, last + 1) * SCAN_STEP
    positions = sky.earth_fixed(body, samples)
    group = max(1, SAMPLES_AT_ONCE // (samples.size * len(thresholds)))
    found: list[list[OpposedInstants]] = [[] for _ in thresholds]
    for start in range(0, len(sites), group):
        some = sites.part(start, start + group)
        altitude, distance = some.altitudes(positions)
        height = np.stack([threshold.height_above(altitude, distance) for threshold in thresholds])
        scan = _Scan(sky, body, some, thresholds, samples, height)
        for passages, local in zip(found, scan.passages(), strict=True):
            passages.append(OpposedInstants(local.spot + start, local.tt, local.first))
    return [_joined(passages) for passages in found]


def _joined(parts: Sequence[OpposedInstants]) -> OpposedInstants:
    if not parts:
        return OpposedInstants(np.zeros(0, np.int64), np.zeros(0), np.zeros(0, np.bool_))
    return OpposedInstants(
        np.concatenate([part.spot for part in parts]),
        np.concatenate([part.tt for part in parts]),
        np.concatenate([part.first for part in parts]),
    )


class _Scan(NamedTuple):
    """Heights above thresholds, (thresholds, spots, samples), and how to evaluate them anywhere."""

    sky: Ephemeris
    body: Body
    sites: Sites
    thresholds: Sequence[Threshold]
    samples: Array
    height: Array

    def height_at(self, which: Ints, spot: Ints, tt: Array) -> Array:
        """Height above the threshold which[i], radians, of spot[i] at tt[i]."""
        altitude, distance = self.sites.altitude_each(spot, self.sky.earth_fixed(self.body, tt))
        if len(self.thresholds) == 1:
            return self.thresholds[0].height_above(altitude, distance)
        height = np.empty_like(altitude)
        for k, threshold in enumerate(self.thresholds):
            own = which == k
            height[own] = threshold.height_above(altitude[own], distance[own])
        return height

    def passages(self) -> list[OpposedInstants]:
        """Every passage: at sign changes between samples, and in pairs where a turn grazes a threshold."""
        above = self.height > 0
        which, spot, i = np.nonzero(above[..., 1:] != above[..., :-1])
        sign_changes = (
            which,
            spot,
            self.samples[i],
            self.samples[i + 1],
            self.height[which, spot, i],
            self.height[which, spot, i + 1],
        )
        brackets = [
            np.concatenate(pieces) for pieces in zip(sign_changes, *self._graze_brackets(above), strict=True)
        ]
        which, spot, a, b, fa, fb = brackets

        def height_at(active: Ints, tt: Array) -> Array:
            return self.height_at(which[active], spot[active], tt)

        tt = refine_brackets(height_at, (a, b), (fa, fb), ROOT_TOLERANCE)
        upward = fb > fa
        owned = [which == k for k in range(len(self.thresholds))]
        return [OpposedInstants(spot[own].astype(np.int64), tt[own], upward[own]) for own in owned]

    def _graze_brackets(self, above: Flags) -> list[tuple[Array, ...]]:
        """Brackets (which, spot, a, b, fa, fb) on both sides of turns that poke through between samples."""
        before, here, after = self.height[..., :-2], self.height[..., 1:-1], self.height[..., 2:]
        is_above = above[..., 1:-1]
        one_side = (is_above == above[..., :-2]) & (is_above == above[..., 2:]) & (np.abs(here) < GRAZE)
        lowest, highest = (here <= before) & (here < after), (here >= before) & (here > after)
        which, spot, i = np.nonzero(one_side & np.where(is_above, lowest, highest))

        def height_at(turn: Ints, tt: Array) -> Array:
            return self.height_at(which[turn], spot[turn], tt)

        turn = refine_extrema(height_at, self.samples[i + 1], SCAN_STEP)
        height = self.height_at(which, spot, turn)
        through = (height > 0) != above[which, spot, i + 1]
        which, spot, i, turn, height = (each[through] for each in (which, spot, i, turn, height))
        left = (which, spot, self.samples[i], turn, self.height[which, spot, i], height)
        right = (which, spot, turn, self.samples[i + 2], height, self.height[which, spot, i + 2])
        return [left, right]
