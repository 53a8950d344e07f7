"""A run over a folder that is ended from outside: whole results stay, no process does."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.cli.runs import REPOSITORY, contents, fill

ABORTED = 1
"""Exit status after Ctrl-C."""


@pytest.fixture
def at_work(tmp_path):
    """The command in a process group of its own on 60 files of a year, once some results are there."""
    folder, out = tmp_path / "files", tmp_path / "out"
    folder.mkdir()
    fill(folder, 60)
    running = subprocess.Popen(
        [
            *(sys.executable, "-m", "windows.cli", "week", str(folder), "-o", str(out)),
            *("--format", "csv", "--start", "2045-01-01", "--days", "300", "--workers", "2"),
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


def whole(out: Path, count: int) -> None:
    """So many results, all alike, and nothing else."""
    found = contents(out)
    assert len(found) == count >= 3
    assert {Path(name).suffix for name in found} == {".csv"}
    assert len(set(found.values())) == 1
    (text,) = set(found.values())
    assert text.endswith(b"\n") and len(text.splitlines()) > 300
