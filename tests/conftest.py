"""Shared test set-up: hypothesis profiles and the folder of published figures."""

import csv
import os
import shutil
import sys
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests.browser import axe, chromium

__all__ = ["axe", "chromium"]

# As the command does, and before anything imports numpy: there is a process for each core already.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# What is compiled is kept, as an installed package has it: for every worker and for what tests start.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

settings.register_profile(
    "project", max_examples=50, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("many", settings.get_profile("project"), max_examples=1000, derandomize=False)
settings.load_profile(os.environ.get("EBBLIGHT_PROPERTIES", "project"))


def pytest_configure(config):
    """What is kept between runs lies in a folder of this run alone, which all its processes share."""
    if hasattr(config, "workerinput"):
        return
    home = tempfile.mkdtemp(prefix="ebblight-tests-")
    config.add_cleanup(lambda: shutil.rmtree(home, ignore_errors=True))
    for name in ("XDG_CACHE_HOME", "XDG_DATA_HOME"):
        os.environ[name] = os.path.join(home, name)


def pytest_xdist_auto_num_workers():
    """One more than there are cores: tests wait for browsers, servers and processes they have started."""
    return (os.cpu_count() or 1) + 1


PUBLISHED = Path(__file__).parent / "published"


def published_rows(name: str) -> list[dict[str, str]]:
    """Rows of a file of published figures; the comment line that opens it names the source."""
    with (PUBLISHED / name).open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(line for line in stream if not line.startswith("#")))


@pytest.fixture(scope="session")
def published():
    return published_rows
