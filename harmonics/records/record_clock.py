"""The clock of a record: offsets in the stamps, a header that says UTC, or a zone that the caller names."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, tzinfo
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from harmonics.arrays import Array, Lines
from harmonics.errors import FileProblemsError, Problem

if TYPE_CHECKING:
    from pandas import DatetimeIndex, Series

    Texts = Series[str]

"""Numbers in the file of rows, shape (n,)."""
MOST_TOLD = 20
"""Problems of one kind named one by one; the rest are counted."""
STAMP = r"[12]\d{3}(?:-\d\d-|/\d\d/)\d\d[ T]\d\d:\d\d(?::\d\d(?:\.\d+)?)?\s*(?:Z|UTC|GMT|[+-]\d\d:?\d\d)?"
OFFSET = r"(?:Z|UTC|GMT|\d[+-]\d\d:?\d\d)\s*$"
NO_ZONE = "a clock without a zone"
EXPECTED = "a time such as 2010-01-31 06:00"


@dataclass(frozen=True, slots=True)
class Clock:
    """How stamps become instants.

    Attributes:
        zone: of stamps that carry no offset; None where they do.
        words: the same for people.
    """

    zone: tzinfo | None
    words: str


def clock_of(
    header: str, stamps: "Texts", numbers: Lines, zone: tzinfo | None, problems: list[Problem]
) -> Clock:
    """The clock of a column of times; what is wrong with it is added to the problems."""
    own = stamps.str.contains(OFFSET, regex=True).to_numpy()
    if own.all():
        return Clock(None, "offsets in the stamps")
    if own.any():
        line = numbers[int(np.argmin(own))]
        problems.append(
            Problem(f"line {line}", "a time without an offset", "an offset in every stamp or in none")
        )
        return Clock(None, "offsets in some stamps")
    said = re.search(r"(?i)(?<![a-z])(utc|gmt)(?![a-z])", header.replace("_", " "))
    if zone is not None:
        if said and zone.utcoffset(None) != UTC.utcoffset(None) and str(zone) not in ("UTC", "GMT"):
            problems.append(Problem(f"column '{header}'", said[0], f"the zone {zone}, as was asked for"))
        return Clock(zone, f"the zone {zone}")
    if said:
        return Clock(UTC, f"UTC, from the header '{header}'")
    problems.append(
        Problem(
            f"column '{header}'",
            NO_ZONE,
            "an offset in every stamp (2010-01-31T06:00Z), a header that says UTC, or a zone given",
        )
    )
    return Clock(UTC, "no zone")


def read_times(
    stamps: "Texts", numbers: Lines, clock: Clock, problems: list[Problem]
) -> tuple[Array, list[str]]:
    """POSIX seconds of the stamps, shape (n,), and notes; nan where a problem was added."""
    import pandas as pd

    good = stamps.str.fullmatch(STAMP)
    clean = stamps.where(good).str.replace(r"\s*(UTC|GMT)$", "Z", regex=True)
    clean = clean.str.replace("/", "-", regex=False)
    aware = clock.zone is None
    times = pd.to_datetime(clean, format="ISO8601", errors="coerce", utc=aware)
    local = pd.DatetimeIndex(times)
    bad = np.flatnonzero(times.isna().to_numpy()).tolist()
    problems.extend(told(bad, lambda i: Problem(f"line {numbers[i]}", f"'{stamps.iloc[i][:40]}'", EXPECTED)))
    if clock.zone is None or clock.zone is UTC:
        return _seconds(local.tz_localize(None) if aware else local), []
    summer, winter = (
        _seconds(
            local.tz_localize(clock.zone, ambiguous=np.full(len(local), early), nonexistent="NaT")
            .tz_convert("UTC")
            .tz_localize(None)
        )
        for early in (True, False)
    )
    never = np.flatnonzero(np.isnan(summer) & ~times.isna().to_numpy()).tolist()
    expected = f"a time the clocks of {clock.zone} show"
    problems.extend(
        told(never, lambda i: Problem(f"line {numbers[i]}", f"'{stamps.iloc[i][:40]}'", expected))
    )
    return _untwisted(summer, winter)


def _seconds(index: "DatetimeIndex") -> Array:
    """In microseconds the whole calendar fits; nanoseconds end in 2262."""
    seconds = index.as_unit("us").asi8 / 1e6
    return np.where(index.isna(), np.nan, seconds)


def _untwisted(summer: Array, winter: Array) -> tuple[Array, list[str]]:
    """Where a clock shows an hour twice, the first passage counts as summer time, a repeat as winter time."""
    t = summer.copy()
    twice = np.flatnonzero((summer != winter) & np.isfinite(summer))
    for i in twice:
        if i and t[i] <= t[i - 1]:
            t[i] = winter[i]
    notes = [f"stamps in hours the clock shows twice, taken in the file's order: {len(twice)}"]
    return t, notes if len(twice) else []


V = TypeVar("V")


def told(found: Sequence[V], problem: Callable[[V], Problem]) -> list[Problem]:
    """The first of many problems of one kind, made from what was found, and how many more there are."""
    problems = [problem(item) for item in found[:MOST_TOLD]]
    if len(found) > MOST_TOLD:
        more = f"{len(found) - MOST_TOLD} more lines like these"
        problems.append(Problem("file", more, problems[0].expected))
    return problems


R = TypeVar("R")


def with_fallback(read: Callable[[tzinfo | None], R], zone: tzinfo | None, fallback: tzinfo | None) -> R:
    """What a reader makes of a file by the clock it states, and by another where it states none.

    Args:
        read: takes the zone of a clock.
        zone: that was named; None for the file's own.
        fallback: tried where neither says one; None for nothing to try.
    """
    try:
        return read(zone)
    except FileProblemsError as error:
        if fallback is None or all(problem.found != NO_ZONE for problem in error.problems):
            raise
    return read(fallback)
