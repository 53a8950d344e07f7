"""Readings of today's water that the file names, and those that must be refused in words."""

import pytest

from tests.cli.runs import NOW, done, refused, run
from tests.cli.test_observed import ASKED, HOUR, PLANS, ran, readings, table
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, spot, written

COVE = SIMPLE_STATION.replace('"pier"', '"cove"').replace('"Pier"', '"Cove"')
REEF = spot("reef", "cove", 50.2, -5.3)


@pytest.fixture
def shore(tmp_path):
    return written(tmp_path, head("Europe/London"), SIMPLE_STATION, SIMPLE_SPOT)


class TestTheFileNamesItsReadings:
    def with_key(self, shore):
        text = shore.read_text(encoding="utf-8")
        path = shore.with_name("named.toml")
        path.write_text(
            text.replace('name = "Pier"', 'name = "Pier"\nobserved = "gauge.csv"'), encoding="utf-8"
        )
        return path

    @pytest.mark.parametrize("command", [*PLANS, "levels"])
    @pytest.mark.parametrize("form", ["table", "csv", "json"])
    def test_the_key_equals_the_option(self, shore, command, form):
        gauge = readings(shore)
        named = ran(command, self.with_key(shore), *ASKED, "--format", form)
        given = ran(command, shore, *ASKED, "--format", form, "--observed", gauge)
        assert named == given

    def test_the_option_stands_before_the_key(self, shore):
        gauge = readings(shore)
        path = self.with_key(shore)
        other = gauge.rename(gauge.with_name("other.csv"))
        readings(shore, -1.0)
        assert ran("levels", path, "--observed", other) == ran("levels", shore, "--observed", other)

    def test_a_file_that_is_missing_is_named(self, shore):
        path = self.with_key(shore)
        message = refused(1, "week", path)
        assert "gauge.csv" in message and "no such file" in message

    def test_water_alone_takes_no_readings(self, shore):
        readings(shore)
        assert done("tides", self.with_key(shore), *ASKED) == done("tides", shore, *ASKED)

    @pytest.mark.parametrize("command", [*PLANS, "levels"])
    @pytest.mark.parametrize("form", ["table", "csv", "json"])
    def test_readings_of_another_station_change_nothing(self, tmp_path, command, form):
        text = (head("Europe/London"), SIMPLE_STATION, COVE, SIMPLE_SPOT, REEF)
        path = written(tmp_path, *text)
        readings(path)
        named = self.with_key(path)
        asked = (*ASKED, "--format", form, "--spot", "reef")
        assert done(command, named, *asked) == done(command, path, *asked)
        shown = run(command, named, *ASKED, "--format", form, "--spot", "ledge").out
        assert shown != done(command, path, *ASKED, "--format", form, "--spot", "ledge")

    def test_each_station_its_own(self, tmp_path):
        path = written(tmp_path, head("Europe/London"), SIMPLE_STATION, COVE, SIMPLE_SPOT, REEF)
        readings(path)
        found = table("compare", self.with_key(path), *ASKED)
        away = {
            name: [float(row["departure_start_m"]) for row in found if row["spot"] == name]
            for name in ("ledge", "reef")
        }
        assert min(away["ledge"]) > 0.0
        assert set(away["reef"]) == {0.0}


class TestRefused:
    @pytest.mark.parametrize("command", [*PLANS, "levels"])
    def test_readings_from_the_future(self, shore, command):
        gauge = readings(shore, newest=NOW + 2 * HOUR)
        message = refused(1, command, shore, "--observed", gauge)
        assert str(gauge) in message
        assert "2026-08-10 11:30 UTC, later than now (2026-08-10 09:30 UTC)" in message
        assert "clock or zone is wrong" in message

    @pytest.mark.parametrize(("away", "stands"), [(4.0, "+4.00 m"), (-3.5, "-3.50 m")])
    def test_readings_above_another_datum(self, shore, away, stands):
        gauge = readings(shore, away)
        message = refused(1, "week", shore, "--observed", gauge)
        assert str(gauge) in message
        assert f"{stands} from the prediction for Pier" in message
        assert "above Chart datum" in message

    @pytest.mark.parametrize("command", ["best", "compare"])
    def test_readings_for_several_stations(self, tmp_path, command):
        path = written(tmp_path, head("Europe/London"), SIMPLE_STATION, COVE, SIMPLE_SPOT, REEF)
        gauge = readings(path)
        message = refused(1, command, path, "--observed", gauge)
        assert str(gauge) in message and "pier, cove" in message
        assert ran(command, path, "--observed", gauge, "--spot", "reef").out

    def test_a_file_that_is_missing_a_folder_or_no_record(self, shore, tmp_path):
        assert "no such file" in refused(1, "week", shore, "--observed", tmp_path / "none.csv")
        assert "a folder" in refused(1, "week", shore, "--observed", tmp_path)
        assert "a CSV table" in refused(1, "week", shore, "--observed", shore)

    @pytest.mark.parametrize(
        ("text", "words"),
        [
            ("time_utc,level_m\n2026-08-10 08:00,\n2026-08-10 09:00,\n", "no reading in 2 rows"),
            ("time_utc,level_m\n", "no rows under the header"),
            ("time_utc,level\n2026-08-10 08:00,1.0\n", "no unit"),
            ("time_utc,level_m\n2026-08-10 08:00,high\n", "'high'"),
            ("time_utc,level_m\n10.08.2026 08:00,1.0\n", "a time such as"),
            ("time,level_m\n2026-03-29 01:30,1.0\n", "a time the clocks of Europe/London show"),
            ("time_utc,level_m\n2026-08-10 08:00,1.0\n2026-08-10 08:00,2.0\n", "each time once"),
        ],
    )
    def test_a_bad_record_is_told_in_words(self, shore, tmp_path, text, words):
        gauge = tmp_path / "bad.csv"
        gauge.write_text(text, encoding="utf-8")
        for command in ("week", "levels"):
            message = refused(1, command, shore, "--observed", gauge)
            assert str(gauge) in message
            assert words in message

    def test_a_refusal_leaves_the_old_file(self, shore, tmp_path):
        out = tmp_path / "out.txt"
        out.write_text("old", encoding="utf-8")
        gauge = readings(shore, newest=NOW + 2 * HOUR)
        refused(1, "week", shore, "--observed", gauge, "-o", out)
        refused(1, "levels", shore, "--observed", gauge, "-o", out)
        assert out.read_text(encoding="utf-8") == "old"
