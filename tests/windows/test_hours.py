"""The hours a person can fish: what is read from a text, and which stretch it means on a day."""

from dataclasses import fields
from datetime import date
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given

from tests.windows.conftest import at, one_spot
from tests.windows.strategies import hour_ends
from windows.shoreline.hours import ANY_HOURS, SunMark, clock, parse_duration, parse_hours, range_of

UTC = ZoneInfo("UTC")
DAY = date(2026, 8, 15)
SUN = {
    SunMark.DAWN: at("2026-08-15 05:00"),
    SunMark.SUNRISE: at("2026-08-15 05:30"),
    SunMark.SUNSET: at("2026-08-15 19:30"),
    SunMark.DUSK: at("2026-08-15 20:00"),
}
NEXT_SUN = {mark: t + 86400 + 60 for mark, t in SUN.items()}


def stretch(text, day=DAY, zone=UTC, sun=SUN, next_sun=NEXT_SUN):
    return range_of(parse_hours(text), day, zone, sun, next_sun)


@pytest.mark.parametrize(
    "text, start, end",
    [
        ("12:00-sunset+1h", "2026-08-15 12:00", "2026-08-15 20:30"),
        ("dawn-09:30", "2026-08-15 05:00", "2026-08-15 09:30"),
        ("20:00-02:00", "2026-08-15 20:00", "2026-08-16 02:00"),
        ("0:00-24:00", "2026-08-15 00:00", "2026-08-16 00:00"),
        ("Sunset-1h - Dusk+90min", "2026-08-15 18:30", "2026-08-15 21:30"),
        ("sunrise-30min-sunrise+1h30min", "2026-08-15 05:00", "2026-08-15 07:00"),
        ("sunset-02:00", "2026-08-15 19:30", "2026-08-16 02:00"),
        ("sunset-sunrise", "2026-08-15 19:30", "2026-08-16 05:31"),
        ("22:00-dawn", "2026-08-15 22:00", "2026-08-16 05:01"),
        ("5pm-8pm", "2026-08-15 17:00", "2026-08-15 20:00"),
        ("5:30pm-sunset", "2026-08-15 17:30", "2026-08-15 19:30"),
        ("5:05 AM - 12PM", "2026-08-15 05:05", "2026-08-15 12:00"),
        ("12am-12:30am", "2026-08-15 00:00", "2026-08-15 00:30"),
        ("8pm-12am", "2026-08-15 20:00", "2026-08-16 00:00"),
        ("11pm-2:00", "2026-08-15 23:00", "2026-08-16 02:00"),
    ],
)
def test_ranges_mean_these_stretches(text, start, end):
    assert stretch(text) == (at(start), at(end))


def test_any_hour_has_no_range():
    assert parse_hours(" Any ") is ANY_HOURS
    with pytest.raises(ValueError, match="any hour"):
        stretch("any")


@pytest.mark.parametrize(
    "text, start, end",
    [
        ("12:00-sunset+1h", "2026-08-15 12:00", "2026-08-15 21:00"),
        ("dusk-23:30", "2026-08-15 21:00", "2026-08-15 23:30"),
        ("dawn-sunrise+3h", None, None),
        ("sunset-sunrise", "2026-08-15 21:00", "2026-08-16 06:00"),
    ],
)
def test_a_day_without_sunset_takes_nine_in_the_evening_and_six_in_the_morning(text, start, end):
    expected = None if start is None else (at(start), at(end))
    assert stretch(text, sun={}, next_sun={}) == expected


def test_a_sunset_that_slips_before_the_start_leaves_no_range():
    early = {SunMark.SUNSET: at("2026-08-15 13:30")}
    following = {SunMark.SUNSET: at("2026-08-16 13:29")}
    assert stretch("14:00-sunset", sun=early, next_sun=following) is None


def test_a_start_that_slips_past_the_end_of_the_next_day_leaves_no_range():
    assert stretch("sunset+5h-0:00") is None
    assert stretch("sunset+5h-02:00") == (at("2026-08-16 00:30"), at("2026-08-16 02:00"))


def test_a_northern_winter_night_is_longer_than_18_hours_and_still_a_night():
    sun = {SunMark.SUNSET: at("2026-12-21 12:03")}
    next_sun = {SunMark.SUNRISE: at("2026-12-22 08:27")}
    found = range_of(parse_hours("sunset-sunrise"), date(2026, 12, 21), UTC, sun, next_sun)
    assert found == (at("2026-12-21 12:03"), at("2026-12-22 08:27"))


@given(hour_ends, hour_ends)
def test_valid_ranges_parse_and_lie_in_a_day_and_a_half(first, second):
    text = f"{first}-{second}"
    try:
        hours = parse_hours(text)
    except ValueError as error:
        assert str(error) == "a range whose ends differ"
        return
    assert not hours.any
    assert hours.text == text
    found = range_of(hours, DAY, UTC, SUN, NEXT_SUN)
    if found is not None:
        start, end = found
        assert at("2026-08-14 17:00") <= start <= at("2026-08-16 08:00")
        assert 0 < end - start < 48 * 3600


@given(hour_ends, hour_ends)
def test_clock_ranges_always_last_less_than_a_day(first, second):
    if first[0].isdigit() and second[0].isdigit() and first != second:
        start, end = stretch(f"{first}-{second}")
        assert 0 < end - start < 86400


@pytest.mark.parametrize(
    "text",
    [
        "", "noon", "12:00", "12:00-", "-sunset", "25:00-26:00", "12:60-13:00", "24:01-02:00", "12-14",
        "12:00-sunset+", "12:00-sunset+13h", "12:00-sunset+800min", "12:00-moonrise", "sunset+1h+1h-23:00",
        "12:00-12:00", "dawn-dawn", "12:00-sunset 1h", "12:00–14:00", "any-14:00",
        "0pm-3pm", "13pm-3pm", "5:60pm-8pm", "5p-8p", "5-8pm", "5pm-17:00", "12am-0:00",
    ],
)  # fmt: skip
def test_other_texts_are_refused_with_what_is_expected(text):
    with pytest.raises(ValueError, match=r"any|range|clock|shift|from 1am") as caught:
        parse_hours(text)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    "text, seconds", [("2h", 7200), ("90min", 5400), ("1h30min", 5400), (" 2H ", 7200), ("0h", 0)]
)
def test_durations(text, seconds):
    assert parse_duration(text) == seconds


@pytest.mark.parametrize("text", ["", "h", "min", "2", "2 hours", "1.5h", "-1h", "30min1h", "1h 30min"])
def test_other_durations_are_refused(text):
    with pytest.raises(ValueError, match="a length such as"):
        parse_duration(text)


@pytest.mark.parametrize(
    "zone, day, seconds, expected",
    [
        ("America/Chicago", date(2026, 3, 8), 1.5 * 3600, "2026-03-08 07:30"),
        ("America/Chicago", date(2026, 3, 8), 3.5 * 3600, "2026-03-08 08:30"),
        ("America/Chicago", date(2026, 3, 8), 2.5 * 3600, "2026-03-08 08:30"),  # skipped: reads 3:30
        ("America/Chicago", date(2026, 11, 1), 1.5 * 3600, "2026-11-01 06:30"),  # the first of two
        ("America/Chicago", date(2026, 11, 1), 24 * 3600, "2026-11-02 06:00"),
        ("Australia/Lord_Howe", date(2026, 4, 5), 12 * 3600, "2026-04-05 01:30"),
        ("Australia/Lord_Howe", date(2026, 4, 4), 24 * 3600, "2026-04-04 13:00"),
        ("Pacific/Apia", date(2011, 12, 29), 24 * 3600, "2011-12-30 10:00"),
        ("Pacific/Kiritimati", date(2026, 8, 15), 0, "2026-08-14 10:00"),
    ],
)
def test_clock_times_where_clocks_change(zone, day, seconds, expected):
    assert clock(day, seconds, ZoneInfo(zone)) == at(expected)


def test_other_hours_leave_the_rest_of_a_spot(shore):
    spot = shore(one_spot([("M2", 1.0, 0.0)], 'slack_lag = 15\nhours = "06:00-10:00"\nkeep = 40')).spots[0]
    evening = parse_hours("17:00-21:00")
    other = spot.fished_in(evening)
    assert other.preferences == spot.preferences._replace(hours=evening) != spot.preferences
    same = [item.name for item in fields(spot) if getattr(other, item.name) is getattr(spot, item.name)]
    assert set(same) == {item.name for item in fields(spot)} - {"preferences"}
