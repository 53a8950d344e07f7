"""The README and the manual as tests read them: fenced blocks, tables, and files that go with them."""

import re
import shlex
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

from tests.cli.runs import DEMOS, NOW, REPOSITORY
from tests.conftest import PUBLISHED, published_rows
from tests.published_layouts import TIDES, tide
from windows.guide import page

README = (REPOSITORY / "README.md").read_text(encoding="utf-8")
FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", flags=re.DOTALL | re.MULTILINE)
ROW = re.compile(r"^\| (.*) \|$", flags=re.MULTILINE)


def blocks(text: str, language: str) -> list[str]:
    """Fenced blocks of one language, in order."""
    return [body for found, body in FENCE.findall(text) if found == language]


def shell_lines(text: str) -> list[list[str]]:
    """Commands of the shell blocks, as words."""
    return [shlex.split(line) for block in blocks(text, "sh") for line in block.splitlines() if line.strip()]


def section(text: str, heading: str) -> str:
    """What stands under a heading, up to the next."""
    (found,) = re.findall(rf"^#+ {re.escape(heading)}\n(.*?)(?=^#+ |\Z)", text, re.DOTALL | re.MULTILINE)
    assert isinstance(found, str)
    return found


def table(text: str) -> list[tuple[str, ...]]:
    """Rows of the first table, without its head."""
    first = re.search(r"(?:^\|.*\|\n)+", text, flags=re.MULTILINE)
    assert first
    cells = [tuple(cell.strip() for cell in row.split(" | ")) for row in ROW.findall(first[0])]
    return [row for row in cells[1:] if not set(row[0]) <= set("- |")]


def names(cell: str) -> list[str]:
    """What a cell sets in the type of code."""
    return re.findall(r"`([^`]+)`", cell)


def lay_out(folder: Path, topic: str) -> None:
    """The files that a page's commands speak of, in a folder: its own examples first."""
    (folder / "demo_stations").symlink_to(REPOSITORY / "demo_stations")
    for path in (REPOSITORY / "demo_stations").glob("*.csv"):
        shutil.copy(path, folder)
    (folder / "shores").mkdir()
    for path in (*DEMOS, *(REPOSITORY / "demo_stations").glob("*.csv")):
        shutil.copy(path, folder / "shores")
    record = (PUBLISHED / "tuktoyaktuk1975_hourly.csv").read_text(encoding="utf-8")
    (folder / "levels.csv").write_text(record.replace("time_clock,level_ft", "time (UTC),level (ft)"))
    rows = published_rows("constituents_8443970.csv")
    lines = [f"{row['name']},{float(row['amplitude']) / 0.3048:.5f},{row['phase']}" for row in rows]
    (folder / "agency_table.txt").write_text("\n".join(["name,amplitude,phase", *lines]) + "\n")
    published = TIDES["aligned with rules, Z0 and position"].make(tide("8443970"))
    (folder / "published.txt").write_text(published, encoding="utf-8")
    newest = datetime.fromtimestamp(NOW, UTC)
    stamps = [newest - timedelta(minutes=6 * index) for index in range(40)][::-1]
    readings = [f"{stamp:%Y-%m-%dT%H:%M:%SZ},{2.9 + 0.01 * index:.3f}" for index, stamp in enumerate(stamps)]
    (folder / "readings.csv").write_text("\n".join(["time (UTC),level (m)", *readings]) + "\n")
    text = page(topic).text
    if blocks(text, "toml"):
        (folder / "shore.toml").write_text("\n".join(blocks(text, "toml")), encoding="utf-8")
    for body in blocks(text, "csv"):
        (folder / "gauge.csv").write_text(body, encoding="utf-8")


def told_in_order(shown: str, printed: str) -> bool:
    """Whether lines that a page shows were printed one under another; `...` stands for any lines."""
    found = [line.rstrip() for line in printed.splitlines()]
    start = 0
    for part in re.split(r"^\.\.\.\n", shown, flags=re.MULTILINE):
        wanted = [line.rstrip() for line in part.splitlines()]
        places = range(start, len(found) - len(wanted) + 1)
        at = next((k for k in places if found[k : k + len(wanted)] == wanted), None)
        if at is None:
            return False
        start = at + len(wanted)
    return True
