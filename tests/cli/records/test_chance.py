"""A record through the real command: chance and ranges, everywhere, and what is refused."""

import csv
import io
import json
import re

import numpy as np
import pytest

from tests.cli.records.coast import (
    FORESEEN,
    NOW,
    gauge,
    rows,
    week,
)
from tests.cli.runs import REPOSITORY, refused, run


class TestRecord:
    def test_every_session_has_its_chance_and_ranges(self, shore):
        found = rows(week(shore(weather=False), "--format", "csv"))
        assert len(found) > 5
        for row in found:
            assert 0.0 <= float(row["chance"]) <= 1.0
            low, high = float(row["points_low"]), float(row["points_high"])
            assert 0.0 <= low <= high <= 100.0
            assert float(row["points"]) <= high + 1e-9  # a mean, and the misses lie on one side
            assert float(row["level_low_m"]) < float(row["level_high_m"])
            assert row["wind_kn"] == row["chop_m"] == ""
        assert len({row["chance"] for row in found}) > 1

    def test_ranges_of_the_level_are_as_wide_as_the_record_s_weather(self, shore):
        found = rows(week(shore(weather=False), "--format", "csv"))
        widths = [float(row["level_high_m"]) - float(row["level_low_m"]) for row in found]
        assert 0.25 < np.mean(widths) < 0.7  # 2.56 deviations of 0.15 m, and what is slow

    def test_check_reads_it_and_tells_its_span(self, shore):
        told = " ".join(run("check", shore(weather=False), now=NOW).out.split())
        assert re.search(r"Records pier: gauge\.csv, \w+ \d+ \w+ \d{4} to .*, \d+ days; no value in", told)

    def test_check_refuses_one_that_can_t_be_read(self, shore):
        path = shore(weather=False)
        (path.parent / "gauge.csv").write_text("time_utc,level_m\n2025-01-01 00:00,x\n")
        assert "found 'x'" in refused(1, "check", path, now=NOW)

    def test_it_is_said_in_every_format(self, shore):
        path = shore(weather=False)
        for form in ("table", "page", "ics"):
            text = week(path, "--format", form).replace("\r\n ", "").replace("\\,", ",").replace("\\;", ";")
            assert "such water came true in" in " ".join(text.split())
        assert "chance " in week(path, "--format", "text")
        told = json.loads(week(path, "--format", "json"))
        assert any(
            "Pier: a record of 110 days gives chance and ranges" in line for line in told["todays_water"]
        )
        assert "Chance" in week(path)
        assert "points, chance " in week(path, "--format", "svg")

    def test_a_drawing_knows_of_the_weather(self, shore):
        drawn = [week(shore(weather=told), "--format", "svg") for told in (True, False)]
        known, unknown = (" ".join(re.sub("<[^>]*>", " ", text).split()) for text in drawn)
        assert "waves are not considered" in unknown
        assert "not considered" not in known
        assert "Wind and waves from the file made" in known

    def test_without_record_and_weather_nothing_of_it_is_said(self, shore):
        path = shore(record=False, weather=False)
        assert "hance" not in week(path)

    def test_their_columns_are_always_there(self, shore):
        path = shore(record=False, weather=False)
        told = [
            *rows(week(path, "--format", "csv")),
            *rows(run("best", path, "--days", "3", "--format", "csv", now=NOW).out),
            *rows(run("compare", path, "--days", "3", "--format", "csv", now=NOW).out),
        ]
        assert told
        assert {row[name] for row in told for name in FORESEEN} == {""}
        listed = json.loads(week(path, "--format", "json"))["rows"]
        assert {row[name] for row in listed for name in FORESEEN} == {None}
        dry = run("week", path, "--format", "csv", "--hours", "03:00-03:05", now=NOW)
        assert set(next(csv.reader(io.StringIO(dry.out)))) >= FORESEEN

    def test_best_compare_and_plan_know_it_too(self, shore):
        path = shore(weather=False)
        for command in ("best", "compare"):
            found = run(command, path, "--start", "2026-08-10", "--days", "4", "--format", "csv", now=NOW)
            assert all(row["chance"] for row in rows(found.out))
            assert "a record of 110 days" in found.err
        assert "a record of 110 days" in run("best", path, now=NOW).out

    def test_a_place_with_differences_takes_them_through_these(self, shore, tmp_path):
        secondary = """
[[stations]]
id = "creek"
name = "Creek"
reference = "pier"
high_water = { minutes = 30, factor = 0.5 }
low_water = { minutes = 30, factor = 0.5 }
"""
        path = shore(weather=False)
        text = path.read_text()
        path.write_text(text.replace('station = "pier"', 'station = "creek"') + secondary)
        creek = rows(week(path, "--format", "csv"))
        path.write_text(text)
        pier = rows(week(path, "--format", "csv"))
        widths = [
            np.mean([float(row["level_high_m"]) - float(row["level_low_m"]) for row in found])
            for found in (creek, pier)
        ]
        assert widths[0] == pytest.approx(0.5 * widths[1], rel=0.1)

    @pytest.mark.parametrize(
        "flow",
        [
            "flow = { strong_ebb = 1.2 }",
            "flow = { basin_area_m2 = 900_000, opening_area_m2 = 60 }",
            "flow = { current = 'race' }",
            "flow = { basin_area_m2 = 900_000, opening_area_m2 = 60, repletion = 0.9 }",
        ],
    )
    def test_every_kind_of_flow_takes_the_record(self, shore, flow):
        path = shore(weather=False)
        race = """
[[currents]]
id = "race"
name = "Race"
latitude = 50.1
longitude = -5.2
flood_direction = 20
ebb_direction = 200
constituents = [ { name = "M2", amplitude = 1.1, phase = 20.0 } ]
"""
        lagless = path.read_text().replace(
            "slack_lag = 0\n", "" if "current" in flow or "repletion" in flow else "slack_lag = 0\n"
        )
        path.write_text(lagless + flow + "\n" + race)
        found = rows(week(path, "--format", "csv"))
        assert found
        assert all(0.0 <= float(row["chance"]) <= 1.0 for row in found)

    def test_a_season_the_record_has_not_is_said(self, shore):
        text = run("week", shore(weather=False), "--start", "2027-01-10", "--days", "3", now=NOW).out
        assert "not of the season, up to" in " ".join(text.split())


class TestWrongRecords:
    @pytest.mark.parametrize(
        ("change", "told"),
        [
            ({"scale": 1 / 0.3048}, "feet read as metres"),
            ({"shift": -18000.0}, "a clock 5 h behind"),
            ({"days": 20}, "20 days of readings"),
        ],
    )
    def test_a_record_that_is_not_of_the_station_is_refused(self, shore, tmp_path, change, told):
        path = shore(weather=False)
        gauge(tmp_path, **change)
        assert told in refused(1, "week", path, now=NOW)

    def test_a_missing_file_names_itself(self, shore, tmp_path):
        path = shore(weather=False)
        (tmp_path / "gauge.csv").unlink()
        assert "gauge.csv" in refused(1, "week", path, now=NOW)

    @pytest.mark.parametrize(
        ("line", "told"),
        [
            ('record = "gauge.csv"\n', "record: found 'gauge.csv'; expected a table with file"),
            ("record = { zone = 'UTC' }\n", "record.file: found nothing"),
            (
                "record = { file = 'gauge.csv', zone = 'Mars' }\n",
                "record.zone: found 'Mars'; expected an IANA",
            ),
            ("record = { file = 'gauge.csv', unit = 'feet' }\n", "record.unit: found an unknown key"),
            ("record = { file = 'gauge.csv', units = 'yards' }\n", "record.units: found 'yards'"),
            ("record_weather = 'w.csv'\n", "record_weather: found weather of no record"),
        ],
    )
    def test_keys_that_make_no_sense(self, shore, line, told):
        path = shore(record=False, weather=False, station=line)
        assert told in refused(1, "week", path, now=NOW)


class TestDemo:
    """The invented coast that has a record and weather."""

    PATH = REPOSITORY / "demo_stations" / "recorded" / "brindle_lagoon.toml"

    def test_sessions_carry_chance_and_wind_and_their_chances_are_proved(self):
        asked = ("--start", "2026-08-10", "--days", "6", "--format", "csv")
        found = rows(run("best", self.PATH, *asked, now=NOW).out)
        assert len({row["spot"] for row in found}) == 2
        assert all(row["chance"] and row["wind_kn"] for row in found)
        told = json.loads(run("prove", self.PATH, "--format", "json", now=NOW).out)
        assert told["invented"]
        tenths = told["hours"]["reliability"]
        assert all(abs(item["said"] - item["seen"]) < 0.12 for item in tenths if item["count"] >= 50)
        assert told["hours"]["brier"] < told["hours"]["brier_tide_alone"]
        assert told["weather_explains"] > 0.5

    def test_every_file_says_that_it_is_invented(self):
        for path in self.PATH.parent.iterdir():
            assert "nvented" in path.read_text(encoding="utf-8").split("\n")[0]
