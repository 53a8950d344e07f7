"""The guide's columns and keys of formats are those that are written."""

import csv
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.cli.runs import REPOSITORY, done, run
from tests.cli.test_fit_currents import observed, polar_file
from tests.documents import lay_out, names, section, shell_lines
from windows.guide import page

SKERROW = REPOSITORY / "demo_stations" / "skerrow_strand.toml"
BEST = ("best", SKERROW, "--start", "2026-08-19", "--days", "3")
ASKED = {
    "tides": ("--station", "skerrow-pier"),
    "levels": ("--station", "skerrow-pier"),
    "currents": ("--station", "narrows"),
    "sky": ("--spot", "long-ledge"),
    "datums": ("--station", "skerrow-pier"),
    "plan": (),
    "now": (),
}


class TestColumns:
    def test_columns_it_shows_are_the_columns(self):
        shown = dict(re.findall(r"^- `(\w+)` csv: `([\w,]+)`", page("formats").text, flags=re.MULTILINE))
        assert set(shown) == {*ASKED, "fit", "import"}
        for command, place in ASKED.items():
            start = () if command in {"datums", "now"} else ("--start", "2026-08-10")
            assert done(command, SKERROW, *place, *start, "--format", "csv").split("\n")[0] == shown[command]

    def test_columns_of_the_log_too(self, tmp_path):
        shown = dict(re.findall(r"^- `log (\w+)` csv: `([\w,]+)`", page("formats").text, flags=re.MULTILINE))
        lay_out(tmp_path, "log")
        assert set(shown) == {"list", "report", "learn"}
        for command, columns in shown.items():
            asked = (
                "log",
                command,
                tmp_path / "shore.toml",
                "--log",
                tmp_path / "none.db",
                "--format",
                "csv",
            )
            assert done(*asked).split("\n")[0] == columns

    def test_columns_of_constituents_too(self, tmp_path):
        lay_out(tmp_path, "stations")
        shown = dict(re.findall(r"^- `(\w+)` csv: `([\w,]+)`", page("formats").text, flags=re.MULTILINE))
        fitted = run("fit", tmp_path / "levels.csv", "--format", "csv", "--constituents", "M2,S2")
        assert fitted.out.split("\n")[0] == shown["fit"]
        table = ("import", tmp_path / "agency_table.txt", "--units", "feet", "--phase", "greenwich")
        assert shown["import"] in run(*table).out.split("\n")
        assert all(f'"{key}"' in run(*table, "--format", "json").out for key in ("amplitude_m", "phase_deg"))

    def test_columns_of_a_forecast_that_it_names_are_there(self):
        (text,) = re.findall(
            r"^- `week`, `best`, `compare` csv: (.*?)(?=^\n)", page("formats").text, re.DOTALL | re.MULTILINE
        )
        named = re.findall(r"`(\w+)`", text)
        assert len(named) >= 12
        assert set(named) <= set(whole(*BEST)["rows"][0])

    def test_keys_of_the_json_header_that_it_names_are_there(self):
        (text,) = re.findall(r"^- json: (.*?)^\n", page("formats").text, re.DOTALL | re.MULTILINE)
        found = whole(*BEST)
        named = set(re.findall(r"`(\w+)`", text))
        assert {"rows", "title", "cautions"} <= named
        assert named <= {*found, *found["spots"][0]}


DEMO = REPOSITORY / "demo_stations"
DAY = ("--start", "2026-08-10", "--days", "1")
SEA = "Water and sky"
FEW = ("--constituents", "M2,S2")
RESULTS = {
    "`week`, `best`, `compare`": (BEST,),
    "`plan`": (("plan", DEMO / "pellaway_sound.toml", "--start", "2026-08-14", "--days", "4"),),
    "`now`": (("now", SKERROW),),
    SEA: (
        ("tides", SKERROW, *ASKED["tides"], *DAY),
        ("currents", SKERROW, *ASKED["currents"], *DAY),
        ("sky", SKERROW, *ASKED["sky"], *DAY),
        ("datums", SKERROW, *ASKED["datums"]),
    ),
    "`prove`": (
        ("prove", DEMO / "recorded" / "brindle_lagoon.toml", "--spot", "weir-gap", "--from", "2026-06-20"),
    ),
    "`log list`": (("log", "list", "shore.toml"),),
    "`log report`": (("log", "report", "shore.toml", "--permutations", "9"),),
    "`log learn`": (("log", "learn", "shore.toml"),),
    "`log export`": (("log", "export", "shore.toml"),),
    "`fit`": (("fit", "levels.csv", *FEW), ("fit", "speeds.csv", *FEW)),
    "`import`": (
        ("import", "published.txt"),
        ("import", "current.txt", "--flood-direction", 10, "--ebb-direction", 190),
    ),
}
"""What each part of the page `columns` speaks of."""
NEVER_HERE = {
    "`week`, `best`, `compare`": {"notice"},
    SEA: {"height_with_departure_m"},
    "`prove`": {"fading", "persistence", "nothing"},
    "`plan`": {"share", "way"},
    "`log report`": {"points", "ratio", "size"},
}
"""Named on the page, but not in the results above: other tests see them."""
VALUES = {"speed", "fall", "fished", "planned", "logged", "later", "along", "across"} | {
    *("leave", "gather", "travel", "fish", "land", "home", "week", "high_water", "low_water"),
    *("slack", "flood", "ebb", "least_flood", "least_ebb"),
}
"""Named on the page as what cells hold."""


CURRENT = "Amplitudes in knots, phases in degrees GMT\nName Amplitude Phase\nM2 1.2 101.0\nK1 0.3 51.0\n"


def laid_out_for(part: str, folder: Path) -> None:
    """What the commands of a part read, in a folder."""
    if part not in {"`fit`", "`import`"} and not part.startswith("`log"):
        return
    lay_out(folder, "log")
    (folder / "current.txt").write_text(CURRENT)
    if part == "`fit`":
        _, *speeds = observed(folder, days=30.0, turning=0.3)
        polar_file(folder / "speeds.csv", *speeds)
    if part.startswith("`log"):
        for line in shell_lines(page("log").text)[:2]:
            assert run(*line[1:]).code == 0


@cache
def whole(*asked: object) -> dict[str, Any]:
    """The json of a command, each asked for once."""
    found = json.loads(run(*asked, "--format", "json").out)
    assert isinstance(found, dict)
    return found


def told(part: str) -> set[str]:
    """Names in the rows of a part's tables: columns and header keys."""
    rows_there = re.findall(r"^\| (.*) \|$", section(page("columns").text, part), re.MULTILINE)
    return {name for row in rows_there for name in names(row) if re.fullmatch(r"[a-zA-Z_]\w*", name)}


def named(value: object) -> set[str]:
    """All keys inside a value; those that are days or ids of a file are none of ours."""
    if isinstance(value, list):
        return set().union(*map(named, value))
    if not isinstance(value, dict):
        return set()
    own = {key for key in value if not re.match(r"\d{4}-", key)}
    return own.union(*map(named, value.values()))


class TestEveryColumn:
    def test_every_part_is_tried(self):
        parts = re.findall(r"^## (.*)$", page("columns").text, flags=re.MULTILINE)
        assert parts == list(RESULTS)

    @pytest.mark.parametrize("part", RESULTS)
    def test_columns_and_keys_are_those_that_are_written(self, part, tmp_path, monkeypatch):
        monkeypatch.chdir(tmp_path)
        laid_out_for(part, tmp_path)
        written: set[str] = set()
        for asked in RESULTS[part]:
            if part == "`log export`":
                written |= set(done(*asked).split("\n")[0].split(","))
                continue
            found = whole(*asked)
            written |= named(found)
            if asked[0] not in {"fit", "import"}:
                continue
            text = run(*asked, "--format", "csv").out
            lines = [line for line in text.splitlines() if not line.startswith("#")]
            written |= set(next(csv.reader(lines)))
        assert written - told(part) == set(), "not on the page"
        assert told(part) - written - NEVER_HERE.get(part, set()) - VALUES == set(), "not written"
