"""A run over a folder that is ended from outside: whole results stay, no process does."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.cli.runs import REPOSITORY, contents, fill
from windows.cli import many
from windows.cli.check import CheckJob
from windows.render.files import write_whole

ABORTED = 1
"""Exit status after Ctrl-C."""


@pytest.fixture(autouse=True)
def ctrl_c():
    """Ctrl-C as on a terminal, also where these tests run in the background, which ignores it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.fixture
def at_work(tmp_path):
    """The command in a process group of its own on more files than it could finish, once some are done."""
    folder, out = tmp_path / "files", tmp_path / "out"
    folder.mkdir()
    fill(folder, 2000)
    running = subprocess.Popen(
        [
            *(sys.executable, "-m", "windows.cli", "week", str(folder), "-o", str(out)),
            *("--format", "csv", "--start", "2045-01-01", "--days", "30", "--workers", "2"),
        ],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=REPOSITORY,
        start_new_session=True,
    )
    while running.poll() is None and not (out.is_dir() and len(list(out.glob("*.csv"))) >= 3):
        time.sleep(0.01)
    yield running, out
    if running.poll() is None:
        running.kill()
    running.communicate()


def group_is_gone(group: int) -> bool:
    """Whether every process of the group has ended, within a generous wait."""
    for _ in range(1000):
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.02)
    return False


class TestInterruption:
    def test_ctrl_c_leaves_whole_results_and_says_so(self, at_work):
        running, out = at_work
        assert running.poll() is None
        os.killpg(running.pid, signal.SIGINT)
        stdout, stderr = running.communicate(timeout=60)
        assert running.returncode == ABORTED
        assert stdout == b""
        assert b"Traceback" not in stderr
        assert b"interrupted: " in stderr and b"each whole" in stderr
        assert group_is_gone(running.pid)
        whole(out, int(stderr.split(b"interrupted: ")[1].split()[0]))

    @pytest.mark.parametrize("kind", [signal.SIGKILL, signal.SIGTERM])
    def test_an_end_without_warning_leaves_no_process_behind(self, at_work, kind):
        running, out = at_work
        assert running.poll() is None
        os.kill(running.pid, kind)
        running.communicate(timeout=60)
        assert group_is_gone(running.pid)
        found = len(list(out.glob("*.csv")))
        assert found >= 3
        for path in out.glob(".*.part"):  # what the killed process was writing
            path.unlink()
        whole(out, found)


class TestHeld:
    """Ctrl-C waits where a result is written and counted, and where a process is started."""

    def test_it_waits_for_the_end_of_the_block(self):
        done = []
        with pytest.raises(KeyboardInterrupt), many._interrupts_held():
            signal.raise_signal(signal.SIGINT)
            done.append("the rest of the block")
        assert done
        assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
        assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, set())

    def test_a_process_started_inside_never_sees_it(self):
        code = "import signal; print(signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, set()))"
        with many._interrupts_held():
            inside = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
        outside = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
        assert (inside.stdout, outside.stdout) == (b"True\n", b"False\n")

    def test_where_it_is_ignored_it_stays_so(self):
        before = signal.signal(signal.SIGINT, signal.SIG_IGN)
        try:
            with many._interrupts_held():
                signal.raise_signal(signal.SIGINT)
            assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
        finally:
            signal.signal(signal.SIGINT, before)

    def test_what_is_written_is_counted(self, tmp_path, monkeypatch, capsys):
        def interrupted(path, data, **options):
            write_whole(path, data, **options)
            signal.raise_signal(signal.SIGINT)

        monkeypatch.setattr(many, "write_whole", interrupted)
        (tmp_path / "files").mkdir()
        fill(tmp_path / "files", 3)
        with pytest.raises(KeyboardInterrupt):
            many.write_results(CheckJob(2026, 80), tmp_path / "files", tmp_path / "out", 1, 1)
        assert len(contents(tmp_path / "out")) == 1
        assert "interrupted: 1 of 3 results" in capsys.readouterr().err


def whole(out: Path, count: int) -> None:
    """So many results, all alike, and nothing else."""
    found = contents(out)
    assert len(found) == count >= 3
    assert {Path(name).suffix for name in found} == {".csv"}
    assert len(set(found.values())) == 1
    (text,) = set(found.values())
    assert text.endswith(b"\n") and len(text.splitlines()) > 30
