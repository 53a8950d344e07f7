"""A coast of plain cosines, for tests that write a forecast's sums down by hand.

S2 has a period of 12 hours, no node factor, and is highest at phase / 30 hours UTC.
"""

from datetime import date

import numpy as np

from tests.coasts import current
from tests.windows.conftest import at, windows_of
from windows.conditions.flow_models import flow_of

FIRST = date(2026, 8, 3)
DAY = 86400.0
START = at("2026-08-03")
OMEGA = 2 * np.pi / 43200.0
CORNERS = [0.1, 0.4, 1.2, 2.0]
"""Knots that fish well where a file says nothing: nothing, full, full, nothing."""
BY_FLOW = 'light = "any"\npoints = { flow = 60, light = 40, moon = 0 }\n'
"""The score is the flow's alone, a hundred times its factor."""
SEA = [("S2", 1.0, 0.0)]
MIXED = [("M2", 1.1, 100.0), ("S2", 0.35, 140.0), ("N2", 0.2, 80.0), ("K1", 0.15, 30.0), ("O1", 0.1, 10.0)]


def race(waves, mean=0.0, name="race", latitude=45.0):
    """A current, from (name, knots, phase lag)."""
    return current(name, waves, mean=mean, latitude=latitude)


def flow_at(shore, text, days=10.0, start=START, index=0):
    return flow_of(shore(text).spots[index], start, start + days * DAY)


def runs(t, factor):
    """Stretches of half an hour or more with a factor of at least one half: first minute in, first out."""
    inside = np.concatenate(([False], factor >= 0.5, [False]))
    change = np.flatnonzero(inside[1:] != inside[:-1])
    pairs = [(float(t[a]), float(t[min(b, len(t) - 1)])) for a, b in change.reshape(-1, 2)]
    return [(a, b) for a, b in pairs if b - a >= 1800.0]


def minutes(days=8):
    return START + 60.0 * np.arange(days * 1440 + 1)


def assert_windows(made, knots, days=7):
    """The forecast's windows are those of a speed given minute by minute."""
    t = minutes(days + 1)
    expected = [
        (a, b) for a, b in runs(t, np.interp(knots(t), CORNERS, [0, 1, 1, 0])) if a < START + days * DAY
    ]
    # the first may have begun before the first minute
    found = [(w.start, w.end) for w in windows_of(made) if w.start > t[0]]
    expected = [pair for pair in expected if pair[0] > t[0]]
    assert len(expected) > days
    assert found == expected


HOUR = 3600.0
SPRINGS = [("M2", 1.2, 100.0), ("S2", 0.5, 140.0)]


def sea(t):
    """The level of SEA: high water 3 m at 0 and 12 h UTC, low water 1 m at 6 and 18 h."""
    return 2.0 + np.cos(OMEGA * np.asarray(t))


def reports_of(made, index=0):
    return [item for day in made.spots[index].days for item in day.sessions]
