"""Against other code: skyfield's own almanac on DE421, PyEphem (VSOP87 and ELP), astral (NOAA formulas)."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import ephem
import numpy as np
import pytest
import skyfield_data
from skyfield import almanac
from skyfield.api import load, load_file, wgs84

from windows.astronomy import Body, Sky, SkyEvent, SkyEventKind, approximate_sun_events
from windows.astronomy.ephemeris import FIRST_T, LAST_T, Ephemeris
from windows.astronomy.timescales import DAY, J2000_JD, tt_from_posix


def utc(*date: int) -> float:
    return datetime(*date, tzinfo=UTC).timestamp()


def times(events: list[SkyEvent], body: Body, kind: SkyEventKind) -> np.ndarray:
    return np.array([event.t for event in events if event.body is body and event.kind is kind])


def worst(ours: np.ndarray, theirs: np.ndarray) -> float:
    """Greatest difference in seconds; a difference in number is infinite."""
    return float(np.abs(ours - theirs).max(initial=0.0)) if len(ours) == len(theirs) else np.inf


class Library:
    """The library's own route: an observer, dense searches, every vector computed in full."""

    def __init__(self) -> None:
        self.ts = load.timescale()
        self.kernel = load_file(str(Path(skyfield_data.__file__).parent / "data" / "de421.bsp"))

    def observer(self, latitude: float, longitude: float):
        return self.kernel["earth"] + wgs84.latlon(latitude, longitude)

    def time(self, t: float):
        return self.ts.from_datetime(datetime.fromtimestamp(t, UTC))

    def posix(self, time) -> np.ndarray:
        return np.array([moment.timestamp() for moment in time.utc_datetime()])


@pytest.fixture(scope="module")
def library() -> Iterator[Library]:
    peer = Library()
    yield peer
    peer.kernel.close()


PLACES = [(0.0, 6.7), (29.2, -90.0), (-33.9, 151.2), (48.6, -123.4), (-54.8, -68.3), (57.0, -135.3)]
MONTHS = [utc(1975, 11, 10), utc(2003, 4, 1), utc(2026, 6, 1), utc(2044, 9, 20)]


@pytest.mark.parametrize("start", MONTHS)
@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
def test_rise_set_and_transit_against_the_library(library, latitude, longitude, start):
    # Measured over 2026 below 58 degrees: sun 0.01 s, moon 0.03 s.
    end = start + 12 * DAY
    (events,) = Sky(start, end).events(latitude, longitude)
    observer, span = library.observer(latitude, longitude), (library.time(start), library.time(end))
    for body, allowed in ((Body.SUN, 0.05), (Body.MOON, 0.1)):
        target = library.kernel[body.value]
        for kind, find in (
            (SkyEventKind.RISE, almanac.find_risings),
            (SkyEventKind.SET, almanac.find_settings),
        ):
            found, crossed = find(observer, target, *span)
            assert worst(times(events, body, kind), library.posix(found)[crossed]) <= allowed
        found = almanac.find_transits(observer, target, *span)
        assert worst(times(events, body, SkyEventKind.UPPER_TRANSIT), library.posix(found)) <= allowed


@pytest.mark.parametrize(
    ("depression", "dawn", "dusk"), [(6, "civil_dawn", "civil_dusk"), (12, "nautical_dawn", "nautical_dusk")]
)
def test_twilight_against_the_library(library, depression, dawn, dusk):
    start, end = utc(2026, 2, 20), utc(2026, 3, 4)
    (events,) = Sky(start, end).events(41.5, -71.3)
    span = (library.time(start), library.time(end))
    args = (library.observer(41.5, -71.3), library.kernel["sun"], *span)
    for kind, find in ((dawn, almanac.find_risings), (dusk, almanac.find_settings)):
        found, _ = find(*args, horizon_degrees=-depression)
        assert worst(times(events, Body.SUN, SkyEventKind(kind)), library.posix(found)) <= 0.05


def test_high_latitude_against_the_library(library):
    # Along the horizon a rise is only as sharp as the slope allows: measured 0.3 s at 78 degrees.
    start, end = utc(2026, 9, 1), utc(2026, 10, 15)
    (events,) = Sky(start, end).events(78.2, 15.6)
    observer, span = library.observer(78.2, 15.6), (library.time(start), library.time(end))
    for body in Body:
        for kind, find in (
            (SkyEventKind.RISE, almanac.find_risings),
            (SkyEventKind.SET, almanac.find_settings),
        ):
            found, crossed = find(observer, library.kernel[body.value], *span)
            theirs = library.posix(found)[crossed]
            ours = times(events, body, kind)
            assert len(ours) >= 10
            assert worst(ours, theirs) <= 0.5


def test_a_graze_of_four_minutes_against_the_librarys_altitudes(library):
    # The library's quick search misses this set and puts the rise a minute late; its altitudes decide.
    (events,) = Sky(utc(2026, 10, 4), utc(2026, 10, 4, 8)).events(64.8, -147.8)
    moonset, moonrise = (
        times(events, Body.MOON, SkyEventKind.SET),
        times(events, Body.MOON, SkyEventKind.RISE),
    )
    assert len(moonset) == len(moonrise) == 1
    assert 240 < moonrise[0] - moonset[0] < 260
    for t in (moonset[0], moonrise[0]):
        seen = library.observer(64.8, -147.8).at(library.time(t)).observe(library.kernel["moon"]).apparent()
        altitude, _, distance = seen.altaz()
        upper_limb = altitude.degrees + np.degrees(np.arcsin(1737.4 / distance.km))
        assert upper_limb == pytest.approx(-34 / 60, abs=0.0001)


def test_phases_against_the_library(library):
    start, end = utc(2025, 1, 1), utc(2027, 1, 1)
    found, phase = almanac.find_discrete(
        library.time(start), library.time(end), almanac.moon_phases(library.kernel)
    )
    events = Sky(start, end).geocentric_events()
    names = (
        SkyEventKind.NEW_MOON,
        SkyEventKind.FIRST_QUARTER,
        SkyEventKind.FULL_MOON,
        SkyEventKind.LAST_QUARTER,
    )
    for index, kind in enumerate(names):
        assert worst(times(events, Body.MOON, kind), library.posix(found)[phase == index]) <= 0.1


def test_illuminated_fraction_against_the_library(library):
    start = utc(2026, 3, 3)
    t = start + np.arange(0, 29) * DAY
    theirs = [almanac.fraction_illuminated(library.kernel, "moon", library.time(float(when))) for when in t]
    assert np.abs(Sky(start, start + 30 * DAY).illuminated(t) - theirs).max() < 1e-4


@pytest.mark.parametrize("body", list(Body))
@pytest.mark.parametrize(("latitude", "longitude"), [(0.0, 0.0), (60.0, 25.0), (-77.8, 166.7), (90.0, 0.0)])
def test_topocentric_altitude_and_azimuth_against_the_library(library, body, latitude, longitude):
    start = utc(2026, 8, 15)
    t = start + np.arange(0, 2, 0.083) * DAY
    sky = Sky(start, start + 2 * DAY)
    compute = sky.sun_altitude if body is Body.SUN else sky.moon_altitude
    place = library.observer(latitude, longitude)
    theirs = [
        place.at(library.time(float(when))).observe(library.kernel[body.value]).apparent().altaz()[0].degrees
        for when in t
    ]
    # Diurnal aberration (0.3 arcsec) and the sun's light deflection are left out.
    assert np.abs(compute(latitude, longitude, t)[0] - theirs).max() * 3600 < 0.5


def test_azimuth_and_altitude_of_events_against_the_library(library):
    (events,) = Sky(utc(2026, 8, 15), utc(2026, 8, 18)).events(41.5, -71.3)
    place = library.observer(41.5, -71.3)
    checked = 0
    for event in events:
        if event.unit != "deg" or event.kind in (SkyEventKind.NORTHMOST, SkyEventKind.SOUTHMOST):
            continue
        apparent = place.at(library.time(event.t)).observe(library.kernel[event.body.value]).apparent()
        altitude, azimuth, _ = apparent.altaz()
        transit = event.kind in (SkyEventKind.UPPER_TRANSIT, SkyEventKind.LOWER_TRANSIT)
        assert event.value == pytest.approx(altitude.degrees if transit else azimuth.degrees, abs=0.001)
        checked += 1
    assert checked >= 30


@pytest.mark.parametrize("t", [FIRST_T, FIRST_T + 0.6 * DAY, utc(1971, 12, 31), utc(2000, 1, 1), LAST_T - 1])
@pytest.mark.parametrize("body", list(Body))
def test_geocentric_places_to_the_ends_of_the_file(library, body, t):
    table = Ephemeris(max(FIRST_T, t - DAY), min(LAST_T, t + DAY))
    tt = float(tt_from_posix(t))
    # 0.5 s after the file's first instant the library cannot look back by the light-time.
    later = tt + (0.01 if t == FIRST_T else 0.0)
    time = library.ts.tt_jd(J2000_JD, later)
    ours = table.place(body, [later])[:, 0]
    apparent = library.kernel["earth"].at(time).observe(library.kernel[body.value]).apparent()
    theirs = np.einsum("ij,j->i", time.M, apparent.xyz.km)
    angle = np.arccos(np.clip(ours @ theirs / np.linalg.norm(ours) / np.linalg.norm(theirs), -1, 1))
    chord = np.linalg.norm(ours / np.linalg.norm(ours) - theirs / np.linalg.norm(theirs))
    assert angle < 1e-5
    assert np.degrees(chord) * 3600 < 0.05


@pytest.mark.parametrize(("latitude", "longitude"), [(29.2, -90.0), (-41.3, 174.8), (55.0, 8.0)])
def test_rise_and_set_against_pyephem(latitude, longitude):
    # PyEphem has its own theories, its own refraction switched off here, and the moon's geocentric size.
    start, end = utc(2026, 5, 1), utc(2026, 5, 29)
    (events,) = Sky(start, end).events(latitude, longitude)
    for body, target, allowed in ((Body.SUN, ephem.Sun(), 2.0), (Body.MOON, ephem.Moon(), 4.0)):
        for kind, name in ((SkyEventKind.RISE, "next_rising"), (SkyEventKind.SET, "next_setting")):
            observer = ephem.Observer()
            observer.lat, observer.lon = str(latitude), str(longitude)
            # The sun's centre at -50', the moon's upper limb at -34' (USNO's recipe in PyEphem's manual).
            observer.pressure, observer.horizon = 0, "-0:50" if body is Body.SUN else "-0:34"
            ours = times(events, body, kind)
            assert len(ours) >= 26
            for t in ours:
                observer.date = datetime.fromtimestamp(t - 3600, UTC).replace(tzinfo=None)
                found = getattr(observer, name)(target, use_center=body is Body.SUN)
                assert abs(found.datetime().replace(tzinfo=UTC).timestamp() - t) <= allowed


@pytest.mark.parametrize("start", [utc(1930, 1, 1, 3, 21), utc(2026, 1, 1, 3, 21)])
@pytest.mark.parametrize(
    ("latitude", "longitude"), [(0.0, 180.0), (35.0, 100.0), (-45.0, -1.0), (50.0, -179.0), (-50.0, 3.0)]
)
def test_the_sun_against_astral(latitude, longitude, start):
    end = start + 365 * DAY
    (exact,) = Sky(start, end).events(latitude, longitude)
    approximate = approximate_sun_events(latitude, longitude, start, end)
    kinds = {event.kind for event in approximate}
    assert len(kinds) == 8
    for kind in kinds:
        assert worst(times(approximate, Body.SUN, kind), times(exact, Body.SUN, kind)) <= 8.0
        values = [
            [event.value for event in some if event.body is Body.SUN and event.kind is kind]
            for some in (approximate, exact)
        ]
        turn = (np.subtract(*values) + 180) % 360 - 180
        assert np.abs(turn).max() < 0.1
