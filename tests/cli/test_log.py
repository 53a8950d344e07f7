"""`log` through the command: trips kept, asked for, changed, listed; zeros, plans, rules; wrong usage."""

import csv
import io
import re
from pathlib import Path

import pytest

from tests.cli.log_runs import DAY, LOG, YESTERDAY, added, kept, shore_of
from tests.cli.runs import NOW, done, refused, utc
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, spot, written
from windows.log.trips import Made, SeenKind
from windows.shoreline.rules import Measured


@pytest.fixture
def shore(tmp_path) -> Path:
    return shore_of(tmp_path)


class TestAdd:
    def test_everything_that_can_be_told(self, shore):
        trip = added(
            shore,
            *("--spot", "ledge", *YESTERDAY, "--anglers", "2", "--fished", "2h", "--measured", "fork"),
            *("--kept", "Flounder 38 41.5@18:40", "--released", "flounder x2", "--released", "sea bass 14in"),
            *("--sought", "Eel", "--quarry", "Flounder", "--bait", "fiddler  crab", "--lead", "6oz"),
            *("--turned-out", "16:05", "--turned-in", "22:20", "--drift", "0.8@18:20", "--drift", "0.5"),
            *("--bared", "09:00", "--covered", "2026-08-09 13:10", "--temperature", "64.4F"),
            *("--wind", "12kn SW", "--clarity", "cloudy", "--words", "late, but worth it"),
        )
        assert (trip.spot, trip.spot_name, trip.shore, trip.zone) == (
            "ledge", "Spot ledge", "A shore", "Europe/London",
        )  # fmt: skip
        assert (trip.start, trip.end) == (utc("2026-08-09 16:30"), utc("2026-08-09 19:15"))
        assert (trip.anglers, trip.fished_for, trip.angler_hours) == (2, 7200.0, 4.0)
        flounder, bass, eel = trip.catches
        assert (flounder.species, bass.species, eel.species, eel.fish) == ("Flounder", "sea bass", "Eel", ())
        assert [(f.kept, f.length, f.measured, f.t) for f in flounder.fish] == [
            (True, 0.38, Measured.FORK, None),
            (True, 0.415, Measured.FORK, utc("2026-08-09 17:40")),
            (False, None, None, None),
            (False, None, None, None),
        ]
        assert bass.fish[0].length == 0.3556
        seen = [(item.kind, item.t) for item in trip.seen]
        assert seen == [
            (SeenKind.TURNED_OUT, utc("2026-08-09 15:05")),
            (SeenKind.TURNED_IN, utc("2026-08-09 21:20")),
            (SeenKind.DRIFT, utc("2026-08-09 17:20")),
            (SeenKind.DRIFT, utc("2026-08-09 17:52:30")),
            (SeenKind.BARED, utc("2026-08-09 08:00")),
            (SeenKind.COVERED, utc("2026-08-09 12:10")),
        ]
        assert trip.seen[2].speed == pytest.approx(0.8 * 1852 / 3600)
        assert (trip.quarry, trip.bait, trip.words) == ("Flounder", "fiddler crab", "late, but worth it")
        assert (trip.lead_held, trip.temperature) == (pytest.approx(0.1701, abs=1e-4), pytest.approx(18.0))
        assert (trip.wind_speed, trip.wind_from) == (pytest.approx(12 * 1852 / 3600), 225.0)
        assert trip.clarity == "cloudy"
        assert trip.logged_at == NOW

    def test_the_forecast_is_frozen_with_its_version(self, shore):
        made = added(shore, *YESTERDAY, "--nothing").forecast
        assert (made.made, made.made_at, made.chance) == (Made.LOGGED, NOW, None)
        assert made.version
        assert made.points == pytest.approx(sum(item.points for item in made.factors))
        assert [item.factor for item in made.factors] == ["flow", "light", "moon"]
        assert [item.most for item in made.factors] == [60.0, 35.0, 5.0]
        shore.write_text(shore.read_text(encoding="utf-8").replace("slack_lag = 15", "slack_lag = 200"))
        assert added(shore, "--start", "2026-08-09 06:00", "--end", "07:00", "--nothing").forecast
        first = next(trip for trip in kept(shore) if trip.number == 1)
        assert first.forecast == made

    def test_a_trip_kept_twice_is_kept_and_said(self, shore):
        first = done("log", "add", shore, *YESTERDAY, "--nothing")
        again = " ".join(done("log", "add", shore, *YESTERDAY, "--nothing").split())
        assert "The same spot and hours" not in first
        assert "The same spot and hours are those of trip 1:" in again
        assert "(ebblight log edit FILE 2 --remove)" in again

    def test_its_points_are_those_of_the_forecast(self, shore):
        """A trip of exactly a session's hours has the session's points; this one has the length wanted."""
        week = ("--start", "2026-08-01", "--days", "3", "--hours", "any", "--format", "csv")
        row = next(iter(csv.DictReader(io.StringIO(done("best", shore, *week, now=0)))))
        hours = ("--start", row["session_start_utc"], "--end", row["session_end_utc"])
        assert utc(row["session_end_utc"]) - utc(row["session_start_utc"]) == 7200.0
        made = added(shore, *hours, "--nothing").forecast
        assert made.points == pytest.approx(float(row["points"]), abs=0.01)
        for item in made.factors:
            assert item.points == pytest.approx(float(row[f"points_{item.factor}"]), abs=0.01)

    @pytest.mark.parametrize(
        ("start", "end", "expected"),
        [
            ("17:30", "20:00", ("2026-08-09 16:30", "2026-08-09 19:00")),
            ("08:00", "10:00", ("2026-08-10 07:00", "2026-08-10 09:00")),
            ("23:00", "01:30", ("2026-08-09 22:00", "2026-08-10 00:30")),
            ("2026-08-08T05:00Z", "2026-08-08 07:30", ("2026-08-08 05:00", "2026-08-08 06:30")),
            ("2026-03-29 00:30", "2026-03-29 03:00", ("2026-03-29 00:30", "2026-03-29 02:00")),
        ],
    )
    def test_clock_times(self, shore, start, end, expected):
        """A clock alone is the last there was and the first after it; the last row jumps an hour ahead."""
        trip = added(shore, "--start", start, "--end", end, "--nothing")
        assert (trip.start, trip.end) == tuple(map(utc, expected))

    def test_lengths_are_inches_where_the_file_counts_in_feet(self, tmp_path):
        file = written(tmp_path, head("UTC", "feet"), SIMPLE_STATION, SIMPLE_SPOT, LOG)
        trip = added(file, *YESTERDAY, "--kept", "flounder 14 38cm")
        assert [fish.length for fish in trip.catches[0].fish] == [0.3556, 0.38]

    def test_a_quarry_of_the_file_is_spelled_as_the_file_spells_it(self, tmp_path):
        fish = '[[quarry]]\nname = "Summer flounder"\n'
        file = written(tmp_path, head("UTC"), SIMPLE_STATION, SIMPLE_SPOT, LOG, fish)
        assert added(file, *YESTERDAY, "--nothing", "--quarry", "summer FLOUNDER").quarry == "Summer flounder"
        message = refused(2, "log", "add", file, *YESTERDAY, "--nothing", "--quarry", "cod")
        assert "--quarry: found 'cod'; expected one of the file's [[quarry]]: Summer flounder" in message

    def test_a_trip_to_come(self, shore):
        trip = added(shore, "--start", "19:00", "--end", "21:00", "--planned")
        assert (trip.start, trip.fished, trip.forecast.made) == (utc("2026-08-10 18:00"), False, Made.PLANNED)
        assert (trip.planned_start, trip.planned_end) == (trip.start, trip.end)
        again = added(shore, "--start", "06:00", "--end", "07:00", "--planned")
        assert again.start == utc("2026-08-11 05:00")

    def test_what_was_done_with_a_trip_is_the_first_that_is_said(self, shore):
        for number, done_with, more in (
            (1, "planned", ("--start", "19:00", "--end", "21:00", "--planned")),
            (2, "kept", (*YESTERDAY, "--nothing")),
        ):
            told = " ".join(done("log", "add", shore, *more).split())  # a long folder begins a line
            assert told.startswith(f"Trip {number} {done_with} in {shore.parent}")


class TestRefused:
    def test_what_is_missing_is_listed(self, tmp_path):
        two = written(
            tmp_path, head("UTC"), SIMPLE_STATION, SIMPLE_SPOT, spot("reef", "pier", 50.2, -5.3), LOG
        )
        message = refused(2, "log", "add", two)
        for option in ("--spot", "--start", "--end", "--kept", "--released", "--sought", "--nothing"):
            assert option in message
        assert "--spot" not in refused(2, "log", "add", two, "--spot", "reef").split("no terminal")[1]
        planned = refused(2, "log", "add", two, "--planned")
        assert "--nothing" not in planned
        assert not (tmp_path / "kept").exists()

    def test_every_problem_at_once(self, shore):
        message = refused(
            2,
            *("log", "add", shore, "--start", "25:00", "--end", "noon", "--nothing", "--fished", "long"),
            *("--lead", "heavy", "--temperature", "64", "--wind", "gale", "--words", "a\x07b"),
        )
        for option in ("--start", "--fished", "--lead", "--temperature", "--wind"):
            assert f"{option}: found" in message
        assert 'write "64F"' in message

    @pytest.mark.parametrize(
        ("options", "told"),
        [
            ((*YESTERDAY, "--kept", "38 41"), "--kept: found '38 41'; expected a species"),
            ((*YESTERDAY, "--kept", "flounder x0"), "--kept"),
            ((*YESTERDAY, "--kept", "flounder 38 big"), "--kept"),
            ((*YESTERDAY, "--kept", "flounder 1200"), "--kept: found 'flounder 1200'; expected a length"),
            ((*YESTERDAY, "--kept", "flounder 38@23:00"), "a fish landed outside the trip"),
            ((*YESTERDAY, "--nothing", "--kept", "flounder 38"), "--nothing: found it beside fish"),
            ((*YESTERDAY, "--nothing", "--drift", "fast"), "--drift"),
            ((*YESTERDAY, "--nothing", "--turned-out", "2026-08-01 12:00"), "--turned-out"),
            ((*YESTERDAY, "--nothing", "--anglers", "0"), "--anglers: found 0"),
            ((*YESTERDAY, "--nothing", "--fished", "3h"), "--fished: found 180 min"),
            (("--start", "2026-08-09 20:00", "--end", "2026-08-09 19:00", "--nothing"), "--end"),
            (("--start", "2026-08-10 09:00", "--end", "2026-08-10 11:00", "--nothing"), "--planned"),
            (("--start", "2026-02-30 09:00", "--end", "11:00", "--nothing"), "--start"),
        ],
    )
    def test_wrong_usage(self, shore, options, told):
        assert told in refused(2, "log", "add", shore, *options)
        assert not (shore.parent / "kept").exists()

    def test_an_unknown_spot_and_a_time_without_an_ephemeris(self, shore):
        message = refused(1, "log", "add", shore, "--spot", "reef", *YESTERDAY, "--nothing")
        assert "no spot 'reef'; the file's spots: ledge" in message
        old = ("--start", "1850-08-09 17:30", "--end", "20:15")
        assert "no forecast of that trip" in refused(1, "log", "add", shore, *old, "--nothing")

    def test_a_log_that_is_none(self, shore):
        (shore.parent / "kept").mkdir()
        (shore.parent / "kept" / "trips.db").write_text("trips, as I remember them\n" * 100)
        for command in (("add", *YESTERDAY, "--nothing"), ("list",), ("report",), ("learn",), ("export",)):
            message = refused(1, "log", command[0], shore, *command[1:])
            assert "it is not a log of trips" in message


class TestRules:
    def test_each_fish_is_told(self, shore):
        text = done(
            *("log", "add", shore, *YESTERDAY, "--measured", "fork", "--kept", "flounder 35 34.9 36 37"),
            *("--kept", "bass 50", "--kept", "eel", "--released", "flounder 30"),
        )
        text = " ".join(text.split())
        assert (
            "flounder of 35 cm (fork length): keep, number 1 of a bag of 2 that day (by an invented" in text
        )
        assert "flounder of 34.9 cm (fork length): release it: shorter than 35 cm; " not in text
        assert (
            "flounder of 34.9 cm (fork length): release it: shorter than 35 cm (by an invented notice)."
            in text
        )
        assert (
            "flounder of 36 cm (fork length): release it: number 3 of that day, where 2 may be kept" in text
        )
        assert "flounder of 30 cm (fork length), released: right to release it: shorter than 35 cm" in text
        assert (
            "bass of 50 cm (fork length): look it up where the rules stand: its rule was checked 366" in text
        )
        assert "eel: look it up where the rules stand: the file has no rule for it." in text
        assert "check local rules" in text

    def test_the_bag_counts_the_day_s_other_trips(self, shore):
        done("log", "add", shore, "--start", "2026-08-09 05:00", "--end", "07:00", "--kept", "flounder x2")
        text = done("log", "add", shore, *YESTERDAY, "--measured", "fork", "--kept", "flounder 40")
        assert "number 3 of that day, where 2 may be kept" in " ".join(text.split())

    def test_the_other_measure(self, shore):
        text = done("log", "add", shore, *YESTERDAY, "--measured", "total", "--kept", "flounder 60")
        assert "its rule is for fork length, which was not taken" in " ".join(text.split())

    def test_a_file_without_rules(self, tmp_path):
        file = written(tmp_path, head("UTC"), SIMPLE_STATION, SIMPLE_SPOT, LOG)
        assert "The file has no [[rules]]: look up" in done("log", "add", file, *YESTERDAY, "--kept", "eel")
        assert "[[rules]]" not in done("log", "add", file, "--start", "12:00", "--end", "13:00", "--nothing")


class TestEdit:
    def test_what_is_told_replaces_what_was_told(self, shore):
        before = added(shore, *YESTERDAY, "--kept", "eel", "--turned-out", "16:05", "--words", "before")
        done("log", "edit", shore, before.number, "--turned-in", "22:00", "--words", "", "--bait", "worm")
        (after,) = kept(shore)
        assert (after.words, after.bait, after.catches) == ("", "worm", before.catches)
        assert [item.kind for item in after.seen] == [SeenKind.TURNED_OUT, SeenKind.TURNED_IN]
        assert after.forecast == before.forecast
        done(
            "log", "edit", shore, 1, "--turned-out", "16:30", "--turned-out", "16:40", "--released", "bass x3"
        )
        (last,) = kept(shore)
        assert [item.t for item in last.seen if item.kind is SeenKind.TURNED_OUT] == [
            utc("2026-08-09 15:30"), utc("2026-08-09 15:40"),
        ]  # fmt: skip
        assert [catch.species for catch in last.catches] == ["bass"]

    def test_other_hours_get_a_forecast_marked_as_later(self, shore):
        before = added(shore, *YESTERDAY, "--nothing")
        text = done("log", "edit", shore, 1, "--start", "18:00", now=NOW + DAY)
        (after,) = kept(shore)
        assert (after.start, after.end) == (utc("2026-08-09 17:00"), before.end)
        assert (after.forecast.made, after.forecast.made_at) == (Made.LATER, NOW + DAY)
        assert after.forecast.points != before.forecast.points
        assert "computed later" in text

    def test_a_plan_becomes_a_trip_and_keeps_its_forecast(self, shore):
        before = added(shore, "--start", "19:00", "--end", "21:00", "--planned")
        times = ("--start", "19:20", "--end", "21:40")
        done("log", "edit", shore, 1, *times, "--kept", "flounder 40", now=NOW + DAY)
        (after,) = kept(shore)
        assert after.fished
        assert (after.start, after.end) == (utc("2026-08-10 18:20"), utc("2026-08-10 20:40"))
        assert (after.planned_start, after.planned_end) == (before.start, before.end)
        assert after.forecast == before.forecast
        too_early = refused(2, "log", "edit", shore, 1, "--end", "2026-08-12 12:00", now=NOW + DAY)
        assert "an end in the future" in too_early

    def test_taking_out_and_bringing_back(self, shore):
        added(shore, *YESTERDAY, "--nothing")
        assert "--restore brings it back" in done("log", "edit", shore, 1, "--remove")
        assert kept(shore) == ()
        assert "No trips to show" in done("log", "list", shore)
        assert "1 out" in done("log", "list", shore, "--removed")
        done("log", "edit", shore, 1, "--restore")
        assert len(kept(shore)) == 1

    def test_a_forecast_by_hindsight(self, shore, tmp_path):
        table = tmp_path / "notebook.csv"
        table.write_text("spot,start_local,end_local\nledge,2026-08-01 18:00,2026-08-01 20:00\n")
        done("log", "import", table, shore)
        assert kept(shore)[0].forecast is None
        done("log", "edit", shore, 1, "--compute")
        assert kept(shore)[0].forecast.made is Made.LATER

    def test_wrong_usage(self, shore):
        added(shore, *YESTERDAY, "--nothing")
        assert "no trip 7 in this log" in refused(1, "log", "edit", shore, 7, "--remove")
        assert "so large a number" in refused(1, "log", "edit", shore, 10**25, "--remove")
        assert "not both" in refused(2, "log", "edit", shore, 1, "--remove", "--restore")
        assert "nothing to change" in refused(2, "log", "edit", shore, 1)
        assert "--lead" in refused(2, "log", "edit", shore, 1, "--lead", "heavy")
        assert kept(shore)[0].lead_held is None


def test_help_names_every_command_without_importing_it():
    text = done("log", "--help")
    for name in ("add", "list", "edit", "report", "learn", "export", "import"):
        assert re.search(rf"^  {name} ", text, flags=re.MULTILINE)
