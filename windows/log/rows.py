"""Trips as rows of the log's tables, and back."""

import sqlite3
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any

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

_IN_PARTS = {"catches", "seen", "forecast", "number"}
_COLUMNS = tuple(field.name for field in fields(Trip) if field.name not in _IN_PARTS)
_NAMES = ", ".join(f'"{name}"' for name in _COLUMNS)


def insert_trip(connection: sqlite3.Connection, trip: Trip) -> Trip:
    """Write a new trip; its own number is used where it is free."""
    number = trip.number
    if (
        number is not None
        and connection.execute("SELECT 1 FROM trips WHERE number = ?", (number,)).fetchone()
    ):
        number = None
    marks = ", ".join("?" * (len(_COLUMNS) + 1))
    cursor = connection.execute(
        f"INSERT INTO trips (number, {_NAMES}) VALUES ({marks})", (number, *_values(trip))
    )
    assert cursor.lastrowid is not None
    insert_parts(connection, cursor.lastrowid, trip)
    return replace(trip, number=cursor.lastrowid)


def update_trip(connection: sqlite3.Connection, number: int, trip: Trip) -> None:
    """Write the columns of a trip over those of the one of that number."""
    settings = ", ".join(f'"{name}" = ?' for name in _COLUMNS)
    connection.execute(f"UPDATE trips SET {settings} WHERE number = ?", (*_values(trip), number))


def _values(trip: Trip) -> tuple[Any, ...]:
    plain = {name: getattr(trip, name) for name in _COLUMNS}
    plain["fished"] = int(trip.fished)
    plain["clarity"] = None if trip.clarity is None else trip.clarity.value
    return tuple(plain.values())


def delete_parts(connection: sqlite3.Connection, number: int) -> None:
    """Take away what stands in other tables; what hangs on it goes along."""
    for table in ("catches", "forecasts", "seen"):
        connection.execute(f"DELETE FROM {table} WHERE trip = ?", (number,))


def insert_parts(connection: sqlite3.Connection, number: int, trip: Trip) -> None:
    """Write catches, forecast and what was seen."""
    many = connection.executemany
    many(
        "INSERT INTO catches VALUES (?, ?, ?)",
        [(number, place, catch.species) for place, catch in enumerate(trip.catches)],
    )
    many(
        "INSERT INTO fish VALUES (?, ?, ?, ?, ?, ?, ?)",
        [
            (number, place, index, int(fish.kept), fish.length, fish.measured and fish.measured.value, fish.t)
            for place, catch in enumerate(trip.catches)
            for index, fish in enumerate(catch.fish)
        ],
    )
    many(
        "INSERT INTO seen VALUES (?, ?, ?, ?, ?)",
        [(number, place, seen.kind.value, seen.t, seen.speed) for place, seen in enumerate(trip.seen)],
    )
    made = trip.forecast
    if made is not None:
        row = (number, made.points, made.version, made.made_at, made.made.value, made.chance)
        connection.execute("INSERT INTO forecasts VALUES (?, ?, ?, ?, ?, ?)", row)
        many(
            "INSERT INTO factors VALUES (?, ?, ?, ?, ?)",
            [(number, i, item.factor, item.points, item.most) for i, item in enumerate(made.factors)],
        )


def select_trips(
    connection: sqlite3.Connection, where: str = "", values: Sequence[Any] = ()
) -> tuple[Trip, ...]:
    """Trips that a condition on the table of trips picks, in order of their start.

    Raises:
        ValueError: a row holds what this program does not know.
    """
    parts = _Parts(connection, where, values)
    rows = connection.execute(
        f"SELECT number, {_NAMES} FROM trips {where} ORDER BY start, number", tuple(values)
    )
    return tuple(parts.trip(number, dict(zip(_COLUMNS, row, strict=True))) for number, *row in rows)


class _Parts:
    """What stands in other tables, by number of the trip."""

    def __init__(self, connection: sqlite3.Connection, where: str, values: Sequence[Any]) -> None:
        picked = f"WHERE trip IN (SELECT number FROM trips {where})" if where else ""

        def read(columns: str, table: str, order: str) -> Any:
            asked = f"SELECT {columns} FROM {table} {picked} ORDER BY {order}"
            return connection.execute(asked, tuple(values))

        fish: dict[tuple[int, int], list[Fish]] = defaultdict(list)
        for trip, catch, kept, length, measured, t in read(
            "trip, catch, kept, length, measured, t", "fish", "trip, catch, place"
        ):
            how = None if measured is None else Measured(measured)
            fish[trip, catch].append(Fish(bool(kept), length, how, t))
        self.catches: dict[int, list[Catch]] = defaultdict(list)
        for trip, place, species in read("trip, place, species", "catches", "trip, place"):
            self.catches[trip].append(Catch(species, tuple(fish.get((trip, place), ()))))
        self.seen: dict[int, list[Seen]] = defaultdict(list)
        for trip, kind, t, speed in read("trip, kind, t, speed", "seen", "trip, place"):
            self.seen[trip].append(Seen(SeenKind(kind), t, speed))
        factors: dict[int, list[FactorPoints]] = defaultdict(list)
        for trip, *row in read("trip, factor, points, most", "factors", "trip, place"):
            factors[trip].append(FactorPoints(*row))
        self.forecasts: dict[int, FrozenForecast] = {}
        for trip, points, version, made_at, made, chance in read(
            "trip, points, version, made_at, made, chance", "forecasts", "trip"
        ):
            parts = tuple(factors.get(trip, ()))
            self.forecasts[trip] = FrozenForecast(points, parts, version, made_at, Made(made), chance)

    def trip(self, number: int, row: dict[str, Any]) -> Trip:
        """The whole trip of a row."""
        row["fished"] = bool(row["fished"])
        row["clarity"] = None if row["clarity"] is None else Clarity(row["clarity"])
        return Trip(
            **row,
            catches=tuple(self.catches.get(number, ())),
            seen=tuple(self.seen.get(number, ())),
            forecast=self.forecasts.get(number),
            number=number,
        )
