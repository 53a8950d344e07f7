"""Notebooks of what was seen at a spot whose true settings are known, and lessons drawn from them."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from tests.coasts import SIMPLE_STATION, head, spot, written
from tests.windows.log.made_trips import NOON, plain_trip
from windows.conditions.flow_models import flow_of
from windows.log.learning import learn_turns
from windows.log.trips import Seen, SeenKind, Trip
from windows.shoreline.shore import Shore, read_shore
from windows.shoreline.spots import Spot

MINUTE = 60.0
DAY = 86400.0
TRUE_LAG = 35.0
"""Minutes; the file says 15."""
BANK = """
[[banks]]
id = "flat"
name = "Flat"
station = "pier"
bare_below = 0.8
"""
CURRENT = """
[[currents]]
id = "narrows"
name = "Narrows"
latitude = 50.1
longitude = -5.2
flood_direction = 20
ebb_direction = 200
constituents = [
    { name = "M2", amplitude = 1.6, phase = 70.0 },
    { name = "S2", amplitude = 0.5, phase = 110.0 },
]
"""


def shore_of(folder: Path, keys: str = "slack_lag = 15", flow: str = "", more: str = "") -> Shore:
    """An invented shore of one spot."""
    table = f"\n[spots.flow]\n{flow}\n" if flow else ""
    return read_shore(
        written(
            folder,
            head("Europe/London"),
            SIMPLE_STATION,
            spot("ledge", "pier", 50.11, -5.21, keys),
            table,
            more,
        )
    )


def turns_of(place: Spot, first: float, count: int) -> list[tuple[float, bool]]:
    """Times at which the flow past a spot turns, and whether it then goes out."""
    t = first + 120.0 * np.arange(int(count * 7 * 3600 / 120.0) + 720)
    moving = flow_of(place, float(t[0]), float(t[-1])).outgoing(t)
    change = np.flatnonzero((moving[1:] > 0) != (moving[:-1] > 0))
    share = moving[change] / (moving[change] - moving[change + 1])
    times = t[change] + share * 120.0
    return [(float(x), bool(moving[i + 1] > 0)) for x, i in zip(times, change, strict=True)][:count]


def noted(turns: list[tuple[float, bool]], errors: np.ndarray) -> list[Trip]:
    """A trip a turn, each noted to the whole minute with its error in minutes."""
    trips = []
    for n, ((t, out), error) in enumerate(zip(turns, errors, strict=True)):
        seen = round((t + error * MINUTE) / MINUTE) * MINUTE
        kind = SeenKind.TURNED_OUT if out else SeenKind.TURNED_IN
        trips.append(plain_trip(n, start=seen - 3600.0, seen=(Seen(kind, seen),)))
    return trips


@dataclass(frozen=True)
class Coverage:
    """Shares of notebooks."""

    held: float
    moved: float
    within: float
    width: float


def coverage(shore: Shore, notebooks: int, notes: int, seed: int) -> Coverage:
    """Slack lags from notebooks with errors of 10 minutes, and again with one wild note in each.

    Returns:
        Of the notebooks: those whose interval holds the true lag; those that one wild note moves by more than
        half their interval; those it leaves inside; and the mean width in minutes.
    """
    rng = np.random.default_rng(seed)
    place = shore.spots[0]
    true = replace(place, slack_lag=TRUE_LAG * MINUTE)
    every = turns_of(true, NOON, 4 * notes)
    held = moved = within = 0
    widths = []
    for _ in range(notebooks):
        turns = [every[i] for i in sorted(rng.choice(len(every), notes, replace=False))]
        errors = rng.normal(0.0, 10.0, notes)
        found = _lag(place, noted(turns, errors))
        held += found.holds(TRUE_LAG)
        widths.append(found.high - found.low)
        errors[rng.integers(notes)] = rng.choice([-1.0, 1.0]) * rng.uniform(60.0, 180.0)
        wild = _lag(place, noted(turns, errors))
        moved += abs(wild.value - found.value) >= (found.high - found.low) / 2
        within += found.holds(wild.value)
    return Coverage(held / notebooks, moved / notebooks, within / notebooks, float(np.mean(widths)))


def _lag(place: Spot, trips: list[Trip]):
    lesson = learn_turns(place, trips)
    assert lesson is not None
    return lesson.parts[0].estimate
