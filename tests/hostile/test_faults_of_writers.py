"""A few faults of each kind in a few writers; `faults_run` tries them all in all."""

import os
from contextlib import suppress

import pytest

from harmonics.errors import OutputError
from tests.cli.runs import done
from tests.hostile.faults_run import IN_THE_WAY, KINDS, Trial
from tests.hostile.injection import Calls
from tests.hostile.page_writers import NEW_SPOT, of_pages
from tests.hostile.writers import Writer, changes, laid_out, old, output
from windows.render.files import write_whole
from windows.shoreline import shore as reading

SOME = {"log import", "pages: save", "pages: send", "record store"}
SAMPLE = (
    output("tides", "csv", ("--days", "1")),
    *(item for item in (*changes(), *of_pages()) if item.name in SOME),
)


@pytest.mark.parametrize("writer", SAMPLE, ids=lambda writer: writer.name)
def test_old_or_new_told_in_words_and_no_hindrance(writer, tmp_path):
    trial = Trial(writer, tmp_path / "folder")
    found = {
        f"{kind}, {place}": trial.tried(kind, place) for kind in KINDS for place in some(trial.places(kind))
    }
    assert {place: outcome.wrong for place, outcome in found.items() if outcome.wrong} == {}
    kinds = {name.rsplit(", ", 1)[0] for name in found}
    assert kinds == set(KINDS) - (set(IN_THE_WAY) if writer.target is None else set())
    assert {outcome.word for outcome in found.values()} >= {"old", "new"}


def some(places: list[int]) -> list[int]:
    """The middle and the last."""
    return sorted({places[len(places) // 2], places[-1]}) if places else []


class TestTheRunSeesWhatIsWrong:
    """Writers that do it badly."""

    def wrong(self, act, tmp_path, kind):
        writer = Writer("bad", act, act, "out", lambda folder: old("out", folder))
        trial = Trial(writer, tmp_path / "folder")
        return {outcome.wrong for outcome in (trial.tried(kind, place) for place in trial.places(kind))}

    def test_a_file_written_in_place_is_torn(self, tmp_path):
        def act(folder):
            handle = os.open(folder / "out", os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
            with os.fdopen(handle, "wb") as stream:
                stream.write(b"new and longer")
            return 0, ""

        assert "out is neither old nor new" in self.wrong(act, tmp_path, "killed")

    def test_a_fault_that_is_hidden(self, tmp_path):
        def act(folder):
            with suppress(OutputError):
                write_whole(folder / "out", b"new")
            return 0, ""

        assert "success was told, and it is not there" in self.wrong(act, tmp_path, "no space")

    def test_an_error_that_is_raised(self, tmp_path):
        def act(folder):
            (folder / "out").write_bytes(b"new")
            return 0, ""

        (wrong,) = self.wrong(act, tmp_path, "permission lost")
        assert wrong.startswith("PermissionError")


def test_every_call_of_a_writer_is_met(tmp_path):
    laid_out(tmp_path)
    with Calls(tmp_path).watched() as calls:
        assert SAMPLE[0].act(tmp_path)[0] == 0
    assert calls.names == ["open", "scandir", "create", "write", "fsync", "chmod", "replace", "unlink"]


def named(name: str) -> Writer:
    return next(item for item in changes() if item.name == name)


def test_of_two_changes_at_once_none_is_lost(tmp_path):
    """Both have read the file before either writes, unless one waits for the other."""
    trial = Trial(named("add spot"), tmp_path / "folder")
    outcome = trial.tried("two at once", trial.calls.index("scandir") + 1)
    assert (outcome.word, outcome.wrong) == ("both done", "")


def test_a_table_left_by_a_killed_run_is_taken_and_another_s_is_not(tmp_path):
    new = named("new")
    laid_out(tmp_path)
    new.prepare(tmp_path)
    assert new.act(tmp_path)[0] == 0
    path, left = tmp_path / "begun" / "pier.toml", tmp_path / "begun" / "pier.csv"
    whole = path.read_bytes()
    path.unlink()
    assert new.act(tmp_path)[0] == 0
    assert path.read_bytes() == whole
    path.unlink()
    left.write_bytes(b"somebody's")
    code, told = new.act(tmp_path)
    assert (code, f"{left}: found such a file already" in told, path.exists()) == (1, True, False)


def test_a_file_that_changes_while_check_reads_it(tmp_path, monkeypatch):
    """Places and document are of one state, whatever another program writes between the two readings."""
    path = laid_out(tmp_path)
    second = path.read_text() + '\n[[spots]]\nid = "two"\nname = "Two"\n' + NEW_SPOT
    first = reading.read_possible_shore

    def read_then_changed(file):
        shore = first(file)
        if "two" not in path.read_text():
            write_whole(path, second.encode())
        return shore

    monkeypatch.setattr(reading, "read_possible_shore", read_then_changed)
    assert "Two" in done("check", path)
