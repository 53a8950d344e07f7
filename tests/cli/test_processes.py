"""The command as a process: pipes that close, interruptions, full disks, other zones, locales and folders."""

import json
import os
import signal
import subprocess
import sys
from itertools import product
from pathlib import Path

import pytest

from tests.cli.runs import DEMOS, REPOSITORY, done
from tests.coasts import simple

MODULE = (sys.executable, "-m", "windows.cli")
SCRIPT = Path(sys.executable).with_name("ebblight")
ASKED = ("--start", "2045-08-10", "--days", "3")
"""Days that are not past by the machine's own clock, which a process has and `done` has not."""


def process(*arguments, command=MODULE, cwd=REPOSITORY, **environment):
    """A finished process: exit status, standard output and error as bytes."""
    return subprocess.run(
        [*map(str, command), *map(str, arguments)],
        capture_output=True,
        check=False,
        cwd=cwd,
        env={**os.environ, "COLUMNS": "100", "PYTHONPATH": str(REPOSITORY), **environment},
        timeout=120,
    )


def plain(finished) -> str:
    assert finished.returncode == 0, finished.stderr
    assert finished.stderr == b""
    return finished.stdout.decode("utf-8")


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    return simple(tmp_path_factory.mktemp("processes"))


@pytest.mark.parametrize("command", [MODULE, (SCRIPT,)])
def test_the_module_and_the_script_do_what_the_tests_do(shore, command):
    assert plain(process("week", shore, *ASKED, command=command)) == done("week", shore, *ASKED)
    assert plain(process("--version", command=command)).startswith("ebblight ")
    assert plain(process("--help", command=command)).startswith("Usage: ebblight ")


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("tides", "none.toml"), 1),
        (("week", "none.toml", "--days", "0"), 2),
    ],
)
def test_exit_status(arguments, code):
    finished = process(*arguments)
    assert finished.returncode == code
    assert finished.stdout == b""
    assert finished.stderr
    assert b"Traceback" not in finished.stderr


SURROUNDINGS = (
    {"TZ": "Pacific/Kiritimati", "LANG": "C", "LC_ALL": "C", "FORCE_COLOR": "1", "CLICOLOR_FORCE": "1"},
    {"TZ": "nonsense", "LC_ALL": "de_DE.UTF-8", "PYTHONHASHSEED": "7", "NO_COLOR": "1", "TERM": "dumb"},
)


@pytest.mark.parametrize(("command", "environment"), list(product(("week", "tides"), SURROUNDINGS)), ids=str)
def test_the_surroundings_change_nothing(shore, command, environment):
    assert plain(process(command, shore, *ASKED, **environment)) == done(command, shore, *ASKED)


def test_a_terminal_that_knows_no_other_letters_gets_question_marks(shore):
    text = process("tides", shore, *ASKED, PYTHONIOENCODING="latin-1")
    assert text.returncode == 0
    assert "?" * 20 in text.stdout.decode("latin-1")
    assert text.stderr == b""
    assert b"high 0" in text.stdout


def test_the_folder_does_not_matter(shore):
    here = plain(process("tides", shore, *ASKED))
    assert plain(process("tides", shore.name, *ASKED, cwd=shore.parent)) == here
    demo = DEMOS[0]
    inside = process("check", demo.name, cwd=demo.parent)
    assert plain(inside) == plain(process("check", demo.relative_to(REPOSITORY)))


@pytest.mark.parametrize(
    "arguments",
    [("levels", "--days", "60", "--step", "1min", "--format", "csv"), ("week", "--days", "7"), ("--help",)],
)
def test_a_reader_that_stops_early(shore, arguments):
    name, *options = arguments
    file = [] if name == "--help" else [str(shore)]
    with subprocess.Popen(
        [*MODULE, name, *file, *options], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=REPOSITORY
    ) as running:
        assert running.stdout is not None and running.stderr is not None
        assert running.stdout.readline()
        running.stdout.close()
        assert running.stderr.read() == b""
        assert running.wait(timeout=60) in (0, 1)


def test_an_interruption(shore):
    # The clock is asked once the command is at work; this one interrupts it there, as Ctrl-C would.
    program = (
        "import os, signal, sys\n"
        "from windows.cli import main\n"
        "from windows.cli.options import Clock\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # a parent in the background ignores it
        "def now():\n"
        "    os.kill(os.getpid(), signal.SIGINT)\n"
        "    return 0.0\n"
        "main(sys.argv[1:], obj=Clock(now))\n"
    )
    finished = process("week", shore, command=(sys.executable, "-c", program))
    assert finished.returncode in (1, 128 + signal.SIGINT, -signal.SIGINT)
    assert finished.stdout == b""
    assert b"Traceback" not in finished.stderr


@pytest.mark.parametrize("command", ["levels", "week"])
def test_a_full_device(shore, command):
    with open("/dev/full", "wb") as full:
        finished = subprocess.run(
            [*MODULE, command, str(shore), *ASKED],
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
            cwd=REPOSITORY,
            timeout=120,
        )
    assert finished.returncode == 1
    assert b"No space left on device" in finished.stderr
    assert b"Traceback" not in finished.stderr


def test_a_file_name_that_is_not_text(shore, tmp_path):
    name = os.fsencode(tmp_path) + b"/caf\xe9.toml"
    with open(name, "wb") as stream:
        stream.write(shore.read_bytes())
    for more in ((), ("-o", str(tmp_path / "out.txt"))):
        finished = subprocess.run(
            [*MODULE, "check", name, *more], capture_output=True, check=False, cwd=REPOSITORY, timeout=120
        )
        assert finished.returncode == 0
        assert b"Traceback" not in finished.stderr
    assert "no problems found" in (tmp_path / "out.txt").read_text(encoding="utf-8")


def test_help_needs_no_heavy_library():
    program = (
        "import json, sys\n"
        "from windows.cli import main\n"
        "main(['--help'], standalone_mode=False)\n"
        "heavy = {'pandas', 'skyfield', 'astral', 'pydantic', 'rich', 'numpy', 'jinja2', 'matplotlib'}\n"
        "print(json.dumps(sorted(heavy & set(sys.modules))))\n"
    )
    finished = process(command=(sys.executable, "-c", program))
    assert finished.returncode == 0, finished.stderr
    assert json.loads(finished.stdout.splitlines()[-1]) == []
