"""CSV and JSON: columns, instants, precision, header; the same records in both and from Python."""

import csv
import io
import itertools
import math
import re
from datetime import date

import pytest

from tests.cli.runs import DEMOS, NOW, document, done, posix, rows, utc
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, simple, written
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.render.records.frames import sessions_frame
from windows.shoreline.shore import read_shore

INSTANT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
LOCAL = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d")
WEEK = ("--start", "2026-08-10", "--days", "7")
PLANS = ("week", "best", "compare")
HEADERS = {
    "tides": "station,time_utc,time_local,event,height_m",
    "levels": "station,time_utc,time_local,height_m",
    "sky": "place,time_utc,time_local,body,event,value,unit",
}
SKY_EVENTS = {
    "sun": {"rise", "set", "upper_transit", "lower_transit"}
    | {"civil_dawn", "civil_dusk", "nautical_dawn", "nautical_dusk"},
    "moon": {"rise", "set", "upper_transit", "lower_transit", "perigee", "apogee", "northmost", "southmost"}
    | {"new_moon", "first_quarter", "full_moon", "last_quarter"},
}


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    return simple(tmp_path_factory.mktemp("formats"))


@pytest.mark.parametrize(("command", "columns"), HEADERS.items())
def test_the_columns_of_water_and_sky(shore, command, columns):
    text = done(command, shore, *WEEK, "--format", "csv")
    lines = text.split("\n")
    assert lines[0] == columns
    assert lines[-1] == ""
    assert "\r" not in text
    assert {line.count(",") for line in lines[:-1]} == {columns.count(",")}


@pytest.mark.parametrize("command", [*HEADERS, *PLANS])
def test_every_instant_is_utc_and_the_same_by_the_local_clock(shore, command):
    found = rows(command, shore, *WEEK)
    assert found
    pairs = [(name, name.replace("_utc", "_local")) for name in found[0] if name.endswith("_utc")]
    assert pairs
    for row in found:
        for utc_name, local_name in pairs:
            if row[utc_name] == "":
                assert row[local_name] == ""
                continue
            assert INSTANT.fullmatch(row[utc_name])
            assert LOCAL.fullmatch(row[local_name])
            assert posix(row[local_name]) == utc(row[utc_name])
            assert row[local_name].endswith("+01:00")  # British summer time


@pytest.mark.parametrize("command", [*HEADERS, *PLANS])
def test_json_holds_the_same_records(shore, command):
    table = rows(command, shore, *WEEK)
    found = document(command, shore, *WEEK)["rows"]
    assert len(found) == len(table)
    for record, row in zip(found, table, strict=True):
        assert list(record) == list(row)
        for key, value in record.items():
            if isinstance(value, int | float) and not isinstance(value, bool):
                assert float(row[key]) == value  # full precision: both read back to the same number
            else:
                assert row[key] == ("" if value is None else value)


@pytest.mark.parametrize("command", [*HEADERS, *PLANS])
def test_json_header(shore, command):
    found = document(command, shore, *WEEK)
    assert found["title"] == "A shore"
    assert found["invented"] is False
    assert found["notice"] is None
    assert found["time_zone"] == "Europe/London"
    assert found["units"] == "metres"
    assert found["made_at"] == "2026-08-10T09:30:00Z"
    assert any("Not for navigation" in text for text in found["cautions"])
    assert any("lifejacket" in text for text in found["cautions"])
    assert any("thunder" in text for text in found["cautions"])


def test_json_says_that_a_coast_is_invented():
    for demo in DEMOS:
        found = document("best", demo, *WEEK)
        assert found["invented"] is True
        assert found["notice"] == "INVENTED COAST, never use on the water"


def test_json_of_a_forecast_names_spots_and_empty_days(shore):
    found = document("compare", shore, *WEEK, "--hours", "03:00-03:30")
    assert found["first_day"] == "2026-08-10"
    assert found["days"] == 7
    assert "wind and waves" in found["not_considered"]
    (spot,) = found["spots"]
    assert spot["spot"] == "ledge"
    assert spot["datum"] == "Chart datum"
    with_window = {row["day"] for row in found["rows"]}
    without = set(spot["days_without_window"])
    week = {f"2026-08-{day}" for day in range(10, 17)}
    assert without
    assert with_window | without == week
    assert not with_window & without
    assert all(spot["days_without_window"].values())


def test_heights_keep_their_full_precision(shore):
    heights = [row["height_m"] for row in rows("levels", shore, *WEEK, "--step", "6min")]
    assert all(repr(float(text)) == text for text in heights)
    assert sum(len(text) >= 16 for text in heights) > len(heights) / 2


def test_levels_stand_at_even_steps_from_local_midnight(shore):
    found = rows("levels", shore, "--start", "2026-08-10", "--days", "2", "--step", "6min")
    times = [utc(row["time_utc"]) for row in found]
    assert found[0]["time_local"] == "2026-08-10T00:00:00+01:00"
    assert found[-1]["time_local"] == "2026-08-11T23:54:00+01:00"
    assert {b - a for a, b in itertools.pairwise(times)} == {360.0}


def test_tides_alternate_and_stand_where_the_levels_turn(shore):
    turns = rows("tides", shore, *WEEK)
    kinds = [row["event"] for row in turns]
    assert set(kinds) == {"high_water", "low_water"}
    assert all(a != b for a, b in itertools.pairwise(kinds))
    level = {
        row["time_utc"]: float(row["height_m"]) for row in rows("levels", shore, *WEEK, "--step", "1min")
    }
    for row in turns:
        minute = row["time_utc"][:-3] + "00Z"
        assert level[minute] == pytest.approx(float(row["height_m"]), abs=2e-4)


def test_sky_events_are_the_documented_ones(shore):
    found = rows("sky", shore, "--start", "2026-08-01", "--days", "31")
    for body, kinds in SKY_EVENTS.items():
        assert {row["event"] for row in found if row["body"] == body} == kinds
    assert {row["place"] for row in found} == {"ledge"}
    units = {row["event"]: row["unit"] for row in found}
    assert units["perigee"] == units["apogee"] == "km"
    assert units["rise"] == units["upper_transit"] == units["northmost"] == "deg"
    assert units["full_moon"] == ""
    times = [row["time_utc"] for row in found]
    assert times == sorted(times)


@pytest.mark.parametrize("command", PLANS)
def test_a_row_explains_itself(shore, command):
    found = rows(command, shore, *WEEK)
    ranks = [int(row["rank"]) for row in found]
    assert ranks == sorted(ranks)
    assert all(rank == 1 + sum(other < rank for other in ranks) for rank in ranks)
    for row in found:
        parts = [float(row[f"points_{factor}"]) for factor in ("flow", "light", "moon")]
        assert sum(parts) == pytest.approx(float(row["points"]), abs=1e-9)
        assert all(0 <= part <= most for part, most in zip(parts, (60, 35, 5), strict=True))
        start, end = utc(row["session_start_utc"]), utc(row["session_end_utc"])
        assert 1800.0 <= end - start <= 7200.0
        assert start <= utc(row["peak_utc"]) <= end
        shared = min(end, utc(row["window_end_utc"])) - max(start, utc(row["window_start_utc"]))
        assert shared >= 1800.0
        assert row["session_start_local"].startswith(row["day"])
        assert 0.0 <= float(row["points_low"]) <= float(row["points_high"]) <= 100.0
        assert start <= utc(row["strongest_utc"]) <= end
        for name in ("points_if_30min_early", "points_if_30min_late"):
            assert 0.0 <= float(row[name]) <= 100.0
        assert set(row["light"].split(" into ")) <= {"low light", "daylight", "dark"}
        assert row["opens"] and row["closes"] and row["flow_kind"]


def test_the_fall_of_a_row_is_that_of_the_levels(tmp_path):
    # A spot whose water turns with the tide falls as its station's level does: the readings at start, peak
    # and end are those of `levels`, and the fall their difference over two minutes.
    path = written(
        tmp_path, head("UTC"), SIMPLE_STATION, SIMPLE_SPOT.replace("slack_lag = 15", "slack_lag = 0")
    )
    level = {row["time_utc"]: float(row["height_m"]) for row in rows("levels", path, *WEEK, "--step", "1min")}
    times = list(level)
    checked = 0
    for row in rows("week", path, *WEEK):
        moments = {"start": "session_start_utc", "peak": "peak_utc", "end": "session_end_utc"}
        for moment, name in moments.items():
            i = times.index(row[name])
            assert float(row[f"level_{moment}_m"]) == pytest.approx(level[row[name]], abs=1e-6)
            fall = (level[times[i - 1]] - level[times[i + 1]]) * 30.0
            assert float(row[f"fall_{moment}_m_per_h"]) == pytest.approx(fall, abs=1e-3)
            assert row[f"speed_{moment}_kn"] == ""
            checked += 1
    assert checked >= 12


def test_no_window_is_a_header_alone(shore):
    text = done("week", shore, *WEEK, "--hours", "03:00-03:05", "--format", "csv")
    (columns,) = csv.reader(io.StringIO(text))
    assert columns == list(rows("week", shore, *WEEK)[0])
    assert document("week", shore, *WEEK, "--hours", "03:00-03:05")["rows"] == []


def test_the_python_table_and_the_command_agree(shore):
    read = read_shore(shore)
    forecast = make_forecast(read, read.spots, date(2026, 8, 10), 7, Outlook(NOW))
    frame = sessions_frame(forecast)
    found = document("week", shore, *WEEK)["rows"]
    assert list(frame.columns) == list(found[0])
    for (_, ours), record in zip(frame.iterrows(), found, strict=True):
        for key, value in record.items():
            if value is None:
                assert math.isnan(ours[key])
            else:
                assert ours[key] == value


def test_text_that_a_spreadsheet_would_run(tmp_path):
    path = written(
        tmp_path, head("UTC"), SIMPLE_STATION, SIMPLE_SPOT.replace('"Spot ledge"', "\"=HYPERLINK('x')\"")
    )
    names = {row["spot_name"] for row in rows("week", path, *WEEK)}
    assert names == {"'=HYPERLINK('x')"}
    assert {row["spot_name"] for row in document("week", path, *WEEK)["rows"]} == {"=HYPERLINK('x')"}
