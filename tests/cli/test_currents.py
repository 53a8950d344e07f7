"""Published currents through the command, and the words of every kind of current."""

import json
import re
import shutil
from itertools import pairwise

import pytest

from tests.cli.runs import SIMPLE_STATION, done, head, refused, rows, spot, utc, written
from tests.conftest import PUBLISHED, published_rows

MINUTES = 0.6
KNOTS = 0.006
TABLES = {"EPT0003": "EPT0003_bin11", "FPI0901": "FPI0901", "PUG1515": "PUG1515"}
SECONDARY = """
[[currents]]
id = "ACT0091"
name = "Off the head"
reference = "EPT0003"
flood_direction = 260
ebb_direction = 80
flood_ratio = 1.2
ebb_ratio = 1.2
"""
HEADER = "station,time_utc,time_local,event,speed_kn,direction_deg"


def published_current(station: str) -> str:
    """The [[currents]] table of a published station: axis and mean flow from the head of its table."""
    name = f"current_constituents_{TABLES[station]}.csv"
    with (PUBLISHED / name).open(encoding="utf-8") as stream:
        line = stream.readline()

    def number(label: str) -> str:
        found = re.search(rf"{label} (-?[\d.]+)", line)
        assert found, label
        return found[1]

    return f"""
[[currents]]
id = "{station}"
name = "Current {station}"
latitude = {number("latitude")}
longitude = {number("longitude")}
flood_direction = {number("flood")}
ebb_direction = {number("ebb")}
mean_flow = {number("mean flow")}
constituents = "{name}"
"""


def sets_of(station: str) -> dict[str, float]:
    """The set of flood and of ebb in the file's table of that station."""
    text = SECONDARY if station == "ACT0091" else published_current(station)
    found = re.findall(r"(flood|ebb)_direction = (\S+)", text)
    return {kind: float(degrees) for kind, degrees in found}


def current(identifier: str, waves: str, mean: float = 0.0) -> str:
    """An invented current along one axis."""
    return f"""
[[currents]]
id = "{identifier}"
name = "Current {identifier}"
latitude = 50.1
longitude = -5.2
flood_direction = 30
ebb_direction = 215
mean_flow = {mean}
constituents = [{waves}]
"""


def wave(name: str, knots: float, phase: float = 0.0) -> str:
    return f'{{ name = "{name}", amplitude = {knots}, phase = {phase} }}'


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    folder = tmp_path_factory.mktemp("currents")
    for table in TABLES.values():
        shutil.copy(PUBLISHED / f"current_constituents_{table}.csv", folder)
    return written(folder, head("America/New_York"), *map(published_current, TABLES), SECONDARY)


class TestPublished:
    # NOAA CO-OPS current predictions, as the first line of noaa_currents_events.csv has it; the notes there
    # say how each row's zone is known.
    @pytest.mark.parametrize(
        "row", published_rows("noaa_currents_events.csv"), ids=lambda row: row["time_utc"]
    )
    def test_every_event_and_no_other_near(self, shore, row):
        day = row["time_utc"][:10]
        start = f"{day[:8]}{int(day[8:]) - 1:02d}"
        ours = rows("currents", shore, "--station", row["station"], "--start", start, "--days", "3")
        t = utc(row["time_utc"])
        near = [mine for mine in ours if abs(utc(mine["time_utc"]) - t) <= 3600.0]
        assert len(near) == 1
        assert near[0]["station"] == row["station"]
        assert near[0]["event"] == row["event"]
        assert abs(utc(near[0]["time_utc"]) - t) <= MINUTES * 60.0
        assert abs(float(near[0]["speed_kn"]) - float(row["speed_kn"])) <= KNOTS

    def test_a_whole_day_of_the_secondary_in_order(self, shore):
        theirs = [
            row
            for row in published_rows("noaa_currents_events.csv")
            if row["station"] == "ACT0091" and row["time_utc"].startswith("2026-01-05")
        ]
        assert len(theirs) == 4
        ours = [
            row["event"]
            for row in rows("currents", shore, "--station", "ACT0091", "--start", "2026-01-04", "--days", "2")
            if utc("2026-01-05 02:00") <= utc(row["time_utc"]) < utc("2026-01-05 12:00")
        ]
        assert ours == [row["event"] for row in theirs]


class TestForm:
    @pytest.mark.parametrize("station", [*TABLES, "ACT0091"])
    def test_header_slack_and_set(self, shore, station):
        asked = ("currents", shore, "--station", station, "--start", "2026-08-15", "--days", "30")
        assert done(*asked, "--format", "csv").splitlines()[0] == HEADER
        found = rows(*asked)
        assert len(found) > 200
        sets = sets_of(station)
        for row in found:
            kind = row["event"].removeprefix("least_")
            if kind == "slack":
                assert float(row["speed_kn"]) == 0.0
                assert row["direction_deg"] == ""
            else:
                assert float(row["direction_deg"]) == sets[kind]
                assert (float(row["speed_kn"]) > 0) == (kind == "flood")

    def test_events_alternate_over_a_year(self, shore):
        found = rows("currents", shore, "--station", "FPI0901", "--start", "2026-01-01", "--days", "365")
        words = [row["event"] for row in found]
        assert sum(word == "slack" for word in words) > 1400
        for first, second in pairwise(words):
            assert first != second
            assert {first, second} != {"flood", "ebb"}
        times = [utc(row["time_utc"]) for row in found]
        assert times == sorted(times)

    def test_local_time_and_json_say_the_same(self, shore):
        asked = ("currents", shore, "--station", "EPT0003", "--start", "2026-08-18", "--days", "1")
        table = rows(*asked)
        assert all(row["time_local"].endswith("-04:00") for row in table)
        assert {row["time_local"][:10] for row in table} == {"2026-08-18"}
        found = json.loads(done(*asked, "--format", "json"))
        assert [row["event"] for row in found["rows"]] == [row["event"] for row in table]
        slack = [row for row in found["rows"] if row["event"] == "slack"]
        assert slack
        assert all(row["direction_deg"] is None and row["speed_kn"] == 0 for row in slack)

    def test_text_has_every_event_of_the_day(self, shore):
        asked = ("currents", shore, "--station", "EPT0003", "--start", "2026-08-18", "--days", "1")
        text = done(*asked)
        for row in rows(*asked):
            minute = round(utc(row["time_local"][:19]) / 60)
            clock = f"{minute // 60 % 24:02d}:{minute % 60:02d}"
            said = f"{row['event']} {clock}"
            if row["event"] != "slack":
                said += f" {abs(float(row['speed_kn'])):.1f} kn to {float(row['direction_deg']):.0f}"
            assert said in text
        assert "Not for navigation" in text


class TestOddWaters:
    def test_a_current_that_never_ebbs(self, tmp_path):
        path = written(tmp_path, head(), current("river", wave("M2", 0.4), mean=0.9))
        found = rows("currents", path, "--start", "2026-03-01", "--days", "5")
        assert {row["event"] for row in found} == {"flood", "least_flood"}
        assert all(0.4 < float(row["speed_kn"]) < 1.4 for row in found)
        assert "least flood" in done("currents", path, "--start", "2026-03-01", "--days", "1")

    def test_a_current_that_never_floods(self, tmp_path):
        path = written(tmp_path, head(), current("drain", wave("M2", 0.4), mean=-0.9))
        found = rows("currents", path, "--start", "2026-03-01", "--days", "5")
        assert {row["event"] for row in found} == {"ebb", "least_ebb"}
        assert {row["direction_deg"] for row in found} == {"215.0"}

    def test_water_that_stands(self, tmp_path):
        path = written(tmp_path, head(), current("pond", wave("M2", 0.0)))
        assert done("currents", path, "--format", "csv").strip() == HEADER
        assert "no slack, flood or ebb" in done("currents", path)

    def test_mean_flow_lengthens_the_ebb_and_strengthens_it(self, tmp_path):
        path = written(
            tmp_path, head(), current("even", wave("S2", 1.0)), current("river", wave("S2", 1.0), -0.3)
        )
        # -0.3 + cos: S2 has neither node factor nor drift, so ebbs run 1.3 kn and floods 0.7 kn
        found = rows("currents", path, "--station", "river", "--start", "2026-03-01", "--days", "3")
        assert {round(float(row["speed_kn"]), 3) for row in found} == {0.0, 0.7, -1.3}
        even = rows("currents", path, "--station", "even", "--start", "2026-03-01", "--days", "3")
        assert {round(float(row["speed_kn"]), 3) for row in even} == {0.0, 1.0, -1.0}


class TestChoice:
    def spots(self):
        return (
            SIMPLE_STATION,
            current("race", wave("M2", 2.0)),
            current("eddy", wave("M2", 0.7)),
            spot("point", "pier", 50.1, -5.2, 'flow = { current = "eddy" }'),
            spot("wall", "pier", 50.1, -5.2),
        )

    def test_the_current_of_a_spot(self, tmp_path):
        path = written(tmp_path, head(), *self.spots())
        asked = ("--start", "2026-03-01", "--days", "2")
        by_spot = rows("currents", path, "--spot", "point", *asked)
        assert by_spot == rows("currents", path, "--station", "eddy", *asked)
        assert {row["station"] for row in by_spot} == {"eddy"}

    def test_a_spot_without_a_current_and_names_that_are_none(self, tmp_path):
        path = written(tmp_path, head(), *self.spots())
        assert "'wall' is not that of a current station" in refused(1, "currents", path, "--spot", "wall")
        assert "no current 'rip'; the file's currents: race, eddy" in refused(
            1, "currents", path, "--station", "rip"
        )
        assert "which current? Name one with --station: race, eddy" in refused(1, "currents", path)
        refused(2, "currents", path, "--station", "race", "--spot", "point")

    def test_a_file_without_currents(self, tmp_path):
        path = written(tmp_path, head(), SIMPLE_STATION)
        assert "none" in refused(1, "currents", path)


class TestTwoComponents:
    """North 1 kn and east 0.5 kn a quarter of a tide later: the set turns clockwise, slack is never still."""

    TEXT = """
[[currents]]
id = "roads"
name = "The roads"
latitude = 50.1
longitude = -5.2
flood_direction = 0
axis_direction = 0
across_direction = 90
constituents = [{ name = "S2", amplitude = 1.0, phase = 0.0 }]
constituents_across = [{ name = "S2", amplitude = 0.5, phase = 90.0 }]
"""

    def test_events_along_the_flood_with_their_true_set(self, tmp_path):
        # V of S2 at 0 h UTC is 0: strongest north at 0 and 12 h, south at 6 and 18 h, slack halfway
        path = written(tmp_path, head(), self.TEXT)
        found = rows("currents", path, "--start", "2026-05-01", "--days", "1")
        assert [(row["time_utc"][11:16], row["event"]) for row in found] == [
            ("00:00", "flood"),
            ("03:00", "slack"),
            ("06:00", "ebb"),
            ("09:00", "slack"),
            ("12:00", "flood"),
            ("15:00", "slack"),
            ("18:00", "ebb"),
            ("21:00", "slack"),
        ]
        sets = [float(row["direction_deg"]) % 360.0 for row in found if row["event"] != "slack"]
        assert [min(abs(a - b), 360 - abs(a - b)) for a, b in zip(sets, (0, 180, 0, 180), strict=True)] == (
            pytest.approx([0.0] * 4, abs=0.1)
        )

    def test_a_set_off_the_flood_direction(self, tmp_path):
        # across in phase with along: the water runs to and fro along atan(0.5) = 26.57 degrees
        text = self.TEXT.replace("phase = 90.0", "phase = 0.0")
        path = written(tmp_path, head(), text)
        found = rows("currents", path, "--start", "2026-05-01", "--days", "3")
        for row in found:
            if row["event"] != "slack":
                expected = 26.565 if row["event"] == "flood" else 206.565
                assert float(row["direction_deg"]) == pytest.approx(expected, abs=0.01)
                # along the flood direction, north, it counts its north part
                assert abs(float(row["speed_kn"])) == pytest.approx(1.0, abs=1e-3)
