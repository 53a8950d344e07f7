"""Weather through the real command: wind, chop, thunder, temperatures, levels, and their faults."""

import json

import numpy as np
import pytest

from tests.cli.records.coast import (
    EXPOSED,
    HEAD,
    NOW,
    SPOT,
    STATION,
    forecast_weather,
    gauge,
    red_noise,
    rows,
    week,
)
from tests.cli.runs import done, refused
from tests.windows.outing.shores import landing


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

    def test_a_plan_takes_the_weather_that_is_given(self, shore, tmp_path):
        path = shore(record=False, weather=False)
        path.write_text(path.read_text() + landing(latitude=50.12, longitude=-5.22))
        forecast_weather(tmp_path, wind="7")
        words = ("plan", path, "--start", "2026-08-10", "--days", "3", "--format", "json")
        assert "wind up to" not in done(*words, now=NOW)
        assert "wind up to 7 kn from WSW" in done(*words, "--weather", tmp_path / "weather.csv", now=NOW)

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
