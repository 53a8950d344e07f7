"""Folders of station files for the listings and for `check`: all places of a file in its one result."""

import json
import pickle
import tomllib
from datetime import date

import pytest

from tests.cli.runs import contents, done, refused, run
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, spot, written
from windows.cli.check import CheckJob
from windows.cli.currents import CurrentsJob
from windows.cli.datums import DatumsJob
from windows.cli.levels import LevelsJob
from windows.cli.options import Choice, Span
from windows.cli.output import Answer
from windows.cli.sky import SkyJob

ASKED = ("--start", "2045-08-10", "--days", "2")
"""Days that are not past by the machine's own clock, which a process has and a run here has not."""
SECOND_STATION = """
[[stations]]
id = "quay"
name = "Quay"
latitude = 50.3
longitude = -5.4
reference = "pier"
high_water = { minutes = 20, factor = 0.9 }
low_water = { minutes = 25, factor = 0.9 }
"""
CURRENTS = "".join(
    f"""
[[currents]]
id = "{name}"
name = "{name.title()}"
latitude = 50.2
longitude = -5.1
flood_direction = 20
ebb_direction = 200
mean_flow = -0.1
constituents = [ {{ name = "M2", amplitude = {amplitude}, phase = 60.0 }} ]
"""
    for name, amplitude in (("gut", 1.4), ("race", 3.1))
)
SECOND_SPOT = spot("bar", "quay", 50.2, -5.1)
PLACES = {
    "levels": (("--station", "pier"), ("--station", "quay")),
    "currents": (("--station", "gut"), ("--station", "race")),
    "sky": (("--spot", "ledge"), ("--spot", "bar")),
    "datums": (("--station", "pier"),),
}
"""How each place that a whole file's result has is asked for alone."""
KEYS = {"levels": "stations", "currents": "stations", "sky": "places"}


def options(command: str) -> tuple[str, ...]:
    return () if command == "datums" else ASKED


@pytest.fixture
def folder(tmp_path):
    """Two files, each of two stations (one secondary), two currents and two spots."""
    place = tmp_path / "files"
    place.mkdir()
    parts = (SIMPLE_STATION, SECOND_STATION, CURRENTS, SIMPLE_SPOT, SECOND_SPOT)
    for name, zone in (("a", "Europe/London"), ("b", "UTC")):
        written(place, head(zone), *parts, name=f"{name}.toml")
    return place


@pytest.mark.parametrize("command", PLACES)
def test_rows_and_texts_of_all_places(folder, tmp_path, command):
    out = tmp_path / "out"
    for form in ("table", "csv", "json"):
        asked = (*options(command), "--format", form, "-o", out)
        result = run(command, folder, *asked)
        assert (result.code, result.out) == (0, ""), result.err
        assert f"wrote 2 of 2 results to {out}" in result.err
    for stem in "ab":
        file = folder / f"{stem}.toml"
        each = [
            done(command, file, *options(command), *place, "--format", "csv").splitlines()
            for place in PLACES[command]
        ]
        rows = [each[0][0], *(line for lines in each for line in lines[1:])]
        assert (out / f"{stem}.csv").read_text(encoding="utf-8").splitlines() == rows
        texts = [done(command, file, *options(command), *place) for place in PLACES[command]]
        assert (out / f"{stem}.txt").read_text(encoding="utf-8") == "\n".join(texts)


@pytest.mark.parametrize("command", PLACES)
def test_the_header_lists_several_places(folder, tmp_path, command):
    assert run(command, folder, *options(command), "--format", "json", "-o", tmp_path / "out").code == 0
    found = json.loads((tmp_path / "out" / "a.json").read_text(encoding="utf-8"))
    if command == "datums":  # the secondary station has none, so one stands in the header itself
        assert found["station"] == "pier"
        return
    key = "place" if command == "sky" else "station"
    named = [words[1] for words in PLACES[command]]
    assert [item[key] for item in found[KEYS[command]]] == named
    assert key not in found
    assert {row[key] for row in found["rows"]} == set(named)


@pytest.mark.parametrize("command", PLACES)
def test_one_place_of_every_file(folder, tmp_path, command):
    place = PLACES[command][-1]
    assert (
        run(command, folder, *options(command), *place, "--format", "json", "-o", tmp_path / "out").code == 0
    )
    found = json.loads((tmp_path / "out" / "b.json").read_text(encoding="utf-8"))
    assert found["place" if command == "sky" else "station"] == place[1]
    document = tomllib.loads((folder / "b.toml").read_text(encoding="utf-8"))
    every = [*document["spots"], *document["stations"], *document.get("currents", [])]
    (name,) = {item["name"] for item in every if item["id"] == place[1]}
    assert found["name"] == name


@pytest.mark.parametrize("command", [*PLACES, "check"])
def test_a_file_that_fails_leaves_the_rest(folder, tmp_path, command):
    (folder / "bad.toml").write_text("title = 1\n", encoding="utf-8")
    result = run(command, folder, *(() if command == "check" else options(command)), "-o", tmp_path / "out")
    assert result.code == 1
    assert "bad.toml" in result.err and "wrote 2 of 3 results" in result.err
    assert sorted(contents(tmp_path / "out")) == ["a.txt", "b.txt"]


def test_a_file_without_what_is_listed_is_its_own_problem(folder, tmp_path):
    written(folder, head(), SIMPLE_STATION, name="c.toml")
    result = run("currents", folder, *ASKED, "-o", tmp_path / "out")
    assert result.code == 1
    assert "c.toml: which current? The file has no [[currents]]" in result.err
    assert sorted(contents(tmp_path / "out")) == ["a.txt", "b.txt"]


def test_sky_of_a_file_without_spots_is_that_of_its_stations(tmp_path):
    place = tmp_path / "files"
    place.mkdir()
    written(place, head(), SIMPLE_STATION, SECOND_STATION)
    assert run("sky", place, *ASKED, "--format", "csv", "-o", tmp_path / "out").code == 0
    lines = (tmp_path / "out" / "shore.csv").read_text(encoding="utf-8").splitlines()[1:]
    assert {line.split(",")[0] for line in lines} == {"pier", "quay"}


def test_a_station_s_sky_is_its_own_where_a_spot_has_its_id(tmp_path):
    path = written(tmp_path, head(), SIMPLE_STATION, spot("pier", "pier", 51.0, -4.5))
    asked = (path, "--start", "2026-08-10", "--format", "json")
    assert json.loads(done("sky", *asked))["latitude"] == 51.0  # the only spot
    assert json.loads(done("sky", *asked, "--spot", "pier"))["latitude"] == 51.0
    assert json.loads(done("sky", *asked, "--station", "pier"))["latitude"] == 50.1


@pytest.mark.parametrize("command", [*PLACES, "check"])
def test_jobs_and_results_pass_between_processes(command):
    """What each command asks of a process, and what comes back, are plain values."""
    job = {
        "levels": LevelsJob(0.0, 80, "csv", Choice(), Span(date(2045, 8, 10), 2), 3600.0, None),
        "currents": CurrentsJob(0.0, 80, "csv", Choice(), Span(None, 2)),
        "sky": SkyJob(0.0, 80, "csv", Choice(spot="ledge"), Span(None, 2)),
        "datums": DatumsJob(0.0, 80, "csv", Choice(station="pier"), 1983, "mllw"),
        "check": CheckJob(2026, 80),
    }[command]
    again = pickle.loads(pickle.dumps(job))
    assert again == job and again.form == job.form
    answer = Answer("text", ("remark",))
    assert pickle.loads(pickle.dumps(answer)) == answer


class TestCheck:
    def test_each_result_is_what_a_file_gets_alone(self, folder, tmp_path):
        out = tmp_path / "out"
        assert run("check", folder, "-o", out, "--workers", "1").code == 0
        assert contents(out) == {
            f"{stem}.txt": done("check", folder / f"{stem}.toml").encode() for stem in "ab"
        }

    def test_without_a_folder_for_them_they_go_to_the_screen(self, folder):
        (folder / "ab.toml").write_text("title = 1\n", encoding="utf-8")
        result = run("check", folder)
        assert result.code == 1
        assert result.out == "\n".join(done("check", folder / f"{stem}.toml") for stem in "ab")
        assert "ab.toml" in result.err
        assert result.err.endswith("2 of 3 files without a problem\n")

    def test_workers_are_for_a_folder(self, folder):
        assert "--workers" in refused(2, "check", folder / "a.toml", "--workers", "2")


class TestRemarks:
    """Sentences that stand beside a result name the file they belong to, in the order of files."""

    def test_a_sky_beyond_the_ephemeris(self, folder, tmp_path):
        result = run("sky", folder, "--start", "2100-01-01", "-o", tmp_path / "out", "--workers", "2")
        assert result.code == 0
        told = [line for line in result.err.splitlines() if "approximate" in line]
        assert [line.split(": ")[0] for line in told] == [str(folder / "a.toml")] * 2 + [
            str(folder / "b.toml")
        ] * 2

    def test_levels_too_many_to_hold(self, folder, tmp_path, monkeypatch):
        monkeypatch.setattr("windows.cli.levels.MOST_ROWS", 10)
        result = run("levels", folder, *ASKED, "-o", tmp_path / "out", "--workers", "1")
        assert result.code == 1
        assert f"{folder / 'a.toml'}: 48 rows are more than 10" in result.err

    def test_readings_are_of_one_station(self, folder, tmp_path):
        asked = (*ASKED, "-o", tmp_path / "out", "--observed", tmp_path / "x.csv")
        assert "--observed" in refused(2, "levels", folder, *asked)
