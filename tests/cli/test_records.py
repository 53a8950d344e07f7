"""Record and weather through the real command: chance, ranges, wind, chop and their faults."""

import csv
import io
import json
import re

import numpy as np
import pytest

from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from tests.cli.runs import REPOSITORY, refused, run
from tests.harmonics.conftest import station_of
from tests.harmonics.records_of import HOUR, red_noise

NOW = 1786363200.0
"""10 August 2026, 12 h UTC."""
WAVES = [("M2", 0.5, 110.0), ("S2", 0.15, 150.0), ("K1", 0.05, 30.0)]
FORESEEN = {"chance", "level_low_m", "level_high_m", "wind_kn", "chop_m"}
HEAD = """title = "Made shore"
time_zone = "Europe/London"
units = "metres"
"""
STATION = """
[[stations]]
id = "pier"
name = "Pier"
latitude = 50.1
longitude = -5.2
datum = "chart datum"
mean_level = 2.0
length_unit = "metres"
constituents = [
  { name = "M2", amplitude = 0.5, phase = 110.0 },
  { name = "S2", amplitude = 0.15, phase = 150.0 },
  { name = "K1", amplitude = 0.05, phase = 30.0 },
]
"""
SPOT = """
[[spots]]
id = "ledge"
name = "Ledge"
latitude = 50.11
longitude = -5.21
station = "pier"
slack_lag = 0
"""
RECORD = 'record = { file = "gauge.csv", zone = "UTC", units = "metres" }\n'
EXPOSED = """exposed = [ { from = 180, to = 300, fetch_km = 12, depth_m = 6 } ]
ebb_direction = 240
"""


@pytest.fixture(autouse=True)
def cache(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def gauge(folder, days=110, shift=0.0, scale=1.0, name="gauge.csv"):
    """A made record of the pier up to August 2026."""
    t = year_start(2026) + 105 * 86400.0 + HOUR * np.arange(days * 24)
    level = levels(station_of(WAVES, mean_level=2.0), t) + red_noise(len(t), 10.0, 0.15, 4)
    stamps = [str(np.datetime64(int(x + shift), "s")) for x in t]
    lines = [f"{stamp},{x * scale:.3f}" for stamp, x in zip(stamps, level, strict=True)]
    (folder / name).write_text("\n".join(["time,level", *lines]))
    return t, level


def forecast_weather(folder, wind="20", direction="240", thunder="5", hours=96, made="2026-08-10T06:00Z"):
    lines = [
        f"# forecast_reference_time: {made}",
        "time_utc,wind_speed [kn],wind_from_direction [degree],wind_speed_of_gust [kn],"
        "air_pressure_at_mean_sea_level [hPa],thunderstorm_probability [%],sea_surface_temperature [degC]",
    ]
    for hour in range(0, hours, 3):
        stamp = np.datetime64("2026-08-10T00:00") + np.timedelta64(hour, "h")
        lines.append(f"{stamp},{wind},{direction},28,1003.25,{thunder},16")
    (folder / "weather.csv").write_text("\n".join(lines))


@pytest.fixture
def shore(tmp_path):
    def make(record=True, weather=True, spot="", station="", fishing=""):
        text = HEAD + STATION + (RECORD if record else "") + station + SPOT + spot + fishing
        if weather:
            text += '\n[weather]\nfile = "weather.csv"\n'
            forecast_weather(tmp_path)
        if record:
            gauge(tmp_path)
        path = tmp_path / "shore.toml"
        path.write_text(text)
        return path

    return make


def week(path, *more):
    found = run("week", path, "--start", "2026-08-10", "--days", "5", *more, now=NOW)
    assert found.code == 0, found.err
    return found.out


def rows(text):
    return list(csv.DictReader(io.StringIO(text)))


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


class TestWeather:
    def test_wind_and_chop_are_told(self, shore):
        path = shore(record=False, spot=EXPOSED)
        found = rows(week(path, "--format", "csv"))
        known = [row for row in found if row["wind_kn"]]
        assert known
        assert len(known) < len(found)  # it ends after four days
        assert float(known[0]["wind_kn"]) == pytest.approx(20.0)
        assert 0.3 < float(known[0]["chop_m"]) < 1.2
        text = " ".join(week(path).split())
        assert "wind up to 20 kn from WSW, gusts 28" in text
        assert "chop up to" in text
        assert "water 16 °C" in text
        assert "Wind against the ebb" in text
        assert "Weather from the file made Mon 10 Aug 07:00" in text

    def test_cautions_change_their_words_and_stay(self, shore):
        text = " ".join(week(shore(record=False)).split())
        assert "Not for navigation. Tide, and weather from the file made Mon 10 Aug 07:00" in text
        assert "wind and waves from the file made Mon 10 Aug 07:00" in text
        for part in (
            "Check the marine forecast",
            "Wear a lifejacket",
            "Licences",
            "Not for navigation; weather",
        ):
            assert part in text
        told = json.loads(week(shore(record=False), "--format", "json"))
        assert told["cautions"][0].startswith("Not for navigation. Tide, and weather from the file")
        assert len(told["cautions"]) == 4

    @pytest.mark.parametrize(
        ("key", "words"),
        [
            ("greatest_wind = 15", "the wind"),
            ("greatest_chop = 0.2", "the chop"),
            ("thunder_from = 5", "thunder"),
        ],
    )
    def test_gates_shut_where_it_is_known_and_nowhere_else(self, shore, key, words):
        open_days = rows(week(shore(record=False, spot=EXPOSED), "--format", "csv"))
        shut = rows(week(shore(record=False, spot=EXPOSED + key + "\n"), "--format", "csv"))
        early = [row["day"] for row in shut if row["day"] <= "2026-08-12"]
        assert early == []
        assert [row["day"] for row in open_days if row["day"] <= "2026-08-12"]
        assert [row["session_start_utc"] for row in shut if row["day"] > "2026-08-14"] == [
            row["session_start_utc"] for row in open_days if row["day"] > "2026-08-14"
        ]
        assert words in week(shore(record=False, spot=EXPOSED + key + "\n"))

    def test_likely_thunder_shuts_whether_the_file_says_so_or_not(self, shore, tmp_path):
        path = shore(record=False)
        forecast_weather(tmp_path, thunder="60")
        assert not [row for row in rows(week(path, "--format", "csv")) if row["day"] <= "2026-08-12"]
        assert "thunder is likely" in week(path)
        forecast_weather(tmp_path, thunder="20")
        assert "Thunder: leave the water" in week(path)

    def test_pressure_alone_moves_the_level(self, shore):
        plain = rows(week(shore(record=False, weather=False), "--format", "csv"))
        moved = rows(week(shore(record=False), "--format", "csv"))
        same = [
            (a, b)
            for a, b in zip(plain, moved, strict=False)
            if a["session_start_utc"] == b["session_start_utc"]
        ]
        assert same
        for before, after in same:
            if after["wind_kn"]:
                rise = float(after["level_peak_m"]) - float(before["level_peak_m"])
                assert rise == pytest.approx(0.1, abs=0.002)
                assert float(after["departure_peak_m"]) == pytest.approx(0.1, abs=0.002)
        assert "what the weather does to it" in " ".join(week(shore(record=False)).split())

    def test_weather_given_takes_the_place_of_the_file_s(self, shore, tmp_path):
        path = shore(record=False, weather=False)
        forecast_weather(tmp_path, wind="7")
        found = rows(week(path, "--weather", tmp_path / "weather.csv", "--format", "csv"))
        assert float(next(row["wind_kn"] for row in found if row["wind_kn"])) == pytest.approx(7.0)

    def test_faults_are_named(self, shore, tmp_path):
        path = shore(record=False)
        (tmp_path / "weather.csv").write_text("time_utc,windspeed [kn]\n2026-08-10 00:00,3\n")
        assert "'wind_speed'?" in refused(1, "week", path, now=NOW)
        (tmp_path / "weather.csv").unlink()
        assert "weather.csv" in refused(1, "week", path, now=NOW)

    @pytest.mark.parametrize(
        ("table", "told"),
        [
            ("weather = 'w.csv'", "weather: found 'w.csv'; expected a table with file"),
            ("[weather]\nzone = 'UTC'", "weather.file: found nothing"),
            ("[weather]\nfile = 'w.csv'\nzone = 'Mars'", "weather.zone: found 'Mars'"),
        ],
    )
    def test_a_table_that_makes_no_sense(self, tmp_path, table, told):
        path = tmp_path / "shore.toml"
        head = table + "\n" if table.startswith("weather") else ""
        tail = "" if head else f"\n{table}\n"
        path.write_text(head + HEAD + STATION + SPOT + tail)
        assert told in refused(1, "week", path, now=NOW)

    @pytest.mark.parametrize(
        ("spot", "told"),
        [
            ("exposed = [ { from = 400, to = 1, fetch_km = 1, depth_m = 1 } ]", "exposed[0].from: found 400"),
            ("exposed = [ { to = 1, fetch_km = 1, depth_m = 1 } ]", "exposed[0].from: found nothing"),
            ("exposed = [ { from = 1, to = 1, fetch_km = 0, depth_m = 1 } ]", "exposed[0].fetch_km: found 0"),
            ("exposed = [ { from = 1, to = 9, fetch = 2, fetch_km = 3, depth_m = 1 } ]", "an unknown key"),
            ("exposed = 3", "exposed: found 3"),
            ("greatest_wind = -1", "greatest_wind: found -1"),
            ("thunder_from = 0", "thunder_from: found 0"),
            ("greatest_chop = -1", "greatest_chop: found -1"),
        ],
    )
    def test_keys_that_make_no_sense(self, shore, spot, told):
        assert told in refused(1, "week", shore(record=False, spot=spot + "\n"), now=NOW)


class TestBoth:
    def test_a_record_with_the_weather_of_its_time_moves_levels_by_its_own_response(self, shore, tmp_path):
        path = shore(station='record_weather = "past.csv"\n')
        t, level = gauge(tmp_path)
        rng = red_noise(len(t), 40.0, 800.0, 9)
        pressure = 101325.0 + rng
        answered = level - 1.5e-4 * rng  # half as much again as hydrostatics
        stamps = [str(np.datetime64(int(x), "s")) for x in t]
        (tmp_path / "gauge.csv").write_text(
            "\n".join(["time,level", *(f"{a},{b:.3f}" for a, b in zip(stamps, answered, strict=True))])
        )
        (tmp_path / "past.csv").write_text(
            "\n".join(
                [
                    "time_utc,air_pressure_at_mean_sea_level [hPa]",
                    *(f"{a},{b / 100:.2f}" for a, b in zip(stamps, pressure, strict=True)),
                ]
            )
        )
        text = " ".join(week(path).split())
        assert "Past weather explains" in text
        assert "which moves levels here" in text
        found = [row for row in rows(week(path, "--format", "csv")) if row["wind_kn"]]
        late = [row for row in found if row["day"] == "2026-08-13"]
        assert float(late[0]["departure_peak_m"]) == pytest.approx(0.15, abs=0.05)


def test_columns_stand_where_machines_look(shore):
    header = next(csv.reader(io.StringIO(week(shore(), "--format", "csv"))))
    assert set(header) >= FORESEEN


class TestProve:
    """`prove` through the real command."""

    def proof(self, path, *more):
        found = run("prove", path, "--from", "2026-07-01", *more, now=NOW)
        assert found.code == 0, found.err
        return found.out

    def fault(self, *arguments):
        return refused(1, "prove", *arguments, now=NOW)

    def test_one_sentence_first_and_the_same_numbers_in_every_format(self, shore):
        path = shore(weather=False)
        found = rows(self.proof(path, "--format", "csv"))
        came = sum(int(row["came"]) for row in found)
        sentence = f"Of {len(found)} sessions forecast here from 1 Jul 2026 to 3 Aug 2026, {came} came true"
        told = json.loads(self.proof(path, "--format", "json"))
        assert told["sentence"].startswith(sentence)
        assert [row["session_start_utc"] for row in found] == [
            row["session_start_utc"] for row in told["rows"]
        ]
        assert [float(row["chance"]) for row in found] == [row["chance"] for row in told["rows"]]
        assert sum(tenth["count"] for tenth in told["sessions"]["reliability"]) == len(found)
        text = " ".join(self.proof(path).split())
        assert sentence in text
        assert text.index(sentence) < 80
        assert "Brier score of the chances of sessions, 0 being perfect" in text
        drawing = self.proof(path, "--format", "svg")
        assert sentence in drawing
        assert drawing.count("<circle") > 4
        assert "Not for navigation" in text
        assert "Not for navigation" in drawing

    def test_constants_may_come_from_the_record(self, shore):
        told = json.loads(self.proof(shore(weather=False), "--refit", "--format", "json"))
        assert told["constants"] == "first part"

    def test_what_can_t_be_proved_is_said(self, shore):
        path = shore(record=False, weather=False)
        assert "which station? Name one with --station; those with a record: none" in self.fault(path)
        assert "station 'pier' names no record" in self.fault(path, "--station", "pier")
        path = shore(weather=False)
        assert "expected a part before 2026-08-02 and 14 days" in self.fault(path, "--from", "2026-08-02")
        assert "no spot 'nowhere'" in self.fault(path, "--spot", "nowhere")


class TestDemo:
    """The invented coast that has a record and weather."""

    PATH = REPOSITORY / "demo_records" / "brindle_lagoon.toml"

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


class TestWeatherOfTheDay:
    """Temperatures and the wind on the way, where the weather's file knows them: it says 16 °C and 20 kn."""

    BANK = '\n[[banks]]\nid = "flat"\nname = "Mud flat"\nstation = "pier"\nbare_below = 1.9\n'

    @pytest.mark.parametrize(
        ("liked", "said"), [([17, 22], "colder than the 17 to 22"), ([8, 14], "warmer than the 8 to 14")]
    )
    def test_water_that_a_fish_does_not_like_is_said(self, shore, liked, said):
        fish = f'\n[[quarry]]\nname = "bass"\ntemperature = ["{liked[0]}C", "{liked[1]}C"]\n'
        text = " ".join(week(shore(record=False, fishing=fish), "--quarry", "bass").split())
        assert f"The water, 16 °C, is {said} °C of bass." in text
        assert "The water, 16 °C" not in " ".join(week(shore(record=False, fishing=fish)).split())

    def test_water_that_it_likes_is_not(self, shore):
        fish = '\n[[quarry]]\nname = "bass"\ntemperature = ["12C", "20C"]\n'
        assert "°C of bass" not in week(shore(record=False, fishing=fish), "--quarry", "bass")

    @pytest.mark.parametrize(
        ("degrees", "said"), [("16", "at 16 °C crabs are about"), ("9", "at 9 °C crabs will mostly stay")]
    )
    def test_crabs_by_the_water_of_the_day(self, shore, degrees, said):
        path = shore(record=False, spot='bank = "flat"\n', fishing=self.BANK)
        table = path.parent / "weather.csv"
        table.write_text(table.read_text().replace(",16\n", f",{degrees}\n"))
        assert said in " ".join(week(path, "--why", "all").split())
        path = shore(record=False, weather=False, spot='bank = "flat"\n', fishing=self.BANK)
        assert "below about 15 °C crabs stay" in " ".join(week(path, "--why", "all").split())

    def test_wind_on_the_way_of_a_plan(self, shore):
        ramp = '\n[[landings]]\nid = "ramp"\nname = "Ramp"\nlatitude = 50.12\nlongitude = -5.22\n'
        ramp += "[boat]\nspeed_kn = 6\n"
        asked = ("--start", "2026-08-10", "--days", "2")
        path = shore(record=False, fishing=ramp)
        assert "wind up to 20 kn from WSW, gusts 28" in " ".join(
            run("plan", path, *asked, now=NOW).out.split()
        )
        path = shore(record=False, weather=False, fishing=ramp)
        assert "wind up to" not in run("plan", path, *asked, now=NOW).out

    def test_a_trip_s_forecast_keeps_the_chance_of_its_water(self, shore, tmp_path):
        trip = ("--spot", "ledge", "--start", "2026-08-10 08:00", "--end", "2026-08-10 10:00", "--nothing")
        chances = []
        for record in (True, False):
            path = shore(record=record, weather=False)
            place = ("--log", tmp_path / f"{record}.db")
            done = run("log", "add", path, *trip, *place, now=NOW + 86400.0)
            assert done.code == 0, done.err
            (row,) = rows(run("log", "list", path, *place, "--format", "csv", now=NOW).out)
            chances.append(row["chance"])
        assert 0.0 <= float(chances[0]) <= 1.0
        assert chances[1] == ""
