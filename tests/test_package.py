"""The package as it is installed: what it declares is what it holds and what it imports."""

import ast
import importlib
import importlib.metadata
import re
import sys
import tomllib
from fnmatch import fnmatch
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).parents[1]
PACKAGES = ("harmonics", "windows")
PROJECT = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))
TABLE = PROJECT["project"]
LOADED_BY_NAME = {"skyfield_data": "skyfield-data", "tzdata": "tzdata"}
"""Data packages that no import statement need name."""


def files(package: str) -> list[Path]:
    found = (REPOSITORY / package).rglob("*")
    return sorted(path for path in found if path.is_file() and "__pycache__" not in path.parts)


def distribution(requirement: str) -> str:
    name = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert name, requirement
    return name[0].lower().replace("_", "-").replace(".", "-")


def asked_by(extra: str) -> set[str]:
    """Distributions of an extra, those of the project's other extras that it takes in among them."""
    found: set[str] = set()
    for item in TABLE["optional-dependencies"][extra]:
        inner = re.fullmatch(rf"{TABLE['name']}\[(\w+)\]", item)
        found |= asked_by(inner[1]) if inner else {distribution(item)}
    return found


def imported(folder: Path) -> set[str]:
    """Top-level names of other people's modules that the folder's files import anywhere."""
    names: set[str] = set()
    for path in folder.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and not node.level and node.module:
                names.add(node.module.split(".")[0])
    return names - set(sys.stdlib_module_names) - {*PACKAGES, "tests"}


def owners(name: str) -> set[str]:
    """The distributions that bring a module; empty for one that is not installed."""
    return {
        item.lower().replace("_", "-") for item in importlib.metadata.packages_distributions().get(name, [])
    }


def test_every_import_is_a_declared_dependency():
    declared = {distribution(item) for item in TABLE["dependencies"]}
    for extra in TABLE["optional-dependencies"].keys() - {"test"}:
        declared |= asked_by(extra)
    needed = {name for package in PACKAGES for name in imported(REPOSITORY / package)}
    assert needed
    assert {name for name in needed if not owners(name) & declared} == set()


def test_every_dependency_is_used():
    needed = {name for package in PACKAGES for name in imported(REPOSITORY / package)}
    used = {owner for name in needed for owner in owners(name)} | set(LOADED_BY_NAME.values())
    assert {distribution(item) for item in TABLE["dependencies"]} <= used


def test_every_import_of_the_tests_is_declared_too():
    declared = {distribution(item) for item in TABLE["dependencies"]} | asked_by("test")
    needed = imported(REPOSITORY / "tests")
    assert {name for name in needed if not owners(name) & declared} == set()


@pytest.mark.parametrize("package", PACKAGES)
def test_every_file_goes_into_the_package(package):
    # setuptools takes modules of the packages it finds, and other files that package-data names.
    patterns = PROJECT["tool"]["setuptools"]["package-data"][package]
    for path in files(package):
        if path.suffix == ".py":
            assert (path.parent / "__init__.py").is_file(), f"{path.parent} is no package"
        else:
            inside = path.relative_to(REPOSITORY / package).as_posix()
            assert any(fnmatch(inside, pattern) for pattern in patterns), f"{inside} is left out"
    assert (REPOSITORY / package / "py.typed").is_file()
    found = [path for pattern in patterns for path in (REPOSITORY / package).glob(pattern)]
    assert len(found) >= len(patterns), "a pattern of package-data names nothing"


def test_only_the_two_packages_are_installed():
    include = PROJECT["tool"]["setuptools"]["packages"]["find"]["include"]
    folders = {path.parent.name for path in REPOSITORY.glob("*/*.py")}
    assert {name for name in folders if any(fnmatch(name, pattern) for pattern in include)} == set(PACKAGES)


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
