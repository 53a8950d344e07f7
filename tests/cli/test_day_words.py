"""The first day in words: told from today by the file's own clock."""

from datetime import date, timedelta

import pytest

from tests.cli.runs import refused, rows, utc
from tests.coasts import simple

MONDAY = utc("2026-08-10 09:30")


def first_day(path, word, now):
    return rows("levels", path, "--start", word, "--days", 1, "--step", "6h", now=now)[0]["time_local"][:10]


@pytest.mark.parametrize(
    ("word", "day"),
    [
        ("today", "2026-08-10"),
        ("tomorrow", "2026-08-11"),
        ("mon", "2026-08-10"),
        ("Monday", "2026-08-10"),
        ("fri", "2026-08-14"),
        ("SUN", "2026-08-16"),
        ("2026-08-12", "2026-08-12"),
    ],
)
def test_words_name_the_next_such_day(tmp_path, word, day):
    assert first_day(simple(tmp_path), word, MONDAY) == day


@pytest.mark.parametrize(
    ("zone", "today"), [("Pacific/Kiritimati", date(2026, 8, 11)), ("Pacific/Honolulu", date(2026, 8, 10))]
)
def test_today_is_that_of_the_local_clock(tmp_path, zone, today):
    path, now = simple(tmp_path, zone), utc("2026-08-10 23:30")
    assert first_day(path, "today", now) == today.isoformat()
    assert first_day(path, "tomorrow", now) == (today + timedelta(days=1)).isoformat()
    monday = today + timedelta(days=-today.weekday() % 7)
    assert first_day(path, "mon", now) == monday.isoformat()


@pytest.mark.parametrize("word", ["", "now", "frid", "next fri", "2026-02-30", "0999-12-31"])
def test_other_words_are_refused_with_what_is_expected(tmp_path, word):
    error = refused(2, "week", simple(tmp_path), "--start", word)
    assert "today, tomorrow, a weekday as fri, or a date" in " ".join(error.split())


def test_hours_by_the_twelve_hour_clock(tmp_path):
    path = simple(tmp_path)
    asked = ("week", path, "--start", "mon", "--days", 7)
    found = rows(*asked, "--hours", "5pm-8:30pm")
    assert found == rows(*asked, "--hours", "17:00-20:30")
    assert found
