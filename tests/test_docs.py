"""The README against the command: what is printed there runs as it stands, and names what there is."""

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.cli.runs import REPOSITORY, done, run
from tests.documents import README, blocks, shell_lines, told_in_order
from windows.cli import main
from windows.shoreline.shore import read_shore

SCRIPTS = {
    ".venv/bin/ebblight": (sys.executable, "-m", "windows.cli"),
    ".venv/bin/python": (sys.executable,),
}
"""Programs of the README's environment, and what stands for them here."""
LONGEST = 150
"""Lines: the README says what the thing is for, the manual the rest."""


def test_it_is_short():
    assert len(README.splitlines()) <= LONGEST


def typed(line):
    """What is typed after the program, with the demos where they are."""
    return [str(REPOSITORY / word) if word.startswith("demo_stations/") else word for word in line[1:]]


class TestCommandsAsPrinted:
    def test_set_up_makes_the_environment_that_the_rest_runs_in(self):
        first, second, *others = shell_lines(README)
        assert first == ["python3", "-m", "venv", ".venv"]
        assert second == [".venv/bin/pip", "install", "-e", ".[test]"]
        assert others
        assert "`.venv/bin/pip install .`" in README
        assert {line[0] for line in others} <= SCRIPTS.keys()
        extras = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))["project"]
        assert "test" in extras["optional-dependencies"]

    def test_the_first_runs_in_a_process_of_its_own(self, tmp_path):
        line = next(line for line in shell_lines(README) if line[0].endswith("ebblight"))
        finished = subprocess.run(
            [*SCRIPTS[line[0]], *typed(line)], capture_output=True, check=False, cwd=tmp_path, timeout=120
        )
        assert finished.returncode == 0 and finished.stderr == b""
        assert finished.stdout.startswith(b"INVENTED COAST, never use on the water")

    def test_the_others_write_what_they_say(self, tmp_path, monkeypatch):
        monkeypatch.chdir(tmp_path)
        _, *others = (line for line in shell_lines(README) if line[0].endswith("ebblight"))
        assert others
        for line in others:
            found = run(*typed(line))
            assert (found.code, found.out) == (0, ""), found.err
            written = tmp_path / line[line.index("-o") + 1]
            assert "INVENTED COAST, never use on the water" in written.read_text(encoding="utf-8")

    def test_the_test_command_is_what_ci_runs(self):
        (line,) = [line for line in shell_lines(README) if "pytest" in line]
        ci = (REPOSITORY / ".ci" / "run").read_text(encoding="utf-8").splitlines()
        assert " ".join(line) in ci
        assert os.access(REPOSITORY / ".ci" / "run", os.X_OK)
        for setup in shell_lines(README)[:1]:
            assert " ".join(setup) in ci

    def test_files_it_names_are_there(self):
        for name in re.findall(r"\b(?:demo_stations|tests)/[\w./]+", README):
            assert (REPOSITORY / name.rstrip(".")).exists(), name
        for name in re.findall(r"\]\(([^)#]+)\)", README):
            assert name.startswith("https://") or (REPOSITORY / name).exists(), name


@pytest.fixture(scope="module")
def printed():
    return blocks(README, "text")[0]


@pytest.fixture(scope="module")
def real():
    line = next(line for line in shell_lines(README) if "week" in line)
    demo, *options = line[2:]
    return done("week", REPOSITORY / demo, *options, now=0.0)


class TestOutput:
    """The printed week against the same week now."""

    def test_it_is_what_is_printed(self, printed, real):
        assert told_in_order(printed, real)

    def test_it_opens_alike(self, printed, real):
        assert printed.splitlines()[:3] == real.splitlines()[:3]

    def test_the_table_has_the_same_columns(self, printed, real):
        def columns(text):
            (line,) = [line for line in text.splitlines() if line.lstrip().startswith("Rank")]
            return re.split(r" {2,}", line.strip())

        assert columns(printed) == columns(real)
        assert columns(printed)[0] == "Rank"

    def test_every_printed_number_of_points_adds_up(self, printed):
        found = re.findall(r"(\d+)  (\d+)\+(\d+)\+(\d+)", printed)
        assert found
        for total, *parts in found:
            assert abs(int(total) - sum(map(int, parts))) <= 1  # each is rounded by itself

    def test_the_best_is_the_row_of_rank_one(self, printed):
        best = re.search(r"Best: (\w+ \d+ \w+), ([\d:-]+) at .*, (\d+) of 100 points", printed)
        row = re.search(r"^ +1=?  (\w+ \d+ \w+)  ([\d:-]+) .*? (\d+)  \d+\+", printed, flags=re.MULTILINE)
        assert best and row
        assert best.groups() == row.groups()


class TestNames:
    def test_every_command_it_names_is_there(self):
        assert set(re.findall(r"`ebblight (\w+)", README)) <= set(main.list_commands(None))

    def test_every_option_it_names_is_there(self):
        known = {item for param in main.get_command(None, "week").params for item in param.opts}
        named = set(re.findall(r"(?<![\w-])--[a-z][\w-]*", README))
        assert named and named <= known


class TestFile:
    def test_the_example_is_a_whole_file_without_a_problem(self, tmp_path):
        (text,) = blocks(README, "toml")
        for table in re.findall(r'constituents = "([\w.]+)"', text):
            shutil.copy(REPOSITORY / "demo_stations" / table, tmp_path / table)
        path = tmp_path / "shore.toml"
        path.write_text(text, encoding="utf-8")
        shore = read_shore(path)
        assert shore.stations and shore.spots
        assert not shore.head.invented
        assert "no problems found" in done("check", path)
        assert run("best", path, "--start", "2026-08-10").code == 0


def test_the_cautions_stand_in_full():
    from windows.render.words import cautions

    folded = " ".join(README.split())
    for caution in (*cautions.FULL, cautions.SHORT):
        assert caution in folded
    assert "never use them on the water" in folded


def test_no_file_of_the_documentation_is_left_over():
    allowed = {"README.md", "DEVELOPERS.md"}
    assert {path.name for path in Path(REPOSITORY).glob("*.md")} <= allowed
