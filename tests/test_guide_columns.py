"""The guide's columns and keys of formats are those that are written."""

import re

from tests.cli.runs import REPOSITORY, document, done, rows, run
from tests.documents import lay_out
from windows.guide import page

SKERROW = REPOSITORY / "demo_stations" / "skerrow_strand.toml"
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
        assert set(named) <= set(rows("best", SKERROW, "--start", "2026-08-10")[0])

    def test_keys_of_the_json_header_that_it_names_are_there(self):
        (text,) = re.findall(r"^- json: (.*?)^\n", page("formats").text, re.DOTALL | re.MULTILINE)
        found = document("best", SKERROW, "--start", "2026-08-10")
        named = set(re.findall(r"`(\w+)`", text))
        assert {"rows", "title", "cautions"} <= named
        assert named <= {*found, *found["spots"][0]}
