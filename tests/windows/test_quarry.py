"""One fish for score, log and rules: named by a file, a spot or for one run. All fish here are invented."""

from datetime import UTC, date, datetime

import pytest

from harmonics.errors import FileProblemsError, UnknownNameError
from tests.cli.runs import done, refused, rows
from tests.coasts import SIMPLE_STATION, head, spot, written
from windows.conditions.clock_gates import OutOfSeason
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.forecast.reports import Lack
from windows.log.storage import SqliteStore
from windows.shoreline.shore import read_shore
from windows.shoreline.spots import ALL_MONTHS, LightPreference

FISH = """
[[quarry]]
name = "Grey grunter"
light = "night"
speeds = { nothing_below = 0.2, full_from = 0.5, full_to = 1.5, nothing_above = 2.2 }
months = ["sep", "oct"]

[[quarry]]
name = "Sand digger"
light = "day"
"""
SPEED = "[spots.flow]\nstrong_ebb = 1.4\n"


@pytest.fixture
def read(tmp_path):
    def reader(keys: str = "", fishing: str = ""):
        place = spot("ledge", "pier", 50.11, -5.21, f"slack_lag = 15\n{keys}")
        return read_shore(
            written(tmp_path, head("Europe/London"), SIMPLE_STATION, place, SPEED, FISH, fishing)
        )

    return reader


def wanted(shore):
    return shore.spots[0].preferences


class TestNaming:
    def test_none(self, read):
        found = wanted(read())
        assert (found.quarry, found.light, found.months) == (None, LightPreference.LOW, ALL_MONTHS)

    @pytest.mark.parametrize("place", ["spot", "file"])
    def test_it_brings_light_speeds_and_months(self, read, place):
        named = 'quarry = "grey  GRUNTER"'
        found = wanted(read(named) if place == "spot" else read(fishing=f"[fishing]\n{named}\n"))
        assert (found.quarry, found.light, found.months) == ("Grey grunter", LightPreference.NIGHT, (9, 10))
        assert found.speeds.full_to == pytest.approx(1.5 * 1852 / 3600)

    def test_what_it_does_not_say_stays(self, read):
        before, found = wanted(read()), wanted(read('quarry = "Sand digger"'))
        assert (found.light, found.speeds, found.months) == (LightPreference.DAY, before.speeds, ALL_MONTHS)

    def test_keys_of_the_same_table_stand_over_it(self, read):
        found = wanted(read('quarry = "Grey grunter"\nlight = "any"'))
        assert (found.light, found.months) == (LightPreference.ANY, (9, 10))

    def test_a_spots_fish_stands_over_the_files_keys(self, read):
        found = wanted(read('quarry = "Sand digger"', '[fishing]\nquarry = "Grey grunter"\nlight = "any"\n'))
        assert (found.quarry, found.light, found.months) == ("Sand digger", LightPreference.DAY, ALL_MONTHS)

    def test_one_that_is_not_there(self, read):
        with pytest.raises(FileProblemsError) as error:
            read('quarry = "Cod"')
        (problem,) = error.value.problems
        assert problem.where == "spots[0].quarry"
        assert "(Grey grunter, Sand digger)" in problem.expected
        with pytest.raises(UnknownNameError, match="the file's fish: Grey grunter, Sand digger"):
            read().fish("Cod")


class TestSeason:
    def forecast(self, shore, first: date, days: int = 1):
        return make_forecast(shore, shore.spots, first, days, Outlook(0.0))

    def test_its_last_day_counts_and_the_next_does_not(self, read):
        shore = read('quarry = "Grey grunter"\nlight = "any"')
        days = self.forecast(shore, date(2026, 10, 31), 2).spots[0].days
        assert [day.day.month for day in days] == [10, 11]
        assert days[0].sessions
        assert not days[1].sessions
        lack = days[1].no_window
        assert (lack.lack, lack.gate) == (Lack.SHUT, OutOfSeason)

    def test_midnight_of_the_first_day_is_the_local_clock_s(self, read):
        shore = read('quarry = "Grey grunter"\nlight = "any"')
        (report,) = self.forecast(shore, date(2026, 8, 31), 2).spots
        start = report.days[1].start
        gate = next(gate for gate in report.curve.shut if isinstance(gate, OutOfSeason))
        shut = report.curve.shut[gate]
        assert shut[report.curve.t < start].all()
        assert not shut[report.curve.t >= start].any()

    def test_months_that_hold_the_whole_span_make_no_gate(self, read):
        shore = read('quarry = "Grey grunter"')
        (report,) = self.forecast(shore, date(2026, 9, 10)).spots
        assert not any(isinstance(gate, OutOfSeason) for gate in report.curve.shut)

    def test_the_words(self, read):
        shore = read('quarry = "Grey grunter"')
        text = " ".join(done("week", shore.path, "--start", "2026-11-02").split())
        assert "only while it is not the season of the fish" in text
        page = done("week", shore.path, "--start", "2026-09-07", "--format", "page")
        assert "After Grey grunter: light, speeds and months are those said of it." in page
        assert "outside Sep, Oct" in page
        assert "after Grey grunter, light night" in " ".join(done("check", shore.path).split())


class TestForOneRun:
    def test_it_changes_the_points_as_the_file_would(self, read):
        plain = read()
        asked = ("--start", "2026-09-07", "--days", "3")
        for_one_run = rows("best", plain.path, *asked, "--quarry", "grey grunter")
        without = rows("best", plain.path, *asked)
        named = rows("best", read('quarry = "Grey grunter"').path, *asked)
        assert for_one_run == named != without

    @pytest.mark.parametrize("command", ["week", "best", "compare", "plan"])
    def test_one_that_is_not_there(self, read, command):
        message = refused(1, command, read().path, "--quarry", "Cod")
        assert "no [[quarry]] 'Cod'" in message

    def test_the_log_speaks_of_the_same_fish(self, read, tmp_path):
        shore, log = read('quarry = "Grey grunter"'), tmp_path / "trips.db"
        hours = ("--start", "2026-08-09 17:30", "--end", "20:15", "--nothing", "--log", log)
        done("log", "add", shore.path, *hours)
        done("log", "add", shore.path, *hours, "--quarry", "sand digger")
        with SqliteStore(log) as store:
            grunter, digger = store.trips()
        assert (grunter.quarry, digger.quarry) == ("Grey grunter", "Sand digger")
        assert grunter.forecast.points == 0.0, "August is not its season"
        assert digger.forecast.points > 0.0

    def test_its_season_begins_with_the_local_day(self, tmp_path):
        """The last hours of 31 August in Chicago are 1 September in UTC."""
        place = spot("ledge", "pier", 29.3, -90.6, 'slack_lag = 15\nquarry = "Grey grunter"\nlight = "any"')
        tables = (SIMPLE_STATION.replace("-5.2", "-90.6").replace("50.1", "29.3"), place, SPEED, FISH)
        file, log = written(tmp_path, head("America/Chicago"), *tables), tmp_path / "trips.db"
        now = datetime(2026, 9, 5, tzinfo=UTC).timestamp()
        for day, hours in (("2026-08-31", ("18:00", "23:59")), ("2026-09-01", ("00:00", "06:00"))):
            start, end = (f"{day} {hour}" for hour in hours)
            done("log", "add", file, "--start", start, "--end", end, "--nothing", "--log", log, now=now)
        with SqliteStore(log) as store:
            before, after = store.trips()
        assert before.forecast.points == 0.0
        assert after.forecast.points > 0.0


@pytest.mark.parametrize("ends", ['["12C", "12C"]', '["24C", "12C"]'])
def test_a_range_of_temperatures_has_its_lower_end_first(tmp_path, ends):
    place = spot("ledge", "pier", 50.11, -5.21, "slack_lag = 15\n")
    fish = f'[[quarry]]\nname = "Grey grunter"\ntemperature = {ends}\n'
    with pytest.raises(FileProblemsError, match="expected the lower end first"):
        read_shore(written(tmp_path, head("Europe/London"), SIMPLE_STATION, place, fish))
