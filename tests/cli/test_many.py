"""A folder of station files: a result file each, by any number of processes, through failures."""

import multiprocessing
import os
import pty
import subprocess
import sys
from collections import deque
from pathlib import Path

import click
import pytest

from tests.cli.runs import DEMOS, REPOSITORY, contents, done, refused, run
from tests.cli.strange import Strange
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, moved, spot, written
from windows.cli import many

ASKED = ("--start", "2045-08-10", "--days", "2")
"""Days that are not past by the machine's own clock, which a process has and a run here has not."""
SUFFIXES = {
    "table": "txt",
    "csv": "csv",
    "json": "json",
    "page": "html",
    "svg": "svg",
    "ics": "ics",
    "text": "txt",
}
SECOND_STATION = SIMPLE_STATION.replace('"pier"', '"quay"').replace('"Pier"', '"Quay"')


@pytest.fixture
def folder(tmp_path):
    """Three files of one spot each, and the folder's other contents, which are no station files."""
    place = tmp_path / "files"
    place.mkdir()
    for name, zone in (("a.toml", "Europe/London"), ("b.toml", "Pacific/Auckland"), ("c.toml", "UTC")):
        parts = (moved(part, zone) for part in (SIMPLE_STATION, SIMPLE_SPOT))
        written(place, head(zone), *parts, name=name)
    (place / "notes.md").write_text("x", encoding="utf-8")
    (place / ".draft.toml").write_text("x", encoding="utf-8")
    return place


class TestResults:
    @pytest.mark.parametrize(
        ("command", "form"),
        [("week", "table"), ("week", "csv"), ("best", "json"), ("compare", "csv"), ("tides", "json")],
    )
    def test_each_file_gets_what_it_would_get_alone(self, folder, tmp_path, command, form):
        out = tmp_path / "out"
        result = run(command, folder, *ASKED, "--format", form, "-o", out, "--workers", "1")
        assert (result.code, result.out) == (0, "")
        assert f"wrote 3 of 3 results to {out}" in result.err
        assert contents(out) == {
            f"{name}.{SUFFIXES[form]}": done(
                command, folder / f"{name}.toml", *ASKED, "--format", form
            ).encode()
            for name in "abc"
        }

    @pytest.mark.parametrize("form", SUFFIXES)
    def test_every_format_has_its_suffix(self, folder, tmp_path, form):
        assert (
            run("week", folder, *ASKED, "--format", form, "-o", tmp_path / "out", "--workers", "1").code == 0
        )
        assert sorted(contents(tmp_path / "out")) == [f"{name}.{SUFFIXES[form]}" for name in "abc"]

    def test_all_spots_of_a_file_go_into_its_one_result(self, tmp_path):
        place = tmp_path / "files"
        place.mkdir()
        written(place, head(), SIMPLE_STATION, SIMPLE_SPOT, spot("bar", "pier", 50.2, -5.1))
        refused(1, "week", place / "shore.toml", *ASKED)
        assert run("week", place, *ASKED, "-o", tmp_path / "out").code == 0
        text = (tmp_path / "out" / "shore.txt").read_text(encoding="utf-8")
        assert "Spot ledge" in text and "Spot bar" in text
        assert run("week", place, *ASKED, "--spot", "bar", "-o", tmp_path / "out").code == 0
        one = (tmp_path / "out" / "shore.txt").read_text(encoding="utf-8")
        assert one == done("week", place / "shore.toml", *ASKED, "--spot", "bar")

    def test_all_stations_of_a_file_go_into_its_one_result(self, tmp_path):
        place = tmp_path / "files"
        place.mkdir()
        path = written(place, head(), SIMPLE_STATION, SECOND_STATION)
        for form in ("table", "csv", "json"):
            assert run("tides", place, *ASKED, "--format", form, "-o", tmp_path / "out").code == 0
        each = [
            done("tides", path, *ASKED, "--station", name, "--format", "csv") for name in ("pier", "quay")
        ]
        first, second = (text.splitlines() for text in each)
        assert (tmp_path / "out" / "shore.csv").read_text(encoding="utf-8").splitlines() == first + second[1:]
        text = (tmp_path / "out" / "shore.txt").read_text(encoding="utf-8")
        assert text.index("A shore, Pier") < text.index("A shore, Quay")
        assert '"station": "quay"' in (tmp_path / "out" / "shore.json").read_text(encoding="utf-8")

    @pytest.mark.parametrize(("command", "many"), [("week", 3), ("tides", 2)])
    def test_the_number_of_processes_changes_nothing(self, folder, tmp_path, command, many):
        (folder / "bad.toml").write_text("title = 1\n", encoding="utf-8")
        outs = {count: tmp_path / str(count) for count in (1, many)}
        results = [
            run(command, folder, *ASKED, "--format", "json", "-o", out, "--workers", count)
            for count, out in outs.items()
        ]
        assert {result.code for result in results} == {1}
        told = {
            result.err.replace(str(out), "OUT") for result, out in zip(results, outs.values(), strict=True)
        }
        assert len(told) == 1
        assert contents(outs[1]) == contents(outs[many])
        assert len(contents(outs[1])) == 3

    def test_demos_by_default(self, tmp_path):
        assert run("week", DEMOS[0].parent, "--start", "2045-08-10", "-o", tmp_path).code == 0
        assert {path.stem for path in tmp_path.iterdir()} == {path.stem for path in DEMOS}

    def test_again_over_what_is_there(self, folder, tmp_path):
        out = tmp_path / "out"
        out.mkdir()
        (out / "a.csv").write_text("old", encoding="utf-8")
        (out / "mine.csv").write_text("mine", encoding="utf-8")
        asked = ("tides", folder, *ASKED, "--format", "csv", "-o", out, "--workers", "1")
        assert run(*asked).code == 0
        once = contents(out)
        assert run(*asked).code == 0
        assert contents(out) == once
        assert once["mine.csv"] == b"mine"
        assert once["a.csv"].decode() == done("tides", folder / "a.toml", *ASKED, "--format", "csv")


class TestFailures:
    @pytest.mark.parametrize("workers", [1, 2])
    def test_a_failed_file_is_told_and_the_rest_done(self, folder, tmp_path, workers):
        (folder / "b.toml").write_text('title = "x"\nwrong = 1\n', encoding="utf-8")
        (folder / "d.toml").mkdir()
        (folder / "e.toml").write_bytes(b"\xff\xfe")
        result = run("week", folder, *ASKED, "-o", tmp_path / "out", "--workers", workers)
        assert result.code == 1
        told = [line for line in result.err.splitlines() if line.startswith("ebblight: ")]
        assert [name in line for name, line in zip(("b.toml", "d.toml", "e.toml"), told, strict=True)] == [
            True
        ] * 3
        assert "wrote 2 of 5 results" in result.err
        assert sorted(contents(tmp_path / "out")) == ["a.txt", "c.txt"]

    def test_a_failed_file_s_old_result_stays(self, folder, tmp_path):
        out = tmp_path / "out"
        assert run("tides", folder, *ASKED, "-o", out).code == 0
        before = contents(out)
        (folder / "b.toml").write_text("", encoding="utf-8")
        assert run("tides", folder, *ASKED, "-o", out).code == 1
        assert contents(out) == before

    def test_a_message_without_its_file_s_name_gets_it(self, folder, tmp_path):
        result = run("week", folder, "--start", "2500-01-01", "-o", tmp_path / "out", "--workers", "1")
        assert result.code == 1
        for name in "abc":
            assert f"ebblight: {folder / name}.toml: no forecast of windows there" in result.err

    def test_a_result_that_can_t_be_written(self, folder, tmp_path):
        out = tmp_path / "out"
        (out / "b.txt").mkdir(parents=True)
        result = run("tides", folder, *ASKED, "-o", out, "--workers", "1")
        assert result.code == 1
        assert f"{out / 'b.txt'}: can't write the result: it is a folder" in result.err
        assert (out / "a.txt").is_file() and (out / "c.txt").is_file()

    def test_a_place_that_can_t_be_a_folder(self, folder, tmp_path):
        (tmp_path / "taken").write_text("x", encoding="utf-8")
        assert "taken" in refused(1, "tides", folder, *ASKED, "-o", tmp_path / "taken")
        assert "No such file" in refused(1, "tides", folder, *ASKED, "-o", tmp_path / "none" / "out")

    def test_a_folder_without_station_files(self, tmp_path):
        assert "*.toml" in refused(1, "week", tmp_path, "-o", tmp_path / "out")
        assert not (tmp_path / "out").exists()


class TestUsage:
    @pytest.mark.parametrize("command", ["week", "best", "compare", "tides"])
    def test_a_folder_needs_a_folder_for_the_results(self, folder, command):
        assert "-o" in refused(2, command, folder, *ASKED)

    def test_workers_are_for_a_folder(self, folder, tmp_path):
        assert "--workers" in refused(2, "week", folder / "a.toml", *ASKED, "--workers", "2")
        assert "--workers" in refused(2, "week", tmp_path / "none.toml", *ASKED, "--workers", "2")
        for count in ("0", "62", "x"):
            assert "--workers" in refused(
                2, "week", folder, *ASKED, "-o", tmp_path / "out", "--workers", count
            )
        assert not (tmp_path / "out").exists()

    def test_readings_are_of_one_station(self, folder, tmp_path):
        message = refused(2, "week", folder, *ASKED, "-o", tmp_path / "out", "--observed", tmp_path / "x.csv")
        assert "--observed" in message

    def test_hours_and_choices_are_checked_before_the_work(self, folder, tmp_path):
        refused(2, "week", folder, *ASKED, "-o", tmp_path / "out", "--hours", "noon")
        refused(2, "tides", folder, *ASKED, "-o", tmp_path / "out", "--station", "pier", "--spot", "ledge")
        assert not (tmp_path / "out").exists()


@pytest.fixture
def strange(tmp_path):
    def named(*stems: str) -> Path:
        for stem in stems:
            (tmp_path / f"{stem}.toml").write_text("", encoding="utf-8")
        return tmp_path

    return named


class TestProcesses:
    def test_one_that_dies_costs_its_own_file_alone(self, strange, capsys):
        stems = [f"good{i}" for i in range(20)]
        folder = strange("dies1", *stems, "dies2")
        with pytest.raises(SystemExit) as raised:
            exit_of(lambda: many.write_results(Strange(), folder, folder / "out", 2, 1))
        assert raised.value.code == 1
        assert sorted(contents(folder / "out")) == sorted(f"{stem}.txt" for stem in stems)
        told = capsys.readouterr().err
        assert told.count("its process ended before the result was there") == 2
        assert "dies1.toml" in told and "dies2.toml" in told and "wrote 20 of 22" in told

    @pytest.mark.parametrize("workers", [1, 2])
    def test_a_fault_of_the_program_is_told_as_such(self, strange, capsys, workers):
        folder = strange("faulty", "good")
        with pytest.raises(SystemExit):
            exit_of(lambda: many.write_results(Strange(), folder, folder / "out", workers, 1))
        told = capsys.readouterr().err
        assert "faulty.toml: a fault of the program, not of the file: ZeroDivisionError: here" in told
        assert contents(folder / "out") == {"good.txt": b"good ?"}

    def test_results_that_nobody_wants_end_the_processes(self, strange):
        folder = strange(*(f"good{i}" for i in range(30)))
        results = many._in_processes(Strange(), sorted(folder.glob("*.toml")), 2)
        assert next(results).problem is None
        results.close()
        assert list(results) == []
        assert children() == set()

    @pytest.mark.parametrize(
        ("count", "workers", "expected"), [(3, None, 0), (40, None, 2), (3, 3, 3), (40, 1, 0)]
    )
    def test_a_handful_of_files_needs_no_other_process(self, strange, monkeypatch, count, workers, expected):
        seen = set()
        start = many._crew

        def counted(job, left, workers, lost):
            seen.add(workers)
            return start(job, left, workers, lost)

        monkeypatch.setattr(many, "_crew", counted)
        folder = strange(*(f"good{i}" for i in range(count)))
        many.write_results(Strange(), folder, folder / "out", workers, 2)
        assert len(contents(folder / "out")) == count
        assert seen == ({expected} if expected else set())

    def test_nothing_to_do(self):
        assert list(many._crew(Strange(), deque(), 1, [])) == []


def exit_of(action):
    """As the command does: the exception that carries an exit status becomes one."""
    try:
        action()
    except click.exceptions.Exit as stop:
        raise SystemExit(stop.exit_code) from None


def children() -> set[int]:
    """Processes of this one, multiprocessing's keeper of shared names left out."""
    return {child.pid for child in multiprocessing.active_children() if child.pid is not None}


def test_a_bar_shows_on_a_terminal(folder, tmp_path):
    first, second = pty.openpty()
    running = subprocess.Popen(
        [sys.executable, "-m", "windows.cli", "tides", str(folder), "-o", str(tmp_path / "out")],
        stdout=subprocess.PIPE,
        stderr=second,
        cwd=REPOSITORY,
        env={**os.environ, "TERM": "xterm", "COLUMNS": "100"},
    )
    os.close(second)
    seen = b""
    while True:
        try:
            more = os.read(first, 65536)
        except OSError:
            break
        if not more:
            break
        seen += more
    os.close(first)
    stdout, _ = running.communicate(timeout=60)
    assert running.returncode == 0 and stdout == b""
    assert b"files" in seen and b"3/3" in seen
    assert b"wrote 3 of 3 results" in seen
