"""`--format ics`: the CSV's instants, alarms before leaving, marks; and when to leave, in table and page."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from icalendar import Calendar

from tests.cli.runs import done, posix, refused, rows, run, utc
from tests.cli.test_page_formats import SHORE_SPOT, WALL, WEEK, Tags, as_bytes
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, spot, written


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    return written(tmp_path_factory.mktemp("one"), head("Europe/London"), SIMPLE_STATION, SHORE_SPOT)


@pytest.fixture(scope="module")
def two(tmp_path_factory):
    return written(tmp_path_factory.mktemp("two"), head("Europe/London"), SIMPLE_STATION, SHORE_SPOT, WALL)


class TestCalendar:
    def events(self, *arguments: object) -> dict[float, object]:
        """Entries of sessions by start."""
        calendar = Calendar.from_ical(as_bytes(*arguments, "--format", "ics", "--all-sessions"))
        return {event.decoded("dtstart").timestamp(): event for event in calendar.walk("VEVENT")}

    @pytest.mark.parametrize("start", ["2026-08-10", "2026-10-22", "2027-03-25"])  # the clock changes in two
    def test_the_same_instants_as_the_csv(self, shore, start):
        asked = ("week", shore, "--start", start, "--days", "7")
        events = self.events(*asked)
        # Entries are kept from 50 points on; a session that its water ends early may have fewer.
        table = [row for row in rows(*asked) if float(row["points"]) >= 50.0]
        assert len(table) >= 7
        assert sorted(events) == sorted(utc(row["session_start_utc"]) for row in table)
        for row in table:
            event = events[utc(row["session_start_utc"])]
            assert event.decoded("dtend").timestamp() == utc(row["session_end_utc"])
            # The local clock of the CSV stands in the text.
            assert f"{row['session_start_local'][11:16]}-{row['session_end_local'][11:16]}" in re.sub(
                r"-\w{3} \d+ \w{3} ", "-", str(event["description"])
            )

    def test_travel_and_rigging_set_the_alarm(self, two):
        # The ledge: 25 min on the way and 10 to rig; the wall says nothing, and is taken to need 30 and 15.
        for name, minutes in (("ledge", 35), ("wall", 45)):
            events = self.events("week", two, *WEEK, "--spot", name).values()
            assert events
            for event in events:
                (alarm,) = event.walk("VALARM")
                assert alarm.decoded("trigger") == -timedelta(minutes=minutes)
                assert str(alarm["action"]) == "DISPLAY"

    def test_the_alarm_rings_at_leave_by(self, shore):
        events = self.events("week", shore, *WEEK)
        told = 0
        for start, event in events.items():
            (clock,) = re.findall(
                r"Leave by (\d\d:\d\d): 25 min on the way and 10 min to rig", str(event["description"])
            )
            rings = datetime.fromtimestamp(start, UTC) - timedelta(minutes=35) + timedelta(hours=1)
            assert clock == f"{rings:%H:%M}"
            told += 1
        assert told >= 7

    @pytest.mark.parametrize("mark", ["0", "60", "80", "100"])
    def test_the_mark_chooses(self, shore, mark):
        points = {utc(row["session_start_utc"]): float(row["points"]) for row in rows("week", shore, *WEEK)}
        expected = sorted(start for start, total in points.items() if total >= float(mark))
        assert sorted(self.events("week", shore, *WEEK, "--mark", mark)) == expected
        assert 0 < sum(total >= 80 for total in points.values()) < len(points)

    def test_without_a_mark_the_file_s_keep_mark(self, tmp_path):
        path = written(tmp_path, head("Europe/London"), SIMPLE_STATION, SIMPLE_SPOT, "[fishing]\nkeep = 70\n")
        points = {utc(row["session_start_utc"]): float(row["points"]) for row in rows("week", path, *WEEK)}
        assert sorted(self.events("week", path, *WEEK)) == sorted(
            start for start, total in points.items() if total >= 70
        )

    def test_a_second_run_updates(self, shore):
        first = self.events("week", shore, *WEEK)
        second = self.events("week", shore, *WEEK)
        assert {start: str(event["uid"]) for start, event in first.items()} == {
            start: str(event["uid"]) for start, event in second.items()
        }

    @pytest.mark.parametrize("mark", ["-1", "101", "good"])
    def test_a_mark_that_is_none(self, shore, mark):
        assert "--mark" in refused(2, "week", shore, "--format", "ics", f"--mark={mark}")


class TestLeaveBy:
    def test_the_table_says_when(self, shore):
        text = " ".join(done("week", shore, *WEEK, "--why", "all").split())
        starts = [posix(row["session_start_local"]) for row in rows("week", shore, *WEEK)]
        assert len(starts) <= 14
        told = re.findall(
            r"Leave by (?:\w{3} \d+ \w{3} )?(\d\d:\d\d): 25 min on the way and 10 min to rig\.", text
        )
        leave = [f"{datetime.fromtimestamp(start - 35 * 60 + 3600, UTC):%H:%M}" for start in starts]
        assert told == leave[: len(told)]
        assert len(told) == min(10, len(starts))  # the table explains the first ten

    @pytest.mark.parametrize(
        ("keys", "words"),
        [('travel = "1h30min"', "90 min on the way."), ('rigging = "20min"', "20 min to rig."), ("", None)],
    )
    def test_only_what_the_file_says(self, tmp_path, keys, words):
        more = f"slack_lag = 15\n{keys}"
        path = written(
            tmp_path, head("Europe/London"), SIMPLE_STATION, spot("ledge", "pier", 50.1, -5.2, more)
        )
        text = " ".join(done("week", path, *WEEK).split())
        assert ("Leave by" in text) is (words is not None)
        assert words is None or words in text

    def test_the_page_says_when(self, shore):
        text = Tags(as_bytes("week", shore, *WEEK, "--format", "page").decode("utf-8")).text
        assert re.search(r"Leave by \d\d:\d\d: 25 min on the way and 10 min to rig", text)


def written_to(*arguments):
    result = run(*arguments)
    assert (result.code, result.out) == (0, ""), result.err


def test_a_file_written_over_the_old_one_cancels_what_vanished(two, tmp_path):
    path = tmp_path / "week.ics"
    written_to("best", two, *WEEK, "--format", "ics", "-o", path)
    before = {str(event["uid"]) for event in Calendar.from_ical(path.read_text()).walk("VEVENT")}
    written_to("best", two, *WEEK, "--mark", "85", "--format", "ics", "-o", path)
    after = Calendar.from_ical(path.read_text()).walk("VEVENT")
    assert {str(event["uid"]) for event in after} == before
    gone = [event for event in after if str(event.get("status", "")) == "CANCELLED"]
    assert 0 < len(gone) < len(before)
    path.write_bytes(b"\xff\xfe")
    written_to("best", two, *WEEK, "--mark", "85", "--format", "ics", "-o", path)
    assert len(Calendar.from_ical(path.read_text()).walk("VEVENT")) == len(before) - len(gone)
