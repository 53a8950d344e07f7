"""Local days, half-open, of 23, 24, 25, 23.5 and 0 hours; the change of clocks told in words."""

import itertools
from datetime import UTC, date, datetime, timedelta

import pytest

from tests.cli.runs import done, posix, rows, utc
from tests.coasts import simple

# Changes of clocks as the IANA time zone database has them; lengths of the days in hours.
CHANGES = [
    ("Europe/London", "2026-03-29", 23.0),
    ("Europe/London", "2026-10-25", 25.0),
    ("America/New_York", "2026-03-08", 23.0),
    ("America/New_York", "2026-11-01", 25.0),
    ("Australia/Lord_Howe", "2026-10-04", 23.5),
    ("Australia/Lord_Howe", "2026-04-05", 24.5),
    ("America/Sao_Paulo", "2018-11-04", 23.0),  # the clock skips midnight itself
    ("Pacific/Auckland", "2026-06-01", 24.0),
    ("Asia/Kathmandu", "2026-06-01", 24.0),
]


def levels(path, day, days=1, step="30min"):
    return rows("levels", path, "--start", day, "--days", days, "--step", step)


@pytest.mark.parametrize(("zone", "day", "hours"), CHANGES)
def test_levels_fill_the_local_day(tmp_path, zone, day, hours):
    path = simple(tmp_path, zone)
    found = levels(path, day)
    assert len(found) == 2 * hours
    assert {row["time_local"][:10] for row in found} == {day}
    times = [posix(row["time_local"]) for row in found]
    assert times == [utc(row["time_utc"]) for row in found]
    assert {b - a for a, b in itertools.pairwise(times)} == {1800.0}
    before = (date.fromisoformat(day) - timedelta(days=1)).isoformat()
    after = (date.fromisoformat(day) + timedelta(days=1)).isoformat()
    assert posix(levels(path, before)[-1]["time_local"]) < times[0]
    assert posix(levels(path, after)[0]["time_local"]) == times[-1] + 1800.0


@pytest.mark.parametrize("command", ["tides", "sky", "week"])
@pytest.mark.parametrize(("zone", "day", "hours"), CHANGES)
def test_days_share_nothing_and_leave_nothing_out(tmp_path, command, zone, day, hours):
    path = simple(tmp_path, zone)
    first = date.fromisoformat(day) - timedelta(days=1)
    now = datetime(2018, 1, 1, tzinfo=UTC).timestamp()
    whole = rows(command, path, "--start", first, "--days", 3, now=now)
    parts = [
        row
        for index in range(3)
        for row in rows(command, path, "--start", first + timedelta(days=index), "--days", 1, now=now)
    ]
    assert whole
    key = "time_utc" if "time_utc" in whole[0] else "window_start_utc"

    def told(found):
        return sorted((row[key], row.get("event", ""), row.get("body", "")) for row in found)

    assert told(whole) == told(parts)


def test_an_event_at_midnight_belongs_to_the_day_that_starts(tmp_path):
    path = simple(tmp_path, "UTC")
    midnight = levels(path, "2026-08-11", step="24h")
    assert [row["time_local"] for row in midnight] == ["2026-08-11T00:00:00+00:00"]
    assert "2026-08-11" not in {row["time_local"][:10] for row in levels(path, "2026-08-10", step="1min")}


@pytest.mark.parametrize("command", ["tides", "levels", "sky", "week", "best", "compare"])
def test_a_day_that_did_not_happen_is_empty(tmp_path, command):
    # Samoa went from 29 to 31 December 2011.
    path = simple(tmp_path, "Pacific/Apia")
    assert rows(command, path, "--start", "2011-12-30", "--days", "1", now=0.0) == []
    assert "Pacific/Apia" in done(command, path, "--start", "2011-12-30", "--days", "1", now=0.0)


@pytest.mark.parametrize("command", ["tides", "levels", "sky", "week", "best", "compare"])
def test_the_table_names_the_day_on_which_clocks_change(tmp_path, command):
    path = simple(tmp_path, "Europe/London")
    text = " ".join(done(command, path, "--start", "2026-03-27", "--days", "4", now=0.0).split())
    assert "Europe/London (GMT, UTC+00:00; clocks change Sun 29 Mar, then BST, UTC+01:00)" in text
    assert "clocks change" not in done(command, path, "--start", "2026-03-30", "--days", "4", now=0.0)


def test_both_of_two_equal_clock_times_are_told_apart_by_their_offset(tmp_path):
    path = simple(tmp_path, "Europe/London")
    twice = [row["time_local"] for row in levels(path, "2026-10-25") if "T01:30:00" in row["time_local"]]
    assert twice == ["2026-10-25T01:30:00+01:00", "2026-10-25T01:30:00+00:00"]


def test_a_year_before_standard_time_has_local_mean_time(tmp_path):
    # London took Greenwich time in 1847; the database has it 1 min 15 s behind before.
    path = simple(tmp_path, "Europe/London")
    (first, *_) = levels(path, "1840-06-01")
    assert first["time_local"] == "1840-06-01T00:00:00-00:01:15"
    assert first["time_utc"] == "1840-06-01T00:01:15Z"


def test_today_is_the_shore_s_day(tmp_path):
    # At 10:30 UTC on 10 August it is 00:30 on the 11th at Kiritimati and 23:30 on the 9th at Niue.
    now = datetime(2026, 8, 10, 10, 30, tzinfo=UTC).timestamp()
    for zone, today in (("Pacific/Kiritimati", "2026-08-11"), ("Pacific/Niue", "2026-08-09")):
        path = simple(tmp_path, zone)
        for command in ("tides", "levels"):
            found = rows(command, path, "--days", "1", now=now)
            assert {row["time_local"][:10] for row in found} == {today}
        assert {row["time_local"][:10] for row in rows("sky", path, "--days", "1", now=now)} == {today}
