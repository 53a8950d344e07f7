"""The bar of long work: where a person watches and it is worth it, and nowhere else."""

import io
import sys
from pathlib import Path

import pytest

from windows.cli.progress import LONG_RECORD, WORTH_SHOWING, counted, shared
from windows.cli.prove import ProofJob


class Watched(io.StringIO):
    def isatty(self):
        return True


@pytest.fixture
def screen(monkeypatch):
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "100")

    def begun():
        made = Watched()
        monkeypatch.setattr(sys, "stderr", made)
        return made

    return begun


def test_what_is_counted_stands_beside_its_bar(screen):
    seen = screen()
    with counted("spots", WORTH_SHOWING // 7 + 1, 7) as update:
        update(21)
    assert "spots" in seen.getvalue()
    assert f"21/{WORTH_SHOWING // 7 + 1}" in seen.getvalue()


def test_a_share_is_counted_in_hundredths(screen):
    seen = screen()
    with shared("a long record", LONG_RECORD) as update:
        update(0.374)
    assert "a long record" in seen.getvalue() and " 37/100" in seen.getvalue()


def test_short_work_has_none(screen):
    seen = screen()
    for brief in (counted("spots", WORTH_SHOWING - 1, 1), shared("a record", LONG_RECORD - 1)):
        with brief as update:
            update(1)
    assert seen.getvalue() == ""


def test_nobody_watches(monkeypatch):
    quiet = io.StringIO()
    monkeypatch.setattr(sys, "stderr", quiet)
    for long in (counted("spots", WORTH_SHOWING, 1), shared("a record", LONG_RECORD)):
        with long as update:
            update(1)
    assert quiet.getvalue() == ""


def test_a_proof_says_what_it_has_done_a_share_of(screen, monkeypatch):
    monkeypatch.setattr(ProofJob, "_made", lambda job, file, progress: progress(0.5))
    seen = screen()
    ProofJob(0.0, 100, "table", None, None, None, refit=False).single(Path("shore.toml"))
    assert "of the proof" in seen.getvalue() and " 50/100" in seen.getvalue()
