"""The README against the command: what is printed there runs as it stands, and names what there is."""

import ast
import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import click
import pytest

from tests.cli.runs import REPOSITORY, document, done, rows, run
from windows.cli import main
from windows.shoreline.hours import parse_hours
from windows.shoreline.shore import read_shore

README = (REPOSITORY / "README.md").read_text(encoding="utf-8")
SCRIPTS = {
    ".venv/bin/ebblight": (sys.executable, "-m", "windows.cli"),
    ".venv/bin/python": (sys.executable,),
}
"""Programs of the README's environment, and what stands for them here."""
ALWAYS_THERE = {"--help", "-h", "--version"}
"""Options of every command-line program, which a reader need not be told of."""


def blocks(language: str) -> list[str]:
    """Fenced blocks of one language."""
    found = re.findall(rf"^```{language}\n(.*?)^```$", README, flags=re.DOTALL | re.MULTILINE)
    assert found, language
    return found


def shell_lines() -> list[list[str]]:
    return [shlex.split(line) for block in blocks("sh") for line in block.splitlines() if line.strip()]


def commands() -> dict[str, click.Command]:
    context = click.Context(main)
    found = {name: main.get_command(context, name) for name in main.list_commands(context)}
    assert all(found.values())
    return {name: command for name, command in found.items() if command is not None}


class TestCommandsAsPrinted:
    def test_set_up_makes_the_environment_that_the_rest_runs_in(self):
        first, second, *others = shell_lines()
        assert first == ["python3", "-m", "venv", ".venv"]
        assert second == [".venv/bin/pip", "install", "-e", ".[test]"]
        assert others
        assert {line[0] for line in others} <= SCRIPTS.keys()
        extras = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))["project"]
        assert "test" in extras["optional-dependencies"]

    @pytest.mark.parametrize(
        "line", [line for line in shell_lines() if line[0].endswith("ebblight")], ids=" ".join
    )
    def test_it_runs(self, line, tmp_path):
        words = [str(REPOSITORY / word) if word.startswith("demo_stations/") else word for word in line[1:]]
        finished = subprocess.run(
            [*SCRIPTS[line[0]], *words], capture_output=True, check=False, cwd=tmp_path, timeout=120
        )
        assert finished.returncode == 0, finished.stderr
        if "-o" not in line:
            assert finished.stderr == b""
            assert finished.stdout.startswith(b"INVENTED COAST, never use on the water")
            return
        written = tmp_path / line[line.index("-o") + 1]
        assert finished.stdout == b""
        assert b"INVENTED COAST, never use on the water" in written.read_bytes()

    def test_the_test_command_is_what_ci_runs(self):
        (line,) = [line for line in shell_lines() if "pytest" in line]
        ci = (REPOSITORY / ".ci" / "run").read_text(encoding="utf-8").splitlines()
        assert " ".join(line) in ci
        assert os.access(REPOSITORY / ".ci" / "run", os.X_OK)
        for setup in shell_lines()[:1]:
            assert " ".join(setup) in ci

    def test_files_it_names_are_there(self):
        for name in re.findall(r"\b(?:demo_stations|tests)/[\w./]+", README):
            assert (REPOSITORY / name.rstrip(".")).exists(), name
        for name in re.findall(r"\]\(([^)#]+)\)", README):
            assert name.startswith("https://") or (REPOSITORY / name).exists(), name


@pytest.fixture(scope="module")
def printed():
    return blocks("text")[0]


@pytest.fixture(scope="module")
def real():
    line = next(line for line in shell_lines() if "week" in line)
    demo, *options = line[2:]
    return done("week", REPOSITORY / demo, *options, now=0.0)


class TestOutput:
    """The printed week against the same week now: labels and shape, not numbers."""

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
        row = re.search(r"^ +1  (\w+ \d+ \w+)  ([\d:-]+) .*? (\d+)  \d+\+", printed, flags=re.MULTILINE)
        assert best and row
        assert best.groups() == row.groups()


class TestNames:
    def test_every_command_stands_in_the_table_of_commands(self):
        for name in commands():
            assert re.search(rf"^\| `ebblight {name}\b", README, flags=re.MULTILINE), name

    def test_every_command_it_names_is_there(self):
        assert set(re.findall(r"`ebblight (\w+)", README)) <= set(commands())

    def test_every_option_is_named_or_its_command_s_help_is(self):
        for name, command in commands().items():
            if f"`ebblight {name} --help`" in README:
                continue
            for parameter in command.params:
                if isinstance(parameter, click.Option):
                    spellings = {*parameter.opts, *parameter.secondary_opts}
                    named = any(re.search(rf"(?<![\w-]){re.escape(item)}\b", README) for item in spellings)
                    assert named or spellings & ALWAYS_THERE, f"{name} {spellings}"

    def test_every_option_it_names_is_there(self):
        known = {item for command in commands().values() for param in command.params for item in param.opts}
        known |= ALWAYS_THERE
        named = set(re.findall(r"(?<![\w-])--[a-z][\w-]*", README))
        for line in shell_lines():
            named -= {word for word in line if not line[0].endswith("ebblight")}
        assert named <= known

    def test_every_format_is_named(self):
        for name, command in commands().items():
            for parameter in command.params:
                if "--format" in parameter.opts and isinstance(parameter.type, click.Choice):
                    for choice in parameter.type.choices:
                        assert re.search(rf"\b{choice}\b", README), f"{name} {choice}"

    def test_hours_it_shows_are_hours(self):
        (text,) = re.findall(r"`--hours`, the times you can fish: (.*?)\. ", README.replace("\n", " "))
        shown = re.findall(r'"([^"]+)"', text)
        assert len(shown) >= 3
        for hours in shown:
            assert parse_hours(hours).text == hours

    def test_columns_it_shows_are_the_columns(self):
        demo = REPOSITORY / "demo_stations" / "skerrow_strand.toml"
        shown = dict(re.findall(r"^- `(\w+)` csv: `([\w,]+)`", README, flags=re.MULTILINE))
        assert {"tides", "levels", "sky"} <= shown.keys()
        asked = {"sky": ("--spot", "long-ledge"), "currents": ("--station", "narrows")}
        for command, columns in shown.items():
            place = asked.get(command, ("--station", "skerrow-pier"))
            text = done(command, demo, *place, "--start", "2026-08-10", "--format", "csv")
            assert text.splitlines()[0] == columns

    def test_columns_of_a_plan_that_it_names_are_there(self):
        demo = REPOSITORY / "demo_stations" / "skerrow_strand.toml"
        (text,) = re.findall(
            r"^- `week`, `best`, `compare` csv: (.*?)(?=^- )", README, re.DOTALL | re.MULTILINE
        )
        named = re.findall(r"`(\w+)`", text)
        assert len(named) >= 8
        columns = rows("best", demo, "--start", "2026-08-10")[0]
        assert set(named) <= set(columns)

    def test_keys_of_the_json_header_that_it_names_are_there(self):
        demo = REPOSITORY / "demo_stations" / "skerrow_strand.toml"
        (text,) = re.findall(r"^- json: (.*?)^\n", README, re.DOTALL | re.MULTILINE)
        found = document("best", demo, "--start", "2026-08-10")
        keys = {*found, *found["spots"][0]}
        named = set(re.findall(r"`(\w+)`", text))
        assert {"rows", "title", "cautions"} <= named
        assert named <= keys


class TestFile:
    def test_the_example_is_a_whole_file_without_a_problem(self, tmp_path):
        (text,) = blocks("toml")
        for table in re.findall(r'constituents = "([\w.]+)"', text):
            shutil.copy(REPOSITORY / "demo_stations" / table, tmp_path / table)
        path = tmp_path / "shore.toml"
        path.write_text(text, encoding="utf-8")
        shore = read_shore(path)
        assert shore.stations and shore.spots
        assert not shore.head.invented
        assert "no problems found" in done("check", path)
        assert run("best", path, "--start", "2026-08-10").code == 0

    def test_a_key_that_it_does_not_know_is_a_problem(self, tmp_path):
        path = tmp_path / "shore.toml"
        path.write_text(blocks("toml")[0].replace("mean_level", "mean_water"), encoding="utf-8")
        result = run("check", path)
        assert result.code == 1
        assert "mean_water: found an unknown key" in result.err


def test_the_python_example_runs():
    (text,) = blocks("python")
    ast.parse(text)
    finished = subprocess.run(
        [sys.executable, "-c", text],
        capture_output=True,
        check=False,
        cwd=REPOSITORY,
        timeout=120,
    )
    assert finished.returncode == 0, finished.stderr
    assert finished.stderr == b""
    assert b"session_start_local" in finished.stdout


def test_the_cautions_stand_in_full():
    from windows.render.words import cautions

    folded = " ".join(README.split())
    for caution in (*cautions.FULL, cautions.SHORT, cautions.SOLUNAR):
        assert caution in folded
    assert "never use them on the water" in folded


def test_no_file_of_the_documentation_is_left_over():
    allowed = {"README.md", "DEVELOPERS.md"}
    assert {path.name for path in Path(REPOSITORY).glob("*.md")} <= allowed
