"""Today's water: recent readings turned into a departure from prediction for each station that has them."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple
from zoneinfo import ZoneInfo

import numpy as np

from harmonics.arrays import Array
from harmonics.errors import EbblightError, FileProblemsError
from harmonics.stations.types import TideStation, primary_of
from windows.shoreline.shore import Shore

if TYPE_CHECKING:
    from harmonics.records.observed import Departure


class Reading(NamedTuple):
    """One level that somebody read off.

    Attributes:
        t: POSIX seconds.
        level: metres above the station's datum.
    """

    t: float
    level: float

    def __str__(self) -> str:
        """What it is called in messages."""
        return "the reading"


def departures(
    shore: Shore, stations: Sequence[TideStation], given: Path | Reading | None, now: float
) -> "Mapping[str, Departure]":
    """Departures by id of primary station, of readings that the file names or that are given.

    Readings without a zone of their own are by the shore's clock.

    Args:
        shore: whose file may name readings for its stations.
        stations: those that matter.
        given: a reading, or a file of readings, for the only one of them; None for the file's own.
        now: the clock, POSIX seconds.

    Raises:
        EbblightError: readings are given for several stations, or make no sense.
    """
    wanted = {primary.id: primary for primary in map(primary_of, stations)}
    if given is not None and len(wanted) != 1:
        names = ", ".join(wanted)
        raise EbblightError(f"{given}: readings of which station ({names})? Name one spot or station")
    found: dict[str, Departure] = {}
    for name, station in wanted.items():
        path = given if given is not None else shore.observed.get(name)
        if path is None:
            continue
        from harmonics.records.observed import departure

        try:
            found[name] = departure(station, *_readings(path, shore.head.zone), now)
        except FileProblemsError:
            raise
        except EbblightError as error:
            raise EbblightError(f"{path}: {error}") from None
    return found


def _readings(given: Path | Reading, zone: ZoneInfo) -> tuple[Array, Array]:
    """Times and levels; a file's by the clock it states, and by the shore's where it states none."""
    if isinstance(given, Reading):
        return np.array([given.t]), np.array([given.level])
    from harmonics.records.reader import read_record
    from harmonics.records.record_clock import with_fallback

    record = with_fallback(lambda clock: read_record(given, zone=clock), None, zone)
    return record.t, record.level


def seconds_uncertain(found: "Departure", station: TideStation, t: float) -> float:
    """Standard deviation of the time of a high or low water at t, seconds."""
    from harmonics.records.observed import turn_uncertainty

    return float(turn_uncertainty(found, primary_of(station), np.array([t]))[0])
