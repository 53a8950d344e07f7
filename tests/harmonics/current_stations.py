"""Current stations for tests: made from constants, and the published ones."""

import datetime as dt
import re

import numpy as np

from harmonics.catalogue.constituents import find
from harmonics.stations.types import CurrentDifferences, CurrentStation, SecondaryCurrentStation
from harmonics.sums.waves import HarmonicConstants, NodePractice
from tests.conftest import PUBLISHED, published_rows

KNOT = 1852.0 / 3600.0
FILES = {"EPT0003": "EPT0003_bin11", "FPI0901": "FPI0901", "PUG1515": "PUG1515"}


def utc(text):
    return dt.datetime.fromisoformat(text).replace(tzinfo=dt.UTC).timestamp()


def constants(**waves):
    return HarmonicConstants(
        tuple(find(name) for name in waves),
        np.array([amplitude for amplitude, _ in waves.values()]),
        np.array([phase for _, phase in waves.values()]),
    )


def station(mean_flow=0.0, practice=NodePractice.YEARLY, **waves):
    return CurrentStation("x", "X", 0.0, 0.0, 30.0, 215.0, mean_flow, constants(**waves), practice)


def published_currents():
    """Published current stations: axis and mean flow from the head of each file."""
    found = {}
    for name, file in FILES.items():
        path = f"current_constituents_{file}.csv"
        head = (PUBLISHED / path).read_text(encoding="utf-8").splitlines()[0]
        flood, ebb, mean = (
            float(re.search(rf"{key} (-?[\d.]+)", head).group(1)) for key in ("flood", "ebb", "mean flow")
        )
        waves = {
            row["name"]: (float(row["amplitude"]) * KNOT, float(row["phase"])) for row in published_rows(path)
        }
        found[name] = CurrentStation(name, name, 0.0, 0.0, flood, ebb, mean * KNOT, constants(**waves))
    found["ACT0091"] = SecondaryCurrentStation(
        "ACT0091",
        "",
        None,
        None,
        260.0,
        80.0,
        found["EPT0003"],
        CurrentDifferences(flood_ratio=1.2, ebb_ratio=1.2),
    )
    return found
