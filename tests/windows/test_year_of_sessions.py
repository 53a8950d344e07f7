"""The checks of a year's sessions, on three days; each also finds what is planted."""

from dataclasses import replace
from datetime import date

import pytest

from tests.windows import year_of_sessions as checks
from windows.forecast.light import LightLabel
from windows.forecast.making import make_forecast
from windows.forecast.sessions import Session
from windows.shoreline.shore import read_shore

FIRST, DAYS = date(2026, 10, 24), 3
"""Clocks change within in Europe."""


@pytest.fixture(scope="module", params=["korimako_reach", "skerrow_strand"])
def coast(request):
    shore = read_shore(checks.DEMOS / f"{request.param}.toml")
    return shore, make_forecast(shore, shore.spots, FIRST, DAYS, checks.LONG_AGO).spots


def changed(report, **changes):
    """The report with its first session changed."""
    days = list(report.days)
    place = next(k for k, day in enumerate(days) if day.sessions)
    item = days[place].sessions[0]
    other = replace(item, session=item.session._replace(**changes))
    days[place] = replace(days[place], sessions=(other, *days[place].sessions[1:]))
    return replace(report, days=tuple(days))


def first_session(report) -> Session:
    return checks.sessions_of(report)[0].session


def test_sessions_lie_in_their_day_and_one_day_alone_gives_the_same(coast):
    shore, reports = coast
    for index, report in enumerate(reports):
        assert checks.sessions_of(report)
        assert checks.on_another_day(shore, report) == 0
        assert checks.unlike_single_days(shore, index, report) == []
    late = changed(reports[0], start=first_session(reports[0]).start + 86400.0)
    assert checks.on_another_day(shore, late) == 1
    assert len(checks.unlike_single_days(shore, 0, late)) == 1


def test_every_minute_can_be_fished(coast):
    shore, reports = coast
    for report in reports:
        assert checks.unfishable_minutes(shore, report, FIRST, DAYS) == 0
    end = first_session(reports[0]).window.end + 3 * 3600.0
    assert checks.unfishable_minutes(shore, changed(reports[0], end=end), FIRST, DAYS) > 30


def test_the_light_is_that_of_skyfield_s_sun_and_factors_sum(coast):
    _, reports = coast
    report = reports[0]
    other = LightLabel.DARK if first_session(report).light != (LightLabel.DARK,) else LightLabel.DAY
    with checks.Sun() as sun:
        assert all(checks.labels_apart(each, sun) == [] for each in reports)
        assert len(checks.labels_apart(changed(report, light=(other,)), sun)) == 1
    assert all(checks.sums_apart(each) == 0 for each in reports)
    assert checks.sums_apart(changed(report, high=101.0)) == 1
