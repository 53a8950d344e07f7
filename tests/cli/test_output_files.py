"""`-o`: the same result in a file, whole or not at all; a refusal says why and leaves things as they were."""

import os

import pytest

from tests.cli.runs import done, refused, run
from tests.coasts import simple

COMMANDS = ("week", "best", "compare", "tides", "levels", "sky")
ASKED = ("--start", "2026-08-10", "--days", "2")


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    return simple(tmp_path_factory.mktemp("files"))


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("form", ["table", "csv", "json"])
def test_the_file_holds_what_the_screen_would_show(shore, tmp_path, command, form):
    path = tmp_path / "out.txt"
    shown = done(command, shore, *ASKED, "--format", form)
    result = run(command, shore, *ASKED, "--format", form, "-o", path)
    assert result.code == 0
    assert result.out == ""
    assert str(path) in result.err
    assert path.read_bytes().decode("utf-8") == shown
    assert os.listdir(tmp_path) == ["out.txt"]


def test_check_writes_too(shore, tmp_path):
    assert run("check", shore, "--output", tmp_path / "out.txt").code == 0
    assert (tmp_path / "out.txt").read_text(encoding="utf-8") == done("check", shore)


@pytest.mark.parametrize("command", [*COMMANDS, "check"])
def test_a_place_that_can_t_be_written(shore, tmp_path, command):
    asked = () if command == "check" else ASKED
    for place, reason in (
        (tmp_path, "folder"),
        (tmp_path / "none" / "x", "No such file"),
        (shore / "x", "Not a"),
    ):
        message = refused(1, command, shore, *asked, "-o", place)
        assert str(place) in message
        assert reason in message
    assert os.listdir(tmp_path) == []


def test_wrong_input_leaves_the_old_file(shore, tmp_path):
    path = tmp_path / "out.txt"
    path.write_text("old", encoding="utf-8")
    refused(1, "week", shore, *ASKED, "--spot", "nowhere", "-o", path)
    refused(1, "week", tmp_path / "none.toml", *ASKED, "-o", path)
    refused(2, "week", shore, "--days", "0", "-o", path)
    assert path.read_text(encoding="utf-8") == "old"


def test_a_full_disk_leaves_the_old_file(shore, tmp_path, monkeypatch):
    path = tmp_path / "out.txt"
    path.write_text("old", encoding="utf-8")

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    assert "No space left" in refused(1, "tides", shore, *ASKED, "-o", path)
    assert path.read_text(encoding="utf-8") == "old"
    assert os.listdir(tmp_path) == ["out.txt"]


def test_the_input_itself_is_read_before_it_is_written_over(tmp_path):
    # Whoever names the station file as the result gets what was asked for; nothing half-written.
    path = simple(tmp_path)
    shown = done("tides", path, *ASKED)
    assert run("tides", path, *ASKED, "-o", path).code == 0
    assert path.read_text(encoding="utf-8") == shown
