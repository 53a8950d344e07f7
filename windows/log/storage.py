"""The log on disk: one SQLite file, migrated as it is opened, every change whole or not made at all.

Write-ahead, so that reading goes on while another program writes; each commit is flushed to the disk, so that
a trip that was told as kept is there after a kill or a power cut. Writers wait for each other.
"""

import os
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Protocol, Self

from windows.log.errors import (
    DamagedLogError,
    LogError,
    LogReadOnlyError,
    NewerLogError,
    NoLogError,
    NotALogError,
    NoTripError,
    log_error,
)
from windows.log.rows import delete_parts, insert_parts, insert_trip, select_trips, update_trip
from windows.log.schema import APPLICATION, MIGRATIONS, VERSION
from windows.log.trips import Trip

GREATEST = 2**63 - 1
"""Of the whole numbers that SQLite knows."""
PATIENCE = 10.0
"""Seconds that a writer waits for another: far longer than any change takes."""


class TripStore(Protocol):
    """Where trips are kept. A trip that a method has returned from is kept for good."""

    def add(self, trip: Trip) -> Trip:
        """Keep a new trip; it comes back with its number."""

    def add_all(self, trips: Iterable[Trip]) -> tuple[Trip, ...]:
        """Keep several, or none where one can't be kept."""

    def change(self, number: int, edit: Callable[[Trip], Trip]) -> Trip:
        """Put an edited trip in the place of the one of that number, with nobody else's change between."""

    def trip(self, number: int) -> Trip:
        """The trip of that number, taken out or not."""

    def trips(self, removed: bool = False) -> tuple[Trip, ...]:
        """Every trip in order of its start; with those taken out where asked."""


class SqliteStore:
    """The log in one SQLite file; a context manager that closes it."""

    def __init__(self, path: Path, *, create: bool = False, patience: float = PATIENCE) -> None:
        """Open the log, and bring one of an older version up to date.

        Args:
            path: the file.
            create: make it, and its folder, where it is not there.
            patience: seconds to wait for another writer.

        Raises:
            LogError: one of its kinds, told by name.
        """
        self.path = path
        with self._named():
            if create:
                self._make_folder()
            self._connection = self._connected(create, patience)
            try:
                self._prepare()
            except BaseException:
                self._connection.close()
                raise

    def _make_folder(self) -> None:
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            told = f"{self.path}: its folder can't be made: {error.strerror or error}"
            raise LogReadOnlyError(told) from None

    def _connected(self, create: bool, patience: float) -> sqlite3.Connection:
        if not create and not self.path.exists():
            raise NoLogError(f"{self.path}: no log there yet; `ebblight log add FILE` begins it")
        if self.path.exists() and not self.path.is_file():
            raise NotALogError(f"{self.path}: it is not a file")
        mode = "rwc" if create else "ro&immutable=1" if self._only_read() else "rw"
        address = f"{self.path.absolute().as_uri()}?mode={mode}"
        return sqlite3.connect(address, uri=True, timeout=patience, isolation_level=None)

    def _only_read(self) -> bool:
        """Whether nothing may be written where the log lies, and none of it waits in a write-ahead file."""
        writable = os.access(self.path, os.W_OK) and os.access(self.path.absolute().parent, os.W_OK)
        return not writable and not Path(f"{self.path}-wal").exists()

    def _prepare(self) -> None:
        run = self._connection.execute
        run("PRAGMA foreign_keys = ON")
        run("PRAGMA synchronous = FULL")
        self._refuse_others()
        if run("PRAGMA user_version").fetchone()[0] < VERSION:
            run("PRAGMA journal_mode = WAL")
            self._migrate()

    def _refuse_others(self) -> None:
        """Refuse a database of another program, or of a later version of this one."""
        run = self._connection.execute
        application = run("PRAGMA application_id").fetchone()[0]
        version = run("PRAGMA user_version").fetchone()[0]
        holds = run("SELECT count(*) FROM sqlite_master").fetchone()[0]
        if application != APPLICATION and (holds or version or application):
            raise NotALogError(f"{self.path}: it is a database of another program, not a log of trips")
        if version > VERSION:
            raise NewerLogError(
                f"{self.path}: a later version of Ebblight wrote it (log version {version}, this one knows "
                f"up to {VERSION}); nothing was changed. Bring Ebblight up to date to open it"
            )

    def _migrate(self) -> None:
        """Apply the migrations that are missing, all in one transaction."""
        with self._transaction() as connection:
            version = connection.execute("PRAGMA user_version").fetchone()[0]
            for script in MIGRATIONS[version:]:
                for statement in filter(str.strip, script.split(";\n")):
                    connection.execute(statement)
            connection.execute(f"PRAGMA application_id = {APPLICATION}")
            connection.execute(f"PRAGMA user_version = {max(version, VERSION)}")

    @contextmanager
    def _transaction(self) -> Iterator[sqlite3.Connection]:
        """Everything inside happens, or nothing does; no other writer comes between."""
        connection = self._connection
        with self._named():
            connection.execute("BEGIN IMMEDIATE")
            try:
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise

    @contextmanager
    def _named(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as error:
            raise log_error(str(self.path), error) from None
        except UnicodeDecodeError:
            raise DamagedLogError(f"{self.path}: it holds text that is none") from None

    def add(self, trip: Trip) -> Trip:
        """Keep a new trip; it comes back with its number."""
        return self.add_all((trip,))[0]

    def add_all(self, trips: Iterable[Trip]) -> tuple[Trip, ...]:
        """Keep several, or none where one can't be kept; a trip that has a number keeps it if it is free.

        Raises:
            LogError: one is in the log already, or the log can't be written.
        """
        with self._transaction() as connection:
            kept = tuple(self._inserted(connection, trip) for trip in trips)
        return kept

    def _inserted(self, connection: sqlite3.Connection, trip: Trip) -> Trip:
        found = connection.execute("SELECT number FROM trips WHERE uid = ?", (trip.uid,)).fetchone()
        if found is not None:
            raise LogError(f"{self.path}: trip {found[0]} is this one already")
        return insert_trip(connection, trip)

    def change(self, number: int, edit: Callable[[Trip], Trip]) -> Trip:
        """Put an edited trip in the place of the one of that number, with nobody else's change between.

        Raises:
            NoTripError: there is none.
            LogError: the log can't be written; whatever `edit` raises passes through, and nothing changes.
        """
        with self._transaction() as connection:
            edited = edit(self._one(number))
            update_trip(connection, number, edited)
            delete_parts(connection, number)
            insert_parts(connection, number, edited)
        return self.trip(number)

    def trip(self, number: int) -> Trip:
        """The trip of that number, taken out or not.

        Raises:
            NoTripError: there is none.
        """
        with self._named():
            return self._one(number)

    def _one(self, number: int) -> Trip:
        if number > GREATEST:
            raise NoTripError(f"{self.path}: no trip in this log has so large a number")
        found = self._selected("WHERE number = ?", (number,))
        if not found:
            raise NoTripError(f"{self.path}: no trip {number} in this log")
        return found[0]

    def trips(self, removed: bool = False) -> tuple[Trip, ...]:
        """Every trip in order of its start; with those taken out where asked."""
        with self._named(), self._snapshot():
            return self._selected("" if removed else "WHERE removed_at IS NULL", ())

    def _selected(self, where: str, values: tuple[int, ...]) -> tuple[Trip, ...]:
        try:
            return select_trips(self._connection, where, values)
        except (ValueError, TypeError) as error:
            raise DamagedLogError(f"{self.path}: it holds what no trip can hold: {error}") from None

    @contextmanager
    def _snapshot(self) -> Iterator[None]:
        """Several reads of one state of the log, whatever others write meanwhile."""
        self._connection.execute("BEGIN")
        try:
            yield
        finally:
            self._connection.execute("COMMIT")

    def close(self) -> None:
        """Close the file; what was kept stays."""
        self._connection.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()
