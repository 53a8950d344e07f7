"""The names that `import windows` offers: all there, documented, loaded when used, nothing beside them."""

import importlib.metadata
import inspect
import subprocess
import sys
from operator import attrgetter
from pathlib import Path

import pytest

import windows

REPOSITORY = Path(__file__).parents[1]
NEEDED = {"Forecast", "Shore", "make_forecast", "read_shore", "sessions_frame"}
"""What the shortest program takes from the package."""


def test_what_the_shortest_program_takes_is_there():
    assert set(windows.__all__) >= NEEDED
    assert len(set(windows.__all__)) == len(windows.__all__)


@pytest.mark.parametrize("name", windows.__all__)
def test_every_public_name_is_its_home_s_and_documented(name):
    found = getattr(windows, name)
    home = sys.modules[found.__module__]
    assert getattr(home, name) is found
    assert inspect.getdoc(found)
    assert name in dir(windows)


@pytest.mark.parametrize("name", windows.__all__)
def test_types_see_what_programs_get(name):
    """The names that a type checker reads stand in the same module as those that are loaded."""
    text = (REPOSITORY / "windows" / "__init__.py").read_text(encoding="utf-8")
    line = f"    from {windows._HOMES[name]} import {name} as {name}\n"
    assert line in text
    assert text.count(" as ") == len(windows.__all__)


def test_the_version_is_the_package_s():
    assert windows.__version__ == importlib.metadata.version("ebblight")
    assert "__version__" in dir(windows)


def test_another_name_is_not_there():
    with pytest.raises(AttributeError, match="'windows' has no attribute 'nothing'"):
        attrgetter("nothing")(windows)


def test_a_name_loads_its_own_room_alone():
    code = (
        "import sys, windows; assert 'windows.shoreline' not in sys.modules; windows.parse_hours; "
        "assert 'windows.shoreline.hours' in sys.modules and 'windows.forecast' not in sys.modules; "
        "from windows import *; print(make_forecast.__name__)"
    )
    run = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        cwd=REPOSITORY,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (run.returncode, run.stdout, run.stderr) == (0, "make_forecast\n", "")
