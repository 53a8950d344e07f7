"""The chance of the window one is in and of the next session, said by `now` where a record tells it."""

import html
import re
from datetime import date

import numpy as np
import pytest

from tests.cli.records.coast import NOW, rows, week
from tests.cli.runs import run, utc
from windows.conditions.assembly import STEP
from windows.conditions.cases import Water
from windows.conditions.knowledge import outlook_of
from windows.forecast.edges import LEAST_FLOW_FACTOR
from windows.forecast.making import make_forecast
from windows.forecast.now import make_now
from windows.shoreline.shore import read_shore


def said(path, t, *more):
    found = run("now", path, *more, now=t)
    assert found.code == 0, found.err
    return " ".join(html.unescape(re.sub("<[^>]*>", " ", found.out)).split())


def cell(chance):
    whole = round(100.0 * float(chance))
    return "< 1 %" if whole == 0 else "> 99 %" if whole == 100 else f"{whole} %"


def session_rows(path):
    return rows(week(path, "--format", "csv"))


def outlook_at(path, t):
    shore = read_shore(path)
    return shore, outlook_of(shore, [spot.station for spot in shore.spots], t, None, None)


def now_of(path, t):
    shore, outlook = outlook_at(path, t)
    return make_now(shore, shore.spots, outlook)


def forecast_of(path):
    shore, outlook = outlook_at(path, NOW)
    return make_forecast(shore, shore.spots, date(2026, 8, 10), 5, outlook)


DRIES = "least_level = 1.9\n"
FORMS = [(), ("--format", "page"), ("--format", "text")]


@pytest.mark.parametrize("form", FORMS, ids=["table", "page", "message"])
def test_the_next_session_has_the_chance_that_the_week_gives_it(shore, form):
    path = shore(weather=False, spot=DRIES)
    seen = set()
    for hours in range(0, 60, 12):
        (item,) = now_of(path, NOW + 3600.0 * hours).spots
        points, chance = item.next.session.points.total, item.next.session.chance
        seen.add(chance)
        if item.window is None:
            assert f"{points:.0f} points, chance {cell(chance)}" in said(path, NOW + 3600.0 * hours, *form)
    assert len(seen) > 1


def test_the_window_one_is_in_has_the_share_of_cases_in_which_it_came(shore):
    path = shore(weather=False, spot=DRIES)
    (report,) = forecast_of(path).spots
    seen = set()
    for session in (item.session for day in report.days[1:] for item in day.sessions):
        t = (session.window.start + session.window.end) / 2.0
        (item,) = now_of(path, t).spots
        curve, conditions = item.report.curve, item.report.conditions
        water = Water(float(curve.t[0]), STEP, curve.level, curve.departure, curve.outgoing)
        worth = [conditions.in_case(curve, *case)[1] for case in conditions.cases.of(water)]
        inside = (curve.t >= item.window.start) & (curve.t <= item.window.end)
        long = curve.t[inside][-1] - curve.t[inside][0]
        means = np.array([np.trapezoid(case[inside], curve.t[inside]) / long for case in worth])
        near = (np.mean(means >= LEAST_FLOW_FACTOR + off) for off in (0.01, -0.01))  # its edges lie off steps
        least, most = near
        assert least <= item.chance <= most
        for form in FORMS if item.chance not in seen else ():
            text = said(path, t, *form)
            assert re.search(rf"left of \d\d:\d\d-\d\d:\d\d, chance {cell(item.chance)}", text)
        seen.add(item.chance)
    assert len(seen) > 1


@pytest.mark.parametrize("form", FORMS, ids=["table", "page", "message"])
def test_without_a_record_no_chance_is_said(shore, form):
    path = shore(record=False, weather=False)
    for row in session_rows(path)[:2]:
        t = utc(row["session_start_utc"][:16].replace("T", " ")) + 600.0
        for at in (t, t - 7200.0):
            assert not re.search(r"chance \d|chance [<>]", said(path, at, *form))
