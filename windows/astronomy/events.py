"""Every event of sun and moon over a span, for all spots at once."""

from operator import attrgetter

import numpy as np
from numpy.typing import ArrayLike

from harmonics.arrays import Array, Flags
from windows.astronomy import cycles
from windows.astronomy.ephemeris import Ephemeris
from windows.astronomy.horizon import (
    CIVIL_TWILIGHT,
    NAUTICAL_TWILIGHT,
    RISE_SET,
    Sites,
    coordinates,
    find_passages,
)
from windows.astronomy.kinds import Body, DayState, OpposedInstants, SkyEvent, SkyEventKind
from windows.astronomy.timescales import tt_from_posix

# (threshold, upward, downward) of each body; the sun's depressions are those of civil and nautical twilight.
_PASSAGE_KINDS = {
    Body.SUN: (
        (RISE_SET[Body.SUN], SkyEventKind.RISE, SkyEventKind.SET),
        (CIVIL_TWILIGHT, SkyEventKind.CIVIL_DAWN, SkyEventKind.CIVIL_DUSK),
        (NAUTICAL_TWILIGHT, SkyEventKind.NAUTICAL_DAWN, SkyEventKind.NAUTICAL_DUSK),
    ),
    Body.MOON: ((RISE_SET[Body.MOON], SkyEventKind.RISE, SkyEventKind.SET),),
}
_PHASE_KINDS = (
    SkyEventKind.NEW_MOON,
    SkyEventKind.FIRST_QUARTER,
    SkyEventKind.FULL_MOON,
    SkyEventKind.LAST_QUARTER,
)


GRIDS_KEPT = 4
"""Grids of times at which all spots ask for the sun: a forecast has two."""


class Sky:
    """Sun and moon over the half-open span start_t..end_t, POSIX seconds.

    Latitudes and longitudes are (spots,) geodetic degrees, north and east positive, at sea level; a single
    number is one spot. Raises SkyRangeError (a ValueError) outside 1899-07-29 .. 2053-10-07, ValueError for
    coordinates out of range. A place where nothing rises has empty lists, never an error.
    """

    def __init__(self, start_t: float, end_t: float) -> None:
        self._ephemeris = Ephemeris(start_t, end_t)
        self.start_t, self.end_t = self._ephemeris.start_t, self._ephemeris.end_t
        self._even_sun: dict[tuple[float, float, int], Array] = {}

    def events(self, latitudes: ArrayLike, longitudes: ArrayLike) -> list[list[SkyEvent]]:
        """All events in the span, one list a spot, each sorted by time."""
        sites = Sites.at(latitudes, longitudes)
        _, longitude = coordinates(latitudes, longitudes)
        everywhere = self.geocentric_events()
        out = [list(everywhere) for _ in range(len(sites))]
        for body in Body:
            self._add_passages(out, body, sites)
            self._add_transits(out, body, sites, longitude)
        for spot_events in out:
            spot_events.sort(key=attrgetter("t"))
        return out

    def geocentric_events(self) -> list[SkyEvent]:
        """Phases, perigees, apogees and farthest declinations: the same for every spot, sorted by time."""
        events: list[SkyEvent] = []
        tt, phase = cycles.find_phases(self._ephemeris)
        t, within = self._ephemeris.posix_within(tt)
        for when, which in zip(t[within].tolist(), phase[within].tolist(), strict=True):
            events.append(SkyEvent(when, Body.MOON, _PHASE_KINDS[which], None, ""))
        for find, greatest, least, unit in (
            (cycles.find_distance_extrema, SkyEventKind.APOGEE, SkyEventKind.PERIGEE, "km"),
            (cycles.find_declination_extrema, SkyEventKind.NORTHMOST, SkyEventKind.SOUTHMOST, "deg"),
        ):
            tt, value, is_greatest = find(self._ephemeris)
            t, within = self._ephemeris.posix_within(tt)
            for when, what, up in zip(
                t[within].tolist(), value[within].tolist(), is_greatest[within], strict=True
            ):
                events.append(SkyEvent(when, Body.MOON, greatest if up else least, what, unit))
        return sorted(events, key=attrgetter("t"))

    def _add_passages(self, out: list[list[SkyEvent]], body: Body, sites: Sites) -> None:
        kinds = _PASSAGE_KINDS[body]
        found = find_passages(self._ephemeris, body, sites, [threshold for threshold, _, _ in kinds])
        for (_, up, down), passages in zip(kinds, found, strict=True):
            positions = self._ephemeris.earth_fixed(body, passages.tt)
            azimuth = sites.azimuth_each(passages.spot, positions)
            self._add(out, body, (up, down), passages, azimuth)

    def _add_transits(self, out: list[list[SkyEvent]], body: Body, sites: Sites, longitude: Array) -> None:
        transits = cycles.find_transits(self._ephemeris, body, longitude)
        positions = self._ephemeris.earth_fixed(body, transits.tt)
        altitude, _ = sites.altitude_each(transits.spot, positions)
        kinds = (SkyEventKind.UPPER_TRANSIT, SkyEventKind.LOWER_TRANSIT)
        self._add(out, body, kinds, transits, np.degrees(altitude))

    def _add(
        self,
        out: list[list[SkyEvent]],
        body: Body,
        kinds: tuple[SkyEventKind, SkyEventKind],
        instants: OpposedInstants,
        degrees: Array,
    ) -> None:
        """Append events in the span to their spots."""
        t, within = self._ephemeris.posix_within(instants.tt)
        for k, when, is_first, value in zip(
            instants.spot[within].tolist(),
            t[within].tolist(),
            instants.first[within].tolist(),
            degrees[within].tolist(),
            strict=True,
        ):
            out[k].append(SkyEvent(when, body, kinds[0] if is_first else kinds[1], value, "deg"))

    def rises_and_sets(
        self, body: Body, latitudes: ArrayLike, longitudes: ArrayLike
    ) -> list[tuple[Array, Array]]:
        """(rises, sets) of every spot: sorted POSIX seconds, (n,) and (m,)."""
        sites = Sites.at(latitudes, longitudes)
        (passages,) = find_passages(self._ephemeris, body, sites, [RISE_SET[body]])
        return self._by_spot(len(sites), passages)

    def transits(self, body: Body, longitudes: ArrayLike) -> list[tuple[Array, Array]]:
        """(upper, lower) transits of every spot: sorted POSIX seconds, (n,) and (m,); any latitude."""
        _, longitude = coordinates(np.zeros_like(np.atleast_1d(longitudes), np.float64), longitudes)
        return self._by_spot(longitude.size, cycles.find_transits(self._ephemeris, body, longitude))

    def moon_equator_crossings(self) -> Array:
        """When the moon crosses the equator, north- or southward: sorted POSIX seconds, (n,)."""
        t, within = self._ephemeris.posix_within(cycles.find_equator_crossings(self._ephemeris))
        return t[within]

    def _by_spot(self, spots: int, instants: OpposedInstants) -> list[tuple[Array, Array]]:
        """Sorted POSIX seconds within the span, of the first kind and of the other, for each spot."""
        t, within = self._ephemeris.posix_within(instants.tt)
        return [
            (np.sort(t[here & instants.first]), np.sort(t[here & ~instants.first]))
            for here in (within & (instants.spot == k) for k in range(spots))
        ]

    def sun_altitude(self, latitudes: ArrayLike, longitudes: ArrayLike, t: ArrayLike) -> Array:
        """Airless topocentric altitude of the sun's centre, degrees, (spots, times)."""
        return self._altitude(Body.SUN, latitudes, longitudes, t)

    def even_sun_altitude(
        self, latitude: float, longitude: float, start: float, step: float, count: int
    ) -> Array:
        """The same at one place and at start + step x (0 .. count - 1), (count,): spots share the sun."""
        key = (start, step, count)
        if key not in self._even_sun:
            if len(self._even_sun) >= GRIDS_KEPT:
                self._even_sun.clear()
            times = self._inside(start + step * np.arange(count))
            self._even_sun[key] = self._ephemeris.earth_fixed(Body.SUN, times)
        altitude, _ = Sites.at(latitude, longitude).altitudes(self._even_sun[key])
        return np.asarray(np.degrees(altitude[0]))

    def moon_altitude(self, latitudes: ArrayLike, longitudes: ArrayLike, t: ArrayLike) -> Array:
        """Airless topocentric altitude of the moon's centre, degrees, (spots, times)."""
        return self._altitude(Body.MOON, latitudes, longitudes, t)

    def illuminated(self, t: ArrayLike) -> Array:
        """Lit fraction of the moon's disc, 0..1, geocentric, (times,)."""
        return cycles.illuminated_fraction(self._ephemeris, self._inside(t))

    def is_up(self, body: Body, latitudes: ArrayLike, longitudes: ArrayLike, t: ArrayLike) -> Flags:
        """Whether the body has risen by the almanac convention, (spots, times)."""
        sites = Sites.at(latitudes, longitudes)
        altitude, distance = sites.altitudes(self._ephemeris.earth_fixed(body, self._inside(t)))
        return np.asarray(RISE_SET[body].height_above(altitude, distance) > 0)

    def up_at_start(self, body: Body, latitudes: ArrayLike, longitudes: ArrayLike) -> Flags:
        """Whether the body is up when the span begins, (spots,)."""
        return self.is_up(body, latitudes, longitudes, self.start_t)[:, 0]

    def day_states(
        self, body: Body, latitudes: ArrayLike, longitudes: ArrayLike, edges: ArrayLike
    ) -> list[list[DayState]]:
        """Whether the body crosses the horizon in each day, for every spot.

        edges: (days + 1,) POSIX seconds within the span, as from `day_edges`. UP_ALL_DAY: it does not set.
        """
        edge = np.asarray(edges, np.float64)
        up = self.is_up(body, latitudes, longitudes, edge[:-1])
        states = []
        for (rises, sets), up_at_edges in zip(
            self.rises_and_sets(body, latitudes, longitudes), up.tolist(), strict=True
        ):
            before = np.searchsorted(np.sort(np.concatenate((rises, sets))), edge, side="left")
            states.append(
                [
                    DayState.CROSSES if crossed else DayState.UP_ALL_DAY if is_up else DayState.DOWN_ALL_DAY
                    for crossed, is_up in zip((np.diff(before) > 0).tolist(), up_at_edges, strict=True)
                ]
            )
        return states

    def _altitude(self, body: Body, latitudes: ArrayLike, longitudes: ArrayLike, t: ArrayLike) -> Array:
        positions = self._ephemeris.earth_fixed(body, self._inside(t))
        altitude, _ = Sites.at(latitudes, longitudes).altitudes(positions)
        return np.degrees(altitude)

    def _inside(self, t: ArrayLike) -> Array:
        """TT of POSIX seconds, (times,); ValueError outside the span, both ends allowed."""
        times = np.atleast_1d(np.asarray(t, np.float64))
        if not ((times >= self.start_t) & (times <= self.end_t)).all():
            raise ValueError("instants outside the span this sky was made for")
        return tt_from_posix(times)
