"""`log report` and `log learn` through the command: verdicts, zeros, what is left out, files changed."""

import json
import re
import tomllib
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from tests.cli.runs import done, refused, rows, run
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, written
from tests.windows.log.lesson_books import TRUE_LAG, noted, turns_of
from tests.windows.log.made_trips import NOON, plain_trip
from tests.windows.log.notebooks import World, notebook, trip_of
from windows.log.storage import SqliteStore
from windows.log.trips import Catch, Fish, Made, Trip
from windows.shoreline.shore import read_shore

LATER = NOON + 400 * 86400.0


@pytest.fixture
def keep(tmp_path):
    """Keeps trips in a log and says where."""

    def keeper(trips: list[Trip], name: str = "trips.db") -> Path:
        path = tmp_path / name
        with SqliteStore(path, create=True) as store:
            store.add_all(trips)
        return path

    return keeper


def report(log: Path, *options: object) -> str:
    return " ".join(done("log", "report", "--log", log, *options).split())


class TestReport:
    def test_a_score_that_tells(self, keep):
        log = keep(notebook(World(ratio=6.0), 120, np.random.default_rng(1)))
        text = report(log)
        assert text.startswith("Hours with more points caught more, beyond what chance explains.")
        assert re.search(r"20 points more went with \d\.\d\d times the catch \(95 % interval", text)
        assert "Of 4999 shufflings of the points among trips of one spot and month" in text
        assert "Spearman's rank correlation" in text
        assert re.search(r"With catches like yours it takes about \d+ trips", text)
        assert text.endswith("check local rules.")
        found = json.loads(done("log", "report", "--log", log, "--format", "json"))
        assert found["verdict"] == "better hours catch more"
        assert found["permutation"]["chance_as_good"] <= 0.0375
        assert found["catch_ratio"]["low"] > 1.0
        assert [band["trips"] for band in found["rows"]] == [40, 40, 40]
        rates = [band["fish_per_angler_hour"] for band in found["rows"]]
        assert rates == sorted(rates, reverse=True)
        assert found["trips_needed"][0]["catch_ratio"] == 2.0

    def test_points_that_mean_nothing(self, keep):
        text = report(keep(notebook(World(), 90, np.random.default_rng(2))))
        assert text.startswith("No verdict: ")
        assert "do not tell whether hours with more points catch more" in text

    def test_few_trips_whatever_they_show(self, keep):
        strong = notebook(World(ratio=50.0, spots=1, months=1), 29, np.random.default_rng(3))
        strong = [replace(t, start=NOON + n, end=NOON + 3600.0 + n) for n, t in enumerate(strong)]
        text = report(keep(strong))
        assert text.startswith(
            "No verdict yet: 29 of 29 trips share spot and month with another of other points, and it"
        )

    def test_an_empty_log(self, tmp_path):
        text = report(tmp_path / "none.db")
        assert text.startswith("No verdict yet: 0 of 0 trips")
        assert "With two fish a trip and the usual spread it takes about 90 trips" in text
        assert "1.5 times as much about 271, 1.25 times as much about 914" in text
        assert not (tmp_path / "none.db").exists()
        assert rows("log", "report", "--log", tmp_path / "none.db") == []

    def test_zeros_count(self, keep):
        trips = [trip_of(n, "ledge", NOON + n * 86400.0, 50.0 + n, n % 2) for n in range(8)]
        found = json.loads(done("log", "report", "--log", keep(trips), "--format", "json"))
        assert sum(band["trips_without_fish"] for band in found["rows"]) == 4
        assert found["fish_per_angler_hour"]["rate"] == pytest.approx(4 / 16)

    def test_of_one_species_others_are_zeros(self, keep):
        trips = [trip_of(n, "ledge", NOON + n * 86400.0, 50.0 + n, 1) for n in range(8)]
        trips[0] = replace(trips[0], catches=(Catch("Bass", (Fish(True),) * 5),))
        log = keep(trips)
        found = json.loads(done("log", "report", "--log", log, "--species", "bass", "--format", "json"))
        assert (found["species"], found["trips_counted"]) == ("bass", 8)
        assert sum(band["fish"] for band in found["rows"]) == 5
        assert "decide beforehand" in report(log, "--species", "bass")
        assert "decide beforehand" not in report(log)

    def test_hindsight_is_left_out_and_said(self, keep):
        made = [Made.LATER, Made.LATER, Made.LOGGED, Made.PLANNED]
        trips = [trip_of(n, "ledge", NOON + n * 86400.0, 50.0, 1, made=kind) for n, kind in enumerate(made)]
        trips.append(replace(plain_trip(9), forecast=None))
        trips.append(replace(plain_trip(10), fished=False))
        log = keep(trips)
        text = report(log)
        assert "0 of 2 trips share" in text
        assert "2 trips left out, whose forecast was computed later" in text
        assert "1 trip without a forecast" in text
        assert "1 trip only planned." in text
        assert "0 of 4 trips share" in report(log, "--with-later")
        assert "2 trips counted whose forecast was computed later" in report(log, "--with-later")

    def test_without_shuffling_there_are_rates_and_no_verdict(self, keep):
        log = keep(notebook(World(ratio=6.0), 120, np.random.default_rng(1)))
        text = report(log, "--permutations", "0")
        assert text.startswith("No verdict: shuffling was left out")
        assert "Fish an angler-h" in text
        assert "shufflings" not in text

    def test_days_and_spots(self, keep):
        trips = [trip_of(n, f"spot{n % 2}", NOON + n * 86400.0, 50.0 + n, 1) for n in range(10)]
        log = keep(trips)
        for options, count in (
            (("--spot", "spot0"), 5),
            (("--since", "2026-08-15"), 5),
            (("--until", "2026-08-11"), 2),
            (("--since", "2026-08-12", "--until", "2026-08-12"), 1),
        ):
            found = json.loads(done("log", "report", "--log", log, *options, "--format", "json"))
            assert found["trips"] == count
        assert "--since" in refused(2, "log", "report", "--log", log, "--since", "yesterday")

    def test_a_drawing(self, keep):
        trips = notebook(World(ratio=3.0), 90, np.random.default_rng(1))
        trips[0] = replace(trips[0], catches=(Catch("<b>&", (Fish(True),) * 400),))
        text = done("log", "report", "--log", keep(trips), "--format", "svg")
        root = ElementTree.fromstring(text)
        classes = [item.get("class") for item in root.iter()]
        assert (classes.count("trip"), classes.count("band"), classes.count("rate")) == (90, 3, 3)
        assert "dots at the top stand for more" in text
        assert root.get("aria-label", "").startswith("Hours with more points")
        for dot in root.iter("{http://www.w3.org/2000/svg}circle"):
            assert 84.0 <= float(dot.get("cy", "nan")) <= 350.0
        sizes = {float(size) for size in re.findall(r"font-size:([\d.]+)px", text)}
        assert min(sizes) >= 14.0
        empty = done("log", "report", "--log", keep([], "empty.db"), "--format", "svg")
        assert ElementTree.fromstring(empty) is not None

    def test_without_the_extra_it_says_what_to_install(self, keep, monkeypatch):
        import builtins

        real = builtins.__import__

        def without(name, *args, **kwargs):
            if name.startswith(("statsmodels", "scipy")):
                raise ModuleNotFoundError(f"No module named '{name}'", name=name.partition(".")[0])
            return real(name, *args, **kwargs)

        log = keep(notebook(World(ratio=3.0), 60, np.random.default_rng(1)))
        monkeypatch.setattr(builtins, "__import__", without)
        assert "pip install 'ebblight[log]'" in refused(1, "log", "report", "--log", log)


@pytest.fixture
def shore(tmp_path) -> Path:
    return written(tmp_path, head("Europe/London"), SIMPLE_STATION, "# watched\n", SIMPLE_SPOT)


def watched(shore: Path, count: int = 8) -> list[Trip]:
    """Turns noted at a spot that turns 35 minutes after high and low water.

    Of the 36 means of pairs of the eight errors the fourth from either end are -5.5 and 6, the
    middle ones -0.5 and 0.5.
    """
    place = replace(read_shore(shore).spots[0], slack_lag=TRUE_LAG * 60.0)
    errors = np.array([-9.0, 8.0, -3.0, 4.0, 1.0, -2.0, 6.0, -5.0])[:count]
    return noted(turns_of(place, NOON, count), errors)


class TestLearn:
    def test_lines_to_paste(self, shore, keep):
        text = done("log", "learn", shore, "--log", keep(watched(shore)))
        flat = " ".join(text.split())
        assert "Spot ledge: the current turns 35 (95 % interval 29 to 41) min after" in flat
        assert "from 8 turns noted. The file says 15." in flat
        assert '# in [[spots]] with id = "ledge"\nslack_lag = 35  # 95 % interval 29 to 41, 8 notes\n' in text
        lines = [line for line in text.splitlines() if line.startswith("slack_lag")]
        assert tomllib.loads("\n".join(lines)) == {"slack_lag": 35}

    def test_they_are_written_where_asked_and_comments_stay(self, shore, keep):
        log = keep(watched(shore))
        before = shore.read_text(encoding="utf-8")
        assert "1 setting written into the file" in done("log", "learn", shore, "--log", log, "--write")
        after = shore.read_text(encoding="utf-8")
        assert after == before.replace("slack_lag = 15", "slack_lag = 35")
        assert "The file agrees." in done("log", "learn", shore, "--log", log, "--write")
        assert shore.read_text(encoding="utf-8") == after

    def test_a_file_that_can_t_be_written_stays(self, shore, keep, monkeypatch):
        def refuse(*_, **__):
            raise PermissionError(13, "Permission denied")

        log, before = keep(watched(shore)), shore.read_text(encoding="utf-8")
        monkeypatch.setattr("tempfile.mkstemp", refuse)
        message = refused(1, "log", "learn", shore, "--log", log, "--write")
        assert "can't write the result: Permission denied" in message
        assert shore.read_text(encoding="utf-8") == before

    def test_few_notes_and_none(self, shore, keep):
        log = keep(watched(shore, 3))
        assert "3 turns noted; it takes 6 to tell." in done("log", "learn", shore, "--log", log)
        empty = keep([plain_trip(1)], "empty.db")
        assert "--turned-out" in " ".join(done("log", "learn", shore, "--log", empty).split())

    def test_rows_and_header(self, shore, keep):
        log = keep(watched(shore))
        (row,) = rows("log", "learn", shore, "--log", log)
        assert (row["setting"], row["id"], row["key"]) == ("spots", "ledge", "slack_lag")
        assert [float(row[key]) for key in ("present", "estimate", "low", "high", "proposed")] == [
            15.0, 35.0, 29.0, 41.0, 35.0,
        ]  # fmt: skip
        found = json.loads(done("log", "learn", shore, "--log", log, "--format", "json"))
        assert "slack_lag = 35" in found["lines"]
        few = rows("log", "learn", shore, "--log", keep(watched(shore, 3), "few.db"))
        assert [(item["notes"], item["estimate"]) for item in few] == [("3", "")]

    def test_one_spot_alone(self, shore, keep):
        assert "no spot 'reef'" in refused(1, "log", "learn", shore, "--log", keep([]), "--spot", "reef")

    def test_a_log_from_the_later_version_of_the_program(self, shore, keep):
        log = keep([plain_trip(1)])
        with SqliteStore(log) as store:
            store._connection.execute("PRAGMA user_version = 99")
        before = log.read_bytes()
        for command in (("list",), ("report",), ("export",)):
            assert "a later version of Ebblight wrote it" in refused(1, "log", *command, "--log", log)
        times = ("--start", "2026-08-09 17:30", "--end", "20:15", "--nothing")
        assert "log version 99" in refused(1, "log", "add", shore, *times, "--log", log)
        assert log.read_bytes() == before

    def test_an_output_file(self, keep, tmp_path):
        target = tmp_path / "report.svg"
        log = keep(notebook(World(), 40, np.random.default_rng(1)))
        assert run("log", "report", "--log", log, "--format", "svg", "-o", target).code == 0
        assert target.read_text(encoding="utf-8").startswith("<svg")
