"""`log list`, `export` and `import`, and questions at a terminal."""

import csv
import io
import json
import re
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from tests.cli.log_runs import YESTERDAY, added, kept, shore_of
from tests.cli.runs import NOW, done, refused, run
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, written
from windows.cli import main
from windows.cli.log import asking
from windows.cli.options import Clock
from windows.log.storage import SqliteStore
from windows.log.trips import Made, SeenKind
from windows.shoreline.rules import Measured


@pytest.fixture
def shore(tmp_path) -> Path:
    return shore_of(tmp_path)


class TestList:
    def test_a_table_of_the_last_twenty(self, shore):
        assert "No trips to show" in done("log", "list", shore)
        assert not (shore.parent / "kept").exists(), "looking makes no log"
        for hour in range(0, 22):
            done(
                "log",
                "add",
                shore,
                "--start",
                f"2026-08-09 {hour:02d}:00",
                "--end",
                f"{hour:02d}:30",
                "--nothing",
            )
        text = done("log", "list", shore)
        assert re.findall(r"^ *(\d+)  Sun 9 Aug 2026", text, flags=re.MULTILINE) == [
            str(n) for n in range(3, 23)
        ]
        assert "The last 20 of 22 trips; --last 22 shows all." in text
        assert "shows all" not in done("log", "list", shore, "--last", "22")

    def test_filters_and_forms(self, shore):
        done("log", "add", shore, *YESTERDAY, "--kept", "flounder", "--released", "bass x2")
        done(
            "log",
            "add",
            shore,
            "--start",
            "2026-08-01 10:00",
            "--end",
            "12:00",
            "--nothing",
            "--words",
            "=1+1",
        )
        asked = ("log", "list", shore, "--format", "csv")
        rows = list(csv.DictReader(io.StringIO(done(*asked))))
        assert [(row["trip"], row["caught"], row["kept"]) for row in rows] == [
            ("2", "0", "0"),
            ("1", "3", "1"),
        ]
        assert rows[0]["words"] == "'=1+1"
        assert rows[1]["start_local"] == "2026-08-09T17:30:00+01:00"
        for options, expected in (
            (("--since", "2026-08-09"), ["1"]),
            (("--until", "2026-08-08"), ["2"]),
            (("--species", "BASS"), ["1"]),
            (("--spot", "reef"), []),
            (("--last", "1"), ["1"]),
        ):
            found = csv.DictReader(io.StringIO(done(*asked, *options)))
            assert [row["trip"] for row in found] == expected
        found = json.loads(done("log", "list", shore, "--format", "json"))
        assert (found["trips"], len(found["rows"]), found["rows"][0]["chance"]) == (2, 2, None)
        assert found["cautions"]

    def test_without_a_file_it_is_the_log_of_the_person(self, shore, tmp_path, monkeypatch):
        monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
        plain = written(tmp_path, head("UTC"), SIMPLE_STATION, SIMPLE_SPOT, name="plain.toml")
        assert "ebblight" in done("log", "add", plain, *YESTERDAY, "--nothing")
        assert "Spot ledge" in done("log", "list")
        assert "Spot ledge" not in done("log", "list", shore)
        elsewhere = tmp_path / "elsewhere.db"
        assert "No trips to show" in done("log", "list", "--log", elsewhere)
        done("log", "add", shore, *YESTERDAY, "--nothing", "--log", elsewhere)
        assert "Spot ledge" in done("log", "list", "--log", elsewhere)


class TestExportAndImport:
    def test_there_and_back(self, shore, tmp_path):
        done(
            "log",
            "add",
            shore,
            *YESTERDAY,
            "--kept",
            "flounder 38@18:40 x2",
            "--sought",
            "=cmd|' /C calc'!A0",
        )
        done("log", "add", shore, "--start", "2026-08-01 10:00", "--end", "12:00", "--nothing")
        done("log", "edit", shore, 2, "--remove")
        table, second = tmp_path / "trips.csv", tmp_path / "second.db"
        assert run("log", "export", shore, "--removed", "-o", table).code == 0
        text = done("log", "import", table, "--log", second)
        assert text == f"2 trips kept in {second}.\n"
        with SqliteStore(second) as store:
            assert store.trips(removed=True) == kept(shore, removed=True)
        assert done("log", "export", "--removed", "--log", second) == table.read_text(encoding="utf-8")
        again = done("log", "import", table, "--log", second)
        assert "0 trips kept" in again
        assert "2 there already, left as they are.\n" in again
        assert len(done("log", "export", shore).splitlines()) == 3

    def test_trips_that_say_something_else_are_told(self, shore, tmp_path):
        done("log", "add", shore, *YESTERDAY, "--nothing")
        table = tmp_path / "trips.csv"
        table.write_text(done("log", "export", shore).replace("ledge,Spot ledge", "ledge,A ledge"))
        assert "1 of them say something else now" in done("log", "import", table, shore)
        assert kept(shore)[0].spot_name == "Spot ledge"

    def test_nothing_is_kept_where_anything_is_wrong(self, shore, tmp_path):
        table = tmp_path / "notebook.csv"
        table.write_text(
            "spot,start_local,end_local,anglers\n"
            "ledge,2026-08-01 18:00,2026-08-01 20:00,1\n"
            "ledge,2026-08-02 18:00,2026-08-02 20:00,none\n"
        )
        message = refused(1, "log", "import", table, shore)
        assert f"{table}: 1 problem\n  line 3 anglers: found 'none'; expected a whole number" in message
        assert not (shore.parent / "kept").exists()

    def test_forecasts_by_hindsight(self, shore, tmp_path):
        table = tmp_path / "notebook.csv"
        table.write_text(
            "spot,start_local,end_local,species,caught\n"
            "ledge,2026-08-01 18:00,2026-08-01 20:00,flounder,2\n"
            "elsewhere,2026-08-02 18:00,2026-08-02 20:00,,\n"
        )
        assert "name it after the table" in refused(2, "log", "import", table, "--compute")
        done("log", "import", table, shore, "--compute")
        first, second = kept(shore)
        assert (first.forecast.made, first.caught()) == (Made.LATER, 2)
        assert second.forecast is None


QUESTIONS = [
    "From (17:30, or 2026-08-15 17:30)",
    "To (20:10)",
    "Fish kept: species and lengths, or a count (flounder 38 41.5; bass x2)",
    *("More", "More", "Fish released, alike", "Measured", "How many fished", "Bait"),
    "When the current began to go out (18:20)",
    "When the current began to come in",
    "Speed of a drift, knots (0.8@18:20)",
    "Lead that held bottom (6oz, 170g)",
    "Water temperature (18C, 64F)",
    "Wind (12kn SW, calm)",
    "Water: clear, cloudy or muddy",
    "Anything else",
]


class TestAsking:
    """With a terminal, what is missing is asked for."""

    def answers(self, monkeypatch, *given: str) -> list[str]:
        questions: list[str] = []
        left = iter(given)

        def prompt(text, **options):
            questions.append(text)
            answer = next(left)
            if answer == "" and options.get("default") is not None:
                answer = options["default"]
            kind = options.get("type")
            return kind.convert(answer, None, None) if isinstance(kind, click.ParamType) else answer

        monkeypatch.setattr(asking, "at_a_terminal", lambda: True)
        monkeypatch.setattr(click, "prompt", prompt)
        monkeypatch.setattr(click, "confirm", lambda *_, **__: True)
        return questions

    def test_a_whole_trip(self, shore, monkeypatch):
        questions = self.answers(
            monkeypatch,
            *("17:30", "20:15", "flounder 38 41", "bass x2", "", "", "fork"),
            *("2", "crab", "16:05", "", "0.8@18:20", "6oz", "18C", "12kn SW", "clear", "a fine evening"),
        )
        trip = added(shore)
        assert questions == QUESTIONS
        assert (trip.anglers, trip.bait, trip.clarity, trip.words) == (2, "crab", "clear", "a fine evening")
        assert [(c.species, c.kept, c.released) for c in trip.catches] == [("flounder", 2, 0), ("bass", 2, 0)]
        assert trip.catches[0].fish[0].measured is Measured.FORK
        assert [item.kind for item in trip.seen] == [SeenKind.TURNED_OUT, SeenKind.DRIFT]

    def test_an_empty_line_ends_the_fish_at_a_real_prompt(self, shore, monkeypatch):
        monkeypatch.setattr(asking, "at_a_terminal", lambda: True)
        typed = ["bass x2", "flounder 38", "", "", "fork", "3", *[""] * 9]
        words = ["log", "add", str(shore), *YESTERDAY]
        found = CliRunner().invoke(main, words, input="\n".join([*typed, ""]), obj=Clock(lambda: NOW))
        assert found.exit_code == 0, found.output
        (trip,) = kept(shore)
        assert [(c.species, c.kept) for c in trip.catches] == [("bass", 2), ("flounder", 1)]
        assert (trip.anglers, trip.bait) == (3, "")

    def test_zeros_are_asked_for(self, shore, monkeypatch):
        self.answers(monkeypatch, "", "", *[""] * 10)
        trip = added(shore, *YESTERDAY)
        assert (trip.catches, trip.anglers, trip.fished) == ((), 1, True)

    def test_nothing_is_asked_where_nothing_is_missing(self, shore, monkeypatch):
        assert self.answers(monkeypatch) == []
        added(shore, *YESTERDAY, "--nothing")
