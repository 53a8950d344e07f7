"""The first day in words: told from today by the file's own clock."""

from datetime import date, timedelta

import pytest

from tests.cli.runs import done, refused, rows, utc
from tests.coasts import head, simple, spot, station, written

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
    ("zone", "latitude", "today"),
    [("Pacific/Kiritimati", 1.87, date(2026, 8, 11)), ("Pacific/Honolulu", 21.3, date(2026, 8, 10))],
)
def test_today_is_that_of_the_local_clock(tmp_path, zone, latitude, today):
    place = station("pier", [("M2", 0.5, 10.0)], latitude=latitude, longitude=-157.6, datum="gauge zero")
    path, now = written(tmp_path, head(zone), place), utc("2026-08-10 23:30")
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


def test_a_sunset_that_does_not_happen_is_told_with_what_stands_in(tmp_path):
    # At Tromso the midnight sun begins about 18 May (from memory).
    tide = station("quay", [("M2", 1.0, 30.0), ("S2", 0.3, 60.0)], latitude=69.7, longitude=19.0)
    keys = 'slack_lag = 0\nhours = "12:00-sunset+1h"'
    path = written(tmp_path, head("Europe/Oslo"), tide, spot("quay-end", "quay", 69.7, 19.0, keys))

    def told(first, days):
        return " ".join(done("week", path, "--start", first, "--days", days, now=0.0).split())

    assert "no sunset on Mon 18 May, 21:00 stands in" in told("2026-05-18", 1)
    assert "no sunset on 3 days from Mon 18 May to Wed 20 May, 21:00 stands in" in told("2026-05-18", 3)
    assert "no sunset or end of civil twilight that day" in told("2026-05-18", 1)
    assert "stands in" not in told("2026-04-18", 3)
