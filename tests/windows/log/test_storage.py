"""The log on disk: what is kept comes back, migrations, other people's files, named errors."""

import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.windows.log.made_trips import FULL, NOON, plain_trip, trips
from windows.log import storage
from windows.log.errors import (
    DamagedLogError,
    LogBusyError,
    LogError,
    LogFullError,
    LogReadOnlyError,
    NewerLogError,
    NoLogError,
    NotALogError,
    NoTripError,
)
from windows.log.schema import APPLICATION, MIGRATIONS, VERSION
from windows.log.storage import SqliteStore
from windows.log.trips import Catch, Fish, Trip


@pytest.fixture
def path(tmp_path) -> Path:
    return tmp_path / "trips.db"


@pytest.fixture
def store(path) -> Iterator[SqliteStore]:
    with SqliteStore(path, create=True) as made:
        yield made


def kept(path: Path) -> tuple[Trip, ...]:
    with SqliteStore(path) as store:
        return store.trips(removed=True)


class TestKeeping:
    def test_a_trip_comes_back_as_it_was(self, path, store):
        added = store.add(FULL)
        assert added.number == 1
        assert added.without_number() == FULL
        assert store.trip(1) == added
        assert kept(path) == (added,)

    @settings(max_examples=20)
    @given(st.tuples(trips(0), trips(1), trips(2)))
    def test_any_trips_come_back_as_they_were(self, many):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "trips.db"
            with SqliteStore(path, create=True) as store:
                added = store.add_all(many)
            assert [trip.without_number() for trip in added] == list(many)
            assert kept(path) == tuple(sorted(added, key=lambda trip: (trip.start, trip.number)))

    def test_trips_come_in_order_of_their_start(self, store):
        store.add_all(plain_trip(n, start=NOON - n * 9000.0) for n in range(4))
        assert [trip.number for trip in store.trips()] == [4, 3, 2, 1]

    def test_a_trip_taken_out_is_asked_for_by_name(self, store):
        store.add_all((plain_trip(0), plain_trip(1)))
        store.change(1, lambda trip: replace(trip, removed_at=NOON))
        assert [trip.number for trip in store.trips()] == [2]
        assert [trip.number for trip in store.trips(removed=True)] == [1, 2]
        store.change(1, lambda trip: replace(trip, removed_at=None))
        assert [trip.number for trip in store.trips()] == [1, 2]

    def test_a_change_replaces_everything_and_nothing_else(self, store):
        other = store.add(replace(FULL, uid="f" * 32))
        store.add(FULL)
        edited = replace(plain_trip(1), catches=(Catch("Eel", (Fish(True),)),), words="less")
        assert store.change(2, lambda _: edited) == replace(edited, number=2)
        assert store.trip(1) == other

    def test_a_change_that_fails_changes_nothing(self, store):
        added = store.add(FULL)

        def broken(trip):
            raise KeyboardInterrupt

        with pytest.raises(KeyboardInterrupt):
            store.change(1, broken)
        with pytest.raises(LogError):  # a number of anglers that no trip has
            store.change(1, lambda trip: replace(trip, anglers=0))
        assert store.trips() == (added,)
        assert store.add(plain_trip(5)).number == 2

    def test_several_are_kept_or_none(self, store):
        with pytest.raises(LogError, match="trip 1 is this one already"):
            store.add_all((plain_trip(0), plain_trip(1), plain_trip(0)))
        assert store.trips() == ()

    def test_a_number_is_kept_where_it_is_free(self, store):
        numbers = [
            store.add(replace(plain_trip(n), number=number)).number for n, number in enumerate((7, 7, 3))
        ]
        assert numbers == [7, 8, 3]

    @pytest.mark.parametrize("number", [2**63 - 1, 2**63, 10**4000])
    def test_a_number_that_no_trip_has(self, store, number):
        store.add(FULL)
        words = "so large a number" if number >= 2**63 else f"no trip {number} in"
        for asked in (store.trip, lambda known: store.change(known, lambda trip: trip)):
            with pytest.raises(NoTripError, match=words):
                asked(number)

    def test_no_such_trip(self, path, store):
        with pytest.raises(NoTripError, match=r"trips\.db: no trip 4 in this log"):
            store.trip(4)
        with pytest.raises(NoTripError):
            store.change(4, lambda trip: trip)

    def test_readers_see_one_state_while_another_writes(self, path, store):
        store.add(plain_trip(0))
        with SqliteStore(path, patience=0.0) as reader:
            store._connection.execute("BEGIN IMMEDIATE")
            store._connection.execute("DELETE FROM trips")
            assert len(reader.trips()) == 1
            store._connection.execute("ROLLBACK")

    def test_how_it_is_opened(self, path, store):
        run = store._connection.execute
        assert run("PRAGMA journal_mode").fetchone() == ("wal",)
        assert run("PRAGMA synchronous").fetchone() == (2,)
        assert run("PRAGMA foreign_keys").fetchone() == (1,)
        assert run("PRAGMA busy_timeout").fetchone() == (10_000,)
        store.add(FULL)
        run("DELETE FROM trips")
        for table in ("catches", "fish", "seen", "forecasts", "factors"):
            assert run(f"SELECT count(*) FROM {table}").fetchone() == (0,), table


def old_log(path: Path, version: int) -> None:
    """A log as that version left it, with a trip of two fish in it."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for script in MIGRATIONS[:version]:
            connection.executescript(script)
        connection.execute(f"PRAGMA application_id = {APPLICATION}")
        connection.execute(f"PRAGMA user_version = {version}")
        connection.execute(
            'INSERT INTO trips (number, uid, spot, spot_name, shore, zone, start, "end", logged_at, anglers, '
            "bait, quarry, words) VALUES (3, 'abc', 'ledge', 'Ledge', 'Coast', 'UTC', 0, 3600, 7200, 2, "
            "'crab', '', 'old')"
        )
        connection.execute("INSERT INTO catches VALUES (3, 0, 'Bass')")
        connection.execute(
            "INSERT INTO fish VALUES (3, 0, 0, 1, 0.5, 'fork', NULL), (3, 0, 1, 0, NULL, NULL, 9)"
        )
        if version >= 2:
            connection.execute("INSERT INTO forecasts VALUES (3, 71.5, '0.1', 5, 'planned', NULL)")
            connection.execute("INSERT INTO factors VALUES (3, 0, 'flow', 60, 60)")


class TestMigrations:
    @pytest.mark.parametrize("version", range(1, VERSION + 1))
    def test_each_older_version_is_brought_up_to_date(self, path, version):
        old_log(path, version)
        (trip,) = kept(path)
        assert (trip.number, trip.uid, trip.anglers, trip.words) == (3, "abc", 2, "old")
        assert [(fish.kept, fish.length, fish.t) for _, fish in trip.every_fish()] == [
            (True, 0.5, None),
            (False, None, 9.0),
        ]
        assert trip.fished and trip.removed_at is None and trip.seen == ()
        assert (trip.forecast is not None) == (version >= 2)
        with closing(sqlite3.connect(path)) as connection:
            assert connection.execute("PRAGMA user_version").fetchone() == (VERSION,)
        with SqliteStore(path) as store:
            assert store.add(FULL).without_number() == FULL

    def test_all_versions_end_with_the_same_tables(self, tmp_path):
        found = set()
        for version in range(VERSION + 1):
            path = tmp_path / f"{version}.db"
            if version:
                old_log(path, version)
            SqliteStore(path, create=True).close()
            with closing(sqlite3.connect(path)) as connection:
                asked = "SELECT type, name, sql FROM sqlite_master ORDER BY name"
                found.add(tuple(connection.execute(asked)))
        assert len(found) == 1

    def test_one_that_fails_leaves_the_log_as_it_was(self, path, monkeypatch):
        old_log(path, 1)
        broken = (*MIGRATIONS[:2], "CREATE TABLE more (a);\nCREATE TABLE more (a);\n")
        monkeypatch.setattr(storage, "MIGRATIONS", broken)
        with pytest.raises(LogError, match="already exists"):
            SqliteStore(path)
        with closing(sqlite3.connect(path)) as connection:
            assert connection.execute("PRAGMA user_version").fetchone() == (1,)
            names = {name for (name,) in connection.execute("SELECT name FROM sqlite_master")}
        assert {"trips", "fish"} <= names
        assert not {"forecasts", "more"} & names

    def test_a_newer_one_is_refused_and_left_alone(self, path, store):
        store.add(FULL)
        store._connection.execute(f"PRAGMA user_version = {VERSION + 1}")
        store.close()
        before = path.read_bytes()
        with pytest.raises(NewerLogError) as error:
            SqliteStore(path, create=True)
        assert f"log version {VERSION + 1}, this one knows up to {VERSION}" in str(error.value)
        assert "Bring Ebblight up to date" in str(error.value)
        assert path.read_bytes() == before


class TestOtherFiles:
    def test_none_there(self, path):
        with pytest.raises(NoLogError, match="`ebblight log add FILE` begins it"):
            SqliteStore(path)
        assert not path.exists()

    def test_an_empty_file_becomes_a_log(self, path):
        path.touch()
        assert kept(path) == ()

    @pytest.mark.parametrize("content", [b"not a log\n" * 200, b"SQLite format 3\0" + b"\xff" * 4000])
    def test_no_database(self, path, content):
        path.write_bytes(content)
        with pytest.raises((NotALogError, DamagedLogError)):
            SqliteStore(path, create=True)
        assert path.read_bytes() == content

    def test_a_folder(self, path):
        path.mkdir()
        with pytest.raises(NotALogError, match="not a file"):
            SqliteStore(path, create=True)

    def test_another_program_s_database(self, path):
        with closing(sqlite3.connect(path)) as connection:
            connection.execute("CREATE TABLE trips (number INTEGER PRIMARY KEY)")
        before = path.read_bytes()
        with pytest.raises(NotALogError, match="another program"):
            SqliteStore(path, create=True)
        assert path.read_bytes() == before

    def test_a_damaged_log(self, path, store):
        store.add_all(replace(FULL, uid=f"{n:032x}") for n in range(200))
        store.close()
        content = bytearray(path.read_bytes())
        content[4096 : len(content) - 4096] = b"\xa5" * (len(content) - 8192)
        path.write_bytes(content)
        with pytest.raises(DamagedLogError, match="take an earlier copy"):
            kept(path)

    def test_a_row_that_no_trip_has(self, path, store):
        store.add(FULL)
        store._connection.execute("UPDATE trips SET clarity = 'pea soup'")
        with pytest.raises(DamagedLogError, match="pea soup"):
            kept(path)

    def test_a_folder_that_is_a_file(self, tmp_path):
        (tmp_path / "file").touch()
        with pytest.raises(LogReadOnlyError, match="its folder can't be made"):
            SqliteStore(tmp_path / "file" / "trips.db", create=True)

    def test_a_name_with_signs_of_an_address(self, tmp_path):
        path = tmp_path / "new folder" / "a?mode=memory#b%20c.db"
        with SqliteStore(path, create=True) as store:
            store.add(plain_trip())
        assert path.is_file()
        assert len(kept(path)) == 1


class TestNamedErrors:
    def test_another_writer(self, path, store):
        store._connection.execute("BEGIN IMMEDIATE")
        with SqliteStore(path, patience=0.01) as other, pytest.raises(LogBusyError, match="another program"):
            other.add(plain_trip())
        store._connection.execute("ROLLBACK")
        assert store.trips() == ()

    def test_no_room(self, path, store):
        added = store.add(FULL)
        pages = store._connection.execute("PRAGMA page_count").fetchone()[0]
        store._connection.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(LogFullError, match="the disk is full; nothing was changed"):
            store.add_all(replace(plain_trip(n + 2), words="x" * 2000) for n in range(50))
        assert store.trips() == kept(path) == (added,)

    def test_where_nothing_may_be_written(self, path, store, monkeypatch):
        added = store.add(FULL)
        store.close()
        monkeypatch.setattr(os, "access", lambda *_: False)
        with SqliteStore(path) as other:
            assert other.trips() == (added,)
            with pytest.raises(LogReadOnlyError, match="may not be written"):
                other.add(plain_trip(9))
        assert [item.name for item in path.parent.iterdir()] == ["trips.db"]


def test_what_sqlite_says_is_told_with_the_file(tmp_path):
    with SqliteStore(tmp_path / "trips.db", create=True) as store:
        with pytest.raises(LogError, match=r"trips\.db: no such table: fish_of_nobody$"):
            with store._named():
                store._connection.execute("SELECT * FROM fish_of_nobody")
