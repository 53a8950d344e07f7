"""Options: what is taken when one is left out, what each changes, and wrong usage."""

from datetime import UTC, datetime, timedelta

import pytest

from tests.cli.runs import NOW, document, done, posix, refused, rows, run, utc
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, simple, spot, written
from windows.cli import main

PLANS = ("week", "best", "compare")
COMMANDS = (*PLANS, "tides", "levels", "sky")
NO_DATES = (
    *("", "someday", "2026-02-30", "2026-8-1", "20260810", "2026-W33-1", "0999-12-31", "3000-01-01"),
    *("2026-08-10T00:00", "10.08.2026", "٢٠٢٦-٠٨-١٠"),
)
NO_STEPS = ("0min", "30s", "6", "min", "-6min", "1.5h", "25h", "1441min", "6 fathoms", "")
SECOND_STATION = SIMPLE_STATION.replace('"pier"', '"cove"').replace('"Pier"', '"Cove"')
SECOND_SPOT = spot("reef", "cove", 50.2, -5.3)


@pytest.fixture(scope="module")
def one(tmp_path_factory):
    return simple(tmp_path_factory.mktemp("one"))


@pytest.fixture(scope="module")
def two(tmp_path_factory):
    folder = tmp_path_factory.mktemp("two")
    return written(folder, head("Europe/London"), SIMPLE_STATION, SECOND_STATION, SIMPLE_SPOT, SECOND_SPOT)


class TestLeftOut:
    @pytest.mark.parametrize("command", ["tides", "levels"])
    def test_the_only_station(self, one, command):
        asked = ("--start", "2026-08-10")
        assert rows(command, one, *asked) == rows(command, one, *asked, "--station", "pier")

    @pytest.mark.parametrize("command", ["week", "sky"])
    def test_the_only_spot(self, one, command):
        asked = ("--start", "2026-08-10")
        assert rows(command, one, *asked) == rows(command, one, *asked, "--spot", "ledge")

    @pytest.mark.parametrize("command", ["tides", "levels"])
    def test_stations_are_listed_where_there_are_several(self, two, command):
        message = refused(1, command, two)
        assert "--station" in message
        assert "pier, cove" in message

    @pytest.mark.parametrize("command", ["week", "sky"])
    def test_spots_are_listed_where_there_are_several(self, two, command):
        message = refused(1, command, two)
        assert "--spot" in message
        assert "ledge, reef" in message

    @pytest.mark.parametrize("command", ["best", "compare"])
    def test_all_spots(self, two, command):
        found = document(command, two, "--start", "2026-08-10")
        assert [item["spot"] for item in found["spots"]] == ["ledge", "reef"]
        assert {row["spot"] for row in found["rows"]} == {"ledge", "reef"}
        (only,) = document(command, two, "--start", "2026-08-10", "--spot", "reef")["spots"]
        assert only["spot"] == "reef"

    @pytest.mark.parametrize(
        ("command", "days"), [("week", 7), ("best", 14), ("compare", 7), ("tides", 7), ("levels", 1)]
    )
    def test_start_is_today_and_days_are_as_helped(self, one, command, days):
        found = document(command, one)["rows"]
        key = "time_local" if "time_local" in found[0] else "day"
        seen = {row[key][:10] for row in found}
        today = datetime.fromtimestamp(NOW, UTC).date()
        assert min(seen) >= today.isoformat()
        assert max(seen) <= (today + timedelta(days=days - 1)).isoformat()
        assert len(seen) >= 0.8 * days  # not every afternoon has outgoing water
        if command in PLANS:
            assert document(command, one)["days"] == days
        assert f"default: {days}" in done(command, "--help")

    def test_the_step_is_an_hour(self, one):
        assert rows("levels", one) == rows("levels", one, "--step", "1h")
        assert rows("levels", one) == rows("levels", one, "--step", "60min")


class TestSpotsAndStations:
    @pytest.mark.parametrize("command", ["tides", "levels"])
    def test_a_spot_stands_for_its_station(self, two, command):
        asked = ("--start", "2026-08-10")
        assert rows(command, two, *asked, "--spot", "reef") == rows(command, two, *asked, "--station", "cove")

    def test_sky_at_a_station_is_not_the_sky_at_a_spot(self, two):
        asked = ("--start", "2026-08-10", "--days", "2")
        at_station = rows("sky", two, *asked, "--station", "pier")
        at_spot = rows("sky", two, *asked, "--spot", "reef")
        assert {row["place"] for row in at_station} == {"pier"}
        assert [row["time_utc"] for row in at_station] != [row["time_utc"] for row in at_spot]

    @pytest.mark.parametrize("command", ["tides", "levels", "sky"])
    def test_not_both(self, two, command):
        assert "not both" in refused(2, command, two, "--spot", "reef", "--station", "cove")

    @pytest.mark.parametrize("command", [*PLANS, "tides", "sky"])
    def test_an_unknown_spot_lists_the_known(self, two, command):
        message = refused(1, command, two, "--spot", "nowhere")
        assert "'nowhere'" in message
        assert "ledge, reef" in message
        assert str(two) in message

    @pytest.mark.parametrize("command", ["tides", "levels", "sky"])
    def test_an_unknown_station_lists_the_known(self, two, command):
        message = refused(1, command, two, "--station", "nowhere")
        assert "'nowhere'" in message
        assert "pier" in message and "cove" in message

    @pytest.mark.parametrize("command", PLANS)
    def test_a_file_without_spots_has_water_but_no_windows(self, tmp_path, command):
        path = written(tmp_path, head("UTC"), SIMPLE_STATION)
        assert "[[spots]]" in refused(1, command, path)
        assert rows("tides", path)
        assert {row["place"] for row in rows("sky", path)} == {"pier"}
        assert "0 spots" in done("check", path)


class TestHours:
    def test_week_takes_any_hour_and_best_the_afternoon(self, one):
        asked = ("--start", "2026-08-10", "--days", "14", "--format", "csv")
        assert done("week", one, *asked) == done("week", one, *asked, "--hours", "any")
        assert done("compare", one, *asked) == done("compare", one, *asked, "--hours", "any")
        assert done("best", one, *asked) == done("best", one, *asked, "--hours", "12:00-sunset+1h")
        assert done("best", one, *asked) != done("best", one, *asked, "--hours", "any")

    @pytest.mark.parametrize("command", PLANS)
    def test_the_file_s_hours_stand_before_the_command_s(self, tmp_path, command):
        path = simple(tmp_path, more=['[fishing]\nhours = "05:00-09:00"\n'])
        asked = ("--start", "2026-08-10", "--days", "14")
        ours = rows(command, path, *asked)
        assert ours == rows(command, path, *asked, "--hours", "05:00-09:00")
        assert ours != rows(command, path, *asked, "--hours", "any")

    @pytest.mark.parametrize(
        ("hours", "first", "last"),
        [
            ("06:00-11:30", "06:00", "11:30"),
            ("17:00-20:00", "17:00", "20:00"),
            ("0:00-12:00", "00:00", "12:00"),
        ],
    )
    def test_windows_stay_within_the_hours(self, one, hours, first, last):
        found = rows("week", one, "--start", "2026-08-10", "--days", "14", "--hours", hours)
        assert found
        for row in found:
            assert first <= row["window_start_local"][11:16]
            assert row["window_end_local"][11:16] <= last

    def test_hours_told_from_the_sun(self, one):
        sky = rows("sky", one, "--start", "2026-08-10", "--days", "14")
        sunset = {
            row["time_local"][:10]: utc(row["time_utc"])
            for row in sky
            if row["event"] == "set" and row["body"] == "sun"
        }
        found = rows("week", one, "--start", "2026-08-10", "--days", "14", "--hours", "12:00-sunset+1h")
        assert found
        for row in found:
            assert row["window_start_local"][11:16] >= "12:00"
            assert utc(row["window_end_utc"]) <= sunset[row["day"]] + 3600.0 + 60.0

    def test_a_range_over_midnight(self, one):
        found = rows("week", one, "--start", "2026-08-10", "--days", "14", "--hours", "21:00-03:00")
        before, after = 0, 0
        for row in found:
            start, end = posix(row["window_start_local"]), posix(row["window_end_local"])
            evening = posix(f"{row['day']}T21:00:00+01:00")
            opening = evening if start >= evening else evening - 86400.0
            assert opening <= start < end <= opening + 6 * 3600.0
            before += start >= evening and row["window_end_local"][:10] > row["day"]
            after += start < evening
        assert before and after  # windows across midnight, and windows that start after it

    def test_a_range_over_midnight_belongs_to_the_day_it_starts(self, tmp_path):
        path = simple(tmp_path, more=['[fishing]\ndays = ["wed"]\n'])
        asked = ("--start", "2026-08-10", "--days", "14", "--hours", "21:00-03:00")
        found = rows("week", path, *asked)
        assert found
        for row in found:
            start = posix(row["window_start_local"])
            wednesdays = [posix(f"2026-08-{day}T21:00:00+01:00") for day in (12, 19)]
            assert any(opening <= start < opening + 6 * 3600.0 for opening in wednesdays)

    @pytest.mark.parametrize("command", PLANS)
    @pytest.mark.parametrize(
        "hours",
        ["", "afternoon", "12:00", "25:00-26:00", "12:61-13:00", "12:00-12:00", "sunset+-sunset", "-"],
    )
    def test_hours_that_are_none(self, one, command, hours):
        message = refused(2, command, one, f"--hours={hours}")
        assert "--hours" in message
        assert "expected" in message


class TestWrongUsage:
    @pytest.mark.parametrize("command", COMMANDS)
    @pytest.mark.parametrize("start", NO_DATES)
    def test_a_start_that_is_no_date(self, one, command, start):
        assert "--start" in refused(2, command, one, f"--start={start}")

    @pytest.mark.parametrize("command", COMMANDS)
    @pytest.mark.parametrize("days", ["0", "-1", "7001", "1.5", "week", ""])
    def test_days_out_of_range(self, one, command, days):
        assert "--days" in refused(2, command, one, f"--days={days}")

    @pytest.mark.parametrize("command", PLANS)
    def test_a_forecast_of_at_most_400_days(self, one, command):
        assert "400" in refused(2, command, one, "--days", "401")

    @pytest.mark.parametrize(
        "step", ["0min", "30s", "6", "min", "-6min", "1.5h", "25h", "1441min", "6 fathoms", ""]
    )
    def test_a_step_that_is_none(self, one, step):
        message = refused(2, "levels", one, f"--step={step}")
        assert "--step" in message

    @pytest.mark.parametrize(
        ("step", "count"), [("6min", 240), ("6 MIN", 240), ("1h", 24), ("24h", 1), ("7h", 4)]
    )
    def test_steps(self, one, step, count):
        assert len(rows("levels", one, "--start", "2026-08-10", "--step", step)) == count

    @pytest.mark.parametrize("command", [*COMMANDS, "check"])
    def test_no_file_named_an_unknown_option_and_one_argument_too_many(self, one, command):
        assert "FILE" in refused(2, command)
        assert "--colour" in refused(2, command, one, "--colour")
        assert "unexpected" in refused(2, command, one, one)

    @pytest.mark.parametrize("command", COMMANDS)
    def test_an_unknown_format(self, one, command):
        message = refused(2, command, one, "--format", "yaml")
        assert "csv" in message and "json" in message

    def test_an_unknown_command(self):
        assert "'tomorrow'" in refused(2, "tomorrow")

    @pytest.mark.parametrize("command", ["tides", "levels"])
    def test_windows_options_do_not_fit_water(self, one, command):
        assert "--hours" in refused(2, command, one, "--hours", "any")


class TestHelp:
    @pytest.mark.parametrize("command", [[], *([name] for name in main.list_commands(None))])
    @pytest.mark.parametrize("flag", ["--help", "-h"])
    def test_every_command_helps(self, command, flag):
        text = done(*command, flag)
        assert text.startswith(" ".join(["Usage:", "main", *command]))
        assert text.isascii()
        assert "\x1b" not in text
        assert max(map(len, text.splitlines())) <= 80

    def test_the_group_lists_every_command_with_a_sentence(self):
        text = done("--help")
        for name in main.list_commands(None):
            assert any(line.split()[:1] == [name] and len(line.split()) > 3 for line in text.splitlines())
        assert "Not for navigation" in text

    def test_no_arguments_show_the_help(self):
        result = run()
        assert result.code in (0, 2)  # click 8.2 made it a matter of usage
        assert "Commands:" in result.out + result.err

    def test_version(self):
        assert done("--version").split()[1] == "0.1.0"


def test_the_longest_span_of_water(one):
    found = rows("tides", one, "--start", "1999-01-01", "--days", "7000")
    assert len(found) == pytest.approx(7000 * 24 / 6.2103, rel=0.001)  # a semidiurnal tide's turns, 6.21 h


def test_more_rows_than_fit_are_refused(one, monkeypatch):
    monkeypatch.setattr("windows.cli.levels.MOST_ROWS", 1000)
    message = refused(2, "levels", one, "--days", "2", "--step", "1min")
    assert "2,880" in message and "longer step" in message
