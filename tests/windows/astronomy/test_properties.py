"""What holds for any place and span the ephemeris covers."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from windows.astronomy import Body, DayState, Sky, SkyEvent, SkyEventKind, events_by_day
from windows.astronomy.ephemeris import FIRST_T, LAST_T
from windows.astronomy.horizon import RISE_SET
from windows.astronomy.timescales import DAY, posix_from_tt, tt_from_posix

latitudes = st.floats(-90, 90)
longitudes = st.floats(-180, 180)
places = st.tuples(latitudes, longitudes)
LONGEST = 20
starts = st.floats(FIRST_T, LAST_T - LONGEST * DAY)
lengths = st.floats(0.01, LONGEST).map(lambda days: days * DAY)
few = settings(max_examples=25)


def sky_and_events(start: float, length: float, place: tuple[float, float]) -> tuple[Sky, list[SkyEvent]]:
    sky = Sky(start, start + length)
    return sky, sky.events(*place)[0]


@few
@given(starts, lengths, places)
def test_events_are_sorted_and_inside_the_span(start, length, place):
    sky, events = sky_and_events(start, length, place)
    t = np.array([event.t for event in events])
    assert (np.diff(t) >= 0).all()
    assert ((t >= sky.start_t) & (t < sky.end_t)).all()


@few
@given(starts, lengths, places)
def test_rises_and_sets_alternate_from_the_state_at_the_start(start, length, place):
    sky, events = sky_and_events(start, length, place)
    for body in Body:
        up = bool(sky.up_at_start(body, *place)[0])
        for event in events:
            if event.body is body and event.kind in (SkyEventKind.RISE, SkyEventKind.SET):
                assert (event.kind is SkyEventKind.RISE) != up
                up = not up
        assert up == bool(sky.is_up(body, *place, sky.end_t)[0, 0])


@few
@given(starts, lengths, places)
def test_transits_alternate_and_are_half_a_day_apart(start, length, place):
    _, events = sky_and_events(start, length, place)
    transits = (SkyEventKind.UPPER_TRANSIT, SkyEventKind.LOWER_TRANSIT)
    for body, longest in ((Body.SUN, 12.02), (Body.MOON, 12.8)):
        found = [event for event in events if event.body is body and event.kind in transits]
        assert len(found) >= int(length / 3600 / longest)
        for first, second in pairwise(found):
            assert first.kind is not second.kind
            assert 11.9 < (second.t - first.t) / 3600 < longest


@few
@given(starts, lengths, places)
def test_the_limb_stands_on_the_horizon_at_rise_and_set(start, length, place):
    sky, events = sky_and_events(start, length, place)
    for event in events:
        if event.kind in (SkyEventKind.RISE, SkyEventKind.SET) and event.body is Body.SUN:
            altitude = sky.sun_altitude(*place, event.t)[0, 0]
            assert abs(np.radians(altitude) - RISE_SET[Body.SUN].altitude) < 1e-6


@few
@given(starts, lengths, places, st.floats(0, 1))
def test_a_span_cut_in_two_has_the_same_events(start, length, place, where):
    _, whole = sky_and_events(start, length, place)
    cut = start + where * length
    parts = Sky(start, cut).events(*place)[0] + Sky(cut, start + length).events(*place)[0]
    assert [(event.body, event.kind) for event in parts] == [(event.body, event.kind) for event in whole]
    assert np.allclose([event.t for event in parts], [event.t for event in whole], rtol=0, atol=0.1)


@few
@given(starts, lengths, st.lists(places, min_size=2, max_size=4))
def test_other_spots_change_nothing(start, length, spots):
    sky = Sky(start, start + length)
    together = sky.events(*zip(*spots, strict=True))
    for (latitude, longitude), events in zip(spots, together, strict=True):
        (alone,) = sky.events(latitude, longitude)
        assert [(event.body, event.kind) for event in events] == [(event.body, event.kind) for event in alone]
        assert np.allclose([event.t for event in events], [event.t for event in alone], rtol=0, atol=0.01)


@few
@given(starts, lengths, places)
def test_arrays_and_events_agree(start, length, place):
    sky, events = sky_and_events(start, length, place)
    for body in Body:
        (rises_sets,) = sky.rises_and_sets(body, *place)
        (transits,) = sky.transits(body, place[1])
        kinds = (SkyEventKind.RISE, SkyEventKind.SET, SkyEventKind.UPPER_TRANSIT, SkyEventKind.LOWER_TRANSIT)
        for kind, t in zip(kinds, (*rises_sets, *transits), strict=True):
            assert t.tolist() == [event.t for event in events if event.body is body and event.kind is kind]


@few
@given(starts, places, st.lists(st.floats(0, LONGEST * DAY), max_size=12))
def test_every_event_is_filed_in_one_day(start, place, inner_edges):
    edges = start + np.sort([0.0, *inner_edges, LONGEST * DAY])
    _, events = sky_and_events(start, LONGEST * DAY, place)
    days = events_by_day(edges, events)
    assert [event for day in days for event in day] == events
    for first, last, filed in zip(edges[:-1], edges[1:], days, strict=True):
        assert all(first <= event.t < last for event in filed)


@few
@given(starts, places)
def test_a_day_without_rise_or_set_is_all_up_or_all_down(start, place):
    edges = start + np.arange(LONGEST + 1) * DAY
    sky, events = sky_and_events(start, LONGEST * DAY, place)
    for body in Body:
        (states,) = sky.day_states(body, *place, edges)
        noon = sky.is_up(body, *place, edges[:-1] + DAY / 2)[0]
        for filed, state, up in zip(events_by_day(edges, events), states, noon, strict=True):
            crossings = [
                event
                for event in filed
                if event.body is body and event.kind in (SkyEventKind.RISE, SkyEventKind.SET)
            ]
            assert (state is DayState.CROSSES) == bool(crossings)
            if state is not DayState.CROSSES:
                assert (state is DayState.UP_ALL_DAY) == bool(up)


@given(st.floats(FIRST_T, LAST_T))
def test_terrestrial_time_round_trips(t):
    assert abs(float(posix_from_tt(tt_from_posix(t))) - t) < 1e-4


def test_moon_crosses_the_equator_between_its_farthest_declinations():
    sky = Sky(1767225600.0, 1767225600.0 + 120 * 86400.0)
    crossings = sky.moon_equator_crossings()
    farthest = [
        event.t
        for event in sky.geocentric_events()
        if event.kind in (SkyEventKind.NORTHMOST, SkyEventKind.SOUTHMOST)
    ]
    between = np.searchsorted(farthest, crossings)
    assert len(crossings) in (8, 9, 10)
    assert (np.diff(between) == 1).all()


def test_the_unit_of_an_event_is_that_of_its_value():
    sky = Sky(1767225600.0, 1767225600.0 + 40 * 86400.0)
    (events,) = sky.events([50.0], [-5.0])
    phases = {"new_moon", "first_quarter", "full_moon", "last_quarter"}
    units = {event.kind: (event.unit, event.value is None) for event in events}
    assert {kind for kind, (unit, _) in units.items() if unit == "km"} == {"perigee", "apogee"}
    assert {kind for kind, (unit, none) in units.items() if unit == "" and none} == phases
    assert {unit for kind, (unit, none) in units.items() if not none} == {"deg", "km"}


def test_sun_altitude_at_even_steps_is_the_sun_altitude_at_these_times():
    start = 1767225600.0
    sky = Sky(start, start + 3 * 86400.0)
    for first, step, count in ((start, 300.0, 500), (start + 70.0, 60.0, 90), (start, 300.0, 500)):
        expected = sky.sun_altitude([57.6, -35.4], [-4.9, 174.9], first + step * np.arange(count))
        assert sky.even_sun_altitude(57.6, -4.9, first, step, count) == pytest.approx(expected[0], abs=1e-9)
        assert sky.even_sun_altitude(-35.4, 174.9, first, step, count) == pytest.approx(expected[1], abs=1e-9)
