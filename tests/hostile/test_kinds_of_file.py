"""What stands where a file should: folders, pipes, devices, links, and files that change meanwhile."""

import errno
import os
import socket
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from harmonics.errors import FileProblemsError
from harmonics.files import text_files
from harmonics.files.text_files import read_text
from tests.cli.runs import refused
from tests.coasts import SIMPLE_STATION, head, simple, written

READS = {
    "check": lambda path: ("check", path),
    "datums": lambda path: ("datums", path),
    "import": lambda path: ("import", path),
    "fit": lambda path: ("fit", path, "--units", "metres", "--zone", "UTC"),
}
"""Commands that read a station file, a published table, a record."""
NO_FILE = "something that is not a regular file"


def folder(path: Path) -> None:
    path.mkdir()


def pipe(path: Path) -> None:
    os.mkfifo(path)


def device(path: Path) -> None:
    path.symlink_to("/dev/zero")


def circle(path: Path) -> None:
    path.symlink_to(path.name)


def dangling(path: Path) -> None:
    path.symlink_to("nowhere")


def door(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(str(path))


KINDS: dict[str, tuple[Callable[[Path], None], str]] = {
    "folder": (folder, "a folder"),
    "pipe": (pipe, NO_FILE),
    "device": (device, NO_FILE),
    "socket": (door, NO_FILE),
    "circle": (circle, "a file that can't be read"),
    "dangling": (dangling, "no such file"),
    "nothing": (lambda path: None, "no such file"),
}


@pytest.fixture
def place(tmp_path, monkeypatch):
    """A short relative path: a socket's name must be short."""
    monkeypatch.chdir(tmp_path)
    return Path("x")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("command", READS)
def test_what_is_no_file(place, command, kind):
    make, found = KINDS[kind]
    make(place)
    if kind == "folder" and command in ("check", "datums"):  # which take one with station files in it
        asked = (*READS[command](place), "-o", "out")
        assert refused(1, *asked) == "ebblight: x: found no station file; expected files named *.toml\n"
        assert not Path("out").exists()
        return
    message = refused(1, *READS[command](place))
    assert message.startswith("ebblight: x: 1 problem")
    assert found in message


@pytest.mark.parametrize("kind", KINDS)
def test_a_table_beside_a_file_that_is_none(place, kind):
    make, found = KINDS[kind]
    make(place)
    start = SIMPLE_STATION.index("constituents")
    path = written(Path(), head(), SIMPLE_STATION[:start], 'constituents = "x"\n')
    message = refused(1, "tides", path)
    assert f"stations[0].constituents (x): found {found}" in message


@pytest.mark.parametrize("kind", KINDS)
def test_readings_that_are_no_file(place, kind):
    make, found = KINDS[kind]
    make(place)
    path = simple(Path())
    message = refused(1, "levels", path, "--observed", place)
    assert message.startswith("ebblight: x: 1 problem")
    assert found in message


class TestChangesWhileRead:
    """Between asking what a path is and opening it, or reading it, another may put something else there."""

    @pytest.fixture
    def after_stat(self, tmp_path, monkeypatch):
        """Does something to a file as soon as it has been asked what it is."""
        path = tmp_path / "shore.toml"
        path.write_text("title = 'x'", encoding="utf-8")

        def prepare(change: Callable[[Path], None]) -> Path:
            asked = Path.stat

            def then_changed(self, **options):
                found = asked(self, **options)
                if self == path:
                    monkeypatch.undo()
                    change(path)
                return found

            monkeypatch.setattr(Path, "stat", then_changed)
            return path

        return prepare

    @staticmethod
    def found(path: Path) -> str:
        with pytest.raises(FileProblemsError) as caught:
            read_text(path, "a text", 1000)
        (problem,) = caught.value.problems
        return problem.found

    def test_deleted(self, after_stat):
        assert self.found(after_stat(Path.unlink)) == "no such file"

    @pytest.mark.parametrize("make", [folder, pipe, device, door])
    def test_replaced(self, after_stat, monkeypatch, make):
        def change(path: Path) -> None:
            path.unlink()
            monkeypatch.chdir(path.parent)
            make(Path(path.name))

        path = after_stat(change)
        assert self.found(path) in (
            "a folder",
            NO_FILE,
            f"a file that can't be read ({os.strerror(errno.ENXIO)})",
        )

    def test_grown(self, after_stat):
        path = after_stat(lambda path: path.write_bytes(b"x" * 2000))
        assert self.found(path) == "2,000 bytes"

    def test_growing_without_end(self, tmp_path, monkeypatch):
        """A file that says it is small and gives more and more, as a log being written does."""
        path = tmp_path / "log"
        path.write_bytes(b"x" * 5000)
        small = os.stat_result((stat.S_IFREG, *[0] * 5, 10, *[0] * 3))
        monkeypatch.setattr(text_files.os, "fstat", lambda _: small)
        monkeypatch.setattr(Path, "stat", lambda self, **_: small)
        assert self.found(path) == "1,001 bytes"

    @pytest.mark.parametrize(
        ("code", "found"),
        [
            (errno.EACCES, "a file that may not be read"),
            (errno.EPERM, "a file that may not be read"),
            (errno.EIO, "a file that can't be read (Input/output error)"),
            (errno.ESTALE, "a file that can't be read (Stale file handle)"),
            (errno.EMFILE, "a file that can't be read (Too many open files)"),
            (errno.ENOENT, "no such file"),
        ],
    )
    def test_an_opening_that_fails(self, tmp_path, monkeypatch, code, found):
        """As root may read everything, permission is refused here by the call itself."""
        path = simple(tmp_path)

        def fail(*_):
            raise OSError(code, os.strerror(code))

        monkeypatch.setattr(text_files.os, "open", fail)
        message = refused(1, "check", path)
        assert f"file: found {found}; expected" in message

    def test_a_reading_that_fails(self, tmp_path, monkeypatch):
        """/proc/self/mem opens as a regular file and fails at its first byte."""
        path = Path("/proc/self/mem")
        if not path.exists():
            pytest.skip("this system has no file that opens and fails to be read")
        assert self.found(path).startswith("a file that can't be read")


def test_a_folder_without_permission(tmp_path):
    if os.geteuid() == 0:
        pytest.skip("root may enter every folder; an opening that fails stands in for it above")
    path = simple(tmp_path)
    tmp_path.chmod(0)
    try:
        assert "a file that may not be read" in refused(1, "check", path)
    finally:
        tmp_path.chmod(0o755)
