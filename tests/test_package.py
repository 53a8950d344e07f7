"""The package as it is built and installed: what it declares is what it holds and what it imports."""

import importlib
import importlib.metadata
import os
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

from windows.guide import TOPICS

REPOSITORY = Path(__file__).parents[1]
PACKAGES = ("harmonics", "windows")
TABLE = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))["project"]
BESIDE = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", ".gitignore"}
"""What a source distribution holds beside the packages and the demos."""


def deptry(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "deptry", *arguments],
        cwd=REPOSITORY,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize(
    "asked",
    [
        PACKAGES,
        ("tests", "--exclude", "nothing", "--ignore", "DEP002,DEP004"),
    ],  # tests may import what only they need
    ids=["packages", "tests"],
)
def test_imports_are_declared_and_what_is_declared_is_imported(asked):
    run = deptry(*asked)
    assert run.returncode == 0, run.stderr
    assert "No dependency issues found" in run.stderr
    assert "Scanning 0 files" not in run.stderr


def test_the_installed_metadata_is_the_project_s():
    metadata = importlib.metadata.metadata("ebblight")
    assert metadata["Name"] == TABLE["name"] == "ebblight"
    assert metadata["Version"] == TABLE["version"]
    assert metadata["Summary"] == TABLE["description"]
    assert metadata["Requires-Python"] == TABLE["requires-python"] == ">=3.11"
    assert TABLE["license"] == "MIT"
    for name in (TABLE["readme"], *TABLE["license-files"]):
        assert (REPOSITORY / name).is_file()
    assert "MIT License" in (REPOSITORY / "LICENSE").read_text(encoding="utf-8")


def test_the_script_is_the_command():
    (entry,) = importlib.metadata.entry_points(group="console_scripts", name="ebblight")
    assert entry.value == TABLE["scripts"]["ebblight"]
    module, _, name = entry.value.partition(":")
    assert getattr(importlib.import_module(module), name) is entry.load()


def files(folder: str) -> set[str]:
    """Files of a folder of the repository, less what running leaves there."""
    found = (REPOSITORY / folder).rglob("*")
    return {
        path.relative_to(REPOSITORY).as_posix()
        for path in found
        if path.is_file() and "__pycache__" not in path.parts
    }


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory):
    """A source distribution unpacked, and the wheel built from it unpacked, each in a folder of its own."""
    out = tmp_path_factory.mktemp("built")
    build("sdist", REPOSITORY, out)
    (archive,) = out.glob("*.tar.gz")
    with tarfile.open(archive) as stream:
        stream.extractall(out / "source", filter="data")
    (source,) = (out / "source").iterdir()
    build("wheel", source, out)
    (wheel,) = out.glob("*.whl")
    with zipfile.ZipFile(wheel) as archived:
        archived.extractall(out / "installed")
    return source, out / "installed"


def build(target: str, source: Path, out: Path) -> None:
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", target, "-d", str(out)],
        cwd=source,
        capture_output=True,
        check=True,
    )


def held(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_the_source_holds_packages_demos_and_manual_and_nothing_else(unpacked):
    source, _ = unpacked
    expected = BESIDE | files("harmonics") | files("windows") | files("demo_stations")
    assert held(source) - {"PKG-INFO"} == expected
    assert {f"windows/guide/{topic}.md" for topic in TOPICS} < expected


def test_the_wheel_holds_every_file_of_the_packages(unpacked):
    _, installed = unpacked
    inside = {name for name in held(installed) if ".dist-info/" not in name}
    assert inside == files("harmonics") | files("windows")
    assert {f"{package}/py.typed" for package in PACKAGES} < inside


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        (("week", "SOURCE/demo_stations/skerrow_strand.toml", "--spot", "long-ledge"), "Long ledge"),
        (
            ("best", "SOURCE/demo_stations/skerrow_strand.toml", "--format", "page"),
            "INVENTED COAST, never use on the water",
        ),
        (("guide", "start"), "Getting started"),
    ],
    ids=["week", "page", "guide"],
)
def test_the_wheel_works_where_there_is_no_checkout(unpacked, tmp_path, asked, expected):
    source, installed = unpacked
    words = [word.replace("SOURCE", str(source)) for word in asked]
    code = (
        "import sys, windows; print(windows.__file__, file=sys.stderr); from windows.cli import main; main()"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, *words],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(installed), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    assert run.stderr.strip() == str(installed / "windows" / "__init__.py")
    assert expected in run.stdout
