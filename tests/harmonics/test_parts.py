"""What a killed writer leaves beside a file goes at the next writing; what a living one writes stays."""

import os
import signal
import threading
import time

import pytest

from harmonics.errors import OutputError
from harmonics.files import parts
from harmonics.files.parts import alone_in, clear_parts, holds, part_for
from tests.hostile.faults_run import child, waited
from windows.render.files import write_together, write_whole


def names(folder):
    return sorted(item.name for item in folder.iterdir())


def killed_with_a_part(target):
    """A child of ours that is killed after half of its bytes."""

    def act():
        with part_for(target) as part:
            part.stream.write(b"half")
            part.stream.flush()
            os.kill(os.getpid(), signal.SIGKILL)

    assert waited(child(act)) == -signal.SIGKILL


def test_the_next_writer_of_a_file_clears_what_a_killed_one_left(tmp_path):
    target, other = tmp_path / "week.html", tmp_path / "best.html"
    killed_with_a_part(target)
    killed_with_a_part(other)
    left = names(tmp_path)
    assert len(left) == 2
    write_whole(target, b"whole")
    assert names(tmp_path) == [next(name for name in left if "best" in name), "week.html"]
    clear_parts(tmp_path)
    assert names(tmp_path) == ["week.html"]


def test_a_long_name(tmp_path):
    target = tmp_path / f"{'n' * 200}.html"
    killed_with_a_part(target)
    write_whole(target, b"whole")
    assert names(tmp_path) == [target.name]


def test_a_living_writers_part_stays(tmp_path):
    """As another process sees it: a lock of another open file counts, whoever holds it."""
    target = tmp_path / "week.html"
    with part_for(target) as part:
        part.stream.write(b"first")
        write_whole(target, b"second")
        assert part.path.exists()
        part.put(target, 0o644)
    assert target.read_bytes() == b"first"
    assert names(tmp_path) == ["week.html"]


def test_a_part_taken_before_it_was_locked_is_made_again(tmp_path, monkeypatch):
    """The moment between making and locking: another clears it there."""
    made, lock = [], parts._locked

    def late(handle, *, wait=False):
        if wait and not made:
            made.extend(names(tmp_path))
            (tmp_path / made[0]).unlink()
        return lock(handle, wait=wait)

    monkeypatch.setattr(parts, "_locked", late)
    write_whole(tmp_path / "week.html", b"whole")
    assert made and names(tmp_path) == ["week.html"]


def test_one_that_is_always_taken_ends_in_words(tmp_path, monkeypatch):
    def taken(handle, *, wait=False):
        for name in names(tmp_path):
            (tmp_path / name).unlink()
        return True

    monkeypatch.setattr(parts, "_locked", taken)
    with pytest.raises(OutputError, match="another program keeps taking away what is being written"):
        write_whole(tmp_path / "week.html", b"whole")
    assert names(tmp_path) == []


@pytest.mark.parametrize(
    "name", [".week.html.part", ".week.html.short.part", "week.html.abcdefgh.part", ".week.html.abcdefgh.tmp"]
)
def test_what_looks_otherwise_is_nobody_s_business(tmp_path, name):
    (tmp_path / name).write_bytes(b"another program's")
    write_whole(tmp_path / "week.html", b"whole")
    assert names(tmp_path) == sorted([name, "week.html"])


def test_links_and_folders_of_such_a_name_stay(tmp_path):
    (tmp_path / ".a.abcdefgh.part").mkdir()
    (tmp_path / "kept").write_bytes(b"kept")
    (tmp_path / ".a.abcdefgi.part").symlink_to(tmp_path / "kept")
    write_whole(tmp_path / "a", b"whole")
    assert names(tmp_path) == [".a.abcdefgh.part", ".a.abcdefgi.part", "a", "kept"]


def test_nothing_is_cleared_where_nothing_can_be_locked(tmp_path, monkeypatch):
    (tmp_path / ".a.abcdefgh.part").write_bytes(b"half")

    def unknown(handle, *, wait=False):
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(parts, "_locked", unknown)
    write_whole(tmp_path / "a", b"whole")
    with alone_in(tmp_path):
        assert names(tmp_path) == [".a.abcdefgh.part", "a"]


def test_changes_of_a_folder_wait_for_each_other(tmp_path, monkeypatch):
    order = []

    def second():
        with alone_in(tmp_path):
            order.append("second")

    with alone_in(tmp_path):
        thread = threading.Thread(target=second)
        thread.start()
        time.sleep(0.03)
        order.append("first")
    thread.join(5)
    assert order == ["first", "second"]
    monkeypatch.setattr(parts, "PATIENCE", 0.0)
    with alone_in(tmp_path), pytest.raises(OutputError, match="for too long"), alone_in(tmp_path):
        order.append("never")
    with alone_in(tmp_path / "none"):
        assert order == ["first", "second"]


def test_what_a_killed_writer_finished_is_no_hindrance(tmp_path):
    table, shore = tmp_path / "table.csv", tmp_path / "shore.toml"
    table.write_bytes(b"rows")
    assert holds(table, b"rows") and not holds(table, b"row") and not holds(tmp_path, b"rows")
    with pytest.raises(OutputError, match=r"table\.csv: found such a file already"):
        write_together({table: b"other", shore: b"text"}, new=(table,))
    write_together({table: b"rows", shore: b"text"}, new=(table,))
    assert (table.read_bytes(), shore.read_bytes()) == (b"rows", b"text")
