"""Nothing that was told as kept is lost: killed writers, several at once, full disks."""

import os
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from tests.windows.log.long_run import REPOSITORY, WRITER, killed_writers, started
from windows.log.errors import LogFullError
from windows.log.storage import SqliteStore

KILLS = 8
WRITERS, EACH = 3, 40


def test_killed_writers(tmp_path):
    found = killed_writers(tmp_path / "trips.db", KILLS, seed=13)
    assert found.told > 2 * KILLS, "writers that are killed before they write prove nothing"
    assert found.lost == 0
    assert found.torn == 0
    assert found.sound


def test_several_programs_at_once(tmp_path):
    """They also begin the log at once, and each waits for the others."""
    path = tmp_path / "trips.db"
    running = [
        started(path, first, EACH, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        for first in range(0, 1000 * WRITERS, 1000)
    ]
    told = set()
    for process in running:
        out, err = process.communicate(timeout=120)
        assert (process.returncode, err) == (0, b"")
        told |= set(map(int, out.split()))
    assert len(told) == WRITERS * EACH
    with SqliteStore(path) as store:
        assert {int(trip.uid, 16) for trip in store.trips()} == told


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="mounting a disk takes root")
def test_a_full_disk(tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=256k", "none", disk], check=False)
    if mount.returncode:
        pytest.skip("no disk can be mounted here")
    try:
        fill_up(disk / "trips.db", disk / "filler")
    finally:
        subprocess.run(["umount", "-l", disk], check=True)


def fill_up(path: Path, filler: Path) -> None:
    from tests.windows.log.made_trips import plain_trip

    with SqliteStore(path, create=True) as store:
        added = [store.add(plain_trip(0))]
        with pytest.raises(LogFullError, match="nothing was changed"):
            for number in range(1, 10_000):
                added.append(store.add(plain_trip(number, words="x" * 900)))
        assert len(added) > 5
        assert store.trips() == tuple(added)
    with closing(SqliteStore(path)) as store:
        assert [trip.words for trip in store.trips()] == [trip.words for trip in added]


def test_the_writer_says_what_it_kept(tmp_path):
    path = tmp_path / "trips.db"
    done = subprocess.run(
        [sys.executable, "-c", WRITER, path, "5", "3"], cwd=REPOSITORY, capture_output=True, check=True
    )
    assert done.stdout.split() == [b"5", b"6", b"7"]
