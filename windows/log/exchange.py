"""The log as CSV, a row a trip and species, and back without loss.

Times are UTC, lengths metres, and every number has all its digits. Text that a spreadsheet would run as a
formula has an apostrophe in front, which is taken off again.
"""

import csv
import io
from collections.abc import Iterable
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from harmonics.files.spreadsheets import inert
from windows.log.trips import Catch, Fish, FrozenForecast, Seen, Trip

COLUMNS = (
    "trip", "uid", "shore", "spot", "spot_name", "time_zone", "start_utc", "end_utc",
    "start_local", "end_local", "state", "planned_start_utc", "planned_end_utc", "anglers",
    "fished_for_s", "angler_hours", "quarry", "bait", "species", "caught", "kept", "released", "fish",
    "seen", "lead_held_kg", "water_temperature_degC", "wind_speed_m_s", "wind_from_deg", "clarity", "words",
    "points", "points_by_factor", "chance", "forecast_made", "forecast_made_utc", "forecast_version",
    "logged_utc", "removed_utc",
)  # fmt: skip
DERIVED = ("start_local", "end_local", "angler_hours", "caught")
"""For people: reading passes over them where the rest tells the same."""
OF_SPECIES = ("species", "caught", "kept", "released", "fish")
FISHED, PLANNED = "fished", "planned"


def written(trips: Iterable[Trip]) -> str:
    """The trips as CSV."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COLUMNS)
    for trip in trips:
        writer.writerows(rows(trip))
    return stream.getvalue()


def rows(trip: Trip) -> list[list[str]]:
    """A row a species, or one without a species for a trip without any."""
    before, after = _cells_before(trip), _cells_after(trip)
    if not trip.catches:
        return [[*before, "", "0", "0", "0", "", *after]]
    return [[*before, *_species_cells(catch), *after] for catch in trip.catches]


def _cells_before(trip: Trip) -> list[str]:
    zone = ZoneInfo(trip.zone)
    return [
        "" if trip.number is None else str(trip.number),
        *map(inert, (trip.uid, trip.shore, trip.spot, trip.spot_name, trip.zone)),
        instant(trip.start),
        instant(trip.end),
        _local(trip.start, zone),
        _local(trip.end, zone),
        FISHED if trip.fished else PLANNED,
        instant(trip.planned_start),
        instant(trip.planned_end),
        str(trip.anglers),
        number(trip.fished_for),
        number(trip.angler_hours),
        inert(trip.quarry),
        inert(trip.bait),
    ]


def _species_cells(catch: Catch) -> list[str]:
    fish = "; ".join(map(fish_text, catch.fish))
    return [inert(catch.species), str(len(catch.fish)), str(catch.kept), str(catch.released), fish]


def _cells_after(trip: Trip) -> list[str]:
    return [
        "; ".join(map(seen_text, trip.seen)),
        number(trip.lead_held),
        number(trip.temperature),
        number(trip.wind_speed),
        number(trip.wind_from),
        "" if trip.clarity is None else trip.clarity.value,
        inert(trip.words),
        *_forecast_cells(trip.forecast),
        instant(trip.logged_at),
        instant(trip.removed_at),
    ]


def _forecast_cells(made: FrozenForecast | None) -> list[str]:
    if made is None:
        return [""] * 6
    parts = (f"{item.factor} {number(item.points)} of {number(item.most)}" for item in made.factors)
    return [
        number(made.points),
        "; ".join(parts),
        number(made.chance),
        made.made.value,
        instant(made.made_at),
        inert(made.version),
    ]


def number(value: float | None) -> str:
    """A number with all its digits."""
    return "" if value is None else repr(float(value)).removesuffix(".0")


def instant(t: float | None) -> str:
    """As 2026-08-15T04:20:11Z, with a fraction only where there is one."""
    if t is None:
        return ""
    told = datetime.fromtimestamp(t, UTC)
    return told.isoformat(timespec="microseconds" if told.microsecond else "seconds").replace("+00:00", "Z")


def _local(t: float, zone: ZoneInfo) -> str:
    return datetime.fromtimestamp(t, UTC).astimezone(zone).isoformat(timespec="seconds")


def fish_text(fish: Fish) -> str:
    """As `kept 0.385 m fork 2026-08-15T23:05:00Z`; what is not known is left out."""
    parts = ["kept" if fish.kept else "released"]
    if fish.length is not None:
        parts += [number(fish.length), "m"]
    if fish.measured is not None:
        parts.append(fish.measured.value)
    if fish.t is not None:
        parts.append(instant(fish.t))
    return " ".join(parts)


def seen_text(seen: Seen) -> str:
    """As `turned_out 2026-08-15T23:05:00Z` or `drift 2026-08-15T23:05:00Z 0.41 m/s`."""
    text = f"{seen.kind.value} {instant(seen.t)}"
    return text if seen.speed is None else f"{text} {number(seen.speed)} m/s"
