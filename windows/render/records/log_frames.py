"""Trips, a log's report and lessons as rows, and their JSON headers."""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from windows.log.exchange import instant
from windows.log.lessons import Lesson
from windows.log.regression import STEP
from windows.log.report import LogReport
from windows.log.trips import Trip
from windows.render.words import cautions
from windows.render.words.log import verdict_words

if TYPE_CHECKING:
    import pandas as pd

TRIP_COLUMNS = (
    *("trip", "spot", "spot_name", "state", "start_utc", "start_local", "end_utc", "end_local", "anglers"),
    *("angler_hours", "caught", "kept", "released", "species", "points", "chance", "forecast_made"),
    *("bait", "quarry", "words", "removed_utc"),
)
BAND_COLUMNS = (
    *("points_low", "points_high", "trips", "trips_without_fish", "angler_hours", "fish"),
    *("fish_per_angler_hour", "low", "high"),
)
LESSON_COLUMNS = (
    *("setting", "id", "key", "standing", "notes", "needed"),
    *("present", "estimate", "low", "high", "proposed"),
)


def trips_frame(trips: Sequence[Trip]) -> "pd.DataFrame":
    """A row a trip, in the order given; `log export` has everything."""
    import pandas as pd

    return pd.DataFrame([_trip_row(trip) for trip in trips], columns=list(TRIP_COLUMNS))


def _trip_row(trip: Trip) -> tuple[Any, ...]:
    made, kept = trip.forecast, sum(catch.kept for catch in trip.catches)
    return (
        trip.number,
        trip.spot,
        trip.spot_name,
        "fished" if trip.fished else "planned",
        instant(trip.start),
        _local(trip.start, trip.zone),
        instant(trip.end),
        _local(trip.end, trip.zone),
        trip.anglers,
        trip.angler_hours,
        trip.caught(),
        kept,
        trip.caught() - kept,
        "; ".join(catch.species for catch in trip.catches),
        math.nan if made is None else made.points,
        math.nan if made is None or made.chance is None else made.chance,
        "" if made is None else made.made.value,
        trip.bait,
        trip.quarry,
        trip.words,
        instant(trip.removed_at),
    )


def _local(t: float, zone: str) -> str:
    from datetime import UTC, datetime

    return datetime.fromtimestamp(t, UTC).astimezone(ZoneInfo(zone)).isoformat(timespec="seconds")


def trips_header(path: str, total: int) -> dict[str, Any]:
    """Where the trips are kept, and how many were asked for."""
    return {"log": path, "trips": total, "cautions": list(cautions.FULL)}


def bands_frame(report: LogReport) -> "pd.DataFrame":
    """A row a band of points, highest first."""
    import pandas as pd

    rows = [
        (
            band.low,
            band.high,
            band.rate.trips,
            band.rate.blank,
            band.rate.effort,
            band.rate.caught,
            band.rate.rate,
            band.rate.low,
            band.rate.high,
        )
        for band in reversed(report.bands)
    ]
    return pd.DataFrame(rows, columns=list(BAND_COLUMNS))


def report_header(report: LogReport, path: str) -> dict[str, Any]:
    """Verdict, test, ratio and what they rest on."""
    test, ratio, every = report.test, report.ratio, report.all
    return {
        "log": path,
        "species": report.species,
        "trips": report.trips,
        "trips_planned": report.planned,
        "trips_without_forecast": report.without_forecast,
        "trips_with_later_forecast": report.hindsight,
        "trips_counted": len(report.counts),
        "trips_comparable": report.counts.comparable,
        "spots_and_months": report.counts.strata,
        "verdict": report.verdict.value,
        "verdict_words": verdict_words(report),
        "permutation": None
        if test is None
        else {
            "chance_as_good": test.above,
            "chance_as_bad": test.below,
            "spearman": _finite(test.spearman),
            "spearman_chance": test.spearman_chance,
            "permutations": test.permutations,
        },
        "catch_ratio": None
        if ratio is None
        else {
            "points": STEP,
            "ratio": ratio.ratio,
            "low": ratio.low,
            "high": ratio.high,
            "size": _finite(ratio.size),
        },
        "fish_per_angler_hour": None
        if every is None
        else {"rate": every.rate, "low": every.low, "high": every.high},
        "trips_needed": [{"catch_ratio": need.ratio, "trips": need.trips} for need in report.needs],
        "trips_needed_from_own_catches": report.own_catches,
        "cautions": list(cautions.FULL),
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def lessons_frame(lessons: Sequence[Lesson]) -> "pd.DataFrame":
    """A row a number that was learned, or one without numbers where the notes are too few."""
    import pandas as pd

    rows: list[tuple[Any, ...]] = []
    for lesson in lessons:
        head = (lesson.setting.table, lesson.owner)
        tail = (lesson.standing.value, lesson.notes, lesson.needed)
        key = ".".join(lesson.setting.keys)
        if not lesson.parts:
            rows.append((*head, key, *tail, *[math.nan] * 5))
        for part in lesson.parts:
            found = part.estimate
            present = math.nan if part.present is None else part.present
            name = f"{key}.{part.key}" if part.key else key
            rows.append((*head, name, *tail, present, found.value, found.low, found.high, part.proposed))
    return pd.DataFrame(rows, columns=list(LESSON_COLUMNS))


def lessons_header(path: str, lines: str) -> dict[str, Any]:
    """Where the trips are kept, and the lines for the file."""
    return {"log": path, "lines": lines, "cautions": list(cautions.FULL)}
