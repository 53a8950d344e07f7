"""Today's water: readings change levels, gates and what is said of times, and are never silent.

Readings here are the prediction with a known departure, so that every figure can be told beforehand.
"""

import csv
import io
import json
import math
import re
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.files.station_file import read_station_file
from harmonics.stations.prediction import levels
from tests.cli.runs import NOW, Run, document, done, posix, refused, rows, run, utc
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, spot, written
from tests.windows.outing.shores import landing
from windows.shoreline.shore import OTHER_TABLES

HOUR = 3600.0
FOOT = 0.3048
DECAY = 36 * HOUR
"""Of few readings: common practice's day and a half."""
ASKED = ("--start", "2026-08-10", "--days", "3")
FOLLOWER = """
[[stations]]
id = "creek"
name = "Creek"
reference = "pier"
high_water = { minutes = 30, factor = 0.9 }
low_water = { minutes = 45, factor = 0.8 }
"""
PLANS = ("week", "best", "compare")


@pytest.fixture
def shore(tmp_path):
    return written(tmp_path, head("Europe/London"), SIMPLE_STATION, SIMPLE_SPOT)


def readings(
    path, away=0.4, hours=12, newest=NOW - 0.5 * HOUR, heading="time_utc,level_m", zone=UTC, unit=1.0
):
    """A file beside a shoreline of hourly readings at its first station, `away` metres off the prediction."""
    station = read_station_file(path, OTHER_TABLES).stations[0]
    t = newest - HOUR * np.arange(hours)[::-1]
    out = path.parent / "gauge.csv"
    with out.open("w", encoding="utf-8") as stream:
        stream.write(f"{heading}\n")
        for at, level in zip(t, levels(station, t) + away, strict=True):
            clock = datetime.fromtimestamp(float(at), UTC).astimezone(zone)
            stream.write(f"{clock:%Y-%m-%d %H:%M},{level / unit:.6f}\n")
    return out


def ran(*arguments: object, now: float = NOW) -> Run:
    result = run(*arguments, now=now)
    assert result.code == 0, result.err
    return result


def table(*arguments: object, now: float = NOW) -> list[dict[str, str]]:
    """The rows of a run as CSV; it may speak on standard error."""
    return list(csv.DictReader(io.StringIO(ran(*arguments, "--format", "csv", now=now).out)))


def carried(away: float, t: float, newest: float = NOW - 0.5 * HOUR, decay: float = DECAY) -> float:
    """The departure left at a time: it stands up to the newest reading and fades from there."""
    return away * math.exp(-max(0.0, t - newest) / decay)


class TestLevels:
    def test_with_and_without_side_by_side(self, shore):
        plain = rows("levels", shore, *ASKED)
        found = table("levels", shore, *ASKED, "--observed", readings(shore))
        assert list(found[0]) == [*plain[0], "height_with_departure_m"]
        assert [{key: row[key] for key in plain[0]} for row in found] == plain
        for row in found:
            more = float(row["height_with_departure_m"]) - float(row["height_m"])
            assert more == pytest.approx(carried(0.4, utc(row["time_utc"])), abs=2e-6)

    def test_the_departure_halves_as_stated(self, shore):
        result = ran("levels", shore, *ASKED, "--observed", readings(shore, -0.6), "--format", "csv")
        (half,) = re.findall(r"halving every (\d+) h \(common practice\)", result.err)
        assert float(half) == pytest.approx(DECAY / HOUR * math.log(2), abs=0.5)
        found = list(csv.DictReader(io.StringIO(result.out)))
        away = [float(row["height_with_departure_m"]) - float(row["height_m"]) for row in found]
        assert away[60] / away[60 - int(half)] == pytest.approx(0.5, rel=0.01)

    def test_many_readings_tell_their_own_decay(self, shore):
        # A departure that does not fade in 20 days is carried as long as any: 120 h, so 83 h to a half.
        result = ran("levels", shore, *ASKED, "--observed", readings(shore, hours=20 * 24), "--format", "csv")
        assert "halving every 83 h (fitted to the readings)" in result.err
        last = list(csv.DictReader(io.StringIO(result.out)))[-1]
        more = float(last["height_with_departure_m"]) - float(last["height_m"])
        assert more == pytest.approx(carried(0.4, utc(last["time_utc"]), decay=120 * HOUR), abs=1e-5)

    @pytest.mark.parametrize("form", ["table", "csv", "json"])
    def test_never_silent(self, shore, form):
        result = ran("levels", shore, "--observed", readings(shore), "--format", form)
        assert "The newest reading is 30 min old: the water stood 0.40 m above the prediction." in result.err
        assert "Levels carry this forward" in result.err

    def test_the_text_shows_both(self, shore):
        text = ran("levels", shore, "--observed", readings(shore)).out
        assert "with today's departure" in text
        found = table("levels", shore, "--observed", readings(shore))
        assert len(found) == 24
        for row in found:
            clock = row["time_local"][11:16]
            both = [f"{float(row[key]):.3f}" for key in ("height_m", "height_with_departure_m")]
            assert re.search(rf"^Mon 10 Aug +{clock} +{both[0]} +{both[1]}$", text, re.MULTILINE)

    def test_json_holds_both(self, shore):
        asked = ("levels", shore, *ASKED, "--observed", readings(shore), "--format", "json")
        found = json.loads(ran(*asked).out)["rows"]
        csv_rows = table("levels", shore, *ASKED, "--observed", readings(shore))
        for record, row in zip(found, csv_rows, strict=True):
            assert record["height_with_departure_m"] == float(row["height_with_departure_m"])

    def test_feet(self, tmp_path):
        path = written(tmp_path, head("Europe/London", "feet"), SIMPLE_STATION)
        gauge = readings(path, -FOOT, heading="time_utc,level_ft", unit=FOOT)
        result = ran("levels", path, "--observed", gauge)
        assert "the water stood 1.00 ft below the prediction." in result.err
        first = table("levels", path, "--observed", gauge)[0]
        more = float(first["height_with_departure_m"]) - float(first["height_m"])
        assert more == pytest.approx(-FOOT, abs=1e-5)

    def test_a_station_that_follows_another_carries_its_reference_s_departure(self, tmp_path):
        path = written(tmp_path, head("Europe/London"), SIMPLE_STATION, FOLLOWER)
        asked = ("levels", path, "--station", "creek", *ASKED)
        found = table(*asked, "--observed", readings(path))
        assert [row["height_m"] for row in found] == [row["height_m"] for row in rows(*asked)]
        for row in found:
            more = float(row["height_with_departure_m"]) - float(row["height_m"])
            assert more == pytest.approx(carried(0.4, utc(row["time_utc"])), abs=2e-6)


class TestClocks:
    @pytest.mark.parametrize(
        ("heading", "zone"),
        [
            ("time_utc,level_m", UTC),
            ("time,level_m", ZoneInfo("Europe/London")),  # no zone of its own: the shore's
            ("Time (GMT),Water level (m)", UTC),
        ],
    )
    def test_the_same_readings_by_any_clock(self, shore, heading, zone):
        expected = ran("levels", shore, "--observed", readings(shore))
        assert ran("levels", shore, "--observed", readings(shore, heading=heading, zone=zone)) == expected

    def test_offsets_in_the_stamps(self, shore):
        expected = ran("levels", shore, "--observed", readings(shore))
        gauge = readings(shore, zone=ZoneInfo("Europe/London"))
        lines = gauge.read_text(encoding="utf-8").splitlines()
        moved = [line.replace(",", "+01:00,") for line in lines[1:]]
        gauge.write_text("\n".join(["time,level_m", *moved]), encoding="utf-8")
        assert ran("levels", shore, "--observed", gauge) == expected


class TestPlans:
    def test_levels_of_sessions_with_the_departure_beside(self, shore):
        plain = rows("week", shore, *ASKED)
        found = table("week", shore, *ASKED, "--observed", readings(shore))
        same = {(row["session_start_utc"], row["session_end_utc"]): row for row in plain}
        assert len(found) == len(plain) >= 3
        for row in found:
            before = same[row["session_start_utc"], row["session_end_utc"]]
            for moment, column in (
                ("start", "session_start_utc"),
                ("peak", "peak_utc"),
                ("end", "session_end_utc"),
            ):
                away = float(row[f"departure_{moment}_m"])
                assert away == pytest.approx(carried(0.4, utc(row[column])), abs=2e-6)
                assert float(before[f"departure_{moment}_m"]) == 0.0
                more = float(row[f"level_{moment}_m"]) - float(before[f"level_{moment}_m"])
                assert more == pytest.approx(away, abs=1e-9)

    @pytest.mark.parametrize("command", PLANS)
    def test_the_text_says_age_decay_both_levels_and_wider_times(self, shore, command):
        text = " ".join(ran(command, shore, *ASKED, "--observed", readings(shore)).out.split())
        assert "The newest reading is 30 min old: the water stood 0.40 m above the prediction." in text
        assert "halving every 25 h (common practice)" in text
        assert "with today's departure (" in text and "by the tide alone)" in text
        minutes = [int(found) for found in re.findall(r"may shift these times by (\d+) min or more", text)]
        assert minutes and all(5 <= found <= 120 for found in minutes)

    @pytest.mark.parametrize("command", ["week", "now"])
    def test_a_table_without_room_for_sentences_has_them_beside(self, shore, command):
        told = ran(command, shore, "--observed", readings(shore), "--format", "csv").err
        assert "The newest reading is 30 min old: the water stood 0.40 m above the prediction." in told

    def test_a_plan_takes_the_readings_that_are_given(self, tmp_path):
        path = written(tmp_path, head("Europe/London"), SIMPLE_STATION, SIMPLE_SPOT, landing(latitude=50.1))
        words = ("plan", path, *ASKED, "--format", "json")
        assert document(*words)["todays_water"] == []
        told = document(*words, "--observed", readings(path))["todays_water"]
        assert "The newest reading is 30 min old: the water stood 0.40 m above the prediction." in told[0]

    @pytest.mark.parametrize("command", PLANS)
    def test_times_are_less_sure_the_further_off_the_water_is(self, shore, command):
        def told(away):
            text = " ".join(ran(command, shore, *ASKED, "--observed", readings(shore, away)).out.split())
            return [int(found) for found in re.findall(r"may shift these times by (\d+) min or more", text)]

        assert min(told(0.8)) > max(told(0.1))

    def test_gates_use_the_water_that_is_there(self, tmp_path):
        limit = 2.2
        path = written(
            tmp_path,
            head("Europe/London"),
            SIMPLE_STATION,
            spot("bar", "pier", 50.1, -5.2, f"least_level = {limit}\nslack_lag = 0"),
        )
        gauge = readings(path, -0.7)
        words = "the water falls below the spot's least level"
        before = [row for row in rows("week", path, *ASKED) if row["closes"] == words]
        after = [row for row in table("week", path, *ASKED, "--observed", gauge) if row["closes"] == words]
        assert before and after
        minutes = table("levels", path, *ASKED, "--step", "1min", "--observed", gauge)
        water = {utc(row["time_utc"]): row for row in minutes}
        for key, closing in (("height_m", before), ("height_with_departure_m", after)):
            for row in closing:
                end = utc(row["window_end_utc"])
                assert float(water[end - 60.0][key]) >= limit > float(water[end + 60.0][key])
        ends = {row["last_high_water_utc"]: posix(row["window_end_local"]) for row in before}
        shared = [row for row in after if row["last_high_water_utc"] in ends]
        assert shared
        for row in shared:
            assert posix(row["window_end_local"]) < ends[row["last_high_water_utc"]] - 5 * 60

    def test_greatest_level_too(self, tmp_path):
        more = "greatest_level = 2.6\nslack_lag = 0"
        path = written(tmp_path, head("Europe/London"), SIMPLE_STATION, spot("bar", "pier", 50.1, -5.2, more))
        words = "the water falls to the spot's greatest level"
        opens = [row["window_start_utc"] for row in rows("week", path, *ASKED) if row["opens"] == words]
        gauge = readings(path, 0.6)
        later = [row for row in table("week", path, *ASKED, "--observed", gauge) if row["opens"] == words]
        assert opens and later
        assert utc(later[0]["window_start_utc"]) > utc(opens[0]) + 10 * 60

    def test_two_spots_of_one_station_share_its_readings(self, tmp_path):
        second = spot("wall", "pier", 50.12, -5.2)
        path = written(tmp_path, head("Europe/London"), SIMPLE_STATION, SIMPLE_SPOT, second)
        found = table("compare", path, *ASKED, "--observed", readings(path))
        assert {row["spot"] for row in found} == {"ledge", "wall"}
        assert all(float(row["departure_start_m"]) > 0 for row in found)


class TestOldReadings:
    @pytest.mark.parametrize(
        ("hours", "old"), [(23.0, "23 h 30 min"), (24.0, "24 h 30 min"), (72.0, "72 h 30 min")]
    )
    def test_age_is_said_and_a_day_is_too_old(self, shore, hours, old):
        gauge = readings(shore)
        later = NOW + hours * HOUR
        told = [
            ran("levels", shore, "--observed", gauge, now=later).err,
            ran("week", shore, "--observed", gauge, now=later).out,
        ]
        for text in told:
            words = " ".join(text.split())
            assert f"The newest reading is {old} old" in words
            assert ("more than a day old" in words) is (hours >= 24)


@pytest.mark.parametrize("command", ["tides", "sky", "check"])
def test_commands_that_take_no_readings(shore, command):
    assert "--observed" in refused(2, command, shore, "--observed", readings(shore))


def test_without_readings_there_is_nothing_to_say(shore):
    for command in PLANS:
        text = done(command, shore, *ASKED)
        assert "reading is" not in text and "departure" not in text and "weather may shift" not in text
    assert "height_with_departure_m" not in rows("levels", shore)[0]
    assert "departure" not in done("levels", shore)
    assert document("week", shore, *ASKED)["rows"][0]["departure_start_m"] == 0.0
