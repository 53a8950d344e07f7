"""Stations built from published harmonic constants."""

import json
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from harmonics.catalogue.constituents import find
from harmonics.errors import UnknownConstituentError
from harmonics.stations.types import Station
from harmonics.sums.waves import HarmonicConstants, NodePractice
from tests.coasts import published_head, published_waves

STATION_IDS = ("8729840", "8724580", "8443970", "9447130", "1612340", "8638610")
"""Pensacola (diurnal), Key West (mixed), Boston (semidiurnal), Seattle (mixed), Honolulu (mixed), Hampton
Roads (semidiurnal)."""


def utc(text: str) -> float:
    """POSIX seconds of a UTC time written as 2026-08-15 04:20."""
    return float(np.datetime64(text.replace(" ", "T"), "s").astype(np.int64))


def constants_of(rows: list[tuple[str, float, float]]) -> HarmonicConstants:
    """Constants from (name, amplitude, phase lag)."""
    return HarmonicConstants(
        tuple(find(name) for name, _, _ in rows),
        np.array([amplitude for _, amplitude, _ in rows], dtype=float),
        np.array([phase for _, _, phase in rows], dtype=float),
    )


def station_of(
    rows: list[tuple[str, float, float]],
    practice: NodePractice = NodePractice.YEARLY,
    mean_level: float = 0.0,
) -> Station:
    """An invented station from (name, amplitude, phase lag)."""
    return Station("s", "S", 29.2, -90.0, "MLLW", mean_level, constants_of(rows), practice)


@lru_cache(maxsize=32)
def published_station(station_id: str, practice: NodePractice = NodePractice.YEARLY) -> Station:
    """A station from its published constants; datum, place and mean level from the file's first line."""
    found = published_head(station_id)
    constants = constants_of(published_waves(station_id))
    place = (found.latitude, found.longitude, "MLLW", found.mean_level)
    return Station(station_id, station_id, *place, constants, practice)


@lru_cache(maxsize=1)
def library_rows() -> dict[str, list[float]]:
    """An independent table of arguments, the data file of pyTMD: tau, s, h, p, N, p1, quarter turns."""
    home = find_spec("pyTMD").submodule_search_locations[0]
    table = Path(home) / "data" / "doodson.json"
    return dict(json.loads(table.read_text(encoding="utf-8")))


@pytest.fixture(params=STATION_IDS)
def station_id(request):
    return request.param


@pytest.fixture
def station(station_id):
    """Each published station in turn, in the agencies' yearly practice."""
    return published_station(station_id)


def known(name: str) -> bool:
    """Whether the catalogue knows a name or its parts."""
    try:
        find(name)
    except UnknownConstituentError:
        return False
    return True
