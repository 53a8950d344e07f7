"""What a trip is, and what can't be one."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from tests.windows.log.made_trips import FULL, HOUR, NOON, plain_trip
from windows.log.trips import (
    COLDEST,
    EARLIEST,
    FIRST_YEAR,
    LAST_YEAR,
    LATEST,
    MOST_ANGLERS,
    MOST_LEAD,
    STRONGEST_WIND,
    WARMEST,
    Catch,
    Fish,
    Seen,
    SeenKind,
    faults,
    new_uid,
    uid_of,
)


def test_a_whole_trip_has_no_fault():
    assert faults(FULL) == []
    assert faults(plain_trip()) == []


def test_effort_is_anglers_times_hours_of_lines_in_the_water():
    assert plain_trip(hours=2.5, anglers=3).angler_hours == 7.5
    assert plain_trip(hours=2.5, anglers=3, fished_for=HOUR).angler_hours == 3.0


def test_zeros_and_species_are_counted_by_name_whatever_their_case():
    assert FULL.caught() == FULL.caught(" flounder ") == FULL.caught("FLOUNDER") == 4
    assert FULL.caught('=sum(a1), "sea" bass') == FULL.caught("eel") == 0
    assert (FULL.catches[0].kept, FULL.catches[0].released) == (2, 2)


@pytest.mark.parametrize(
    ("where", "changes"),
    [
        ("start", {"start": EARLIEST - 1.0, "end": EARLIEST + 1.0}),
        ("start", {"start": LATEST, "end": LATEST + 1.0}),
        ("end", {"end": NOON}),
        ("end", {"end": NOON + 8 * 86400.0}),
        ("anglers", {"anglers": 0}),
        ("anglers", {"anglers": 51}),
        ("fished_for", {"fished_for": 0.0}),
        ("fished_for", {"fished_for": 2 * HOUR + 1.0}),
        ("lead_held", {"lead_held": 5.1}),
        ("temperature", {"temperature": 64.0}),
        ("temperature", {"temperature": float("nan")}),
        ("wind_speed", {"wind_speed": -1.0}),
        ("wind_from", {"wind_from": 361.0}),
        ("bait", {"bait": "x" * 201}),
        ("words", {"words": "two\nlines"}),
        ("words", {"words": "a bell\x07"}),
        ("words", {"words": " blanks at an end"}),
        ("species", {"catches": (Catch("sea  bass"),)}),
        ("species", {"catches": (Catch(""),)}),
        ("species", {"catches": (Catch("Bass"), Catch("bass"))}),
        ("species", {"catches": (Catch("Bass", (Fish(False),) * 1001),)}),
        ("species", {"catches": (Catch("Bass", (Fish(True, t=NOON - 1.0),)),)}),
        ("length", {"catches": (Catch("Bass", (Fish(True, 0.0),)),)}),
        ("length", {"catches": (Catch("Bass", (Fish(True, 11.0),)),)}),
        ("turned_out", {"seen": (Seen(SeenKind.TURNED_OUT, NOON - 2 * 86400.0),)}),
        ("turned_out", {"seen": (Seen(SeenKind.TURNED_OUT, NOON, 1.0),)}),
        ("drift", {"seen": (Seen(SeenKind.DRIFT, NOON),)}),
        ("drift", {"seen": (Seen(SeenKind.DRIFT, NOON, 11.0),)}),
    ],
)
def test_what_cannot_be(where, changes):
    assert [problem.where for problem in faults(replace(plain_trip(), **changes))] == [where]


def test_the_ends_of_what_can_be():
    calm = {"lead_held": 0.0, "temperature": COLDEST, "wind_speed": 0.0, "wind_from": 0.0}
    storm = {
        **{"lead_held": MOST_LEAD, "temperature": WARMEST, "wind_speed": STRONGEST_WIND, "wind_from": 360.0},
        "anglers": MOST_ANGLERS,
        "fished_for": 2 * HOUR,
    }
    assert faults(replace(plain_trip(), **calm)) == faults(replace(plain_trip(), **storm)) == []


def test_a_fault_says_what_was_found_and_what_is_expected():
    wrong = faults(replace(plain_trip(), fished_for=3 * HOUR, wind_from=361.0))
    assert [(item.found, item.expected) for item in wrong] == [
        ("180 min", "more than nothing, at most the whole trip"),
        ("361 degrees", "0 to 360 degrees"),
    ]


def test_the_first_and_last_years():
    assert datetime.fromtimestamp(EARLIEST, UTC) == datetime(FIRST_YEAR, 1, 1, tzinfo=UTC)
    assert datetime.fromtimestamp(LATEST, UTC) == datetime(LAST_YEAR + 1, 1, 1, tzinfo=UTC)


def test_every_fault_is_told_at_once():
    wrong = plain_trip(anglers=0, temperature=90.0, words="a\tb")
    assert [problem.where for problem in faults(wrong)] == ["anglers", "temperature", "words"]


def test_identifiers():
    assert new_uid() != new_uid()
    assert uid_of("ledge", NOON) == uid_of("ledge", NOON) != uid_of("ledge", NOON + 1.0)
    assert len(new_uid()) == len(uid_of("x")) == 32
