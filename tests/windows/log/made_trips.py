"""Trips for tests: one with everything in it, plain ones, and hypothesis's."""

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from windows.log.trips import (
    Catch,
    Clarity,
    FactorPoints,
    Fish,
    FrozenForecast,
    Made,
    Seen,
    SeenKind,
    Trip,
)
from windows.shoreline.rules import Measured

NOON = 1786363200.0
"""2026-08-10 12:00 UTC."""
HOUR = 3600.0


def plain_trip(number: int = 0, start: float = NOON, hours: float = 2.0, **changes: Any) -> Trip:
    """A trip of which little is told."""
    trip = Trip(
        uid=f"{number:032x}",
        spot="ledge",
        spot_name="Spot ledge",
        shore="A shore",
        zone="UTC",
        start=start,
        end=start + hours * HOUR,
        logged_at=start + hours * HOUR + 600.0,
    )
    return replace(trip, **changes)


FULL = plain_trip(
    1,
    anglers=2,
    fished_for=5400.0,
    bait="fiddler crab",
    quarry="Flounder",
    catches=(
        Catch(
            "Flounder",
            (
                Fish(True, 0.385, Measured.FORK, NOON + 60.0),
                Fish(False, 0.3 + 0.1 * 0.1, Measured.TOTAL),
                Fish(True, 0.4),
                Fish(False),
            ),
        ),
        Catch('=SUM(A1), "sea" bass'),
    ),
    seen=(
        Seen(SeenKind.TURNED_OUT, NOON - 1200.0),
        Seen(SeenKind.TURNED_IN, NOON + 4 * HOUR),
        Seen(SeenKind.DRIFT, NOON + HOUR, 0.1 + 0.2),
        Seen(SeenKind.BARED, NOON - 5 * HOUR),
        Seen(SeenKind.COVERED, NOON - 3 * HOUR),
    ),
    lead_held=0.17009713875,
    temperature=17.77777777777778,
    wind_speed=5.144444444444445,
    wind_from=225.0,
    clarity=Clarity.CLOUDY,
    words="'=quiet; 'well', said \"no\" one, é 鱸",
    forecast=FrozenForecast(
        81.23456789012345,
        (
            FactorPoints("flow", 55.1, 60.0),
            FactorPoints("light", 1 / 3, 35.0),
            FactorPoints("moon", 0.0, 5.0),
        ),
        "0.1.0",
        NOON - 86400.0,
        Made.PLANNED,
        0.85,
    ),
    planned_start=NOON - 600.0,
    planned_end=NOON + 2 * HOUR,
)
"""Every attribute set, and text that a spreadsheet or a careless reader would spoil."""

_SECONDS = st.integers(0, 6 * 86400).map(float)
_TEXT = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), max_size=20).map(
    lambda text: " ".join(text.split())
)
_LENGTHS = st.floats(0.01, 9.0)


@st.composite
def trips(draw: st.DrawFn, number: int = 0) -> Trip:
    """Any trip that can be."""
    start = NOON + draw(_SECONDS)
    end = start + draw(st.integers(60, 86400))
    inside = st.integers(int(start), int(end)).map(float)
    fish = st.builds(
        Fish, st.booleans(), st.none() | _LENGTHS, st.none() | st.sampled_from(Measured), st.none() | inside
    )
    names = draw(st.lists(_TEXT.filter(str.strip), max_size=3, unique_by=lambda name: name.casefold()))
    catches = tuple(Catch(name, tuple(draw(st.lists(fish, max_size=4)))) for name in names)
    drift = st.builds(Seen, st.just(SeenKind.DRIFT), inside, st.floats(0, 5))
    other = st.builds(
        Seen, st.sampled_from([kind for kind in SeenKind if kind is not SeenKind.DRIFT]), inside
    )
    points = st.builds(
        FactorPoints, st.sampled_from(["flow", "light", "moon"]), st.floats(0, 60), st.just(60.0)
    )
    forecast = st.builds(
        FrozenForecast,
        st.floats(0, 100),
        st.lists(points, max_size=3, unique_by=lambda item: item.factor).map(tuple),
        st.just("0.1.0"),
        inside,
        st.sampled_from(Made),
        st.none() | st.floats(0, 1),
    )
    return plain_trip(
        number,
        start=start,
        end=float(end),
        logged_at=float(end),
        anglers=draw(st.integers(1, 5)),
        fished_for=draw(st.none() | st.integers(1, int(end - start)).map(float)),
        bait=draw(_TEXT),
        quarry=draw(_TEXT),
        words=draw(_TEXT),
        catches=catches,
        seen=tuple(draw(st.lists(drift | other, max_size=3))),
        lead_held=draw(st.none() | st.floats(0, 5)),
        temperature=draw(st.none() | st.floats(-3, 45)),
        wind_speed=draw(st.none() | st.floats(0, 80)),
        wind_from=draw(st.none() | st.floats(0, 360)),
        clarity=draw(st.none() | st.sampled_from(Clarity)),
        forecast=draw(st.none() | forecast),
        fished=draw(st.booleans()),
        removed_at=draw(st.none() | inside),
    )
