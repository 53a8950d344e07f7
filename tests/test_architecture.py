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
LIGHT_ROOMS = ("catalogue", "sums", "stations", "fitting", "records")
"""Rooms of the water that work on arrays alone: only reading a station file needs a library to check it."""
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


def test_the_rooms_and_their_arrows():
    """The layers of pyproject.toml, as `lint-imports` reads them."""
    run = subprocess.run(
        [sys.executable, "-c", "from importlinter.cli import lint_imports; raise SystemExit(lint_imports())"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stdout + run.stderr
    assert "0 broken" in run.stdout


def test_at_most_ten_rooms_on_a_floor():
    for package in PACKAGES:
        rooms = [path.name for path in (ROOT / package).iterdir() if (path / "__init__.py").is_file()]
        assert 4 < len(rooms) <= 10, rooms


def test_tests_are_never_imported():
    graph = {name: imports_of(name) for name in MODULES}
    assert {
        name for name, targets in graph.items() if any(t.split(".")[0] == "tests" for t in targets)
    } == set()
    assert "harmonics.sums.series" in graph["harmonics.stations.prediction"]


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
    names = [name for name in MODULES if name.split(".")[1:2] and name.split(".")[1] in LIGHT_ROOMS]
    names = [name for name in names if name.startswith("harmonics.")]
    assert {name.split(".")[1] for name in names} == set(LIGHT_ROOMS)
    code = f"import sys, {', '.join(names)}; print(*sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert {module.partition(".")[0] for module in run.stdout.split()} & set(HEAVY) == set()


def test_modules_stay_small():
    lengths = {name: len(path.read_text(encoding="utf-8").splitlines()) for name, path in MODULES.items()}
    assert {name: length for name, length in lengths.items() if length > MAXIMUM_LINES} == {}
    assert len(lengths) > 200


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


def test_git_tracks_no_link():
    """A link leads to a path of one machine."""
    run = subprocess.run(["git", "ls-files", "-s"], cwd=ROOT, capture_output=True, text=True, check=False)
    if run.returncode:
        pytest.skip("not a git checkout")
    assert [line for line in run.stdout.splitlines() if line.startswith("120000")] == []
