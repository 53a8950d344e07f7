"""Answers under strain: other surroundings, other orders, spans cut up, every flow on random coasts."""

import os
import time
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harmonics.stations.currents import current_events
from harmonics.stations.tides import even_levels, high_low_waters
from harmonics.stations.types import Station
from harmonics.sums.waves import HarmonicConstants
from tests.cli.runs import NOW, run
from tests.examples import examples
from tests.harmonics.strategies import instants, stations
from tests.windows.conftest import LONG_AGO, coast_text, one_spot, spot_text
from tests.windows.strategies import amplitudes, phases, places, rows, spot_keys
from windows.conditions.flow import FlowKind
from windows.conditions.outlook import Outlook
from windows.forecast.edges import LEAST_FLOW_FACTOR
from windows.forecast.making import make_forecast
from windows.forecast.planning import MINUTE
from windows.shoreline.shore import read_shore

DAY = 86400.0
DAYS = 3
ZONES = ("UTC", "Pacific/Kiritimati", "America/St_Johns", "Africa/Casablanca", "Antarctica/Troll", "nonsense")
COMMANDS = (
    ("tides", "--format", "json"),
    ("levels", "--format", "csv"),
    ("sky", "--format", "csv"),
    ("datums",),
    ("check",),
    ("best", "--days", "2", "--format", "json"),
    ("week", "--days", "2", "--format", "ics"),
    ("week", "--days", "2", "--format", "page"),
)
"""Those of tests/cli/test_processes.py, `week` and `tides` as tables, are left out."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("strain")


def shore_of(folder, text):
    path = folder / "shore.toml"
    path.write_text(text, encoding="utf-8")
    return path


def in_zone(zone: str, *arguments: object):
    """A run on a machine that keeps that time."""
    before = os.environ.get("TZ")
    os.environ["TZ"] = zone
    time.tzset()
    try:
        return run(*arguments, now=NOW)
    finally:
        if before is None:
            del os.environ["TZ"]
        else:
            os.environ["TZ"] = before
        time.tzset()


@settings(max_examples=15)
@given(rows, places(), st.sampled_from(COMMANDS), st.sampled_from(ZONES))
def test_the_machine_s_zone_changes_no_answer(folder, coast, place, command, zone):
    path = shore_of(folder, one_spot(coast, **place))
    name, *options = command
    here, there = (in_zone(kept, name, path, *options) for kept in ("UTC", zone))
    assert here.code == 0
    assert here == there


def shuffled(station: Station, seed: int) -> Station:
    order = np.random.default_rng(seed).permutation(len(station.constants.constituents))
    constants = station.constants
    moved = HarmonicConstants(
        tuple(constants.constituents[i] for i in order),
        constants.amplitude[order],
        constants.phase_lag[order],
    )
    return Station(
        station.id,
        station.name,
        station.latitude,
        station.longitude,
        station.datum,
        station.mean_level,
        moved,
        station.practice,
    )


@examples(20)
@given(stations(), instants, st.integers(0, 1000))
def test_the_order_of_constituents_moves_no_turn(station, start, seed):
    """Levels at any times are held to it in tests/harmonics/test_prediction.py."""
    other = shuffled(station, seed)
    one, two = (high_low_waters(item, start, start + 10 * DAY).turns for item in (station, other))
    assert len(one.t) == len(two.t)
    assert two.t == pytest.approx(one.t, abs=0.5)
    assert two.height == pytest.approx(one.height, abs=1e-9)
    assert (one.high == two.high).all()


@settings(max_examples=15)
@given(rows, places(), spot_keys, st.permutations(range(3)))
def test_the_order_of_constituents_moves_no_session(folder, coast, place, keys, order):
    found = []
    for listed in (coast, [coast[i] for i in order]):
        made = read_shore(shore_of(folder, one_spot(listed, keys, **place)))
        forecast = make_forecast(made, made.spots, date(2026, 9, 20), 5, Outlook(LONG_AGO))
        found.append([item.session for item in forecast.ranking])
    assert [(s.start, s.end, s.window) for s in found[0]] == [(s.start, s.end, s.window) for s in found[1]]
    assert [s.points.total for s in found[0]] == pytest.approx([s.points.total for s in found[1]], abs=1e-6)


@settings(max_examples=30)
@given(stations(), instants, st.integers(2, 4000), st.data())
def test_levels_at_even_steps_do_not_depend_on_how_many_are_asked_for(station, start, count, data):
    cut = data.draw(st.integers(1, count - 1))
    whole = even_levels(station, start, 360.0, count)
    parts = (
        even_levels(station, start, 360.0, cut),
        even_levels(station, start + 360.0 * cut, 360.0, count - cut),
    )
    assert np.concatenate(parts) == pytest.approx(whole, abs=1e-9)


CURRENTS = """
[[currents]]
id = "pass"
name = "Pass"
latitude = 45.0
longitude = 0.0
flood_direction = 340
ebb_direction = 165
mean_flow = {mean}
constituents = [{rows}]
[[currents]]
id = "inner"
name = "Inner"
reference = "pass"
flood_direction = 10
ebb_direction = 190
slack_before_ebb = 15
ebb = 25
ebb_ratio = 0.8
[[currents]]
id = "turning"
name = "Turning"
latitude = 45.0
longitude = 0.0
flood_direction = 30
axis_direction = 20
across_direction = 110
constituents = [{rows}]
constituents_across = [{{ name = "M2", amplitude = 0.3, phase = 10.0 }}]
"""
FLOWS = {
    FlowKind.FALL_ONLY: ("",),
    FlowKind.SCALED: ("strong_ebb = 1.4",),
    FlowKind.BASIN: ("basin_area_m2 = 4e6\nopening_area_m2 = 900",),
    FlowKind.INLET: (
        "basin_area_m2 = 4e6\nopening_area_m2 = 900\nrepletion = 0.8",
        "basin_area_m2 = 4e6\nopening_area_m2 = 900\nthroat_length_m = 400\nhydraulic_radius_m = 3",
    ),
    FlowKind.MEASURED: (
        'current = "pass"\nfactor = 0.7\ndelay = -20',
        'current = "inner"',
        'current = "turning"\ndelay = 40',
    ),
}
SETTINGS = st.sampled_from(
    ("", 'light = "any"', "keep = 20", "daylight_only = true", 'hours = "20:00-09:00"', 'session = "4h"')
)


@st.composite
def currents(draw):
    listed = [
        ("M2", draw(amplitudes(0.3, 2.5))),
        ("K1", draw(amplitudes(0.0, 0.8))),
        ("M4", draw(amplitudes(0.0, 0.3))),
    ]
    made = ", ".join(f'{{ name = "{n}", amplitude = {a}, phase = {draw(phases)} }}' for n, a in listed)
    return CURRENTS.format(mean=draw(amplitudes(-0.5, 0.5)), rows=made)


@pytest.mark.parametrize("kind", FLOWS, ids=str)
def test_windows_of_every_kind_of_flow(folder, kind):
    """Disjoint, inside the span, and only in outgoing water that moves well enough."""
    seen = 0

    @settings(max_examples=8)
    @given(st.sampled_from(FLOWS[kind]), random_spots(), st.dates(date(2024, 1, 1), date(2030, 1, 1)))
    def check(flow, spot, first):
        nonlocal seen
        shore = read_shore(shore_of(folder, spot(flow)))
        (report,) = make_forecast(shore, shore.spots, first, DAYS, Outlook(LONG_AGO)).spots
        assert report.flow.kind is kind
        assert [day.day for day in report.days] == [first + timedelta(days=i) for i in range(DAYS)]
        for day in report.days:
            assert all(day.start <= item.session.start < day.end for item in day.sessions)
        sessions = [item.session for day in report.days for item in day.sessions]
        for session in sessions:
            check_session(session, report.flow)
        for earlier, later in pairwise(sessions):
            assert earlier.end <= later.start
            assert earlier.window == later.window or earlier.window.end <= later.window.start
        seen += len(sessions)

    check()
    assert seen > DAYS


@st.composite
def random_spots(draw):
    """The text of a file with a spot whose flow is told in the way that is then given."""
    coast, streams, place = draw(rows), draw(currents()), draw(places())
    keys, known = draw(SETTINGS), draw(st.booleans())
    where = {key: place[key] for key in ("latitude", "longitude")}
    near = f"latitude = {where['latitude']}\nlongitude = {where['longitude']}"
    streams = streams.replace("latitude = 45.0\nlongitude = 0.0", near)

    def text(flow: str) -> str:
        turns_by_itself = any(word in flow for word in ("current", "repletion", "throat"))
        lag = "" if turns_by_itself or not known else "slack_lag = 25\n"
        table = f"\n[spots.flow]\n{flow}\n" if flow else ""
        return coast_text(coast, **place) + streams + spot_text(lag + keys + table, **where)

    return text


def check_session(session, flow):
    """A window lies in outgoing water, its session touches it; edges are round where the turn is assumed."""
    window = session.window
    slack = 600.0 if flow.assumed_turn else MINUTE
    outgoing = flow.outgoing(np.arange(window.start + slack, window.end - slack + 1.0, MINUTE))
    assert (outgoing > 0).all()
    assert (flow.factor(outgoing) >= LEAST_FLOW_FACTOR - 0.02).all()
    assert window.start < window.end
    assert window.start <= window.peak <= window.end
    assert 0 < session.points.total <= 100
    assert session.start < window.end
    assert session.end > window.start


@settings(max_examples=15)
@given(currents(), st.sampled_from(("pass", "inner", "turning")), st.integers(0, 3000), st.floats(0.0, 6.0))
def test_current_events_of_a_file_may_be_cut_anywhere(folder, streams, name, day, cut):
    shore = read_shore(shore_of(folder, coast_text([("M2", 1.0, 0.0)]) + streams))
    station = shore.current(name)
    start = NOW + day * DAY
    whole, first, rest = (
        current_events(station, start + low * DAY, start + high * DAY)
        for low, high in ((0, 6), (0, cut), (cut, 6))
    )
    assert np.concatenate([first.t, rest.t]) == pytest.approx(whole.t, abs=1.0)
