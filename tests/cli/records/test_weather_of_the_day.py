"""What the day's weather means for fish, bait and the way."""

import csv
import io

import pytest

from tests.cli.records.coast import (
    FORESEEN,
    NOW,
    rows,
    week,
)
from tests.cli.runs import run


def test_columns_stand_where_machines_look(shore):
    header = next(csv.reader(io.StringIO(week(shore(), "--format", "csv"))))
    assert set(header) >= FORESEEN


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
