"""The calendar of `plan` written over an earlier one: what vanished is cancelled, but for who has left."""

from datetime import UTC, datetime

import pytest
from icalendar import Calendar

from tests.cli.runs import REPOSITORY, run, utc

SOUND = REPOSITORY / "demo_stations" / "pellaway_sound.toml"
BOAT = REPOSITORY / "demo_stations" / "korimako_reach.toml"
WEEK = ("--start", "2026-08-13", "--days", "4")
NOW = utc("2026-08-01 00:00")


def written(path, *more, now=NOW, command="plan"):
    found = run(command, BOAT, *more, "--format", "ics", "-o", path, now=now)
    assert (found.code, found.out) == (0, ""), found.err
    return events_of(path)


def events_of(path):
    return list(Calendar.from_ical(path.read_text()).walk("VEVENT"))


def cancelled(events):
    return [event for event in events if str(event.get("status", "")) == "CANCELLED"]


def uids(events):
    return {str(event["uid"]) for event in events}


@pytest.fixture(scope="module")
def once(tmp_path_factory):
    """The calendar of the week, written where there was none."""
    path = tmp_path_factory.mktemp("once") / "plan.ics"
    written(path, *WEEK)
    return path.read_bytes()


@pytest.fixture
def path(tmp_path):
    return tmp_path / "plan.ics"


@pytest.fixture
def before(once, path):
    """Its entries, where the next one will be written over it."""
    path.write_bytes(once)
    return events_of(path)


def test_a_plan_of_other_wishes_cancels_the_one_before(path, before):
    assert before and not cancelled(before)
    after = written(path, *WEEK, "--home-by", "14:00")
    gone = cancelled(after)
    assert uids(gone) == uids(before) - uids(item for item in after if item not in gone)
    assert gone
    earlier = {str(item["uid"]): item for item in before}
    for item in gone:
        old = earlier[str(item["uid"])]
        assert item.decoded("dtstart") == old.decoded("dtstart")
        assert int(item["sequence"]) >= int(old["sequence"])
        assert str(item["summary"]).endswith(str(old["summary"]).split(": ")[-1])
        assert str(item["summary"]) != str(old["summary"]) and "alarm" not in str(item).lower()
        assert not item.walk("VALARM")


def test_the_same_again_cancels_nothing_and_a_cancelled_one_can_come_back(path, before):
    assert not cancelled(written(path, *WEEK))
    assert cancelled(written(path, *WEEK, "--home-by", "14:00"))
    again = written(path, *WEEK, now=NOW + 3600.0)
    assert uids(before) <= uids(item for item in again if item not in cancelled(again))


def test_bait_fetched_before_is_told_with_the_best_day_everywhere():
    """In the text, the message, the page and as an entry with an alarm of its own."""
    asked = ("plan", SOUND, "--start", "2026-08-10")
    told = "ait from Shell flat beforehand, Sat 22 Aug 18:16-19:35"
    for form in ("table", "text", "page"):
        found = run(*asked, "--format", form, now=NOW)
        assert told in " ".join(found.out.split()), found.err
    events = Calendar.from_ical(run(*asked, "--format", "ics", now=NOW).out).walk("VEVENT")
    (bait,) = [event for event in events if str(event["summary"]).endswith("Bait at Shell flat")]
    assert bait.decoded("dtstart") == datetime(2026, 8, 22, 23, 16, tzinfo=UTC)
    assert "For Sun 23 Aug, leaving 12:00" in bait["description"]
    assert len(bait.walk("VALARM")) == 1


def test_days_not_spoken_of_are_left_alone(path, before):
    assert not cancelled(written(path, "--start", "2026-09-10", "--days", "3"))


def test_who_has_left_keeps_the_way_home(path, before, once):
    starts = {item.decoded("dtstart").timestamp() for item in before if "Bait at " not in item["summary"]}
    left, home = sorted(starts)[:2]
    for now, gone in ((left - 600.0, True), (left + 600.0, False), (home - 600.0, False)):
        path.write_bytes(once)
        day = f"{datetime.fromtimestamp(left, UTC):%Y-%m-%d}"
        found = cancelled(written(path, "--start", day, "--days", "3", "--home-by", "14:00", now=now))
        early = {item.decoded("dtstart").timestamp() for item in found}
        assert (left in early) == gone and (home in early) == gone


def test_entries_of_sessions_and_of_plans_leave_each_other_alone(path):
    written(path, *WEEK, command="best")
    assert not cancelled(written(path, *WEEK))
    assert not cancelled(written(path, *WEEK, command="best"))


@pytest.mark.parametrize("what", [b"\xff\xfe", b"BEGIN:VCALENDAR", b""])
def test_what_is_no_calendar_has_no_entries(path, what):
    path.write_bytes(what)
    assert not cancelled(written(path, *WEEK))


def test_an_entry_whose_leaving_can_t_be_read_is_left_alone(path, before):
    path.write_text(path.read_text().replace("X-EBBLIGHT-LEAVES:", "X-EBBLIGHT-LEAVES:soon "))
    assert before and not cancelled(written(path, *WEEK, "--home-by", "14:00"))
