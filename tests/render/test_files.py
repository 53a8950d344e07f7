"""Files written whole or not at all."""

import errno
import os
import stat
from pathlib import Path

import pytest

from harmonics.errors import OutputError
from windows.render.files import write_whole

OLD, NEW = b"the old text\n", b"the new text, longer than the old\n"


@pytest.fixture
def target(tmp_path: Path) -> Path:
    path = tmp_path / "plan.txt"
    path.write_bytes(OLD)
    return path


def names(folder: Path) -> list[str]:
    return sorted(item.name for item in folder.iterdir())


def failing(code: int):
    def fail(*_, **__):
        raise OSError(code, os.strerror(code))

    return fail


def test_a_new_file_and_an_old_one(tmp_path, target):
    write_whole(tmp_path / "new.txt", NEW)
    write_whole(target, NEW)
    assert (tmp_path / "new.txt").read_bytes() == target.read_bytes() == NEW
    assert names(tmp_path) == ["new.txt", "plan.txt"]


@pytest.mark.parametrize("data", [b"", b"\0\xff" * 200_000])
def test_any_bytes(target, data):
    write_whole(target, data)
    assert target.read_bytes() == data


@pytest.mark.parametrize("call", ["fsync", "replace", "chmod"])
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EACCES])
def test_a_failure_at_any_step_keeps_the_old_file_and_leaves_nothing_beside_it(
    tmp_path, target, monkeypatch, call, code
):
    monkeypatch.setattr(os, call, failing(code))
    with pytest.raises(OutputError) as caught:
        write_whole(target, NEW)
    monkeypatch.undo()
    assert str(target) in str(caught.value)
    assert os.strerror(code) in str(caught.value)
    assert target.read_bytes() == OLD
    assert names(tmp_path) == ["plan.txt"]


def test_an_interruption_keeps_the_old_file_and_leaves_nothing_beside_it(tmp_path, target, monkeypatch):
    def interrupt(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_whole(target, NEW)
    assert target.read_bytes() == OLD
    assert names(tmp_path) == ["plan.txt"]


def test_the_old_file_stands_until_the_new_one_is_complete(target, monkeypatch):
    seen: list[bytes] = []
    replace = os.replace

    def watched(source, place):
        seen.append(target.read_bytes())
        seen.append(Path(source).read_bytes())
        replace(source, place)

    monkeypatch.setattr(os, "replace", watched)
    write_whole(target, NEW)
    assert seen == [OLD, NEW]


def test_a_folder_is_refused(tmp_path):
    (tmp_path / "plans").mkdir()
    with pytest.raises(OutputError, match="it is a folder"):
        write_whole(tmp_path / "plans", NEW)
    assert names(tmp_path / "plans") == []


@pytest.mark.parametrize("place", ["missing/plan.txt", "plan.txt/inner.txt", "x" * 300])
def test_a_place_that_can_t_be(tmp_path, target, place):
    with pytest.raises(OutputError, match="can't write the result"):
        write_whole(tmp_path / place, NEW)
    assert target.read_bytes() == OLD
    assert names(tmp_path) == ["plan.txt"]


def test_a_name_as_long_as_a_name_may_be(tmp_path):
    path = tmp_path / ("x" * 255)
    write_whole(path, NEW)
    assert path.read_bytes() == NEW


def test_a_link_stays_and_what_it_points_to_is_replaced(tmp_path, target):
    other = tmp_path / "elsewhere"
    other.mkdir()
    link = other / "link.txt"
    link.symlink_to(Path("..") / "plan.txt")
    write_whole(link, NEW)
    assert link.is_symlink()
    assert target.read_bytes() == NEW
    assert names(other) == ["link.txt"]


def test_a_link_to_nothing_makes_the_file_it_names(tmp_path):
    link = tmp_path / "link.txt"
    link.symlink_to("later.txt")
    write_whole(link, NEW)
    assert link.is_symlink()
    assert (tmp_path / "later.txt").read_bytes() == NEW


def test_a_link_to_a_folder_and_a_link_to_itself(tmp_path):
    (tmp_path / "plans").mkdir()
    (tmp_path / "a").symlink_to("plans")
    (tmp_path / "b").symlink_to("b")
    for name, reason in (("a", "it is a folder"), ("b", "leads in a circle")):
        with pytest.raises(OutputError, match=reason):
            write_whole(tmp_path / name, NEW)
    assert names(tmp_path) == ["a", "b", "plans"]


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o644, 0o664])
def test_permissions_are_kept(target, mode):
    target.chmod(mode)
    write_whole(target, NEW)
    assert stat.S_IMODE(target.stat().st_mode) == mode


@pytest.mark.parametrize("mask", [0o022, 0o077, 0o002])
def test_a_new_file_has_the_permissions_that_open_would_give(tmp_path, mask):
    before = os.umask(mask)
    try:
        write_whole(tmp_path / "ours.txt", NEW)
        (tmp_path / "plain.txt").write_bytes(NEW)
        assert os.umask(mask) == mask
    finally:
        os.umask(before)
    ours, plain = ((tmp_path / name).stat().st_mode for name in ("ours.txt", "plain.txt"))
    assert ours == plain


def test_what_is_no_regular_file_is_left_alone(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    (tmp_path / "link").symlink_to("pipe")
    for name in ("pipe", "link"):
        with pytest.raises(OutputError, match="not a regular file"):
            write_whole(tmp_path / name, NEW)
    assert stat.S_ISFIFO(pipe.stat().st_mode)
    assert names(tmp_path) == ["link", "pipe"]
