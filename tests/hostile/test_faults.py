"""Results are whole or not there at all: killed writers, full disks, folders not to be written, links."""

import os
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

import pytest

from tests.cli.runs import REPOSITORY, run
from tests.coasts import simple

KILLS = 200
LEAST_IN_THE_MIDDLE = 20
"""Kills that must have left a part behind, or the test would have tried nothing."""
WHOLE_RUNS = 5
"""Kills of a whole command, most of which compute rather than write."""
OLD = b"the old result\n"
LEVELS = ("--days", "30", "--step", "6min", "--format", "csv")
WRITERS = """
import os, sys
from pathlib import Path
from windows.cli.output import emit
target, *sources = map(Path, sys.argv[1:])
texts = [source.read_text(encoding="utf-8") for source in sources]
for _ in sys.stdin:
    writer = os.fork()
    if writer == 0:
        os.write(1, f"{os.getpid()}\\n".encode())
        while True:
            for text in texts:
                emit(text, target)
    _, status = os.waitpid(writer, 0)
    os.write(1, f"{os.waitstatus_to_exitcode(status)}\\n".encode())
"""
"""For each line it gets, starts a process that writes one result after another over the same file, the way
`-o` does; says that process's id, and when it has ended how."""


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    return simple(tmp_path_factory.mktemp("shore"), "UTC")


def started(*arguments: object, **options) -> subprocess.Popen[bytes]:
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY)}
    return subprocess.Popen(
        [sys.executable, *map(str, arguments)], cwd=REPOSITORY, env=environment, **options
    )


def command(*arguments: object, **options) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "windows.cli", *map(str, arguments)],
        capture_output=True,
        check=False,
        cwd=REPOSITORY,
        timeout=120,
        **options,
    )


def names(folder: Path) -> list[str]:
    return sorted(item.name for item in folder.iterdir())


def parts(folder: Path) -> list[Path]:
    return [item for item in folder.iterdir() if item.name.startswith(".") and item.name.endswith(".part")]


def until(there: Callable[[], bool]) -> None:
    """Wait for something, some seconds at most."""
    end = time.monotonic() + 5.0
    while not there() and time.monotonic() < end:
        time.sleep(0.0002)


def test_two_hundred_writers_killed_in_the_middle(shore, tmp_path):
    sources, whole = [], {OLD}
    for year in (2026, 2027):
        source = tmp_path / f"{year}.csv"
        assert run("levels", shore, *LEVELS, "--start", f"{year}-01-01", "-o", source).code == 0
        sources.append(source)
        whole.add(source.read_bytes())
    assert min(len(version) for version in whole - {OLD}) > 300_000
    folder = tmp_path / "results"
    folder.mkdir()
    target = folder / "levels.csv"
    random, seen, in_the_middle = Random(6), set(), 0
    with started(
        *("-c", WRITERS, target, *sources),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    ) as writers:
        assert writers.stdin is not None and writers.stdout is not None
        for kill in range(KILLS):
            target.write_bytes(OLD)
            for part in parts(folder):  # which the next writer would take away
                part.unlink()
            writers.stdin.write(b"\n")
            writers.stdin.flush()
            writer = int(writers.stdout.readline())
            if kill % 2:  # when a part is there, which on a busy machine a moment of chance seldom hits
                until(lambda: bool(parts(folder)))
            elif kill % 10 == 0:
                until(lambda: target.read_bytes() != OLD)
            time.sleep(random.uniform(0.0, 0.002 if kill % 2 else 0.02))
            os.kill(writer, signal.SIGKILL)
            assert int(writers.stdout.readline()) == -signal.SIGKILL
            found = target.read_bytes()
            assert found in whole
            seen.add(found)
            in_the_middle += bool(parts(folder))
            assert set(names(folder)) == {target.name, *(part.name for part in parts(folder))}
        writers.stdin.close()
    assert writers.returncode == 0
    assert in_the_middle >= LEAST_IN_THE_MIDDLE
    assert len(seen) > 1
    (folder / ".levels.csv.abcdefgh.part").write_bytes(OLD)
    assert run("levels", shore, *LEVELS, "--start", "2026-01-01", "-o", target).code == 0
    assert target.read_bytes() == sources[0].read_bytes()
    assert parts(folder) == [], "the next run clears what killed ones left"


def test_whole_commands_killed_at_any_time(shore, tmp_path):
    target = tmp_path / "levels.csv"
    arguments = ("-m", "windows.cli", "levels", shore, *LEVELS, "--start", "2026-01-01", "-o", target)
    began = time.monotonic()
    with started(*arguments, stderr=subprocess.DEVNULL) as finished:
        finished.wait()
    lasts = time.monotonic() - began
    new = target.read_bytes()
    random = Random(7)
    for _ in range(WHOLE_RUNS):
        target.write_bytes(OLD)
        with started(*arguments, stderr=subprocess.DEVNULL) as running:
            time.sleep(random.uniform(0.0, lasts * 1.2))
            running.kill()
        assert target.read_bytes() in (OLD, new)
        assert set(names(tmp_path)) == {target.name, *(part.name for part in parts(tmp_path))}


class TestDisks:
    @pytest.fixture
    def small(self, tmp_path):
        """A disk of 64 kB of its own."""
        folder = tmp_path / "disk"
        folder.mkdir()
        made = subprocess.run(
            ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)], capture_output=True, check=False
        )
        if made.returncode:
            pytest.skip("mounting a small disk needs root; a limit on file sizes stands in for it below")
        yield folder
        subprocess.run(["umount", str(folder)], check=True)

    def test_full(self, shore, small):
        target = small / "levels.csv"
        target.write_bytes(OLD)
        finished = command("levels", shore, *LEVELS, "-o", target)
        assert finished.returncode == 1
        assert finished.stdout == b""
        assert finished.stderr.decode() == (
            f"ebblight: {target}: can't write the result: No space left on device\n"
        )
        assert target.read_bytes() == OLD
        assert names(small) == [target.name]
        assert run("tides", shore, "-o", target).code == 0, "what fits is written"
        assert target.read_bytes().startswith(b"A shore")

    def test_full_before_the_first_byte(self, shore, small):
        target = small / "tides.txt"
        with pytest.raises(OSError, match="No space"), (small / "ballast").open("wb") as ballast:
            for _ in range(100):
                ballast.write(bytes(1024))
                ballast.flush()
        target.write_bytes(b"")
        finished = run("tides", shore, "-o", target)
        assert finished.code == 1
        assert "No space left on device" in finished.err
        assert names(small) == ["ballast", target.name]

    def test_read_only(self, shore, small):
        target = small / "tides.txt"
        target.write_bytes(OLD)
        subprocess.run(["mount", "-o", "remount,ro", str(small)], check=True)
        for place in (target, small / "new.txt"):
            finished = run("tides", shore, "-o", place)
            assert (finished.code, finished.out) == (1, "")
            assert finished.err == f"ebblight: {place}: can't write the result: Read-only file system\n"
        assert target.read_bytes() == OLD
        assert names(small) == [target.name]

    def test_a_link_onto_a_full_disk(self, shore, small, tmp_path):
        (small / "levels.csv").write_bytes(OLD)
        link = tmp_path / "link.csv"
        link.symlink_to(small / "levels.csv")
        finished = run("levels", shore, *LEVELS, "-o", link)
        assert finished.code == 1
        assert f"{link}: can't write" in finished.err
        assert link.is_symlink()
        assert link.read_bytes() == OLD
        assert names(small) == ["levels.csv"]


@contextmanager
def limited() -> Iterator[None]:
    """No file of this process may grow beyond 2 kB; Python is told by an error rather than a signal.

    Compiled modules are not kept meanwhile: Python 3.11 would keep the first 2 kB of one.
    """
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    assert signal.getsignal(signal.SIGXFSZ) is signal.SIG_IGN
    keeps, sys.dont_write_bytecode = sys.dont_write_bytecode, True
    resource.setrlimit(resource.RLIMIT_FSIZE, (2048, hard))
    try:
        yield
    finally:
        sys.dont_write_bytecode = keeps
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


RESULTS = [
    *(("levels", "--days", "7", "--format", form) for form in ("table", "csv", "json")),
    *(("week", "--format", form) for form in ("csv", "json", "page", "svg", "ics")),
    ("week", "--days", "1", "--format", "png"),
    ("sky", "--days", "30"),
]


@pytest.mark.parametrize("arguments", RESULTS, ids=" ".join)
def test_no_result_is_half_written(shore, tmp_path, arguments):
    name, *options = arguments
    target = tmp_path / "result"
    target.write_bytes(OLD)
    with limited():
        finished = run(name, shore, *options, "-o", target)
    assert (finished.code, finished.out) == (1, ""), finished.err
    assert finished.err.endswith(f"{target}: can't write the result: File too large\n")
    assert target.read_bytes() == OLD
    assert names(tmp_path) == ["result"]
    assert run(name, shore, *options, "-o", target).code == 0
    assert target.stat().st_size > 2048, "a result that fits would prove nothing"


def test_a_folder_that_may_not_be_written(shore, tmp_path, monkeypatch):
    """As root may write everywhere, permission is refused here by the call itself."""
    target = tmp_path / "tides.txt"
    target.write_bytes(OLD)

    def refuse(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("tempfile.mkstemp", refuse)
    result = run("tides", shore, "-o", target)
    assert (result.code, result.out) == (1, "")
    assert f"{target}: can't write the result: Permission denied" in result.err
    assert target.read_bytes() == OLD


def test_links(shore, tmp_path):
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "old.txt").write_bytes(OLD)
    good, later, lost = (tmp_path / name for name in ("good", "later", "lost"))
    good.symlink_to(elsewhere / "old.txt")
    later.symlink_to(elsewhere / "new.txt")
    lost.symlink_to(tmp_path / "none" / "new.txt")
    assert run("tides", shore, "-o", good).code == 0
    assert run("tides", shore, "-o", later).code == 0
    failed = run("tides", shore, "-o", lost)
    assert (failed.code, failed.out) == (1, "")
    assert f"{lost}: can't write the result: No such file or directory" in failed.err
    assert all(link.is_symlink() for link in (good, later, lost))
    assert (elsewhere / "old.txt").read_bytes() == (elsewhere / "new.txt").read_bytes() != OLD
    assert names(elsewhere) == ["new.txt", "old.txt"]
    assert names(tmp_path) == ["elsewhere", "good", "later", "lost"]
