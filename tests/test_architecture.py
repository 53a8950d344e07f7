"""How the house is built: what may import what, what an import costs, and what lies at the top level."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGES = ("harmonics", "windows")
MAXIMUM_LINES = 350
HEAVY = ("pandas", "skyfield", "astral", "pydantic", "rich", "jinja2", "skyfield_data")
ARITHMETIC = (
    "arguments",
    "nodes",
    "compounds",
    "constituents",
    "waves",
    "stations",
    "prediction",
    "search",
    "events",
    "secondary",
    "analysis",
    "datums",
)
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "LICENSE",
    "windows",
    "harmonics",
    "tests",
    "demo_stations",
}
LEFT_BY_TOOLS = {"build", "dist", "__pycache__"}
"""What building or running leaves in a directory that git does not track."""


def module_name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {module_name(path): path for package in PACKAGES for path in sorted((ROOT / package).rglob("*.py"))}


def imports_of(name: str) -> set[str]:
    """Every module a module names in an import, at its top or inside a function; ours by their full name."""
    found: set[str] = set()
    path = MODULES[name]
    package = name if path.stem == "__init__" else name.rpartition(".")[0]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                above = package.split(".")[: len(package.split(".")) - node.level + 1]
                base = ".".join([*above, *([base] if base else [])])
            for alias in node.names:
                inner = f"{base}.{alias.name}"
                found.add(inner if inner in MODULES else base)
    return found


GRAPH = {name: imports_of(name) for name in MODULES}


def test_there_is_something_to_check():
    assert {"harmonics", "harmonics.prediction", "windows"} <= set(MODULES)
    assert "harmonics.waves" in GRAPH["harmonics.prediction"]
    assert "numpy" in GRAPH["harmonics.prediction"]


def test_harmonics_never_imports_windows():
    wrong = {
        (name, target)
        for name, targets in GRAPH.items()
        for target in targets
        if name.split(".")[0] == "harmonics" and target.split(".")[0] == "windows"
    }
    assert wrong == set()


def test_tests_are_never_imported():
    assert {
        name for name, targets in GRAPH.items() if any(t.split(".")[0] == "tests" for t in targets)
    } == set()


def cycle(graph: dict[str, set[str]]) -> list[str]:
    """A closed path through the graph, or nothing."""
    done: set[str] = set()

    def visit(name: str, path: list[str]) -> list[str]:
        if name in path:
            return [*path[path.index(name) :], name]
        if name in done:
            return []
        for target in sorted(graph.get(name, ())):
            if found := visit(target, [*path, name]):
                return found
        done.add(name)
        return []

    return next((found for name in sorted(graph) if (found := visit(name, []))), [])


def test_the_search_for_cycles_finds_one():
    assert cycle({"a": {"b"}, "b": {"c"}, "c": {"b"}}) == ["b", "c", "b"]
    assert cycle({"a": {"a"}}) == ["a", "a"]
    assert cycle({"a": {"b", "c"}, "b": {"c"}, "c": {"numpy"}}) == []


def test_no_import_cycles():
    assert cycle({name: targets & set(MODULES) for name, targets in GRAPH.items()}) == []


@pytest.mark.parametrize("name", ["harmonics", "windows", "windows.cli"])
def test_an_import_pulls_in_nothing_heavy(name):
    """Heavy libraries load where they are used, so that a command starts at once."""
    code = f"import sys, {name}; print(*sorted(m.partition('.')[0] for m in sys.modules))"
    run = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    assert name.partition(".")[0] in run.stdout.split()
    assert set(run.stdout.split()) & set(HEAVY) == set()


def test_the_arithmetic_of_the_water_pulls_in_nothing_heavy():
    """Only reading a file needs a library to check it; prediction works on arrays alone."""
    names = [f"harmonics.{name}" for name in ARITHMETIC]
    assert set(names) <= set(MODULES)
    code = f"import sys, {', '.join(names)}; print(*sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert {module.partition(".")[0] for module in run.stdout.split()} & set(HEAVY) == set()


@pytest.mark.parametrize("name", MODULES)
def test_modules_stay_small(name):
    assert len(MODULES[name].read_text(encoding="utf-8").splitlines()) <= MAXIMUM_LINES


def top_level() -> set[str]:
    """Names at the top of the repository: what git tracks, or what the directory holds without git."""
    try:
        run = subprocess.run(
            ["git", "ls-files", "-z", "--cached"], cwd=ROOT, capture_output=True, text=True, check=True
        )
    except (OSError, subprocess.CalledProcessError):
        names = {path.name for path in ROOT.iterdir()} - LEFT_BY_TOOLS
        return {name for name in names if not name.endswith(".egg-info")}
    return {name.partition("/")[0] for name in run.stdout.split("\0") if name}


def test_the_top_level_holds_what_it_should_and_nothing_else():
    assert {name for name in top_level() if not name.startswith(".")} == TOP_LEVEL
