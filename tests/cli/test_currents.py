"""`currents` through the command: published slacks, floods and ebbs, and the columns of its table."""

import pytest

from tests.cli.runs import document, done, refused, rows, utc
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, published_current, written
from tests.conftest import published_rows

FILES = {"EPT0003": "EPT0003_bin11", "FPI0901": "FPI0901", "PUG1515": "PUG1515"}
SECONDARY = """
[[currents]]
id = "ACT0091"
name = "ACT0091"
reference = "EPT0003"
flood_direction = 250
ebb_direction = 70
flood_ratio = 1.2
ebb_ratio = 1.2
"""
"""Directions are not published beside the events; these are invented."""


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    tables = (published_current(table, name) for name, table in FILES.items())
    return written(tmp_path_factory.mktemp("currents"), head("UTC"), *tables, SECONDARY)


def test_every_published_event(shore):
    # NOAA CO-OPS current predictions, speeds printed to 0.01 kn at best and times to the minute. Twelve
    # rows; in each the time zone is known as its note says, some of them by fit.
    theirs = published_rows("noaa_currents_events.csv")
    assert len(theirs) == 12
    for row in theirs:
        day = row["time_utc"][:10]
        ours = rows("currents", shore, "--station", row["station"], "--start", day, "--days", "1")
        mine = min(ours, key=lambda item: abs(utc(item["time_utc"]) - utc(row["time_utc"])))
        assert mine["event"] == row["event"]
        assert abs(utc(mine["time_utc"]) - utc(row["time_utc"])) <= 36, (mine, row)
        assert abs(float(mine["speed_kn"]) - float(row["speed_kn"])) <= 0.006, (mine, row)


@pytest.mark.parametrize("station", [*FILES, "ACT0091"])
def test_columns_signs_and_directions(shore, station):
    text = done("currents", shore, "--station", station, "--start", "2026-08-10", "--format", "csv")
    assert text.startswith("station,time_utc,time_local,event,speed_kn,direction_deg\n")
    found = rows("currents", shore, "--station", station, "--start", "2026-08-10")
    assert {row["event"] for row in found} >= {"slack", "flood", "ebb"}
    by_event: dict[str, set[str]] = {}
    for row in found:
        by_event.setdefault(row["event"], set()).add(row["direction_deg"])
    assert by_event["slack"] == {""}
    for way in ("flood", "ebb"):  # a lull without slack between two floods or two ebbs is the least of them
        assert len(by_event[way] | by_event.get(f"least_{way}", set())) == 1
    for row in found:
        speed = float(row["speed_kn"])
        sign = {"slack": speed == 0.0, "flood": speed > 0.0, "ebb": speed < 0.0}
        assert sign[row["event"].removeprefix("least_")], row
    times = [utc(row["time_utc"]) for row in found]
    assert times == sorted(times)


def test_json_holds_null_where_slack_has_no_direction(shore):
    found = document("currents", shore, "--station", "FPI0901", "--start", "2026-08-10")
    assert found["station"] == "FPI0901"
    assert {row["direction_deg"] for row in found["rows"] if row["event"] == "slack"} == {None}


def test_which_current(shore, tmp_path):
    message = refused(1, "currents", shore)
    assert "--station" in message
    assert "EPT0003, FPI0901, PUG1515, ACT0091" in message
    assert "'nowhere'" in refused(1, "currents", shore, "--station", "nowhere")
    still = written(tmp_path, head("UTC"), SIMPLE_STATION, SIMPLE_SPOT)
    assert "The file has no [[currents]]" in refused(1, "currents", still)
    assert "not that of a current" in refused(1, "currents", still, "--spot", "ledge")


def test_the_table_prints_the_events(shore):
    asked = ("currents", shore, "--station", "FPI0901", "--start", "2026-08-30", "--days", "1")
    for columns in ("40", "100"):
        text = done(*asked, columns=columns)
        assert text.endswith(
            "Not for navigation; weather moves the water; wear a lifejacket; check local rules.\n"
        )
        shown = " ".join(text.split())
        # Published: slack 04:05, ebb 3.51 kn at 06:51 (zone by fit).
        for event in ("slack 04:05", "ebb 06:51 3.5 kn to 80"):
            assert event in shown
